//! The tests of this package, as one program.

mod brute_force;
mod published;
mod trade;
