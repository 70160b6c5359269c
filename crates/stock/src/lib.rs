//! The cut list: which blanks are sawn from which stock bars and remnants, cheapest in material and loading.
//!
//! **Invariant:** what is called proven is proven in whole numbers; binary figures only show where to look.
//!
//! Read in this order: [`group`], [`cut_list`], [`problem`], [`solve`], `relaxed`, `fill`, `least`, `pack`.
#![forbid(unsafe_code)]

pub mod cut_list;
mod fill;
pub mod group;
mod least;
mod pack;
pub mod problem;
mod relaxed;
pub mod solve;

pub use cut_list::{CutList, NoCutList, cut};
pub use group::{Group, Lot, Section, Want};
