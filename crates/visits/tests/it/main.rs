//! Tests of the timetable and of the simulation.

#![allow(clippy::disallowed_methods, reason = "tests read and write expected files")]

mod brute_force;
mod calendars;
mod larger;
mod queues;
mod shops;
