//! What stands outside the end signs: the leader before the first `%` and what follows the last.

use crate::tree::{Block, Item, ItemKind, Tree, Value, Word};
use model::Span;
use std::ops::Range;

/// Takes leader and trailer as text without meaning.
///
/// The same sign starts and ends the data, so a stretch outside is left out only where it neither
/// names nor ends a program while the stretch on the sign's other side does. A program that
/// someone cut in two with a stray `%` is not lost.
pub(super) fn leave_out(tree: &mut Tree) {
    let signs = signs(tree);
    let (Some(first), Some(last)) = (signs.first().copied(), signs.last().copied()) else { return };
    let end = tree.blocks.len();
    let leader = 0..first;
    let trailer = last + 1..end;
    let leader_goes =
        !leader.is_empty() && !is_program(tree, &leader) && is_program(tree, &(first..end));
    let trailer_goes =
        !trailer.is_empty() && !is_program(tree, &trailer) && is_program(tree, &(0..last + 1));
    if leader_goes || trailer_goes {
        let keep = if leader_goes { first } else { 0 }..if trailer_goes { last + 1 } else { end };
        ignore_all_but(tree, &keep);
    }
}

/// The blocks that hold an end sign.
fn signs(tree: &Tree) -> Vec<usize> {
    let signs = tree.items.iter().enumerate().filter(|(_, item)| item.kind == ItemKind::Percent);
    let blocks = signs.map(|(item, _)| {
        tree.blocks.partition_point(|block| block.first as usize <= item).saturating_sub(1)
    });
    blocks.collect()
}

/// Whether some blocks name a program or end one.
fn is_program(tree: &Tree, blocks: &Range<usize>) -> bool {
    let mut items = tree.blocks[blocks.clone()].iter().flat_map(|block| tree.items_of(block));
    items.any(|item| match item.kind {
        ItemKind::Program(_) => true,
        ItemKind::Word(Word { letter: b'M', value: Value::Number(number), .. }) => {
            matches!(number.whole(), Some(2 | 30 | 99))
        }
        _ => false,
    })
}

/// Makes each block outside `keep` one item without meaning.
fn ignore_all_but(tree: &mut Tree, keep: &Range<usize>) {
    let old = std::mem::take(&mut tree.items);
    tree.items.reserve_exact(old.len());
    let kept = span_of(&tree.blocks[keep.clone()]);
    for (index, block) in tree.blocks.iter_mut().enumerate() {
        let items = block.first as usize..block.first as usize + block.count as usize;
        block.first = tree.items.len() as u32;
        if keep.contains(&index) {
            tree.items.extend_from_slice(&old[items]);
        } else {
            *block = Block { skip: None, number: None, count: 1, ..*block };
            tree.items.push(Item { span: block.span, kind: ItemKind::Ignored });
        }
    }
    tree.troubles
        .retain(|trouble| trouble.span.start >= kept.start && trouble.span.end <= kept.end);
}

fn span_of(blocks: &[Block]) -> Span {
    let spans = blocks.iter().map(|block| block.span);
    spans.reduce(Span::to).unwrap_or_default()
}
