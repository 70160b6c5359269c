//! Kinds that are not found today, each with the reason. The tests fail when one of them is found:
//! then its line goes.

/// The kind, and why it is not found.
pub static NOT_YET: &[(&str, &str)] = &[
    ("wrong_direction", "no file says yet which way the spindle turns for a tool"),
    ("one_of_several_not_parted", "a cut to the axis behind an uncut part counts as its end"),
    ("point_missing_beyond_travel", "where the travels of the axes end is not known yet"),
    ("retract_dropped", "the turret is no shape yet: nobody knows what it swings through"),
    ("finish_x_as_radius", "the part is not compared with its drawing yet"),
    ("feed_tenfold", "feeds are not compared with those of the tool yet"),
    ("arc_turned_over", "the part is not compared with its drawing yet"),
    ("nose_offset_to_wrong_side", "the part is not compared with its drawing yet"),
    ("nose_offset_missing", "the part is not compared with its drawing yet"),
    (
        "turning_tool_is_the_gripper",
        "the gripper is no shape yet: it only meets the bar at the axis",
    ),
];

/// Why a kind is not found yet; none where it must be.
pub fn why(name: &str) -> Option<&'static str> {
    NOT_YET.iter().find(|(kind, _)| *kind == name).map(|(_, why)| *why)
}
