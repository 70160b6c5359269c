//! Program text under way: one block a line, comments in a column.

use model::files::Control;
use model::quantity::Seconds;
use model::{Length, Units};
use std::fmt::Write as _;

/// Column at which comments behind words start.
const COMMENT_COLUMN: usize = 30;

/// A place or increment, always with a point: `X12.5`.
pub(super) fn place(letter: char, length: Length, units: Units) -> String {
    let text = length.text(units, units.decimals());
    let text = text.trim_end_matches('0');
    format!("{letter}{}", if text == "-0." { "0." } else { text })
}

/// A figure with a point and so many decimals, trailing zeros left out: `F0.12`, `F800.`.
pub(super) fn figure(letter: char, value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    let point = if text.contains('.') { "" } else { "." };
    let text = if point.is_empty() { text.trim_end_matches('0') } else { &text };
    format!("{letter}{text}{point}")
}

/// A dwell in seconds: `G4 X1.5`.
pub(super) fn dwell(time: Seconds) -> String {
    format!("G4 {}", figure('X', time.s(), 2))
}

/// A program under way.
pub(super) struct Text {
    lines: String,
    comments: bool,
    step: Option<u32>,
    next_number: u32,
}

impl Text {
    /// A program with its number and name.
    pub(super) fn new(control: &Control, number: u32, name: &str) -> Text {
        let digits = control.writing.program_digits;
        let mut text = Text {
            lines: format!("%\nO{number:0digits$}"),
            comments: control.writing.comments,
            step: control.writing.number_step,
            next_number: 0,
        };
        if text.comments {
            let _ = write!(text.lines, " ({})", plain(name));
        }
        text.lines.push('\n');
        text
    }

    /// A line that is a comment only.
    pub(super) fn comment(&mut self, words: &str) {
        if self.comments {
            let _ = writeln!(self.lines, "({})", plain(words));
        }
    }

    /// An empty line, for the eye.
    pub(super) fn gap(&mut self) {
        self.lines.push('\n');
    }

    /// A block with a comment behind it; no comment where it is empty.
    pub(super) fn block(&mut self, words: &str, comment: &str) {
        // Own numbers start far above those that are jumped to.
        let number = self.step.map(|step| {
            self.next_number += step;
            1000 + self.next_number
        });
        self.write(number, words, comment);
    }

    /// A block that is jumped to.
    pub(super) fn target(&mut self, number: u32, words: &str, comment: &str) {
        self.write(Some(number), words, comment);
    }

    fn write(&mut self, number: Option<u32>, words: &str, comment: &str) {
        let mut line = number.map_or(String::new(), |number| format!("N{number} "));
        line.push_str(words);
        if self.comments && !comment.is_empty() {
            while line.len() < COMMENT_COLUMN {
                line.push(' ');
            }
            let _ = write!(line, " ({})", plain(comment));
        }
        self.lines.push_str(line.trim_end());
        self.lines.push('\n');
    }

    /// The whole text.
    pub(super) fn finish(mut self) -> String {
        self.lines.push_str("%\n");
        self.lines
    }
}

/// Text that every control takes in a comment: capitals, no brackets, nothing but ASCII.
fn plain(words: &str) -> String {
    words
        .chars()
        .map(|c| match c {
            '(' | '[' | ')' | ']' => '/',
            'Ø' | '⌀' => 'D',
            '×' => 'X',
            '–' | '—' => '-',
            c if c.is_ascii() && !c.is_ascii_control() => c.to_ascii_uppercase(),
            _ => '?',
        })
        .collect()
}
