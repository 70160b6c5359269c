//! `[quote]` of a shop file: what stands on a customer's page beside the prices.

use crate::files::keys::Keys;

/// What stands on a customer's page beside the prices.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Terms {
    /// The shop's address, a line each.
    pub address: Vec<String>,
    /// Days for which a quote holds.
    pub valid_days: Option<u32>,
    /// Terms, a sentence each.
    pub terms: Vec<String>,
}

/// Every key of `[quote]`.
pub(super) fn keys(keys: &Keys<'_>) -> Terms {
    Terms {
        address: keys
            .texts("address", "the shop's address, a line each")
            .optional()
            .unwrap_or_default(),
        valid_days: keys
            .count("valid_days", "days for which a quote holds", 1..=3650)
            .optional()
            .map(|days| days as u32),
        terms: keys
            .texts("terms", "terms of every quote, a sentence each")
            .optional()
            .unwrap_or_default(),
    }
}
