//! The tests of this package, as one program.

mod drawn;
mod outside;
mod refused;
#[path = "../writer/mod.rs"]
mod writer;
