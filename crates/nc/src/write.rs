//! Writes words and programs as one control file says.
//!
//! A figure can only be written to the control's decimals. [`Writer`] rounds it first
//! ([`Writer::place`] and its sisters), so that whoever plans with the rounded figure plans with
//! exactly what the program says.

use crate::codes::{Codes, GCode};
use model::files::Control;
use model::files::control::{Does, RepeatForm};
use model::quantity::{FeedPerRev, FeedRate, Seconds, SpindleSpeed, SurfaceSpeed};
use model::{Length, Units};

/// Feet per minute in one meter per minute.
const METERS_PER_FOOT: f64 = 0.3048;
/// The column at which remarks stand behind a block.
const REMARK_COLUMN: usize = 30;
/// The largest block number.
const LARGEST_NUMBER: usize = 99_999;

/// Writes single words for one control and one unit system.
#[derive(Debug, Clone, Copy)]
pub struct Writer<'c> {
    /// The control that will read the program.
    pub control: &'c Control,
    /// The units of the program.
    pub units: Units,
}

impl<'c> Writer<'c> {
    /// A writer for a control, in these units.
    pub const fn new(control: &'c Control, units: Units) -> Writer<'c> {
        Writer { control, units }
    }

    /// The smallest step of a written length: 0.001 mm or 0.0001 in.
    pub const fn step(&self) -> Length {
        match self.units {
            Units::Mm => Length::from_um(1),
            Units::Inch => Length::from_nm(2540),
        }
    }

    /// The nearest length that can be written.
    #[must_use]
    pub fn place(&self, length: Length) -> Length {
        length.round_to(self.units, self.units.decimals())
    }

    /// The nearest feed per revolution that can be written, never zero.
    #[must_use]
    pub fn feed(&self, feed: FeedPerRev) -> FeedPerRev {
        FeedPerRev::from_mm(self.place(Length::nearest_mm(feed.mm())).max(self.step()).mm())
    }

    /// The fastest feed per minute that can be written and is not above this one: whole mm/min or
    /// tenths of an inch per minute.
    #[must_use]
    pub fn rate_at_most(&self, rate: FeedRate) -> FeedRate {
        let step = self.rate_step().mm();
        let steps = (rate.mm_per_min() / step + 1e-9).floor().max(1.0);
        FeedRate::from_mm_per_min(steps * step)
    }

    /// The nearest surface speed that can be written: whole m/min or ft/min.
    #[must_use]
    pub fn surface_speed(&self, speed: SurfaceSpeed) -> SurfaceSpeed {
        let unit = self.surface_unit();
        SurfaceSpeed::from_m_per_min((speed.m_per_min() / unit).round().max(1.0) * unit)
    }

    /// The highest whole spindle speed that is not above this one.
    #[must_use]
    pub fn speed_at_most(&self, speed: SpindleSpeed) -> SpindleSpeed {
        SpindleSpeed::from_rpm(speed.rpm().floor().max(1.0))
    }

    /// The shortest dwell in tenths of a second that is not shorter than this.
    #[must_use]
    pub fn dwell_at_least(&self, time: Seconds) -> Seconds {
        Seconds::from_s((time.s() * 10.0 - 1e-9).ceil().max(0.0) / 10.0)
    }

    const fn rate_step(&self) -> Length {
        match self.units {
            Units::Mm => Length::from_mm(1),
            Units::Inch => Length::from_um(2540),
        }
    }

    const fn surface_unit(&self) -> f64 {
        match self.units {
            Units::Mm => 1.0,
            Units::Inch => METERS_PER_FOOT,
        }
    }

    /// A length word such as `X-0.8` or `Z22.`; the point is always written.
    pub fn length(&self, letter: char, length: Length) -> String {
        format!("{letter}{}", self.number(length))
    }

    fn number(&self, length: Length) -> String {
        let text = length.text(self.units, self.units.decimals());
        let text = text.trim_end_matches('0');
        if text == "-0." { "0.".to_owned() } else { text.to_owned() }
    }

    /// A feed per revolution, such as `F0.12`.
    pub fn feed_word(&self, feed: FeedPerRev) -> String {
        self.length('F', Length::nearest_mm(feed.mm()))
    }

    /// The nearest lead that can be written: to six decimals of an inch, four of a millimeter, since what
    /// is rounded adds up from turn to turn.
    #[must_use]
    pub fn lead(&self, lead: FeedPerRev) -> FeedPerRev {
        let lead = Length::nearest_mm(lead.mm()).round_to(self.units, self.lead_decimals());
        FeedPerRev::from_mm(lead.mm())
    }

    const fn lead_decimals(&self) -> usize {
        match self.units {
            Units::Mm => 4,
            Units::Inch => 6,
        }
    }

    /// The lead of a thread, such as `F1.5` or `F0.076923`.
    pub fn lead_word(&self, lead: FeedPerRev) -> String {
        let text = Length::nearest_mm(lead.mm()).text(self.units, self.lead_decimals());
        format!("F{}", text.trim_end_matches('0'))
    }

    /// A length on the radius in whole least increments and without a point, such as `Q350`, as cycles
    /// have it.
    pub fn increments(&self, letter: char, length: Length) -> String {
        format!("{letter}{}", length / self.control.increment(self.units))
    }

    /// A feed per minute, such as `F1500.`.
    pub fn rate_word(&self, rate: FeedRate) -> String {
        self.length('F', Length::nearest_mm(rate.mm_per_min()))
    }

    /// A surface speed, such as `S180`.
    pub fn surface_word(&self, speed: SurfaceSpeed) -> String {
        format!("S{:.0}", speed.m_per_min() / self.surface_unit())
    }

    /// A spindle speed, such as `S2500`.
    pub fn speed_word(&self, speed: SpindleSpeed) -> String {
        format!("S{:.0}", speed.rpm())
    }

    /// A dwell, such as `G4 X1.5`.
    pub fn dwell(&self, time: Seconds) -> String {
        let tenths = (time.s() * 10.0).round().max(0.0) as u64;
        let rest = tenths % 10;
        let tenth = if rest == 0 { String::new() } else { rest.to_string() };
        format!("G4 X{}.{tenth}", tenths / 10)
    }

    /// A G word; empty where the code system has none for this meaning.
    pub fn g(&self, meaning: GCode) -> String {
        let word = Codes::of(self.control).word(meaning);
        word.map(|word| word.to_string()).unwrap_or_default()
    }

    /// The word that selects the program's units.
    pub fn units_word(&self) -> String {
        self.g(match self.units {
            Units::Mm => GCode::Millimeter,
            Units::Inch => GCode::Inch,
        })
    }

    /// The word of a builder-assigned function; none where the control file names none.
    pub fn function(&self, does: Does) -> Option<String> {
        self.control.that(does).map(|function| function.word.to_string())
    }

    /// The call of a station with its offset, such as `T0303`; a control whose T words have no
    /// digits for an offset gets none.
    pub fn tool(&self, station: u32, offset: u32) -> String {
        match self.control.numbers.tool_offset_digits as usize {
            0 => format!("T{station}"),
            digits => format!("T{station:02}{offset:0digits$}"),
        }
    }

    /// A program number, such as `O0802`.
    pub fn program(&self, number: u32) -> String {
        let digits = self.control.writing.program_digits;
        format!("O{number:0digits$}")
    }

    /// The call of a subprogram, run so many times; none where this control's form cannot say it.
    pub fn call(&self, number: u32, repeats: u32) -> Option<String> {
        if repeats == 0 || repeats > 9999 {
            return None;
        }
        match self.control.repeat {
            _ if repeats == 1 => Some(format!("M98 P{number}")),
            RepeatForm::Letter => Some(format!("M98 P{number} L{repeats}")),
            RepeatForm::Packed if number <= 9999 => Some(format!("M98 P{repeats}{number:04}")),
            RepeatForm::Packed => None,
        }
    }
}

/// A place in a program that a jump goes to, by the number it has where blocks are not numbered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Label(pub u32);

/// The blocks that a block names: by P its first, by Q its last, and the words behind them.
#[derive(Debug, Clone)]
struct Named {
    first: Label,
    last: Label,
    behind: String,
}

#[derive(Debug, Clone)]
enum Line {
    /// Stands as it is: `%` and program numbers.
    Bare(String),
    Remark(String),
    Space,
    Block {
        label: Option<Label>,
        words: String,
        jump: Option<Label>,
        names: Option<Named>,
        remark: String,
    },
}

/// A program being written, line by line.
#[derive(Debug, Clone)]
pub struct Listing<'c> {
    /// Writes its words.
    pub writer: Writer<'c>,
    lines: Vec<Line>,
    contours: u32,
}

/// The first label of a contour's blocks.
const CONTOURS: u32 = 201;

impl<'c> Listing<'c> {
    /// An empty program.
    pub const fn new(writer: Writer<'c>) -> Listing<'c> {
        Listing { writer, lines: Vec::new(), contours: 0 }
    }

    /// The sign at start and end of the data.
    pub fn percent(&mut self) {
        self.lines.push(Line::Bare("%".to_owned()));
    }

    /// The program's number and title.
    pub fn program(&mut self, number: u32, title: &str) {
        let comments = self.writer.control.writing.comments;
        let title = if comments { format!(" ({})", plain(title)) } else { String::new() };
        self.lines.push(Line::Bare(self.writer.program(number) + &title));
    }

    /// A remark on a line of its own.
    pub fn remark(&mut self, text: &str) {
        self.lines.push(Line::Remark(plain(text)));
    }

    /// An empty line.
    pub fn space(&mut self) {
        self.lines.push(Line::Space);
    }

    /// A block with a remark, which may be empty. A block without words is left out.
    pub fn block(&mut self, words: impl Into<String>, remark: &str) {
        self.push(None, words.into(), None, remark);
    }

    /// A block that jumps go to.
    pub fn labeled(&mut self, label: Label, words: impl Into<String>, remark: &str) {
        self.push(Some(label), words.into(), None, remark);
    }

    /// A jump; the words before it, such as `IF[#500GE44]`, may be empty.
    pub fn jump(&mut self, words: impl Into<String>, to: Label, remark: &str) {
        self.push(None, words.into(), Some(to), remark);
    }

    /// Labels for the first and the last block of a contour that stands nowhere else in the program.
    pub fn contour_labels(&mut self) -> (Label, Label) {
        let first = CONTOURS + 2 * self.contours;
        self.contours += 1;
        (Label(first), Label(first + 1))
    }

    /// A block that names the first and the last block of a contour between its words.
    pub fn naming(
        &mut self,
        words: impl Into<String>,
        (first, last): (Label, Label),
        behind: impl Into<String>,
        remark: &str,
    ) {
        let names = Some(Named { first, last, behind: behind.into() });
        let (words, remark) = (words.into(), plain(remark));
        self.lines.push(Line::Block { label: None, words, jump: None, names, remark });
    }

    fn push(&mut self, label: Option<Label>, words: String, jump: Option<Label>, remark: &str) {
        if !words.is_empty() || jump.is_some() || label.is_some() {
            let remark = plain(remark);
            self.lines.push(Line::Block { label, words, jump, names: None, remark });
        }
    }

    /// The whole text, lines ended by a line feed.
    pub fn text(&self) -> String {
        let numbers = self.numbers();
        let comments = self.writer.control.writing.comments;
        let mut text = String::new();
        for (line, number) in self.lines.iter().zip(&numbers) {
            match line {
                Line::Bare(words) => text.push_str(words),
                Line::Remark(remark) if comments => text.push_str(&format!("({remark})")),
                Line::Space if comments => {}
                Line::Remark(_) | Line::Space => continue,
                Line::Block { words, jump, names, remark, .. } => {
                    let names = names.as_ref().map(|named| {
                        let [first, last] =
                            [named.first, named.last].map(|it| self.number_of(it, &numbers));
                        format!(" P{first} Q{last}{}", named.behind)
                    });
                    let jump = jump.map(|label| format!("GOTO{}", self.number_of(label, &numbers)));
                    let number = number.map(|number| format!("N{number} ")).unwrap_or_default();
                    let block =
                        number + words + &jump.unwrap_or_default() + &names.unwrap_or_default();
                    let block = block.trim_end();
                    if comments && !remark.is_empty() {
                        text.push_str(&format!("{block:REMARK_COLUMN$} ({remark})"));
                    } else {
                        text.push_str(block);
                    }
                }
            }
            text.push('\n');
        }
        text
    }

    /// The block number of each line, where it has one.
    fn numbers(&self) -> Vec<Option<u32>> {
        let blocks = self.lines.iter().filter(|line| matches!(line, Line::Block { .. })).count();
        let step = self.writer.control.writing.number_step.map(|step| {
            let most = LARGEST_NUMBER / blocks.max(1);
            step.min(most.max(1) as u32)
        });
        let mut last = 0;
        let number = |line: &Line| match (line, step) {
            (Line::Block { .. }, Some(step)) => {
                last += step;
                Some(last)
            }
            (Line::Block { label, .. }, None) => label.map(|label| label.0),
            _ => None,
        };
        self.lines.iter().map(number).collect()
    }

    fn number_of(&self, wanted: Label, numbers: &[Option<u32>]) -> u32 {
        let labeled = |line: &Line| matches!(line, Line::Block { label: Some(label), .. } if *label == wanted);
        let place = self.lines.iter().position(labeled);
        place.and_then(|place| numbers.get(place).copied().flatten()).unwrap_or(wanted.0)
    }
}

/// A remark as every control shows it: capitals, no brackets, no character outside ASCII.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len());
    for character in text.chars() {
        match character {
            '(' => plain.push('['),
            ')' => plain.push(']'),
            '–' | '—' | '−' => plain.push('-'),
            '×' => plain.push('X'),
            '°' => plain.push_str(" DEG"),
            ' '..='~' => plain.push(character.to_ascii_uppercase()),
            _ => plain.push('?'),
        }
    }
    plain
}

#[cfg(test)]
#[allow(clippy::float_cmp, reason = "what is rounded to whole steps is compared exactly")]
mod tests {
    use super::*;
    use model::Source;
    use model::files::control::Code;

    fn control(repeat: &str, step: &str, digits: u32) -> Control {
        let text = format!(
            "units = \"mm\"\nname = \"test\"\ncode_system = \"A\"\nrepeat_form = \"{repeat}\"\n\
             [numbers]\nwithout_point = \"least-increment\"\n\
             [writing]\nsafe_start = [\"G40\"]\nprogram_digits = {digits}\n{step}\n[variables]\n[reset]\n\
             [read_ahead]\nmost_blocks = 2\nstoppers = []\n\
             [[function]]\ndoes = \"chuck-open\"\nword = \"M11\"\n"
        );
        let read = Control::read(&Source::new("control.toml", text));
        assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
        read.value.unwrap()
    }

    #[test]
    fn lengths_keep_their_point_and_lose_their_noughts() {
        let control = control("L", "", 4);
        let mm = Writer::new(&control, Units::Mm);
        let inch = Writer::new(&control, Units::Inch);
        assert_eq!(mm.length('X', Length::from_mm(22)), "X22.");
        assert_eq!(mm.length('X', Length::from_um(-800)), "X-0.8");
        assert_eq!(mm.length('Z', Length::from_nm(-499)), "Z0.");
        assert_eq!(inch.length('W', Length::from_nm(27_178_000)), "W1.07");
        assert_eq!(inch.feed_word(inch.feed(FeedPerRev::from_mm(0.15))), "F0.0059");
        assert_eq!(mm.feed_word(mm.feed(FeedPerRev::from_mm(0.000_1))), "F0.001");
    }

    #[test]
    fn what_must_not_be_passed_is_rounded_to_the_safe_side() {
        let control = control("L", "", 4);
        let mm = Writer::new(&control, Units::Mm);
        let inch = Writer::new(&control, Units::Inch);
        assert_eq!(mm.rate_at_most(FeedRate::from_mm_per_min(1500.9)).mm_per_min(), 1500.0);
        // 1500 mm/min are 59.055 in/min.
        assert_eq!(inch.rate_word(inch.rate_at_most(FeedRate::from_mm_per_min(1500.0))), "F59.");
        assert_eq!(mm.speed_word(mm.speed_at_most(SpindleSpeed::from_rpm(2500.7))), "S2500");
        assert_eq!(mm.dwell(mm.dwell_at_least(Seconds::from_s(1.21))), "G4 X1.3");
        assert_eq!(mm.dwell(mm.dwell_at_least(Seconds::from_s(1.0))), "G4 X1.");
    }

    #[test]
    fn calls_take_the_form_of_the_control() {
        let (letter, packed) = (control("L", "", 4), control("packed", "", 5));
        let letter = Writer::new(&letter, Units::Mm);
        let packed = Writer::new(&packed, Units::Mm);
        assert_eq!(letter.call(1002, 5).unwrap(), "M98 P1002 L5");
        assert_eq!(packed.call(1002, 5).unwrap(), "M98 P51002");
        assert_eq!(packed.call(802, 12).unwrap(), "M98 P120802");
        assert_eq!(packed.call(1002, 1).unwrap(), "M98 P1002");
        assert_eq!(packed.call(10_002, 5), None);
        assert_eq!(letter.call(1002, 0), None);
        assert_eq!(letter.program(802), "O0802");
        assert_eq!(packed.program(802), "O00802");
    }

    #[test]
    fn jumps_find_their_block_numbered_or_not() {
        let listed = |control: &Control| {
            let mut listing = Listing::new(Writer::new(control, Units::Mm));
            listing.percent();
            listing.program(7, "Pin (short)");
            listing.labeled(Label(10), "T0101", "turn");
            listing.jump("IF[#500GE4]", Label(800), "");
            listing.jump("", Label(10), "");
            listing.labeled(Label(800), "M30", "");
            listing.percent();
            listing.text()
        };
        let plain = listed(&control("L", "", 4));
        let lines: Vec<_> = plain.lines().collect();
        assert_eq!(lines[1], "O0007 (PIN [SHORT])");
        assert_eq!(lines[2], "N10 T0101                      (TURN)");
        assert_eq!(&lines[3..6], ["IF[#500GE4]GOTO800", "GOTO10", "N800 M30"]);
        let numbered = listed(&control("L", "number_step = 5", 4));
        let lines: Vec<_> = numbered.lines().collect();
        assert_eq!(&lines[3..6], ["N10 IF[#500GE4]GOTO20", "N15 GOTO5", "N20 M30"]);
    }

    #[test]
    fn a_function_has_the_word_of_the_control_file() {
        let control = control("L", "", 4);
        assert_eq!(control.that(Does::ChuckOpen).unwrap().word, Code::new('M', 11));
        let writer = Writer::new(&control, Units::Mm);
        assert_eq!(writer.function(Does::ChuckOpen).as_deref(), Some("M11"));
        assert_eq!(writer.function(Does::CatcherOut), None);
        assert_eq!(writer.g(GCode::FeedPerMinute), "G98");
        assert_eq!(writer.g(GCode::Absolute), "");
    }
}
