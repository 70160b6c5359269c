//! The tests of this package, as one program.

mod demos;
mod labels;
mod part_drawing;
mod ruler;
mod sheet;
mod spindle_limit;
