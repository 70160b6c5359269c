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

/// A text whose lines are broken between words where they are wider than a terminal; under an indented line, what
/// comes then is indented further.
pub(crate) fn fitted(text: &str, width: usize) -> String {
    let mut shown = String::new();
    for line in text.lines() {
        if line.chars().count() <= width {
            let _ = writeln!(shown, "{line}");
            continue;
        }
        let body = line.trim_start();
        let indent = line.len() - body.len();
        let further = if indent == 0 { 0 } else { indent + 2 };
        for (index, part) in wrapped(body, width.saturating_sub(further)).iter().enumerate() {
            let indent = if index == 0 { indent } else { further };
            let _ = writeln!(shown, "{:indent$}{}", "", part.trim());
        }
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
        let narrow = fitted("short\n  ABCD-1234  look  Reads every page.\n", 24);
        assert_eq!(narrow, "short\n  ABCD-1234  look\n    Reads every page.\n");
        let text = paragraph("  - ", &"word ".repeat(40));
        assert!(text.starts_with("  - word "), "{text}");
        assert!(text.lines().skip(1).all(|line| line.starts_with("    word")), "{text}");
        assert!(text.lines().all(|line| line.chars().count() <= WIDEST), "{text}");
    }
}
