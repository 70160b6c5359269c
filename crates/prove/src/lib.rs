//! Runs a program on a virtual lathe for a whole bar and says what could go wrong.
//!
//! **Invariant:** this crate does not know how a program was planned: it counts and places by
//! running the text. It never uses the planner's bar arithmetic (`calc::bar`).
//!
//! Read in this order: [`setup`] (what is known), [`event`] (what can happen), [`interpreter`]
//! (the control), [`nose`] (the offset it cuts with), [`lathe`] (the machine), [`run`] (both together), [`count`] and [`reentry`]
//! (what a reset does), [`checks`] (the hazards), [`proof`] (all of it).
#![forbid(unsafe_code)]

pub mod action;
pub mod checks;
pub mod count;
pub mod event;
pub mod form;
pub mod instant;
pub mod interpreter;
pub mod lathe;
mod limits;
pub mod loads;
pub mod metal;
pub mod nose;
pub mod playback;
pub mod proof;
mod recurrence;
pub mod reentry;
pub mod report;
pub mod run;
pub mod setup;
mod text;

pub use proof::{Proof, prove};
pub use setup::Setup;
