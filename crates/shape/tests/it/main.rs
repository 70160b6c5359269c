//! The tests of this package, as one program.

mod geos;
mod libraries;
mod measures;
mod robust;
mod same;
mod sampled;
mod turnings;
