//! Who goes to which lathe when, so that spindles stand least; and what a year of that comes to.
//!
//! **Invariant:** no clock and no chance of its own: now and every seed are given. What is called proven is proven
//! in whole ticks.
//!
//! Read in this order: [`clock`], [`staffed`], [`course`], [`problem`], [`label`], `price` (the bound),
//! [`search`], [`setting`] (a shop), [`timetable`], [`words`], [`calendar`]; then [`chance`], [`floor`], [`simulate`], [`figures`].
#![forbid(unsafe_code)]

pub mod calendar;
pub mod chance;
pub mod clock;
pub mod course;
pub mod figures;
pub mod floor;
pub mod label;
mod price;
pub mod problem;
pub mod search;
pub mod setting;
pub mod simulate;
pub mod staffed;
pub mod timetable;
pub mod words;
