//! Accounts, quotes and ways of loading against worked examples, laws and independent reckonings.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "tests read the demos from disk, reckon the plain way, and stop where their world is wrong"
)]

mod accounts;
mod certainty;
mod demos;
mod loading;
mod quotes;
mod spent;
mod worth;
