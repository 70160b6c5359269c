//! Names that many events share.

use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

/// The name of a lathe, a job, a person, a bar or a heat; copies share one text.
#[derive(Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Name(Arc<str>);

impl Name {
    /// Most characters that a name may have.
    pub const LONGEST: usize = 100;

    /// The name as text.
    pub fn text(&self) -> &str {
        &self.0
    }

    /// A name that a person or a script gave: without blanks around it, not empty, one line, at most
    /// [`Name::LONGEST`] characters.
    pub fn parse(text: &str) -> Option<Name> {
        let text = text.trim();
        let fits = !text.is_empty() && text.chars().count() <= Name::LONGEST;
        (fits && !text.chars().any(char::is_control)).then(|| Name::from(text))
    }
}

impl From<&str> for Name {
    fn from(text: &str) -> Name {
        Name(text.into())
    }
}

impl Deref for Name {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl std::borrow::Borrow<str> for Name {
    fn borrow(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&self.0)
    }
}

impl fmt::Debug for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Debug::fmt(&*self.0, f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_one_short_line() {
        assert_eq!(Name::parse("  lathe 1 ").as_deref(), Some("lathe 1"));
        assert_eq!(
            Name::parse("ä".repeat(100).as_str()).map(|name| name.chars().count()),
            Some(100)
        );
        for text in ["", "   ", "two\nlines", &"x".repeat(101)] {
            assert_eq!(Name::parse(text), None, "{text:?}");
        }
    }
}
