//! The tests of this package, as one program.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    clippy::float_cmp,
    clippy::too_many_lines,
    clippy::case_sensitive_file_extension_comparisons,
    reason = "tests reckon the plain way, read and write their files, and stop where their world is wrong"
)]

mod arcs;
mod bar_programs;
mod contour;
mod cycles;
mod examples;
mod folder;
mod form;
mod form_features;
mod language;
mod motion_of_programs;
mod motions;
mod moves;
mod nc_checks;
mod nc_language;
mod nose;
mod nose_modes;
mod nose_oracles;
mod places;
mod playback;
mod programs;
mod reuse;
mod robust;
mod room;
mod tiny_reader;
