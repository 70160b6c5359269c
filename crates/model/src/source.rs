//! Where text came from: a named file and places in it.

use std::fmt;
use std::sync::Arc;

/// A stretch of a text, in bytes: `start..end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// First byte.
    pub start: u32,
    /// One past the last byte; never before `start`.
    pub end: u32,
}

impl Span {
    /// The stretch `start..end`.
    pub const fn new(start: usize, end: usize) -> Span {
        let start = if start > u32::MAX as usize { u32::MAX } else { start as u32 };
        let end = if end > u32::MAX as usize { u32::MAX } else { end as u32 };
        Span { start, end: if end < start { start } else { end } }
    }

    /// The shortest stretch that holds both.
    #[must_use]
    pub fn to(self, other: Span) -> Span {
        Span { start: self.start.min(other.start), end: self.end.max(other.end) }
    }

    /// As a range of byte indexes.
    pub const fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// One text with its name. Cheap to clone. The bytes need not be UTF-8.
#[derive(Clone)]
pub struct Source(Arc<Inner>);

struct Inner {
    name: String,
    bytes: Vec<u8>,
    line_starts: Vec<u32>,
}

/// A place as a person counts it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LineColumn {
    /// From 1.
    pub line: u32,
    /// From 1, counted in characters (a byte that is not UTF-8 counts as one).
    pub column: u32,
}

impl Source {
    /// A text under the name that messages show, usually its path as the person wrote it. Lines
    /// end in LF, CR LF or CR alone.
    pub fn new(name: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Source {
        let bytes = bytes.into();
        let line_starts = line_starts(&bytes);
        Source(Arc::new(Inner { name: name.into(), bytes, line_starts }))
    }

    /// The name that messages show.
    pub fn name(&self) -> &str {
        &self.0.name
    }

    /// The whole text.
    pub fn bytes(&self) -> &[u8] {
        &self.0.bytes
    }

    /// The whole text as characters, with replacements where it is not UTF-8.
    pub fn text(&self) -> std::borrow::Cow<'_, str> {
        String::from_utf8_lossy(&self.0.bytes)
    }

    /// The bytes of a stretch; a stretch outside the text is cut to it.
    pub fn slice(&self, span: Span) -> &[u8] {
        let length = self.0.bytes.len();
        let range = span.range();
        &self.0.bytes[range.start.min(length)..range.end.min(length)]
    }

    /// The characters of a stretch.
    pub fn text_of(&self, span: Span) -> std::borrow::Cow<'_, str> {
        String::from_utf8_lossy(self.slice(span))
    }

    /// The line and column of a byte.
    pub fn locate(&self, byte: u32) -> LineColumn {
        let line = self.0.line_starts.partition_point(|start| *start <= byte).max(1);
        let start = self.0.line_starts[line - 1];
        let before = self.text_of(Span { start, end: byte.max(start) });
        LineColumn { line: line as u32, column: before.chars().count() as u32 + 1 }
    }

    /// The stretch of a line, counted from 1, without its line end; empty where there is no such.
    pub fn line(&self, line: u32) -> Span {
        let index = (line.max(1) - 1) as usize;
        let starts = &self.0.line_starts;
        let Some(start) = starts.get(index) else { return Span::default() };
        let end = starts.get(index + 1).map_or(self.0.bytes.len() as u32, |next| next - 1);
        let text = self.slice(Span { start: *start, end });
        let end = if text.ends_with(b"\r") { end - 1 } else { end };
        Span { start: *start, end }
    }

    /// How many lines the text has; a text without any line end has one.
    pub fn lines(&self) -> u32 {
        self.0.line_starts.len() as u32
    }

    /// `true` where both are the same text in memory.
    pub fn is(&self, other: &Source) -> bool {
        Arc::ptr_eq(&self.0, &other.0)
    }
}

/// Where each line starts; the first at 0.
fn line_starts(bytes: &[u8]) -> Vec<u32> {
    let ends_line = |place: usize, byte: u8| match byte {
        b'\n' => true,
        b'\r' => bytes.get(place + 1) != Some(&b'\n'),
        _ => false,
    };
    let ends = bytes.iter().enumerate().filter(|(place, byte)| ends_line(*place, **byte));
    std::iter::once(0).chain(ends.map(|(place, _)| place as u32 + 1)).collect()
}

impl fmt::Debug for Source {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Source({}, {} bytes)", self.0.name, self.0.bytes.len())
    }
}

/// The door to the world: how the engine gets the text of a file that another file names.
pub trait Files {
    /// The file at `path`; relative paths start from the folder of the file that names them.
    ///
    /// # Errors
    /// A plain sentence that says why the file cannot be read.
    fn read(&self, path: &str) -> Result<Source, String>;

    /// The text of a thing that ships with the program, such as `materials/brass.toml`.
    ///
    /// # Errors
    /// A plain sentence that says which things of that kind there are.
    fn shipped(&self, path: &str) -> Result<Source, String>;
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn places_are_counted_as_a_person_does() {
        let source = Source::new("x", "ab\r\nçd\n\nlast");
        assert_eq!(source.lines(), 4);
        assert_eq!(source.locate(0), LineColumn { line: 1, column: 1 });
        assert_eq!(source.locate(6), LineColumn { line: 2, column: 2 });
        assert_eq!(source.text_of(source.line(1)), "ab");
        assert_eq!(source.text_of(source.line(2)), "çd");
        assert_eq!(source.text_of(source.line(3)), "");
        assert_eq!(source.text_of(source.line(4)), "last");
        assert_eq!(source.text_of(source.line(9)), "");
        assert_eq!(source.slice(Span::new(90, 95)), b"");
    }

    #[test]
    fn lines_may_end_in_cr_alone() {
        let source = Source::new("x", "ab\rcd\r\ref\r\n\r\r\ngh\n\rij\r");
        let lines = |source: &Source| -> Vec<String> {
            (1..=source.lines()).map(|line| source.text_of(source.line(line)).into()).collect()
        };
        assert_eq!(lines(&source), ["ab", "cd", "", "ef", "", "", "gh", "", "ij", ""]);
        assert_eq!(source.locate(3), LineColumn { line: 2, column: 1 });
        assert_eq!(source.locate(7), LineColumn { line: 4, column: 1 });
        assert_eq!(source.locate(10), LineColumn { line: 4, column: 4 }, "the LF is of line 4");
        assert_eq!(lines(&Source::new("x", "\r")), ["", ""]);
        assert_eq!(lines(&Source::new("x", "\n")), ["", ""]);
        assert_eq!(lines(&Source::new("x", "")), [""]);
    }
}
