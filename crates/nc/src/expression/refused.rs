//! What a control does not take in a term although it can be read.

use crate::tree::{Expression, ExpressionKind, Item, ItemKind, Tree};
use model::Span;
use model::files::control::Terms;

/// A stretch that a control does not take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Refused {
    /// The bracket from its opening to where it closes, or the sign.
    pub span: Span,
    /// Why.
    pub why: Refusal,
}

/// Why a control does not take a stretch of a term.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Refusal {
    /// A bracket is nested deeper than the control goes.
    NestedTooDeep,
    /// A comparison is written by a sign such as `<` instead of by letters such as `LT`.
    ComparisonSign,
}

/// What a control does not take in the terms of a file, in the order of the text. Of brackets
/// nested too deep only the outermost ones are told.
pub fn refused(tree: &Tree, terms: &Terms) -> Vec<Refused> {
    let mut refused = Vec::new();
    for item in &tree.items {
        nested_too_deep(tree, item, terms.bracket_depth, &mut refused);
    }
    if !terms.comparison_signs {
        let signs = tree.expressions.iter().filter_map(|term| sign(tree, term));
        refused.extend(signs.map(|span| Refused { span, why: Refusal::ComparisonSign }));
    }
    refused.sort_by_key(|one| (one.span, one.why == Refusal::ComparisonSign));
    // A bracket's term stands in the tree twice: with the brackets and without.
    refused.dedup();
    refused
}

/// Adds each bracket of an item that lies just beyond the depth.
fn nested_too_deep(tree: &Tree, item: &Item, depth: u32, refused: &mut Vec<Refused>) {
    if matches!(item.kind, ItemKind::Comment | ItemKind::Ignored | ItemKind::Unreadable) {
        return;
    }
    let (mut open, mut opened) = (0_u32, 0);
    let start = item.span.start as usize;
    for (index, byte) in tree.source.slice(item.span).iter().enumerate() {
        match byte {
            b'[' => {
                open += 1;
                if open == depth + 1 {
                    opened = start + index;
                }
            }
            b']' => {
                if open == depth + 1 {
                    let span = Span::new(opened, start + index + 1);
                    refused.push(Refused { span, why: Refusal::NestedTooDeep });
                }
                open = open.saturating_sub(1);
            }
            _ => {}
        }
    }
}

/// The sign of a comparison that is written by one.
fn sign(tree: &Tree, term: &Expression) -> Option<Span> {
    let ExpressionKind::Binary(operator, one, other) = term.kind else { return None };
    if !operator.compares() {
        return None;
    }
    let start = tree.expression(one).span.end as usize;
    let gap = Span::new(start, tree.expression(other).span.start as usize);
    let between = tree.source.slice(gap);
    let is_sign = |byte: &u8| matches!(byte, b'<' | b'>' | b'=');
    let first = between.iter().position(is_sign)?;
    let last = between.iter().rposition(is_sign)?;
    Some(Span::new(start + first, start + last + 1))
}
