#![doc = include_str!("surface_speed_unclamped.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::control::CodeSystem;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what != What::SurfaceSpeedUnclamped {
        return;
    }
    let word = if moment.setup.control.code_system == CodeSystem::A { "G50" } else { "G92" };
    out.found(
        "Constant surface speed is called for with no highest speed: near the axis the spindle goes to its top speed, bar and all.",
        format!("Clamp the speed first, such as {word} S2500, at what the bar, the chuck and their support allow."),
    );
}
