//! Cuts that ask more than drive, chuck or bar give: the same limits that a plan looks at, at the
//! block that breaks them.

use crate::event::{Moment, What};
use crate::loads::{LoadKind, Overload};
use crate::report::Out;
use calc::spread::Spread;
use model::Level;

/// Tells of one kind of overload.
pub(super) fn of(kind: LoadKind, most: Level, moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Overload(overload) = moment.what else { return };
    if overload.kind == kind {
        out.lesser(overload.level(most), message(&overload), remedy(kind));
    }
}

fn message(overload: &Overload) -> String {
    let Spread { low, nominal, high } = overload.value;
    let limit = overload.limit;
    match overload.kind {
        LoadKind::Power => {
            let [low, nominal, high, limit] = [low, nominal, high, limit].map(|w| w / 1000.0);
            format!(
                "This cut takes {nominal:.2} kW ({low:.2} to {high:.2}); at that speed the drive brings {limit:.2} kW to it."
            )
        }
        LoadKind::Torque => format!(
            "This cut takes {nominal:.1} N·m at the spindle ({low:.1} to {high:.1}); at that speed the drive gives {limit:.1} N·m."
        ),
        LoadKind::Grip => format!(
            "The grip at rest is {nominal:.2} times what this cut needs ({low:.2} to {high:.2}), with what speed takes and the factors of safety; it must be once at least."
        ),
        LoadKind::Turning => format!(
            "The jaws hold {nominal:.2} times the torque of this cut before the bar turns in them ({low:.2} to {high:.2}); they should hold {limit:.0} times."
        ),
        LoadKind::Sliding => format!(
            "The jaws hold {nominal:.2} times the force of this cut along the axis ({low:.2} to {high:.2}); they should hold {limit:.0} times."
        ),
        LoadKind::Tipping => format!(
            "The jaws hold {nominal:.2} times the moment by which this cut tips the bar out of them ({low:.2} to {high:.2}); they should hold {limit:.0} times."
        ),
        LoadKind::Lifting => format!(
            "The grip at speed is {nominal:.2} times that at which this cut lifts the bar off an edge of the jaws ({low:.2} to {high:.2}); below {limit:.0} the bar no longer runs true."
        ),
        LoadKind::Bending => format!(
            "Bending makes this diameter {nominal:.1} µm wrong where it bends most ({low:.1} to {high:.1}); the drawing allows {limit:.1} to either side."
        ),
        LoadKind::Speed => format!(
            "At the speed of this cut {nominal:.0} % of the grip is lost ({low:.0} to {high:.0}); more than {limit:.0} % leaves too little."
        ),
    }
}

const fn remedy(kind: LoadKind) -> &'static str {
    match kind {
        LoadKind::Power | LoadKind::Torque => {
            "Take less depth or feed, or a speed at which the drive has its full power."
        }
        LoadKind::Grip | LoadKind::Turning | LoadKind::Sliding => {
            "Take less depth or feed, lower the speed, or raise the grip as far as the chuck's manual allows."
        }
        LoadKind::Tipping | LoadKind::Lifting => {
            "Let the bar stand out less, or take less depth or feed."
        }
        LoadKind::Bending => {
            "Leave less for finishing, take a smaller nose radius, or let the bar stand out less."
        }
        LoadKind::Speed => "Lower the speed, or fit lighter jaws.",
    }
}
