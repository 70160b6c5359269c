//! Plain words for text that is not TOML.

use crate::Diagnostic;
use crate::source::{Source, Span};
use toml::de::Error;

/// What is wrong with the text at this place, and what to write instead.
pub(super) fn trouble(source: &Source, text: &str, error: &Error) -> Diagnostic {
    let range = error.span().unwrap_or(0..0);
    let start = text.floor_char_boundary(range.start);
    let line = source.line(source.locate(Span::new(start, start).start).line).range();
    let end = range.end.clamp(start, line.end.max(start));
    let (here, before, line) = (&text[start..end], &text[..start], &text[line]);
    let place = Place { here, before, line };
    let (message, help) = place.words(error.message());
    Diagnostic::new(source, Span::new(start, end), message).help(help)
}

/// The place of the trouble: its text, all before it, and its line.
struct Place<'t> {
    here: &'t str,
    before: &'t str,
    line: &'t str,
}

impl Place<'_> {
    fn words(&self, reason: &str) -> (String, String) {
        let here = self.here.trim();
        let (message, help) = match reason.split([',', ';']).next().unwrap_or_default() {
            "duplicate key" => {
                let listed =
                    self.line.starts_with('[') && self.before.contains(&format!("{here}]]"));
                let help = if listed {
                    "write `[[…]]` for one more of a list"
                } else {
                    "keep one of the two"
                };
                return (format!("`{here}` stands twice"), help.to_owned());
            }
            "string values must be quoted" if here.is_empty() => {
                ("the value is missing", "write it after the `=`")
            }
            "string values must be quoted" => {
                return (
                    format!("the text {here} stands without quotes"),
                    format!("write \"{here}\""),
                );
            }
            "invalid basic string" | "invalid literal string" => {
                ("this text does not end", "write the closing quote on the same line")
            }
            "unclosed table" | "unclosed array table" => {
                ("this table name does not end", "write the closing bracket")
            }
            "invalid date" | "invalid datetime" => {
                ("there is no such date", "write a date such as 2026-12-18")
            }
            _ if self.is_decimal_comma() => {
                ("a number has a decimal point, not a comma", "write a point here")
            }
            reason => {
                return (
                    format!("this is not TOML: {reason}"),
                    "a line is `key = value`, `[table]` or `[[list]]`; text stands in \"quotes\""
                        .to_owned(),
                );
            }
        };
        (message.to_owned(), help.to_owned())
    }

    /// Whether a comma stands here between two digits, outside a list.
    fn is_decimal_comma(&self) -> bool {
        let before = self.before.rsplit('\n').next().unwrap_or_default();
        let after = self.line.strip_prefix(before).unwrap_or_default();
        let digit = |c: char| c.is_ascii_digit();
        before.ends_with(digit)
            && after.strip_prefix(',').is_some_and(|rest| rest.starts_with(digit))
            && !before.contains('[')
    }
}
