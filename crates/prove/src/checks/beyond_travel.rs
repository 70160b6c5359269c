#![doc = include_str!("beyond_travel.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::Length;
use model::files::lathe::TravelEnds;
use model::files::tools::Station;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let (before, after, setup) = (moment.before, moment.after, moment.setup);
    if before.position == after.position || matches!(moment.what, What::Struck { .. }) {
        return;
    }
    let what = "travel limits";
    let Some(lathe) = out.known(setup.lathe.as_ref(), what, "the lathe file") else { return };
    let at = after.position;
    let remedy = "Check X and Z of this move, the work offset and the length of the tool.";
    let Some(ends) = lathe.travel.ends else { return };
    let Some(jaw) = out.known(setup.jaw_face(), what, "the part and its advance (a job)") else { return };
    let station = setup.tools.as_ref().zip(before.tool.station);
    let station = station.and_then(|(tools, number)| tools.station(number));
    let turret = station.and_then(|station| turret_at(station, ends, at.r, at.z - jaw));
    let Some(turret) = turret else { return };
    let (x, z) = (turret.0 * 2, turret.1);
    let over = |at: Length, (least, most): (Length, Length)| (least - at).max(at - most);
    for (axis, over) in [("X", over(x, ends.x).half()), ("Z", over(z, ends.z))] {
        if over.is_positive() {
            let message = format!(
                "{axis} would have to go {} beyond the end of its travel here.",
                shown(setup, over)
            );
            return out.found(message, remedy);
        }
    }
}

/// Radius of the turret's rim and distance of its face from the jaw face, with the tip of a
/// station's tool at a place.
fn turret_at(station: &Station, ends: TravelEnds, r: Length, z: Length) -> Option<(Length, Length)> {
    let (rim, face) = (station.seat.beyond_rim?, station.seat.beyond_face?);
    Some((if ends.far_side() { r - rim } else { r + rim }, z + face))
}
