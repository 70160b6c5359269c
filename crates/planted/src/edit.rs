//! Changes of a text, each at a stretch of it.

use crate::good::Text;
use model::Span;

/// One change: this stretch of this file becomes this text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// Index of the file.
    pub file: usize,
    /// The stretch.
    pub span: Span,
    /// What stands there afterwards.
    pub text: String,
}

/// The texts with all changes made. Where two changes overlap, the earlier stretch wins.
pub fn apply(texts: &[Text], edits: &[Edit]) -> Vec<Text> {
    let mut texts = texts.to_vec();
    let mut edits: Vec<&Edit> = edits.iter().collect();
    edits.sort_by_key(|edit| (edit.file, edit.span));
    edits.dedup_by(|later, first| later.file == first.file && later.span.start < first.span.end);
    for edit in edits.into_iter().rev() {
        if let Some(text) = texts.get_mut(edit.file) {
            text.text.replace_range(edit.span.range(), &edit.text);
        }
    }
    texts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn changes_are_made_where_they_stand() {
        let texts = [Text { name: "a".into(), text: "G1 X2. F3".into() }];
        let edit = |start, end, text: &str| Edit {
            file: 0,
            span: Span::new(start, end),
            text: text.into(),
        };
        let made = apply(&texts, &[edit(7, 9, ""), edit(3, 6, "X-2."), edit(4, 5, "?")]);
        assert_eq!(made[0].text, "G1 X-2. ");
    }
}
