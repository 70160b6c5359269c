//! Every published formula as a pure function: numbers in, numbers out.
//!
//! **Invariant:** this crate decides nothing and reads nothing. Each function states its formula,
//! the range in which it holds, its source, and the handbook file it is held to. What is counted
//! is computed with whole nanometers.
//!
//! Read in this order: [`bar`], [`pull`], [`weight`], [`motion`], [`thread`], [`nose`],
//! [`spread`], [`figure`], [`cutting`], [`life`], [`finish`], [`chips`], [`cut`], [`holding`],
//! [`bending`], [`held`], [`station`] (all of these for one cut of a program), [`whirl`], [`skin`],
//! [`queue`], [`sizes`] (gauged parts), [`learned`] (records), [`worth`], [`registry`].
#![forbid(unsafe_code)]

use std::fmt;

pub mod bar;
pub mod bending;
pub mod chips;
pub mod cut;
pub mod cutting;
pub mod figure;
pub mod finish;
pub mod held;
pub mod holding;
pub mod hole;
pub mod learned;
pub mod life;
pub mod motion;
pub mod nose;
pub mod pull;
pub mod queue;
pub mod registry;
pub mod sizes;
pub mod skin;
pub mod spread;
pub mod station;
pub mod thread;
pub mod tolerance;
pub mod weight;
pub mod whirl;
pub mod worth;

/// The figures lie outside the range in which a formula holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OutOfRange;

impl fmt::Display for OutOfRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the figures lie outside the range of the formula")
    }
}

impl std::error::Error for OutOfRange {}
