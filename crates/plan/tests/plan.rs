//! The plan of the demo jobs: exact figures of the bar, programs as a machinist reads them, and
//! what holds for the cuts of any part.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its own input is wrong")]

#[path = "plan/alternatives.rs"]
mod alternatives;
#[path = "plan/bar.rs"]
mod bar;
#[path = "plan/choice.rs"]
mod choice;
#[path = "plan/cuts.rs"]
mod cuts;
#[path = "plan/gallery.rs"]
mod gallery;
#[path = "plan/holes.rs"]
mod holes;
#[path = "plan/mechanics.rs"]
mod mechanics;
#[path = "plan/programs.rs"]
mod programs;
#[path = "plan/shop.rs"]
mod shop;
#[path = "plan/skin.rs"]
mod skin;
