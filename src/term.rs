//! What a person sees on a terminal: messages and findings, each with the text it is about.

mod advances;
mod choice;
mod cut_list;
mod lines;
mod loading;
pub mod log;
mod plan;
mod progress;
mod proof;
mod quote;
mod stops;
mod visits;

pub use cut_list::cut_lists;
pub(crate) use lines::fitted;
pub use loading::loading;
pub use plan::{learned, plan};
pub use progress::with_progress;
pub use proof::{proof, unproven};
pub use quote::{cost, quote};
pub use stops::stops;
pub(crate) use visits::visits;

use crate::commands::Trouble;
use ::outline::Question;
use annotate_snippets::{
    AnnotationKind, Group, Level as Mark, Renderer, Snippet, normalize_untrusted_str as clean,
};
use model::finding::Place;
use model::{Diagnostic, Finding, Level};
use std::borrow::Cow;
use std::fmt::Write as _;
use std::io::{self, IsTerminal, Write as _};
use std::ops::Range;

/// Whether text is colored.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Color {
    /// No escape codes at all.
    Plain,
    /// With the terminal's colors.
    Colored,
}

impl Color {
    /// Colored where the stream is a terminal and the variable `NO_COLOR` is not set, or is empty
    /// (the convention of no-color.org).
    pub fn of(stream: &impl IsTerminal) -> Color {
        let refused = std::env::var_os("NO_COLOR").is_some_and(|value| !value.is_empty());
        if stream.is_terminal() && !refused { Color::Colored } else { Color::Plain }
    }

    fn renderer(self) -> Renderer {
        match self {
            Color::Plain => Renderer::plain(),
            Color::Colored => Renderer::styled(),
        }
    }
}

/// Messages about files, one after the other, with how many there are at the end.
pub fn diagnostics(diagnostics: &[Diagnostic], color: Color) -> String {
    let mut text = String::new();
    for diagnostic in diagnostics {
        let place = Place::new(&diagnostic.source, diagnostic.span);
        let group = Mark::ERROR
            .primary_title(diagnostic.message.as_str())
            .element(Excerpt::of(&place).snippet(&diagnostic.label))
            .elements(help(&diagnostic.help));
        text += &rendered(group, color);
    }
    if diagnostics.len() > 1 {
        let _ = writeln!(text, "{} things to mend", diagnostics.len());
    }
    text
}

/// Findings of a proof, one after the other.
pub fn findings(findings: &[Finding], color: Color) -> String {
    findings.iter().map(|finding| rendered(of_finding(finding), color)).collect()
}

fn of_finding(finding: &Finding) -> Group<'_> {
    let mark = match finding.level {
        Level::Stop => Mark::ERROR,
        Level::Caution => Mark::WARNING,
        Level::Note => Mark::NOTE,
    };
    let when = when(finding).map(|when| Mark::NOTE.with_name("when").message(when));
    mark.with_name(finding.level.word())
        .primary_title(finding.message.as_str())
        .id(finding.id)
        .element(Excerpt::of(&finding.place).snippet(""))
        .elements(when)
        .elements(help(&finding.remedy))
}

/// The cycle and the time of a finding in words; none where neither is known.
fn when(finding: &Finding) -> Option<String> {
    let time = finding.at_s.map(|seconds| format!("{seconds:.1} s after the start"));
    let cycle = finding.cycle.map(|cycle| match finding.times {
        0 | 1 => format!("in cycle {cycle}"),
        times => format!("first in cycle {cycle}, in {times} cycles"),
    });
    match (cycle, time) {
        (Some(cycle), Some(time)) => Some(format!("{cycle}, {time}")),
        (cycle, time) => cycle.or(time),
    }
}

/// Widest line of a remedy; the words before it take some of the terminal.
const HELP_WIDTH: usize = 88;

fn help(help: &str) -> Option<annotate_snippets::Message<'static>> {
    (!help.is_empty())
        .then(|| Mark::HELP.message(lines::wrapped(&clean(help), HELP_WIDTH).join("\n")))
}

fn rendered(group: Group<'_>, color: Color) -> String {
    let mut text = color.renderer().render(&[group]);
    text.push_str("\n\n");
    text
}

/// A place as characters, for files that are not UTF-8 too.
struct Excerpt<'p> {
    name: &'p str,
    text: Cow<'p, str>,
    first_line: usize,
    range: Range<usize>,
}

impl<'p> Excerpt<'p> {
    /// The lines of a place, counted here: a file's lines may end in CR alone.
    fn of(place: &'p Place) -> Excerpt<'p> {
        let (source, span) = (&place.source, place.span);
        let first = source.locate(span.start).line;
        let last = source.locate(span.end.saturating_sub(1).max(span.start)).line;
        let lines = source.line(first).to(source.line(last));
        let bytes = source.slice(lines);
        let text = String::from_utf8_lossy(bytes);
        let index = |byte: u32| {
            let byte = byte.saturating_sub(lines.start) as usize;
            match &text {
                Cow::Borrowed(text) => text.floor_char_boundary(byte),
                // Replacement characters are longer than what they stand for.
                Cow::Owned(text) => {
                    let before = String::from_utf8_lossy(&bytes[..byte.min(bytes.len())]);
                    text.floor_char_boundary(before.len())
                }
            }
        };
        let range = index(span.start)..index(span.end);
        Excerpt { name: source.name(), text, first_line: first as usize, range }
    }

    fn snippet(self, label: &'p str) -> Snippet<'p, annotate_snippets::Annotation<'p>> {
        let annotation = AnnotationKind::Primary.span(self.range);
        let annotation = if label.is_empty() { annotation } else { annotation.label(clean(label)) };
        Snippet::source(self.text)
            .line_start(self.first_line)
            .path(self.name)
            .annotation(annotation)
    }
}

/// Something that a file leaves open, with the answers one below the other.
fn open(name: &str, question: &Question, color: Color) -> String {
    let title = format!("{name}: {}", question.about);
    let group = Group::with_title(Mark::ERROR.primary_title(title.as_str()));
    let mut text = rendered(group, color);
    text.truncate(text.trim_end().len());
    let widest = question.answers.iter().map(|(say, _)| say.chars().count()).max().unwrap_or(0);
    for (say, means) in &question.answers {
        let first = format!("  {say:widest$}  ");
        let _ = write!(text, "\n{}", lines::paragraph(&clean(&first), &clean(means)).trim_end());
    }
    text + "\n\n"
}

/// Says on standard error why a command could not do its work.
pub fn complain(trouble: &Trouble) {
    let color = Color::of(&io::stderr());
    let text = match trouble {
        Trouble::Files(list) => diagnostics(list, color),
        Trouble::Open(name, questions) => {
            questions.iter().map(|question| open(name, question, color)).collect()
        }
        Trouble::Outside(message, mend) => {
            let group = Group::with_title(Mark::ERROR.primary_title(message.as_str()));
            rendered(group.elements(help(mend)), color)
        }
    };
    // Where nobody listens on standard error, the exit code still tells.
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Why a command could not do its work, as one line without its place.
pub fn plainly(trouble: &Trouble) -> String {
    match trouble {
        Trouble::Files(list) => {
            let messages: Vec<&str> = list.iter().map(|one| one.message.as_str()).collect();
            messages.join("; ")
        }
        Trouble::Open(name, _) => format!("{name} leaves something open"),
        Trouble::Outside(message, mend) if mend.is_empty() => message.clone(),
        Trouble::Outside(message, mend) => format!("{message}: {mend}"),
    }
}

/// Why the disk refused, in plain words.
pub fn reason(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::NotFound => "there is no such file or folder".to_owned(),
        io::ErrorKind::PermissionDenied => "it is not allowed".to_owned(),
        io::ErrorKind::IsADirectory => "it is a folder".to_owned(),
        io::ErrorKind::NotADirectory => "a part of its path is a file, not a folder".to_owned(),
        io::ErrorKind::StorageFull => "the disk is full".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem => "the disk cannot be written".to_owned(),
        _ => error.to_string(),
    }
}

/// A number with its noun.
fn counted(number: u32, what: &str) -> String {
    if number == 1 { format!("1 {what}") } else { format!("{number} {what}s") }
}

/// Columns of the terminal; 80 where there is none.
pub fn columns() -> usize {
    let set = std::env::var("COLUMNS").ok().and_then(|text| text.parse().ok());
    set.unwrap_or(80)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::{Source, Span};

    fn finding(cycle: Option<u32>, at_s: Option<f64>, times: u32) -> Finding {
        let source = Source::new("pin.nc", "N10 M11\nN20 G1 W23 F500\n");
        Finding {
            id: "advance-too-short",
            level: Level::Stop,
            place: Place::new(&source, Span::new(15, 18)),
            cycle,
            at_s,
            times,
            message: "the bar is drawn 23 mm, a part takes 24 mm".to_owned(),
            remedy: "draw the bar by one pitch".to_owned(),
        }
    }

    #[test]
    fn a_finding_says_what_where_when_and_the_remedy() {
        let text = findings(&[finding(Some(2), Some(61.25), 40)], Color::Plain);
        let expected = "\
stop[advance-too-short]: the bar is drawn 23 mm, a part takes 24 mm
 --> pin.nc:2:8
  |
2 | N20 G1 W23 F500
  |        ^^^
  |
  = when: first in cycle 2, in 40 cycles, 61.2 s after the start
  = help: draw the bar by one pitch

";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_time_that_is_not_known_is_not_told() {
        assert_eq!(when(&finding(None, None, 1)), None);
        assert_eq!(when(&finding(Some(7), None, 1)).as_deref(), Some("in cycle 7"));
        assert_eq!(when(&finding(None, Some(2.0), 1)).as_deref(), Some("2.0 s after the start"));
    }

    #[test]
    fn escape_codes_stand_only_in_colored_text() {
        let findings_in = |color| findings(&[finding(None, None, 1)], color).contains('\u{1b}');
        assert!(findings_in(Color::Colored));
        assert!(!findings_in(Color::Plain));
    }

    #[test]
    fn a_file_cannot_color_the_terminal() {
        let source = Source::new("job.toml", "name = \"\u{1b}[31m\"");
        let diagnostic = Diagnostic::new(&source, Span::new(0, 4), "say \u{1b}[31m")
            .label("here \u{1b}[31m")
            .help("write \u{1b}[31m");
        assert!(!diagnostics(&[diagnostic], Color::Plain).contains('\u{1b}'));
    }

    #[test]
    fn a_place_after_bytes_that_are_not_text_is_found() {
        let source = Source::new("pin.nc", &b"(\xd8\xd8) M11"[..]);
        let diagnostic = Diagnostic::new(&source, Span::new(5, 8), "M11 opens the chuck");
        let text = diagnostics(&[diagnostic], Color::Plain);
        assert!(text.contains("pin.nc:1:6\n"), "{text}");
        assert!(text.contains("|      ^^^\n"), "{text}");
    }

    #[test]
    fn lines_that_end_in_cr_alone_are_counted() {
        let source = Source::new("pin.nc", "N10 G0 X1.\rN20 M11\rN30 M30\r");
        let diagnostic = Diagnostic::new(&source, Span::new(15, 18), "M11 opens the chuck");
        let text = diagnostics(&[diagnostic], Color::Plain);
        assert!(text.contains("pin.nc:2:5\n"), "{text}");
        assert!(text.contains("2 | N20 M11\n"), "{text}");
    }
}
