//! Decides: bar division, cuts, program, limits; and gives the whole answer.
//!
//! **Invariant:** this crate does not know how an answer looks. It counts by arithmetic
//! (`calc::bar`); the proof of its program counts by running it.
//!
//! Read in this order: [`bar`] (the division), [`process`] (what is cut, in the nouns of
//! [`cuts`], with speeds, feeds and depths that may be chosen: [`choice`]), [`acts`] (everything the
//! lathe does, in order), [`time`] (how long that takes), [`mechanics`] (what each cut asks of drive,
//! chuck, bar and edge), [`edges`], [`pull`], [`spindle`] and [`skin`] (what follows for them), [`checks`]
//! (all of that against its limits), [`learned`] (figures of the shop's own records), [`program`] (as text), [`walk_away`] (how long one may leave),
//! [`answer`] (all of it), [`alternatives`] (the same with more or fewer parts to an advance).
#![forbid(unsafe_code)]

pub mod acts;
pub mod alternatives;
pub mod answer;
pub mod bar;
pub mod checks;
pub mod choice;
pub mod cuts;
pub mod drift;
pub mod edges;
pub mod learned;
pub mod mechanics;
pub mod process;
pub mod program;
pub mod pull;
pub mod skin;
pub mod spindle;
pub mod time;
pub mod walk_away;

pub use answer::{Answer, plan};
