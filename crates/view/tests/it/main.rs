//! The tests of this package, as one program.

mod demos;
mod labels;
mod lanes;
mod part_drawing;
mod ruler;
mod sheet;
mod size_chart;
mod spindle_limit;
