//! What an order costs, and what other ways of loading would cost.
//!
//! **Invariant:** every line of an account is whole cents, rounded once where a rate meets a time
//! ([`model::Money::times`]), and the sums are the sums of the lines. What has no price is named, never
//! counted as free.
//!
//! Read in this order: [`refusal`] (why there is no answer), [`course`] (how bars run through the lathe),
//! [`bought`] (the material for them), [`account`] (the lines), [`quote`] (prices by quantity),
//! [`certainty`] (how far they hold, by [`chance`]), [`spent`] (what it came to, from the log), [`loading`]
//! (ways of loading), [`sensitivity`].
#![forbid(unsafe_code)]

pub mod account;
pub mod bought;
pub mod certainty;
pub mod chance;
pub mod course;
pub mod loading;
pub mod quote;
pub mod refusal;
pub mod sensitivity;
pub mod spent;

pub use loading::{Loading, loading};
pub use quote::{Asked, Quote, prices, quote};
pub use refusal::Refusal;
