//! What holds for every text, sound or broken. The fuzz targets hold readers to the same.

use model::files::Control;
use model::files::control::Semicolon;
use model::{Source, Span};
use nc::expression::{Variables, evaluate, variables_read};
use nc::program::Library;
use nc::read::{read, read_for};
use nc::tree::{ExpressionId, ExpressionKind, Tree};
use std::sync::LazyLock;

/// A control that ends blocks at a semicolon.
static BLOCK_ENDS: LazyLock<Control> = LazyLock::new(|| {
    let text = include_str!("../../../../data/controls/system-a-least-increment.toml");
    let read = Control::read(&Source::new("control.toml", text));
    Control { semicolon: Some(Semicolon::BlockEnd), ..read.value.unwrap() }
});

/// The text as read with semicolons that start comments, and with those that end blocks.
pub(crate) fn both_ways(bytes: &[u8]) -> [Tree; 2] {
    let source = Source::new("test.nc", bytes);
    [read(&source), read_for(&source, &BLOCK_ENDS)]
}

/// All that holds for every text, whatever its semicolons are.
pub(crate) fn check(bytes: &[u8]) {
    for tree in both_ways(bytes) {
        assert_eq!(tree.print(), bytes);
        assert_eq!(uncovered(&tree), None);
        assert_eq!(misplaced(&tree), None);
        evaluate_all(&tree);
        let library = Library::new(vec![tree]);
        let blocks = library.trees()[0].blocks.len();
        for program in library.programs() {
            assert!(program.blocks.start <= program.blocks.end && program.blocks.end <= blocks);
        }
    }
}

/// What is printed is the text, and reads as the same tree.
pub(crate) fn print_and_read(bytes: &[u8]) {
    let trees = both_ways(bytes);
    let printed = trees[0].print();
    assert_eq!(printed, bytes);
    for (tree, again) in trees.iter().zip(both_ways(&printed)) {
        assert_eq!(tree.print(), printed);
        assert_eq!(tree.blocks, again.blocks);
        assert_eq!(tree.items, again.items);
        assert_eq!(tree.expressions, again.expressions);
        assert_eq!(tree.troubles, again.troubles);
    }
}

/// Variables with every kind of value, null and those that are no number among them.
pub(crate) struct Anything;

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
