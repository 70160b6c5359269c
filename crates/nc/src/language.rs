//! The words of the language besides the G words: letters, words behind a comma, the language's
//! own M words, statements, operators, functions, the letters of a macro call and the variables.
//! Reader, suggestions and `docs/language.md` use these rows.
//!
//! Source: ISO 6983-1 for letters, M0 to M2, M30 (from memory); NISTIR 6556 §3.3.2 for operators
//! and functions; common practice of the trade for the rest.

mod terms;

use crate::codes::Extent;
use Extent::{Followed, ReadOnly};
use model::files::control::Code;
pub use terms::{FUNCTIONS, FunctionRow, NAMES, OperatorRow, PAIRS, Pair, PairRow, SIGNS};

/// A letter, and what its word means on a two-axis lathe.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Address {
    /// A capital letter.
    pub letter: u8,
    /// What it means in every system.
    pub means: &'static str,
    /// What differs between systems or controls; empty where nothing does.
    pub differs: &'static str,
    /// Whether controls want a whole number, written without a point.
    pub whole: bool,
    /// How far the prover follows it.
    pub extent: Extent,
}

const OTHER_AXES: &str =
    "words of axes other than X and Z; C without a comma is a chamfer on some controls";

const fn address(letter: u8, means: &'static str, differs: &'static str) -> Address {
    Address { letter, means, differs, whole: false, extent: Followed }
}

const fn whole(letter: u8, means: &'static str, differs: &'static str) -> Address {
    Address { whole: true, ..address(letter, means, differs) }
}

const fn other_axis(letter: u8, means: &'static str, differs: &'static str) -> Address {
    Address { extent: ReadOnly(OTHER_AXES), ..address(letter, means, differs) }
}

/// Every letter, in the order of the alphabet.
pub const ADDRESSES: [Address; 26] = [
    address(b'A', "Angle of a line, from +Z toward +X.", "An axis of rotation on some lathes."),
    other_axis(b'B', "Another axis.", ""),
    other_axis(b'C', "The spindle as an axis.", "A chamfer on controls without such an axis."),
    address(b'D', "First depth of a cycle written in one block.", "An offset number on mills."),
    Address {
        extent: ReadOnly("what E means"),
        ..address(b'E', "Lead of a thread, where F is not fine enough.", "Not on every control.")
    },
    address(
        b'F',
        "Feed, or lead of a thread.",
        "Per minute or per revolution: see the feed words.",
    ),
    whole(b'G', "What the block does.", "The code systems differ."),
    other_axis(b'H', "Increment of the spindle as an axis.", "An offset number on mills."),
    address(b'I', "From an arc's start to its center in X, as a radius; chamfer; relief.", ""),
    address(b'J', "An argument of a macro call.", "The center of an arc in Y on mills."),
    address(b'K', "From an arc's start to its center in Z; chamfer; relief; repeats.", ""),
    whole(
        b'L',
        "Repeats of a call; kind of data for G10.",
        "Not on controls that pack repeats into P.",
    ),
    whole(
        b'M',
        "A function of the machine or of the program's flow.",
        "The builder's: see the control file.",
    ),
    whole(b'N', "Number of the block.", ""),
    whole(b'O', "Number of the program.", "A colon on some controls."),
    address(
        b'P',
        "Program called, first block of a contour, dwell, or depth in a cycle.",
        "Without a point where it names a program or a block, or in a cycle of one block.",
    ),
    address(
        b'Q',
        "Last block of a contour, peck, or start angle of a thread.",
        "Without a point in a contour or a cycle of one block.",
    ),
    address(b'R', "Radius of an arc; corner; taper; clearance of a cycle.", ""),
    whole(
        b'S',
        "Spindle speed, surface speed, or the clamp of the speed.",
        "See G96, G97 and the clamp.",
    ),
    whole(b'T', "Turret station and offset.", "How its digits divide: see the control's manual."),
    address(
        b'U',
        "Increment of X, as a diameter; dwell in seconds; allowance of a cycle.",
        "In systems B and C G91 makes X an increment too.",
    ),
    other_axis(b'V', "Increment of Y.", ""),
    address(
        b'W',
        "Increment of Z; allowance of a cycle.",
        "In systems B and C G91 makes Z an increment too.",
    ),
    address(
        b'X',
        "Place across the spindle, as a diameter; dwell in seconds.",
        "A radius on some controls.",
    ),
    other_axis(b'Y', "Another axis, across X and Z.", ""),
    address(b'Z', "Place along the spindle, positive away from the chuck.", ""),
];

/// The row of a letter; none for another byte.
pub fn address_of(letter: u8) -> Option<&'static Address> {
    static ROWS: [Address; 26] = ADDRESSES;
    ROWS.get(usize::from(letter.checked_sub(b'A')?))
}

/// Letters that have a meaning behind a comma.
pub const COMMA_WORDS: [(u8, &str); 3] = [
    (b'A', "Angle of the line, from +Z toward +X."),
    (b'C', "Chamfer: both lines end this far before their corner."),
    (b'R', "Radius of an arc that touches both lines in place of their corner."),
];

/// An M word that is the language's own on every control, unless its file gives it another work.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OwnM {
    /// The word.
    pub code: Code,
    /// What it does.
    pub does: &'static str,
    /// How far the prover follows it.
    pub extent: Extent,
}

const fn own(number: u32, extent: Extent, does: &'static str) -> OwnM {
    OwnM { code: Code::new('M', number), does, extent }
}

/// The language's own M words.
pub const OWN_M: [OwnM; 7] = [
    own(0, Followed, "Stops until the start button is pressed."),
    own(1, Followed, "Stops as M0 does where the optional stop switch is on."),
    own(2, Followed, "Ends the program."),
    own(30, Followed, "Ends the program and goes back to its start."),
    own(
        97,
        ReadOnly("what M97 does"),
        "Calls the blocks from number P on, up to M99, on some controls.",
    ),
    own(98, Followed, "Calls the program P, once or several times."),
    own(
        99,
        Followed,
        "Ends a called program; in the main program starts it again; with P goes on at that block.",
    ),
];

/// A name that is written out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Statement {
    /// The name.
    pub name: &'static str,
    /// How it is written.
    pub form: &'static str,
    /// What it does.
    pub does: &'static str,
    /// Whether it prints or sends something, so that the rest of its line moves nothing.
    pub output: bool,
}

const fn statement(name: &'static str, form: &'static str, does: &'static str) -> Statement {
    Statement { name, form, does, output: false }
}

const fn output(name: &'static str, form: &'static str, does: &'static str) -> Statement {
    Statement { output: true, ..statement(name, form, does) }
}

/// Every statement.
pub const STATEMENTS: [Statement; 10] = [
    statement("IF", "IF[#1EQ2]GOTO10", "Does what follows where the condition holds."),
    statement("GOTO", "GOTO10", "Goes on at the block with this number."),
    statement("THEN", "IF[#1EQ2]THEN#3=4", "Gives the value where the condition holds."),
    statement(
        "WHILE",
        "WHILE[#1LT5]DO1",
        "Runs the blocks up to END as long as the condition holds.",
    ),
    statement("DO", "DO1", "Starts a loop; 1, 2 or 3 names it."),
    statement("END", "END1", "Ends the loop of this number."),
    output("POPEN", "POPEN", "Opens the output of texts."),
    output("PCLOS", "PCLOS", "Closes the output of texts."),
    output("DPRNT", "DPRNT[X#100[53]]", "Sends a text; nothing moves."),
    output("BPRNT", "BPRNT[X#100[3]]", "Sends numbers in binary; nothing moves."),
];

/// The letters of a macro call whose value goes into a variable of their own, each with its
/// number. I, J and K fill #4 to #6, and #7 to #33 where they come again.
/// Source: common macro practice; A to F, H, I to K, M and Q to Z found in public references.
pub const ARGUMENTS: [(u8, u32); 21] = [
    (b'A', 1),
    (b'B', 2),
    (b'C', 3),
    (b'I', 4),
    (b'J', 5),
    (b'K', 6),
    (b'D', 7),
    (b'E', 8),
    (b'F', 9),
    (b'H', 11),
    (b'M', 13),
    (b'Q', 17),
    (b'R', 18),
    (b'S', 19),
    (b'T', 20),
    (b'U', 21),
    (b'V', 22),
    (b'W', 23),
    (b'X', 24),
    (b'Y', 25),
    (b'Z', 26),
];

/// Kinds of variables: their numbers as usually laid out, and what they hold.
pub const VARIABLES: [(&str, &str); 6] = [
    ("#0", "Always empty; a word with an empty value is as if not written."),
    ("#1 to #33", "Local: a macro call makes a set of its own, which ends with it."),
    (
        "#100 to #199",
        "Shared by all programs, lost when the power goes off; the control file says what a reset does.",
    ),
    ("#500 to #999", "Shared by all programs and kept when the power goes off."),
    (
        "#1000 and up",
        "The control's own: counters, offsets, positions; the control file names those that are followed.",
    ),
    ("#3000, #3006", "Stops with an alarm, or with a message."),
];

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tree::ItemKind;
    use model::Source;

    #[test]
    fn letters_stand_in_the_order_of_the_alphabet() {
        for letter in b'A'..=b'Z' {
            assert_eq!(address_of(letter).unwrap().letter, letter);
        }
        assert_eq!((address_of(b'@'), address_of(b'['), address_of(0)), (None, None, None));
    }

    /// Each statement is read as the statement it is, without trouble.
    #[test]
    fn every_statement_is_read() {
        for row in STATEMENTS {
            let tree = crate::read::read(&Source::new("statement", row.form));
            assert_eq!(tree.troubles, [], "{}", row.form);
            let found = tree.items.iter().any(|item| match item.kind {
                ItemKind::If(_) => row.name == "IF",
                ItemKind::Goto(_) => row.name == "GOTO",
                ItemKind::Then => row.name == "THEN",
                ItemKind::While(_) => row.name == "WHILE",
                ItemKind::Do(_) => row.name == "DO",
                ItemKind::End(_) => row.name == "END",
                ItemKind::Ignored => row.output,
                _ => false,
            });
            assert!(found, "{}", row.form);
        }
    }

    /// Public macro references agree on these (found): the letter's number, and what is left out.
    #[test]
    fn arguments_are_those_of_the_first_type() {
        let numbers: Vec<_> = ARGUMENTS.iter().map(|(_, number)| *number).collect();
        let wanted = [1, 2, 3, 4, 5, 6, 7, 8, 9, 11, 13, 17, 18, 19, 20, 21, 22, 23, 24, 25, 26];
        assert_eq!(numbers, wanted);
        for letter in *b"GLNOP" {
            assert!(ARGUMENTS.iter().all(|(other, _)| *other != letter));
        }
    }
}
