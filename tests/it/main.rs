//! Whole journeys: through the built program, and through its parts as a command puts them
//! together. `UPDATE_EXPECT=1` writes every expected file anew.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test stops where its world is wrong"
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
mod sarif;
mod schemas;
#[cfg(feature = "sheets")]
mod sheet;
mod shop;
mod stock;
mod tidy;
mod visits;
