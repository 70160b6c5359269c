//! What is drawn. One picture a file.

pub mod bar_ruler;
pub mod cross_section;
pub mod gripper_stand;
mod measures;
mod mirror;
pub mod part_drawing;
pub mod spindle_limit;
