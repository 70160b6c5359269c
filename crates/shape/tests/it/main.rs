//! The tests of this package, as one program.

mod common;
mod geos;
mod libraries;
mod measures;
mod robust;
mod same;
mod sampled;
