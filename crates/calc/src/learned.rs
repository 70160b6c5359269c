//! What a shop's own records say of figures that a plan would else take from files: the cycle-time
//! factor, the life of edges, the gripper's repeatability, the time to load a bar.
//!
//! Each comes with its count, its spread and the range in which it lies; a plan uses it where the job file says
//! so ([`model::files::job::learned`]).
//!
//! Read in this order: [`estimate`], [`gripper`], [`edge`].

pub mod edge;
pub mod estimate;
pub mod gripper;

pub use edge::EdgeLife;
pub use estimate::Estimate;
pub use gripper::Repeatability;
