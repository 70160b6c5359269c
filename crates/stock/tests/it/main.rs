//! The tests of this package, as one program.

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

mod brute_force;
mod published;
mod trade;
