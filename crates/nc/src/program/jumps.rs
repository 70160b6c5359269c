//! Which loops belong together, and which jumps have more than one place to go.

use super::{FlowTroubleKind, Program};
use crate::tree::{ExpressionKind, Item, ItemKind, Tree, Value, Word};
use model::Span;
use std::ops::Range;

/// Blocks in pairs, in the order of the first.
type Pairs = Vec<(u32, u32)>;

/// A `DO` whose `END` has not come yet.
#[derive(Clone, Copy)]
struct Open {
    block: u32,
    span: Span,
}

/// Pairs every `DO` with its `END`: start to end, and end to start.
pub(super) fn loops(
    tree: &Tree,
    blocks: &Range<usize>,
    told: &mut impl FnMut(Span, FlowTroubleKind),
) -> (Pairs, Pairs) {
    let mut open: [Option<Open>; 3] = [None; 3];
    let mut starts = Pairs::new();
    for index in blocks.clone() {
        for item in tree.items_of(&tree.blocks[index]) {
            let (ItemKind::Do(label) | ItemKind::End(label)) = item.kind else { continue };
            let Some(slot) = label.checked_sub(1).filter(|slot| *slot < 3) else {
                told(item.span, FlowTroubleKind::LoopNumber);
                continue;
            };
            let slot = slot as usize;
            if matches!(item.kind, ItemKind::Do(_)) {
                let inner = Open { block: index as u32, span: item.span };
                if open[slot].replace(inner).is_some() {
                    told(item.span, FlowTroubleKind::LoopNumber);
                }
                continue;
            }
            match open[slot].take() {
                None => told(item.span, FlowTroubleKind::EndWithoutDo),
                Some(start) => {
                    if open.iter().flatten().any(|other| other.span.start > start.span.start) {
                        told(item.span, FlowTroubleKind::LoopsCross);
                    }
                    starts.push((index as u32, start.block));
                }
            }
        }
    }
    for left in open.into_iter().flatten() {
        told(left.span, FlowTroubleKind::DoWithoutEnd);
    }
    let mut ends: Pairs = starts.iter().map(|(end, start)| (*start, *end)).collect();
    ends.sort_unstable();
    (ends, starts)
}

/// Tells each block number that a jump names and that stands more than once.
pub(super) fn targets_twice(
    program: &Program,
    tree: &Tree,
    told: &mut impl FnMut(Span, FlowTroubleKind),
) {
    if program.targets.windows(2).all(|pair| pair[0].0 != pair[1].0) {
        return;
    }
    let mut named: Vec<u32> = Vec::new();
    for block in &tree.blocks[program.blocks.clone()] {
        named.extend(tree.items_of(block).iter().filter_map(|item| goto(tree, item)));
        if jumps_by_word(tree.items_of(block)) {
            named.extend(tree.items_of(block).iter().filter_map(block_word));
        }
    }
    named.sort_unstable();
    named.dedup();
    for number in named {
        for (_, block) in program.targets(number).iter().skip(1) {
            if let Some((_, span)) = tree.blocks[*block as usize].number {
                told(span, FlowTroubleKind::TargetTwice);
            }
        }
    }
}

/// Tells each jump to a block number that its program does not have, taken or not.
pub(super) fn targets_missing(
    program: &Program,
    tree: &Tree,
    told: &mut impl FnMut(Span, FlowTroubleKind),
) {
    for block in &tree.blocks[program.blocks.clone()] {
        for item in tree.items_of(block) {
            if let Some(number) = goto(tree, item)
                && program.targets(number).is_empty()
            {
                told(item.span, FlowTroubleKind::TargetMissing(number));
            }
        }
    }
}

/// The block that a plain `GOTO` names.
fn goto(tree: &Tree, item: &Item) -> Option<u32> {
    let ItemKind::Goto(target) = item.kind else { return None };
    match tree.expression(target).kind {
        ExpressionKind::Number(number) if (0.0..1e9).contains(&number) => Some(number as u32),
        _ => None,
    }
}

/// Whether P and Q of a block name blocks: after M97 and M99, and in the cycles that follow a
/// contour, which are among G70 to G75 in every code system.
fn jumps_by_word(items: &[Item]) -> bool {
    items.iter().any(|item| match item.kind {
        ItemKind::Word(Word { letter, value: Value::Number(number), comma: false }) => {
            matches!((letter, number.whole()), (b'M', Some(97 | 99)) | (b'G', Some(70..=75)))
        }
        _ => false,
    })
}

fn block_word(item: &Item) -> Option<u32> {
    match item.kind {
        ItemKind::Word(Word {
            letter: b'P' | b'Q',
            value: Value::Number(number),
            comma: false,
        }) => number.whole(),
        _ => None,
    }
}
