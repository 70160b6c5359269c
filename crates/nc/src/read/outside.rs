//! What stands outside the end signs: the leader before the first `%` and what follows the last.

use super::cursor::is_blank;
use crate::tree::{Item, ItemKind, Tree, Value, Word};
use model::Span;
use std::ops::Range;

/// Takes leader and trailer, before the first and behind the last sign, as text without meaning.
///
/// The same sign starts and ends the data, so a stretch outside is left out only where it neither
/// names nor ends a program while the stretch on the sign's other side does. A program that
/// someone cut in two with a stray `%` is not lost.
pub(super) fn leave_out(tree: &mut Tree, first: usize, last: usize) {
    let (first_sign, last_sign) = (tree.items[first].span, tree.items[last].span);
    let (leader, inner) = tree.items.split_at(first);
    let leader_goes = !is_program(leader) && is_program(inner);
    let (inner, trailer) = tree.items.split_at(last + 1);
    let trailer_goes = !is_program(trailer) && is_program(inner);
    let from = if leader_goes { first_sign.start } else { 0 };
    let to = if trailer_goes { last_sign.end } else { u32::MAX };
    if tree.blocks.first().is_some_and(|block| block.span.start < from)
        || tree.blocks.last().is_some_and(|block| block.span.end > to)
    {
        ignore_all_but(tree, from..to);
    }
}

/// Whether some items name a program or end one.
fn is_program(items: &[Item]) -> bool {
    items.iter().any(|item| match item.kind {
        ItemKind::Program(_) => true,
        ItemKind::Word(Word { letter: b'M', value: Value::Number(number), .. }) => {
            matches!(number.whole(), Some(2 | 30 | 99))
        }
        _ => false,
    })
}

/// Makes what a block holds outside `kept` one item without meaning.
fn ignore_all_but(tree: &mut Tree, kept: Range<u32>) {
    let inside = |span: Span| kept.start <= span.start && span.end <= kept.end;
    let mut items = Vec::with_capacity(tree.items.len() + 2);
    for block in &mut tree.blocks {
        let old = block.first as usize..block.first as usize + block.count as usize;
        let old = tree.items.get(old).unwrap_or(&[]);
        block.first = items.len() as u32;
        if inside(block.span) {
            items.extend_from_slice(old);
        } else {
            let Span { start, end } = block.span;
            items.extend(ignored(tree.source.bytes(), start..end.min(kept.start)));
            items.extend(old.iter().filter(|item| inside(item.span)));
            items.extend(ignored(tree.source.bytes(), start.max(kept.end)..end));
            // A skip sign stands at the start of its block.
            block.skip = block.skip.filter(|_| kept.contains(&start));
            block.number = block.number.filter(|(_, span)| inside(*span));
        }
        block.count = items.len() as u32 - block.first;
    }
    tree.items = items;
    tree.troubles.retain(|trouble| inside(trouble.span));
}

/// A stretch as one item, without the blanks around it; none where nothing is left.
fn ignored(bytes: &[u8], range: Range<u32>) -> Option<Item> {
    let bytes = bytes.get(range.start as usize..range.end as usize)?;
    let before = bytes.iter().position(|byte| !is_blank(*byte))?;
    let behind = bytes.iter().rposition(|byte| !is_blank(*byte))?;
    let start = range.start as usize;
    let span = Span::new(start + before, start + behind + 1);
    Some(Item { span, kind: ItemKind::Ignored })
}
