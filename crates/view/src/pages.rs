//! Pages as text: each is a function from an answer, and what may be edited, to HTML. What they look
//! like and why stands in `docs/design-language.md`.
//!
//! **Invariant:** no page holds a script or a style of its own; both come from [`assets`], so that a
//! strict content policy holds. Every text goes through the escaping writer.
//!
//! Read in this order: [`role`] (who may do what), [`frame`] (a whole document), [`marks`] (states), [`field`] (what is
//! edited), [`drawn`] (a picture inside a page), [`ruler`] and [`band`] (the head of every page of a job), [`working`]
//! (a check with its figures), [`questions`], [`job`], [`part`], [`given`], [`program`], [`folder`], [`tour`],
//! [`devices`]; [`chart`] and [`sheets`] (pictures that are read and papers on a page), [`price`], [`loading`]; of the
//! pages about the whole shop [`floor`] (times, forms and what they share), [`lathe`], [`sizes`], [`rack`],
//! [`attended`] (a shop with its timetable), `lane`, [`shop`], [`visits`].

pub mod assets;
pub mod attended;
pub mod band;
mod chart;
pub mod devices;
pub mod drawn;
pub mod field;
pub mod floor;
pub mod folder;
pub mod frame;
pub mod given;
pub mod job;
mod lane;
pub mod lathe;
pub mod loading;
pub mod marks;
pub mod part;
pub mod price;
pub mod program;
pub mod questions;
pub mod rack;
pub mod role;
pub mod ruler;
mod say;
mod sheets;
pub mod shop;
pub mod sizes;
pub mod tour;
pub mod visits;
pub mod working;

pub use field::{Field, Fields};
pub use frame::Frame;
pub use role::Role;
