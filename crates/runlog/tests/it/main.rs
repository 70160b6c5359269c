//! The log's promises: what was confirmed stays, counts once, and leads to the same answers however it is read.

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

mod exchange;
mod faults;
mod killed;
mod oracle;
mod recording;
mod shop;
mod views;
mod year;
