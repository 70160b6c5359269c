//! What is drawn. One picture a file.

pub mod bar_ruler;
pub mod cross_section;
pub mod spindle_limit;
