//! The log's promises: what was confirmed stays, counts once, and leads to the same answers however it is read.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::disallowed_methods,
    reason = "a test stops where its world is wrong"
)]

mod exchange;
mod faults;
mod killed;
mod oracle;
mod recording;
mod shop;
mod views;
mod year;
