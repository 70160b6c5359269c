//! Tests of the timetable and of the simulation.

#![allow(
    clippy::disallowed_methods,
    clippy::unwrap_used,
    clippy::panic,
    reason = "tests read and write expected files, and stop where their world is wrong"
)]

mod brute_force;
mod calendars;
mod larger;
mod queues;
mod shops;
