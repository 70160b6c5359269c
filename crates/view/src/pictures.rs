//! What is drawn. One picture a file.

pub mod bar_ruler;
pub mod cross_section;
pub mod cut_list;
pub mod labels;
pub mod spindle_limit;
