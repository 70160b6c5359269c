//! The keys of tools that work on the axis, into the face of the bar.

use super::ToolKind;
use crate::Length;
use crate::files::keys::Keys;

pub(super) fn diameter(keys: &Keys<'_>) -> Option<Length> {
    let meaning = "diameter of a drill or reamer, nominal diameter of a tap";
    keys.length("diameter", meaning, Length::from_um(100)..=Length::from_mm(200)).optional()
}

pub(super) fn point_angle(keys: &Keys<'_>, kind: ToolKind) -> f64 {
    let meaning = "angle of the point of a drill or thread edge";
    keys.number("point_angle", meaning, "degrees", 20.0..=180.0).or(usual_point(kind))
}

pub(super) fn peck(keys: &Keys<'_>) -> Option<Length> {
    let meaning = "deepest peck of a drill; left out, one stroke up to three diameters and pecks of one diameter beyond";
    keys.length("peck", meaning, Length::from_um(10)..=Length::from_mm(500)).optional()
}

pub(super) fn chamfer(keys: &Keys<'_>) -> Option<Length> {
    let meaning = "length of the chamfered start of a reamer or tap";
    keys.length("chamfer", meaning, Length::ZERO..=Length::from_mm(100)).optional()
}

pub(super) fn reach(keys: &Keys<'_>) -> Option<Length> {
    let meaning = "depth that it reaches: a blade from the outside, other tools in a hole";
    keys.length("reach", meaning, Length::from_um(100)..=Length::from_mm(500)).optional()
}

/// Common practice: a jobber drill, a spot drill that also breaks an edge, the ISO thread. Reamers and
/// taps have no point.
const fn usual_point(kind: ToolKind) -> f64 {
    match kind {
        ToolKind::SpotDrill => 90.0,
        ToolKind::Threading => 60.0,
        ToolKind::Reamer | ToolKind::Tap => 180.0,
        _ => 118.0,
    }
}
