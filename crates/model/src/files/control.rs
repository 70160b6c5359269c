//! The control file: the words, numbers, variables and reading habits of one control.
//! A builder's codes are data here, never code.

mod code;
mod cycles;
mod function;
mod numbers;
mod read_ahead;
mod terms;
mod variables;
mod writing;

pub use code::Code;
pub use cycles::{Cycles, LevelsFrom, OutsideCorner};
pub use function::{Does, Function};
pub use numbers::{DwellCounts, Numbers, PowerOn, WithoutPoint};
pub use read_ahead::ReadAhead;
pub use terms::{
    AndPlace, AsinRange, AtanRange, JumpSearch, Logic, MixedBlock, NullInOrder, Rounding, Terms,
};
pub use variables::{Counter, Variables};
pub use writing::{HolesAs, TapsAs, ThreadsAs, TurningAs, Writing};

use super::Read;
use super::keys::{self, Choice as _, Keys, Origin};
use crate::choices;
use crate::source::Source;
use crate::{Diagnostic, Length, Units};

choices! {
    /// Which of the three G-code systems of two-axis lathes a control speaks.
    CodeSystem {
        A = "A": "U and W are increments, G98/G99 are feed per minute/revolution, G50 clamps the speed",
        B = "B": "G90/G91 choose absolute or increments, G94/G95 the feed, G92 clamps the speed",
        C = "C": "as B, with G70/G71 for inch and metric",
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
    let call_here = code::one(
        keys,
        "call_here",
        "word that calls a stretch of the same program by its block number, such as \"M97\"",
    );
    let cycles = keys
        .optional_table("cycles", "how cycles are run", cycles::keys)
        .unwrap_or(Cycles::usual());
    let drilling =
        keys.choice("drilling", "which family of drilling cycles it has").or(Drilling::Lathe);
    let semicolon = keys.choice("semicolon", "what a semicolon in a program is").optional();
    let numbers = keys.table("numbers", "how numbers are read", numbers::keys);
    let writing = keys.table("writing", "how programs are written", writing::keys);
    let variables = keys.table("variables", "the control's variables", variables::keys);
    let terms = keys
        .optional_table("terms", "how terms in brackets are worked out", terms::keys)
        .unwrap_or_default();
    let counter =
        keys.optional_table("counter", "the control's own part counter", variables::counter);
    let read_ahead =
        keys.table("read_ahead", "how far the control reads ahead of the motion", read_ahead::keys);
    let reset = keys.table("reset", "what a reset does", |keys| Reset {
        to_top: keys.flag("to_top", "whether a reset takes the program back to its top").or(true),
    });
    let functions = function::keys(keys);
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

impl CodeSystem {
    /// Its letter.
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
