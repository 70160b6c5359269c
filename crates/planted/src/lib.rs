//! Plants known mistakes into good programs and scores what the proof finds.
//!
//! For developers only; nothing depends on it. `cargo run --release -p barwright-planted` writes
//! `docs/proof.md`.
//!
//! **Invariant:** whether a mistake is harmful where it is planted is judged from the files of the
//! shop and the text, never by asking the prover.
//!
//! Read in this order: [`good`] (what is planted into), [`reading`] (which line does what),
//! [`kinds`] (the mistakes), [`score`] (what is found), [`page`] (how it is told).
#![forbid(unsafe_code)]

pub mod edit;
pub mod good;
pub mod kinds;
pub mod page;
pub mod parts;
pub mod reading;
pub mod score;
pub mod seed;
pub mod source;
