//! Every published formula as a pure function: numbers in, numbers out.
//!
//! **Invariant:** this crate decides nothing and reads nothing. Each function states its formula,
//! the range in which it holds, its source, and the handbook file it is held to. What is counted
//! is computed with whole nanometers.
#![forbid(unsafe_code)]

pub mod bar;
pub mod motion;
pub mod pull;
pub mod registry;
pub mod weight;
