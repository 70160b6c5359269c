//! What the sizes of gauged parts say: charts, run rules, capability, drift by wear, the next move of
//! an offset, how long one may go without gauging.
//!
//! Sizes are exact [`Length`](model::Length)s with the number of the part on which each was taken;
//! their sums are sums of whole nanometers. Everything here is a pure function of such a series.
//!
//! Read in this order: [`series`], [`summary`], [`range`], [`groups`], [`chart`], [`rules`], [`outliers`],
//! [`trend`], [`offset`], [`gauging`], [`capability`], [`attribute`], [`faults`], [`review`] (all of them in their
//! order, for one size).

pub mod attribute;
pub mod capability;
pub mod chart;
pub mod faults;
pub mod gauging;
pub mod groups;
pub mod offset;
pub mod outliers;
pub mod range;
pub mod review;
pub mod rules;
pub mod series;
pub mod summary;
pub mod trend;

#[cfg(test)]
pub(crate) mod noise;
#[cfg(test)]
mod simulated;

pub use series::{Band, Moved, Reading};
