//! The tests of this package, as one program.

mod arithmetic;
mod checks;
mod compiled;
mod control_terms;
#[path = "../holds/holds.rs"]
mod holds;
mod large;
mod programs;
mod properties;
mod reader;
mod terms;
