//! Long sentences on narrow lines.

use std::fmt::Write as _;

/// Widest line of running text.
const WIDEST: usize = 88;

/// A sentence broken between words.
pub(super) fn wrapped(text: &str, width: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split(' ') {
        let last = lines.len() - 1;
        let line = &mut lines[last];
        if line.is_empty() {
            line.push_str(word);
        } else if line.chars().count() + 1 + word.chars().count() > width {
            lines.push(word.to_owned());
        } else {
            let _ = write!(line, " {word}");
        }
    }
    lines
}

/// A sentence that starts with `first`; its further lines are indented as far as that reaches.
pub(super) fn paragraph(first: &str, text: &str) -> String {
    let indent = first.chars().count();
    let mut shown = String::new();
    for (index, line) in wrapped(text, WIDEST.saturating_sub(indent)).iter().enumerate() {
        let _ = match index {
            0 => writeln!(shown, "{first}{line}"),
            _ => writeln!(shown, "{:indent$}{line}", ""),
        };
    }
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_break_between_words_and_hang() {
        assert_eq!(wrapped("close the chuck first", 9), ["close the", "chuck", "first"]);
        assert_eq!(wrapped("", 9), [""]);
        let text = paragraph("  - ", &"word ".repeat(40));
        assert!(text.starts_with("  - word "), "{text}");
        assert!(text.lines().skip(1).all(|line| line.starts_with("    word")), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= WIDEST), "{text}");
    }
}
