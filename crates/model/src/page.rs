//! The page of a check: Markdown with a title and sections, and the word that names it.

/// A page about one finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page(pub &'static str);

impl Page {
    /// Its title: the finding's name in words.
    pub fn title(self) -> &'static str {
        self.0.lines().next().map_or("", |line| line.trim_start_matches("# "))
    }

    /// One section as plain text; empty where there is no such heading.
    pub fn section(self, heading: &str) -> String {
        let wanted = format!("## {heading}");
        let lines = self.0.lines().skip_while(|line| *line != wanted).skip(1);
        let lines = lines.take_while(|line| !line.starts_with("## "));
        lines.filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" ")
    }
}

/// The bytes of a module's name as a finding's stable word: `part_bends` is `part-bends`.
pub const fn kebab<const N: usize>(name: &str) -> [u8; N] {
    let bytes = name.as_bytes();
    let mut word = [0; N];
    let mut index = 0;
    while index < N {
        word[index] = if bytes[index] == b'_' { b'-' } else { bytes[index] };
        index += 1;
    }
    word
}
