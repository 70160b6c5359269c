//! Texts that are larger or stranger than any program: each is read to its end on a small stack,
//! in time in proportion to its length, and is given back byte for byte.

use model::Source;
use nc::expression::evaluate;
use nc::read::read;
use nc::tree::{ItemKind, Tree, TroubleKind};
use std::thread;

/// A quarter of a megabyte, an eighth of what threads have else.
const SMALL_STACK: usize = 256 * 1024;
const MILLION: usize = 1_000_000;

/// Reads a text on a small stack, prints it and looks whether it came back; looks at the tree.
fn on_a_small_stack(text: Vec<u8>, look: impl FnOnce(&Tree) + Send + 'static) {
    let reading = move || {
        let tree = read(&Source::new("large.nc", text));
        assert!(tree.print() == tree.source.bytes(), "print gives another text");
        look(&tree);
    };
    let thread = thread::Builder::new().stack_size(SMALL_STACK).spawn(reading).unwrap();
    assert!(thread.join().is_ok());
}

fn kinds(tree: &Tree) -> Vec<TroubleKind> {
    tree.troubles.iter().map(|trouble| trouble.kind).collect()
}

/// Six million blocks.
#[test]
fn a_hundred_megabytes() {
    let line = "N20 G1 X12.345 Z-3.2\n";
    let lines = 100_000_000 / line.len();
    let mut text = line.repeat(lines).into_bytes();
    text.extend_from_slice(b"X1. (to size");
    on_a_small_stack(text, move |tree| {
        assert_eq!((tree.blocks.len(), tree.items.len()), (lines + 1, lines * 3 + 2));
        assert_eq!(kinds(tree), [TroubleKind::OpenComment]);
        assert_eq!(tree.source.lines() as usize, lines + 1);
    });
}

#[test]
fn a_million_of_the_same() {
    for (piece, expected) in [
        ("[", TroubleKind::StrayCharacter),
        ("(", TroubleKind::OpenComment),
        ("-", TroubleKind::StrayCharacter),
        ("#", TroubleKind::TooDeep),
        ("X[", TroubleKind::BadExpression),
        ("X-", TroubleKind::BadNumber),
        ("SIN[", TroubleKind::UnknownName),
        // Letters in a term are a name that nobody knows.
        ("G1X[1+", TroubleKind::UnknownName),
        ("IF[", TroubleKind::UnknownName),
    ] {
        let text = piece.repeat(MILLION);
        on_a_small_stack(text.into_bytes(), move |tree| {
            assert_eq!(tree.blocks.len(), 1, "{piece}");
            assert!(kinds(tree).contains(&expected), "{piece}: {:?}", tree.troubles.first());
        });
    }
}

#[test]
fn a_million_terms_in_each_other() {
    for piece in ["[", "#", "SIN[", "-[", "POW[1,", "ATAN[1]/["] {
        let text = format!("X{}\nM30", piece.repeat(MILLION));
        on_a_small_stack(text.into_bytes(), move |tree| {
            assert_eq!(tree.blocks.len(), 2, "{piece}");
            assert!(kinds(tree).contains(&TroubleKind::TooDeep), "{piece}: {:?}", kinds(tree));
        });
    }
}

#[test]
fn a_million_brackets_that_are_closed_again() {
    let text = format!("X1.\n#1={}7{}\nM30", "[".repeat(MILLION), "]".repeat(MILLION));
    on_a_small_stack(text.into_bytes(), |tree| {
        assert_eq!(tree.blocks.len(), 3);
        assert_eq!(kinds(tree), [TroubleKind::TooDeep]);
    });
}

/// The largest term that is read, as deep as both of its limits let it be, has a value.
#[test]
fn the_deepest_term_is_worked_out() {
    let text = format!("#1={}7{}{}", "-[1+".repeat(60), "+1".repeat(440), "]".repeat(60));
    on_a_small_stack(text.into_bytes(), |tree| {
        assert!(tree.troubles.is_empty(), "{:?}", tree.troubles);
        let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("no assignment") };
        // Each of the 60 brackets turns the sign of one more than what it holds: the innermost
        // holds 1 + 7 + 440, and each two further outward leave the sum as it is.
        assert_eq!(evaluate(tree, value, &crate::holds::Anything), Ok(Some(447.0)));
    });
}

#[test]
fn one_line_of_twenty_megabytes() {
    let words = 20_000_000 / 5;
    on_a_small_stack(b"X1.25".repeat(words), move |tree| {
        assert_eq!((tree.blocks.len(), tree.items.len()), (1, words));
        assert!(tree.troubles.is_empty());
    });
}

/// Leader of punched tape, and deleted characters in the middle of words.
#[test]
fn blanks_of_punched_tape() {
    let mut text = vec![0; MILLION];
    text.extend_from_slice(b"G\x7F1 X1\x7F\x7F2\0.\x005");
    text.resize(text.len() + MILLION, 0x7F);
    on_a_small_stack(text, |tree| {
        assert_eq!((tree.blocks.len(), tree.items.len()), (1, 2));
        assert!(tree.troubles.is_empty());
        let ItemKind::Word(word) = tree.items[1].kind else { panic!("no word") };
        assert_eq!(
            format!("{:?}", word.value),
            "Number(Number { digits: 125, decimals: 1, point: true })"
        );
    });
}

#[test]
fn lines_that_end_in_cr_alone() {
    on_a_small_stack(b"\xEF\xBB\xBFG0 X1.\rM30\r\r".repeat(MILLION / 10), |tree| {
        assert_eq!(tree.blocks.len(), 2 * MILLION / 10);
        assert_eq!(tree.source.lines() as usize, 3 * MILLION / 10 + 1);
        // Only the first byte mark stands where one may stand.
        assert_eq!(tree.troubles.len(), MILLION / 10 - 1);
    });
}

#[test]
fn bytes_that_are_no_text() {
    let bytes: Vec<u8> = (0..MILLION).map(|place| (place * 7919 % 256) as u8 | 0x80).collect();
    on_a_small_stack(bytes, |tree| {
        assert_eq!(kinds(tree), [TroubleKind::StrayCharacter]);
    });
    on_a_small_stack(b"(\xFC\xFF) G1 X\xB51.\n".repeat(MILLION / 10), |tree| {
        assert_eq!(tree.blocks.len(), MILLION / 10);
        assert_eq!(tree.troubles.len(), MILLION / 10);
    });
}

/// Texts of the fuzz campaigns, in hexadecimal; `docs/campaigns/fuzz.md` tells of them.
#[test]
fn cases_of_the_fuzz_campaigns_hold() {
    let files = [include_str!("../holds/cases.txt"), include_str!("../holds/faults.txt")];
    let cases = files.iter().flat_map(|file| file.lines().filter(|line| !line.starts_with('#')));
    assert!(cases.clone().count() > 200, "the cases are not there");
    for case in cases {
        let digit = |place: usize| u8::from_str_radix(&case[place..place + 2], 16).unwrap();
        let bytes: Vec<u8> = (0..case.len()).step_by(2).map(digit).collect();
        crate::holds::check(&bytes);
        crate::holds::print_and_read(&bytes);
    }
}
