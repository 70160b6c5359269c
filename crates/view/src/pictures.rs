//! What is drawn. One picture a file.

mod axis;
pub mod bar_ruler;
pub mod cross_section;
pub mod cut_list;
pub mod good_runs;
pub mod gripper_stand;
pub mod labels;
pub mod lanes;
pub mod loading_cost;
pub mod loading_worth;
mod measures;
mod mirror;
pub mod part_drawing;
pub mod rack_bars;
pub mod size_chart;
pub mod size_spread;
pub mod spindle_limit;
