//! What holds for every text, sound or broken.

use crate::holds::Anything;
use model::Source;
use nc::expression::evaluate;
use nc::read::read;
use nc::tree::{ItemKind, Number, Tree, Value};
use proptest::prelude::*;

fn tree(text: impl Into<Vec<u8>>) -> Tree {
    read(&Source::new("test.nc", text))
}

/// Pieces of programs, sound and broken.
fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        "[A-Za-z] ?[-+]?[0-9O]{0,4}\\.?[0-9O]{0,4}",
        "[#\\[\\]=+*/.,;:%()<>-]{1,4}",
        "#[0-9]{1,3} ?= ?[-+]?[0-9]{0,3}",
        "(IF|WHILE|GOTO|THEN|DO|END|DPRNT|POPEN|O|N|/)[0-9]{0,4}",
        "\\[#[0-9]{1,2}(EQ|NE|GT|GE|LT|LE|AND|OR|XOR|MOD|\\*\\*)[0-9]{1,2}\\]",
        "(SIN|ATAN|POW|ABS|FOO)\\[",
        "(\r\n|\n|\r|\t| |\u{7f}|\0|ü)",
    ]
}

/// Blocks as they stand in sound programs.
fn sound_block() -> impl Strategy<Value = String> {
    prop_oneof![
        "(/[1-9]?)?(N[1-9][0-9]{0,4} ?)?G[0-3] ?X-?[0-9]{1,3}\\.[0-9]{0,3} ?Z-?[0-9]{0,3}\\.[0-9]{1,3}",
        "N?[1-9][0-9]{0,3}".prop_map(|number| format!("M98 P{}", number.trim_start_matches('N'))),
        "#[1-9][0-9]{0,2} ?= ?-?#\\[#[1-9] ?[+*/-] ?[0-9]{1,3}\\.?\\]",
        "(IF|if) ?\\[#[1-9] ?(EQ|ne|GT|ge|LT|LE|<>|<=) ?[0-9]{1,3}\\] ?(GOTO ?[0-9]{1,4}|THEN #[1-9]=#0)",
        "WHILE ?\\[\\[#1 ?LT ?5\\] ?(AND|OR|XOR) ?\\[#2 ?NE ?#0\\]\\] ?DO ?[1-3]",
        "END ?[1-3]",
        "\\([^()\r\n]{0,20}\\)",
        "X-?#[1-9] Z\\[#[1-9]\\+2\\.\\] F(#9|SQRT\\[2\\]|ATAN\\[1\\]/\\[2\\])",
        "G1 Z-[0-9]{1,2}\\. ?, ?[RCA][0-9]\\.[0-9]",
        "",
    ]
}

/// A term with all its brackets, and its value as worked out here.
fn term() -> impl Strategy<Value = (String, f64)> {
    let number = (-9_999_i32..10_000).prop_map(|thousandths| {
        let value = f64::from(thousandths) / 1000.0;
        (format!("{value:.3}"), value)
    });
    number.prop_recursive(6, 40, 2, |inner| {
        (inner.clone(), inner, 0..6_u8).prop_map(|((one, x), (other, y), way)| match way {
            0 => (format!("[{one}+{other}]"), x + y),
            1 => (format!("[{one} - {other}]"), x - y),
            2 => (format!("[{one}*{other}]"), x * y),
            3 => (format!("ABS[{one}]"), x.abs()),
            4 => (format!("-[{one}]"), -x),
            _ => (format!("[{one}GT{other}]"), f64::from(u8::from(x > y))),
        })
    })
}

proptest! {
    #[test]
    fn any_bytes_are_read_and_given_back(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        crate::holds::check(&bytes);
        crate::holds::print_and_read(&bytes);
    }

    #[test]
    fn any_program_is_read_and_given_back(pieces in prop::collection::vec(piece(), 0..60)) {
        crate::holds::check(pieces.concat().as_bytes());
    }

    #[test]
    fn sound_programs_have_no_troubles(
        blocks in prop::collection::vec(sound_block(), 0..30),
        line_end in prop::sample::select(vec!["\n", "\r\n", "\r"]),
    ) {
        let text = format!("%{line_end}O1{line_end}{}{line_end}%", blocks.join(line_end));
        crate::holds::check(text.as_bytes());
        let tree = tree(text.as_bytes());
        prop_assert!(tree.troubles.is_empty(), "{:?}", tree.troubles);
        let written = blocks.iter().filter(|block| !block.is_empty()).count();
        prop_assert_eq!(tree.blocks.len(), written + 3);
    }

    /// Blanks inside numbers mean nothing, and numbers with blanks are read digit by digit.
    #[test]
    fn numbers_are_the_same_with_blanks_inside(
        words in prop::collection::vec("[A-MP-Z][-+]?[0-9]{0,9}\\.?[0-9]{0,9}", 1..8),
        between in prop::sample::select(vec!["", " "]),
    ) {
        let kinds = |text: String| -> Vec<ItemKind> {
            tree(text).items.iter().map(|item| item.kind).collect()
        };
        let apart = words.iter().map(|word| word.split("").collect::<Vec<_>>().join(" "));
        prop_assert_eq!(kinds(words.join(between)), kinds(apart.collect::<Vec<_>>().join(between)));
    }

    #[test]
    fn terms_have_the_value_of_their_parts((text, expected) in term()) {
        let tree = tree(format!("#1={text}"));
        prop_assert!(tree.troubles.is_empty(), "{:?}", tree.troubles);
        let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("no assignment") };
        prop_assert_eq!(evaluate(&tree, value, &Anything), Ok(Some(expected)));
    }

    /// Blanks mean nothing, and small letters stand for large ones.
    #[test]
    fn blanks_and_small_letters_change_nothing(blocks in prop::collection::vec(sound_block(), 1..9)) {
        let text = blocks.join("\n");
        let plain = text.replace(' ', "").to_uppercase();
        let spread: String = plain.chars().flat_map(|letter| [letter, ' ']).collect();
        let (plain, spread) = (tree(plain), tree(spread.to_lowercase()));
        let kinds = |tree: &Tree| tree.items.iter().map(|item| item.kind).collect::<Vec<_>>();
        prop_assert_eq!(kinds(&plain), kinds(&spread));
        let numbers = |tree: &Tree| {
            let of = |block: &nc::tree::Block| (block.skip, block.number.map(|(number, _)| number));
            tree.blocks.iter().map(of).collect::<Vec<_>>()
        };
        prop_assert_eq!(numbers(&plain), numbers(&spread));
    }

    #[test]
    fn numbers_are_read_exactly(digits in -99_999_999_i64..100_000_000, decimals in 1_u8..=8) {
        let sign = if digits < 0 { "-" } else { "" };
        let shown = format!("{:09}", digits.abs());
        let (whole, fraction) = shown.split_at(9 - usize::from(decimals));
        let tree = tree(format!("X{sign}{whole}.{fraction}"));
        let ItemKind::Word(word) = tree.items[0].kind else { panic!("no word") };
        prop_assert_eq!(word.value, Value::Number(Number { digits, decimals, point: true }));
    }
}
