//! Kinds that are not found today, each with the reason. The tests fail when one of them is found:
//! then its line goes.

/// The kind, and why it is not found.
pub static NOT_YET: &[(&str, &str)] = &[];

/// Why a kind is not found yet; none where it must be.
pub fn why(name: &str) -> Option<&'static str> {
    NOT_YET.iter().find(|(kind, _)| *kind == name).map(|(_, why)| *why)
}
