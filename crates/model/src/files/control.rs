//! The control file: the words, numbers, variables and reading habits of one control.
//! A builder's codes are data here, never code.

mod terms;

pub use terms::{
    AndPlace, AsinRange, AtanRange, JumpSearch, Logic, MixedBlock, NullInOrder, Rounding, Terms,
};

use super::Read;
use super::keys::{self, Choice as _, Keys, Origin};
use crate::choices;
use crate::source::Source;
use crate::{Diagnostic, Length, Units};
use std::fmt;

choices! {
    /// Which of the three G-code systems of two-axis lathes a control speaks.
    CodeSystem {
        A = "A": "U and W are increments, G98/G99 are feed per minute/revolution, G50 clamps the speed",
        B = "B": "G90/G91 choose absolute or increments, G94/G95 the feed, G92 clamps the speed",
        C = "C": "as B, with G70/G71 for inch and metric",
    }
}

choices! {
    /// What a number without a decimal point means.
    WithoutPoint {
        LeastIncrement = "least-increment": "counts least increments: X100 is 0.100 mm or 0.0100 in",
        WholeUnits = "whole-units": "counts millimeters or inches: X100 is 100 mm or 100 in",
    }
}

choices! {
    /// What a builder-assigned function does.
    Does {
        ChuckOpen = "chuck-open": "opens the chuck",
        ChuckClose = "chuck-close": "closes the chuck",
        SpindleForward = "spindle-forward": "starts the spindle forward",
        SpindleReverse = "spindle-reverse": "starts the spindle in reverse",
        SpindleStop = "spindle-stop": "stops the spindle",
        SpindleOrient = "spindle-orient": "stops the spindle at an angle and holds it",
        RigidTapping = "rigid-tapping": "keeps the next tapping cycle in step with the spindle",
        PartCount = "part-count": "steps the control's part counter",
        CatcherOut = "catcher-out": "brings the parts catcher under the part",
        CatcherHome = "catcher-home": "takes the parts catcher back",
        CoolantOn = "coolant-on": "turns coolant on",
        CoolantOff = "coolant-off": "turns coolant off",
        AirOn = "air-on": "turns the air blast on",
        AirOff = "air-off": "turns the air blast off",
        Nothing = "nothing": "moves nothing that this tool follows",
    }
}

choices! {
    /// How a subprogram's repeats are written.
    RepeatForm {
        Letter = "L": "M98 P1002 L5 calls O1002 five times",
        Packed = "packed": "M98 P51002 calls O1002 five times",
    }
}

choices! {
    /// What the layers of a roughing cycle are counted from.
    LevelsFrom {
        Allowance = "allowance": "from the start point moved by the finishing allowances",
        Start = "start": "from the start point itself",
    }
}

choices! {
    /// How the path of a nose radius goes around an outside corner.
    OutsideCorner {
        Straight = "straight": "along both lines to where they meet",
        Round = "round": "on an arc about the corner",
    }
}

choices! {
    /// What the number of a dwell counts while feeds are per revolution.
    DwellCounts {
        Seconds = "seconds": "seconds, as always",
        Revolutions = "revolutions": "turns of the spindle",
    }
}

/// How cycles are run.
#[derive(Debug, Clone, PartialEq)]
pub struct Cycles {
    /// What roughing layers are counted from.
    pub levels_from: LevelsFrom,
    /// How far a deep drilling cycle goes back after each peck; zero for all the way.
    pub drill_back: Length,
    /// Length of a threading box's pull-out in tenths of the lead.
    pub thread_pull_out: u32,
    /// How a nose radius goes around outside corners.
    pub outside_corner: OutsideCorner,
}

choices! {
    /// Which family of drilling cycles a control has.
    Drilling {
        Lathe = "lathe": "G83 G84 G85 drill, tap and bore the face, G87 G88 G89 the side; R is a distance",
        Plain = "plain": "G81 to G86 and G89 drill, peck, tap and bore along Z; R is a place",
    }
}

choices! {
    /// What a semicolon in a program is.
    Semicolon {
        Comment = "comment": "starts a comment to the line's end",
        BlockEnd = "block-end": "ends a block; another may follow on the same line",
    }
}

/// One M word or G word such as `M11` or `G54.1`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Code {
    /// `G` or `M` or another capital letter.
    pub letter: char,
    /// Ten times the number, so that `G54.1` is 541.
    pub tenths: u32,
}

impl Code {
    /// A code with a whole number.
    pub const fn new(letter: char, number: u32) -> Code {
        Code { letter, tenths: number * 10 }
    }

    /// Reads `M11` or `G54.1`; none for anything else.
    pub fn parse(text: &str) -> Option<Code> {
        let mut chars = text.trim().chars();
        let letter = chars.next().filter(char::is_ascii_alphabetic)?.to_ascii_uppercase();
        let (whole, tenth) = chars.as_str().split_once('.').unwrap_or((chars.as_str(), "0"));
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        if !digits(whole) || !digits(tenth) || whole.len() > 7 || tenth.len() != 1 {
            return None;
        }
        let tenths = whole.parse::<u32>().ok()? * 10 + tenth.parse::<u32>().ok()?;
        Some(Code { letter, tenths })
    }
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}{}", self.letter, self.tenths / 10)?;
        if self.tenths.is_multiple_of(10) { Ok(()) } else { write!(f, ".{}", self.tenths % 10) }
    }
}

/// One builder-assigned (or standard) function.
#[derive(Debug, Clone, PartialEq)]
pub struct Function {
    /// What it does.
    pub does: Does,
    /// The word for it.
    pub word: Code,
    /// Whether the control waits until the machine confirms that it is done.
    pub confirmed: bool,
}

/// How numbers are read.
#[derive(Debug, Clone, PartialEq)]
pub struct Numbers {
    /// What a number without a point means.
    pub without_point: WithoutPoint,
    /// Least increment in millimeter programs.
    pub increment_mm: Length,
    /// Least increment in inch programs.
    pub increment_inch: Length,
    /// The units at power-on.
    pub power_on: Units,
    /// What a dwell counts while feeds are per revolution.
    pub dwell_counts: DwellCounts,
    /// How many of the last digits of a T word are the offset, 0 to 3.
    pub tool_offset_digits: u32,
}

choices! {
    /// How roughing and finishing of the outside are written.
    TurningAs {
        Moves = "moves": "each layer as moves of its own",
        Cycle = "cycle": "by the cycles of roughing and finishing along a contour",
    }
}

choices! {
    /// How threads are written.
    ThreadsAs {
        Moves = "moves": "each pass as moves of its own",
        Box = "box": "each pass as one block of the threading box",
        Cycle = "cycle": "all passes by the cycle of many passes, in two blocks",
        OneBlock = "one-block": "all passes by the cycle of many passes, in one block",
    }
}

choices! {
    /// How drilled holes are written.
    HolesAs {
        Moves = "moves": "each peck as moves of its own",
        Cycle = "cycle": "by the drilling cycle",
        FacePeck = "face-peck": "by the cycle that pecks along Z",
    }
}

choices! {
    /// How tapped holes are written.
    TapsAs {
        Moves = "moves": "in and out as thread moves, the spindle turned back between them",
        Cycle = "cycle": "by the tapping cycle",
    }
}

/// How programs are written.
#[derive(Debug, Clone, PartialEq)]
pub struct Writing {
    /// How roughing and finishing of the outside are written.
    pub turning: TurningAs,
    /// How threads are written.
    pub threads: ThreadsAs,
    /// How drilled holes are written.
    pub drilling: HolesAs,
    /// How tapped holes are written.
    pub tapping: TapsAs,
    /// Digits of a program number.
    pub program_digits: usize,
    /// Step of block numbers; none where only jump targets are numbered.
    pub number_step: Option<u32>,
    /// Words of the safe line at the start, as they stand.
    pub safe_start: Vec<String>,
    /// Whether comments stand in the program.
    pub comments: bool,
}

/// The control's variables.
#[derive(Debug, Clone, PartialEq)]
pub struct Variables {
    /// First and last of the common variables that power-off clears.
    pub volatile: (u32, u32),
    /// Whether reset clears those too.
    pub reset_clears_volatile: bool,
    /// First and last of the common variables that are kept.
    pub kept: (u32, u32),
    /// Deepest nesting of subprogram calls.
    pub call_depth: usize,
    /// Whether a subprogram called by M98 has local variables of its own.
    pub call_makes_locals: bool,
}

/// The control's own part counter.
#[derive(Debug, Clone, PartialEq)]
pub struct Counter {
    /// System variable that reads the parts made.
    pub made: u32,
    /// System variable that reads the parts wanted.
    pub wanted: Option<u32>,
    /// The words that step it.
    pub counted_by: Vec<Code>,
}

/// How far the control reads ahead of the motion.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadAhead {
    /// Least blocks read ahead.
    pub least: usize,
    /// Most blocks read ahead.
    pub most: usize,
    /// Words at which reading waits until all before them is done.
    pub stoppers: Vec<Code>,
    /// Whether a block that starts with the skip sign stops reading too.
    pub skip_sign_stops: bool,
}

/// What ends or is lost at a reset.
#[derive(Debug, Clone, PartialEq)]
pub struct Reset {
    /// Whether the program pointer goes back to the top.
    pub to_top: bool,
}

/// The words of one control.
#[derive(Debug, Clone)]
pub struct Control {
    /// Where its keys stand.
    pub origin: Origin,
    /// What it is, in plain words.
    pub name: String,
    /// Its G-code system.
    pub code_system: CodeSystem,
    /// How numbers are read.
    pub numbers: Numbers,
    /// How programs are written.
    pub writing: Writing,
    /// Builder-assigned functions. The standard M3, M4, M5 are always among them.
    pub functions: Vec<Function>,
    /// The control's variables.
    pub variables: Variables,
    /// How it works terms out.
    pub terms: Terms,
    /// Its part counter, where it has one that a program can read.
    pub counter: Option<Counter>,
    /// How repeats are written.
    pub repeat: RepeatForm,
    /// The word that calls a stretch of the same program by its block number, where there is one.
    pub call_here: Option<Code>,
    /// How cycles are run.
    pub cycles: Cycles,
    /// Its drilling cycles.
    pub drilling: Drilling,
    /// What a semicolon is; none where the file does not say.
    pub semicolon: Option<Semicolon>,
    /// How far it reads ahead.
    pub read_ahead: ReadAhead,
    /// What a reset does.
    pub reset: Reset,
    /// Whether rapid moves run straight; otherwise each axis at its own speed.
    pub rapid_straight: bool,
}

impl Control {
    /// Reads a control file.
    pub fn read(source: &Source) -> Read<Control> {
        let read = keys::read(source, keys);
        let value = read.value.map(|(mut control, origin)| {
            control.origin = origin;
            control
        });
        Read { value, diagnostics: read.diagnostics }
    }

    /// The function that a word starts.
    pub fn function(&self, word: Code) -> Option<&Function> {
        self.functions.iter().find(|function| function.word == word)
    }

    /// The first function that does this.
    pub fn that(&self, does: Does) -> Option<&Function> {
        self.functions.iter().find(|function| function.does == does)
    }

    /// The least increment of programs in these units.
    pub fn increment(&self, units: Units) -> Length {
        match units {
            Units::Mm => self.numbers.increment_mm,
            Units::Inch => self.numbers.increment_inch,
        }
    }
}

/// Every key of a control file.
pub(super) fn keys(keys: &Keys<'_>) -> Control {
    let name = keys.text("name", "what this control is, in plain words").required();
    let code_system = keys.choice("code_system", "its G-code system").required();
    let rapid_straight = keys
        .flag(
            "rapid_straight",
            "whether rapid moves run straight instead of each axis at its own speed",
        )
        .or(false);
    let repeat =
        keys.choice("repeat_form", "how a subprogram's repeats are written").or(RepeatForm::Letter);
    let call_here = code(
        keys,
        "call_here",
        "word that calls a stretch of the same program by its block number, such as \"M97\"",
    );
    let cycles =
        keys.optional_table("cycles", "how cycles are run", cycles).unwrap_or(Cycles::usual());
    let drilling =
        keys.choice("drilling", "which family of drilling cycles it has").or(Drilling::Lathe);
    let semicolon = keys.choice("semicolon", "what a semicolon in a program is").optional();
    let numbers = keys.table("numbers", "how numbers are read", numbers);
    let writing = keys.table("writing", "how programs are written", writing);
    let variables = keys.table("variables", "the control's variables", variables);
    let terms = keys
        .optional_table("terms", "how terms in brackets are worked out", terms::keys)
        .unwrap_or_default();
    let counter = keys.optional_table("counter", "the control's own part counter", counter);
    let read_ahead =
        keys.table("read_ahead", "how far the control reads ahead of the motion", read_ahead);
    let reset = keys.table("reset", "what a reset does", |keys| Reset {
        to_top: keys.flag("to_top", "whether a reset takes the program back to its top").or(true),
    });
    let functions = functions(keys);
    Control {
        origin: keys.origin(),
        name,
        code_system,
        numbers,
        writing,
        functions,
        variables,
        terms,
        counter,
        repeat,
        call_here,
        cycles,
        drilling,
        semicolon,
        read_ahead,
        reset,
        rapid_straight,
    }
}

fn numbers(keys: &Keys<'_>) -> Numbers {
    let fine = Length::from_nm(1)..=Length::from_um(100);
    Numbers {
        without_point: keys
            .choice("without_point", "what a number without a decimal point means")
            .required(),
        increment_mm: keys
            .length("increment_mm", "least increment in millimeter programs", fine.clone())
            .or(Length::from_um(1)),
        increment_inch: keys
            .length("increment_inch", "least increment in inch programs", fine)
            .or(Length::from_nm(2540)),
        power_on: match keys.choice("power_on_units", "units at power-on").or(PowerOn::Mm) {
            PowerOn::Mm => Units::Mm,
            PowerOn::Inch => Units::Inch,
        },
        dwell_counts: keys
            .choice("dwell_counts", "what a dwell counts while feeds are per revolution")
            .or(DwellCounts::Seconds),
        tool_offset_digits: keys
            .count(
                "tool_offset_digits",
                "how many of the last digits of a T word are the offset",
                0..=3,
            )
            .or(2) as u32,
    }
}

impl Cycles {
    /// Common practice, where the file says nothing.
    pub const fn usual() -> Cycles {
        Cycles {
            levels_from: LevelsFrom::Allowance,
            drill_back: Length::ZERO,
            thread_pull_out: 0,
            outside_corner: OutsideCorner::Straight,
        }
    }
}

fn cycles(keys: &Keys<'_>) -> Cycles {
    let usual = Cycles::usual();
    Cycles {
        levels_from: keys
            .choice("levels_from", "what the layers of roughing cycles are counted from")
            .or(usual.levels_from),
        drill_back: keys
            .length(
                "drill_back",
                "how far a deep drilling cycle goes back after each peck; 0 for all the way",
                Length::ZERO..=Length::from_mm(100),
            )
            .or(usual.drill_back),
        thread_pull_out: keys
            .count(
                "thread_pull_out",
                "length of a threading box's pull-out in tenths of the lead",
                0..=99,
            )
            .or(i64::from(usual.thread_pull_out)) as u32,
        outside_corner: keys
            .choice("outside_corner", "how a nose radius goes around outside corners")
            .or(usual.outside_corner),
    }
}

choices! {
    /// Units at power-on.
    PowerOn {
        Mm = "mm": "millimeters",
        Inch = "inch": "inches",
    }
}

fn writing(keys: &Keys<'_>) -> Writing {
    Writing {
        turning: keys
            .choice("turning", "how roughing and finishing of the outside are written")
            .or(TurningAs::Moves),
        threads: keys.choice("threads", "how threads are written").or(ThreadsAs::Moves),
        drilling: keys.choice("drilling", "how drilled holes are written").or(HolesAs::Moves),
        tapping: keys.choice("tapping", "how tapped holes are written").or(TapsAs::Moves),
        program_digits: keys.count("program_digits", "digits of a program number", 1..=8).or(4)
            as usize,
        number_step: keys
            .count(
                "number_step",
                "step of block numbers; left out, only jump targets are numbered",
                1..=100,
            )
            .optional()
            .map(|step| step as u32),
        safe_start: keys
            .texts("safe_start", "words of the safe line at the start of a program")
            .required(),
        comments: keys.flag("comments", "whether comments stand in the program").or(true),
    }
}

fn variables(keys: &Keys<'_>) -> Variables {
    let number = 100..=9999;
    let range = |first, last, of: [i64; 2]| {
        let low = keys.count(first, "first variable of this range", number.clone()).or(of[0]);
        let high = keys.count(last, "last variable of this range", number.clone()).or(of[1]);
        if high < low {
            keys.trouble(
                last,
                format!("this range ends before it starts, at {low}"),
                "write the larger number here",
            );
        }
        (low as u32, high as u32)
    };
    let volatile = range("volatile_first", "volatile_last", [100, 199]);
    let kept = range("kept_first", "kept_last", [500, 999]);
    if volatile.0 <= kept.1 && kept.0 <= volatile.1 {
        let (first, last) = kept;
        let message = format!("these variables are among those that are kept, {first} to {last}");
        keys.trouble("volatile_last", message, "end one range before the other begins");
    }
    Variables {
        volatile,
        reset_clears_volatile: keys
            .flag("reset_clears_volatile", "whether reset clears the volatile variables")
            .or(false),
        kept,
        call_depth: keys.count("call_depth", "deepest nesting of subprogram calls", 1..=100).or(4)
            as usize,
        call_makes_locals: keys
            .flag(
                "call_makes_locals",
                "whether M98 gives the subprogram local variables of its own",
            )
            .or(false),
    }
}

fn counter(keys: &Keys<'_>) -> Counter {
    let number = 1000..=99_999;
    Counter {
        made: keys
            .count("made", "system variable that reads the parts made", number.clone())
            .required() as u32,
        wanted: keys
            .count("wanted", "system variable that reads the parts wanted", number)
            .optional()
            .map(|number| number as u32),
        counted_by: codes(keys, "counted_by", "words that step the counter"),
    }
}

fn read_ahead(keys: &Keys<'_>) -> ReadAhead {
    let least = keys.count("least_blocks", "least blocks read ahead", 0..=1000).or(0);
    let most = keys.count("most_blocks", "most blocks read ahead", 0..=1000).required();
    if keys.sound("least_blocks") && keys.sound("most_blocks") && most < least {
        let message = format!("the most blocks read ahead cannot be fewer than the least, {least}");
        keys.trouble("most_blocks", message, "write the larger number here");
    }
    ReadAhead {
        least: least as usize,
        most: most as usize,
        stoppers: codes(keys, "stoppers", "words at which reading waits until all before is done"),
        skip_sign_stops: keys
            .flag("skip_sign_stops", "whether a block that starts with the skip sign stops reading")
            .or(false),
    }
}

fn codes(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Vec<Code> {
    let texts = keys.texts(key, meaning).required();
    let mut codes = Vec::new();
    for text in &texts {
        match Code::parse(text) {
            Some(code) => codes.push(code),
            None => not_a_code(keys, key, text),
        }
    }
    codes
}

/// One word of a program; none where the key is left out.
fn code(keys: &Keys<'_>, key: &'static str, meaning: &'static str) -> Option<Code> {
    let text = keys.text(key, meaning).optional()?;
    let code = Code::parse(&text);
    if code.is_none() {
        not_a_code(keys, key, &text);
    }
    code
}

fn not_a_code(keys: &Keys<'_>, key: &str, text: &str) {
    keys.trouble(
        key,
        format!("\"{text}\" is not a word of a program"),
        "write a letter and a number, such as \"M11\"",
    );
}

/// Words that mean the same on nearly every lathe, unless the file gives the function another.
const STANDARD: [(Does, u32); 6] = [
    (Does::SpindleForward, 3),
    (Does::SpindleReverse, 4),
    (Does::SpindleStop, 5),
    (Does::SpindleOrient, 19),
    (Does::CoolantOn, 8),
    (Does::CoolantOff, 9),
];

fn functions(keys: &Keys<'_>) -> Vec<Function> {
    let mut functions: Vec<Function> =
        keys.list("function", "one builder-assigned function", |keys| {
            let does = keys.choice("does", "what it does").required();
            let text = keys.text("word", "the word for it, such as \"M11\"").required();
            let word = Code::parse(&text);
            if word.is_none() && !text.is_empty() {
                not_a_code(keys, "word", &text);
            }
            let confirmed = keys
                .flag("confirmed", "whether the control waits until the machine confirms it")
                .or(false);
            Function { does, word: word.unwrap_or(Code::new('M', 0)), confirmed }
        });
    words_mean_one_thing(keys, &functions);
    for (does, number) in STANDARD {
        if !functions.iter().any(|function| function.does == does) {
            functions.push(Function { does, word: Code::new('M', number), confirmed: false });
        }
    }
    functions
}

fn words_mean_one_thing(keys: &Keys<'_>, functions: &[Function]) {
    let path = |index: usize| format!("function[{index}].word");
    for (index, function) in
        functions.iter().enumerate().filter(|(index, _)| keys.sound(&path(*index)))
    {
        let word = function.word;
        if (0..index).any(|other| functions[other].word == word && keys.sound(&path(other))) {
            keys.trouble(
                &path(index),
                format!("{word} stands twice"),
                "give each word one meaning",
            );
        }
        let standard = STANDARD.iter().find(|(_, number)| Code::new('M', *number) == word);
        if let Some((does, _)) = standard
            && !functions.iter().any(|function| function.does == *does)
        {
            let message = format!("{word} is the word for \"{}\" already", does.word());
            let help = "write the builder's word here, or give the other function its own";
            keys.trouble(&path(index), message, help);
        }
    }
}

impl CodeSystem {
    /// Its letter.
    pub fn shown(self) -> &'static str {
        self.word()
    }
}

impl Does {
    /// Whether a person, the bar or the turning spindle hangs on it.
    pub const fn concerns_the_bar(self) -> bool {
        !matches!(
            self,
            Does::CoolantOn | Does::CoolantOff | Does::AirOn | Does::AirOff | Does::Nothing
        )
    }

    /// The word for it in files and messages.
    pub fn shown(self) -> &'static str {
        self.word()
    }
}

/// A message when the chuck's words are not known.
pub(crate) fn needs_chuck_words(control: &Control) -> Option<Diagnostic> {
    let missing = [Does::ChuckOpen, Does::ChuckClose].into_iter();
    let missing: Vec<_> = missing
        .filter(|does| control.that(*does).is_none())
        .map(|does| format!("\"{}\"", does.word()))
        .collect();
    let message = format!("no function does {}", missing.join(" or "));
    let help = "add a `[[function]]` with the word from the lathe's manual";
    (!missing.is_empty()).then(|| control.origin.trouble("function", message).help(help))
}
