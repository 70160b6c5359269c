//! The program around the engine: commands, disk, terminal, and the JSON that scripts rely on.
//!
//! **Invariant:** no formula stands here; this package calls the engine and shows what it says.
//!
//! Read in this order: [`commands`], [`files`], `attend`, [`pages`], [`term`], [`json`], [`serve`].
#![forbid(unsafe_code)]

mod attend;
pub mod commands;
pub mod files;
pub mod json;
pub mod pages;
pub mod serve;
pub mod term;
