//! Pages as text: each is a function from an answer, and what may be edited, to HTML. What they look
//! like and why stands in `docs/design-language.md`.
//!
//! **Invariant:** no page holds a script or a style of its own; both come from [`assets`], so that a
//! strict content policy holds. Every text goes through the escaping writer.
//!
//! Read in this order: [`frame`] (a whole document), [`marks`] (states), [`field`] (what is edited),
//! [`ruler`] and [`band`] (the head of every page of a job), [`working`] (a check with its figures),
//! [`questions`], [`job`], [`given`], [`program`], [`folder`]; [`sheets`] and [`drawn`] (papers and pictures on a
//! page), [`price`], [`loading`]; of the pages about the whole shop [`floor`] (times, forms and what they share),
//! [`lathe`], [`sizes`], [`rack`].

pub mod assets;
pub mod band;
mod drawn;
pub mod field;
pub mod floor;
pub mod folder;
pub mod frame;
pub mod given;
pub mod job;
pub mod lathe;
pub mod loading;
pub mod marks;
pub mod price;
pub mod program;
pub mod questions;
pub mod rack;
pub mod ruler;
mod say;
mod sheets;
pub mod sizes;
pub mod working;

pub use field::{Field, Fields};
pub use frame::Frame;
