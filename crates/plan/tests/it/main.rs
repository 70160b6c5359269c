//! The tests of this package, as one program.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test stops where its own input is wrong")]

mod alternatives;
mod bar;
mod choice;
mod cuts;
mod examples;
mod folder;
mod gallery;
mod holes;
mod learned;
mod loads;
mod mechanics;
mod programs;
mod shop;
mod skin;
mod spindle;
mod works;
