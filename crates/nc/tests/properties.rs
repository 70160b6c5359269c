//! What holds for every text, sound or broken.

use model::files::Control;
use model::files::control::Semicolon;
use model::{Source, Span};
use nc::expression::{Variables, evaluate, variables_read};
use nc::program::Library;
use nc::read::{read, read_for};
use nc::tree::{ExpressionId, ExpressionKind, ItemKind, Number, Tree, Value};
use proptest::prelude::*;
use std::sync::LazyLock;

/// A control that ends blocks at a semicolon.
static BLOCK_ENDS: LazyLock<Control> = LazyLock::new(|| {
    let text = include_str!("../../../data/controls/system-a-least-increment.toml");
    let read = Control::read(&Source::new("control.toml", text));
    Control { semicolon: Some(Semicolon::BlockEnd), ..read.value.unwrap() }
});

fn tree(text: impl Into<Vec<u8>>) -> Tree {
    read(&Source::new("test.nc", text))
}

/// Variables with every kind of value, null and those that are no number among them.
struct Anything;

impl Variables for Anything {
    fn get(&self, number: u32) -> Option<f64> {
        let values = [0.0, -0.0, 1.0, -2.5, 1e300, -1e300, 5e-324, f64::INFINITY, f64::NAN];
        values.get(number as usize % 10).copied()
    }
}

/// Every byte that is not white space lies in exactly one stretch: sign, number or item.
fn uncovered(tree: &Tree) -> Option<Span> {
    let bytes = tree.source.bytes();
    let is_blank = |byte| matches!(byte, b' ' | b'\t' | b'\r' | b'\n' | 0 | 0x7F);
    let blank = |span: Span| bytes[span.range()].iter().all(|byte| is_blank(*byte));
    let mut end = if bytes.starts_with(&[0xEF, 0xBB, 0xBF]) { 3 } else { 0 };
    for block in &tree.blocks {
        let mut stretches: Vec<Span> = tree.stretches(block).collect();
        stretches.push(Span::new(block.span.end as usize, block.span.end as usize));
        // The skip sign has no stretch of its own: it is all that stands before or right behind
        // the number.
        let mut sign = block.skip.map(|level| level + b'0');
        for stretch in stretches {
            if (stretch.start as usize) < end {
                return Some(stretch);
            }
            let gap = Span::new(end, stretch.start as usize);
            let left: Vec<u8> =
                bytes[gap.range()].iter().copied().filter(|byte| !is_blank(*byte)).collect();
            let is_sign = sign.is_some_and(|level| left == b"/" || left == [b'/', level]);
            if is_sign {
                sign = None;
            } else if !blank(gap) {
                return Some(gap);
            }
            end = stretch.end as usize;
        }
        if sign.is_some() {
            return Some(block.span);
        }
    }
    let rest = Span::new(end, bytes.len());
    (!blank(rest)).then_some(rest)
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

/// Works out every term of a text, whether a statement leads to it or not. Only a variable itself
/// may hold what is no finite number.
fn evaluate_all(tree: &Tree) {
    for index in 0..=tree.expressions.len() as u32 {
        let id = ExpressionId(index);
        let is_variable = matches!(tree.expression(id).kind, ExpressionKind::Variable(_));
        if let Ok(Some(value)) = evaluate(tree, id, &Anything) {
            assert!(value.is_finite() || is_variable, "{:?}", tree.expression(id));
        }
        assert!(variables_read(tree, id).iter().all(|number| *number < 1_000_000));
    }
}

/// Blocks stand in the order of the text, share no item and leave none out; items and troubles
/// lie in the text, the former inside their block and without overlap.
fn misplaced(tree: &Tree) -> Option<Span> {
    let (mut item, mut end) = (0, 0);
    for block in &tree.blocks {
        if block.first as usize != item
            || block.span.start < end
            || block.span.end < block.span.start
        {
            return Some(block.span);
        }
        end = block.span.start;
        for stretch in tree.stretches(block) {
            if stretch.start < end || stretch.end <= stretch.start || stretch.end > block.span.end {
                return Some(stretch);
            }
            end = stretch.end;
        }
        item += block.count as usize;
        end = block.span.end;
    }
    let length = tree.source.bytes().len() as u32;
    let outside = |span: &Span| span.start >= span.end || span.end > length;
    let trouble = tree.troubles.iter().map(|trouble| trouble.span).find(outside);
    let unordered = !tree.troubles.is_sorted_by_key(|trouble| trouble.span);
    let left_over = (item != tree.items.len() || end > length || unordered).then(Span::default);
    trouble.or(left_over)
}

/// All that holds for every text, whatever its semicolons are.
fn holds(bytes: &[u8]) -> Result<(), TestCaseError> {
    let source = Source::new("test.nc", bytes);
    holds_for(read(&source))?;
    holds_for(read_for(&source, &BLOCK_ENDS))
}

fn holds_for(tree: Tree) -> Result<(), TestCaseError> {
    let bytes = tree.source.bytes();
    prop_assert_eq!(tree.print(), bytes);
    prop_assert_eq!(uncovered(&tree), None);
    prop_assert_eq!(misplaced(&tree), None);
    evaluate_all(&tree);
    let library = Library::new(vec![tree]);
    let blocks = library.trees()[0].blocks.len();
    for program in library.programs() {
        prop_assert!(program.blocks.start <= program.blocks.end && program.blocks.end <= blocks);
    }
    Ok(())
}

proptest! {
    #[test]
    fn any_bytes_are_read_and_given_back(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        holds(&bytes)?;
    }

    #[test]
    fn any_program_is_read_and_given_back(pieces in prop::collection::vec(piece(), 0..60)) {
        holds(pieces.concat().as_bytes())?;
    }

    #[test]
    fn sound_programs_have_no_troubles(
        blocks in prop::collection::vec(sound_block(), 0..30),
        line_end in prop::sample::select(vec!["\n", "\r\n", "\r"]),
    ) {
        let text = format!("%{line_end}O1{line_end}{}{line_end}%", blocks.join(line_end));
        holds(text.as_bytes())?;
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
