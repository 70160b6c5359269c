//! Kinds that are not found today, each with the reason. The tests fail when one of them is found:
//! then its line goes.

/// The kind, and why it is not found.
pub static NOT_YET: &[(&str, &str)] = &[
    ("one_of_several_not_parted", "a cut to the axis behind an uncut part counts as its end"),
    ("finish_x_as_radius", "the part is not compared with its drawing yet"),
    ("arc_turned_over", "the part is not compared with its drawing yet"),
    ("nose_offset_to_wrong_side", "the part is not compared with its drawing yet"),
    ("nose_offset_missing", "the part is not compared with its drawing yet"),
];

/// Why a kind is not found yet; none where it must be.
pub fn why(name: &str) -> Option<&'static str> {
    NOT_YET.iter().find(|(kind, _)| *kind == name).map(|(_, why)| *why)
}
