//! Turns answers into pictures, sheets and pages as text.
//!
//! **Invariant:** this crate knows no disk, no socket and no formula of the trade: it draws what
//! an answer says.
//!
//! Read in this order: [`scene`] (a drawing), [`svg`] (as SVG), [`sizes`] (what is measured),
//! [`pictures`] (what is drawn),
//! [`sheet`] (the set-up sheet as data), [`quote`] and [`loading`] (other papers of the same blocks), [`pages`] (what a
//! browser shows, as text).
#![forbid(unsafe_code)]

pub use maud::Markup;

pub mod loading;
pub mod pages;
pub mod pictures;
pub mod quote;
pub mod scene;
pub mod sheet;
pub mod sizes;
pub mod svg;
