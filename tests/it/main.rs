//! Whole journeys: through the built program, and through its parts as a command puts them
//! together. `UPDATE_EXPECT=1` writes every expected file anew.

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

mod advances;
#[path = "../../crates/follow/tests/it/agent.rs"]
mod agent;
mod bad_files;
mod cli;
mod demo;
mod expect;
mod findings;
mod gallery;
mod hand_calculation;
mod handbook;
mod language;
mod loading;
mod log;
mod log_follow;
mod log_learned;
mod log_sizes;
mod log_year;
mod outline;
mod pages;
mod part;
mod picture;
mod prove;
mod quote;
mod ran;
mod sarif;
mod schemas;
#[cfg(feature = "sheets")]
mod sheet;
mod shop;
mod stock;
mod tidy;
mod visits;
