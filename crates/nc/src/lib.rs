//! Reads and writes NC text as one control file says.
//!
//! **Invariant:** this crate knows no machine in motion and no physics, and no control's name
//! stands here: what differs between controls comes in as [`model::files::Control`].
//!
//! Read in this order: [`tree`] (what a file says), [`read`] (text to tree), [`expression`]
//! (values of terms), [`codes`] (what a G word means), [`blocks`] (blocks made ready to run), [`program`] (numbers and jumps), [`write`]
//! (words and text for a control).
#![forbid(unsafe_code)]

pub mod blocks;
pub mod codes;
pub mod decimal;
pub mod expression;
pub mod program;
pub mod read;
pub mod tree;
pub mod write;
