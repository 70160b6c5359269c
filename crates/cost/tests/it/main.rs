//! Accounts, quotes and ways of loading against worked examples, laws and independent reckonings.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::float_cmp,
    clippy::too_many_lines,
    clippy::case_sensitive_file_extension_comparisons,
    reason = "tests reckon the plain way, read and write their files, and stop where their world is wrong"
)]

mod accounts;
mod certainty;
mod demos;
mod loading;
mod quotes;
mod spent;
mod worth;
