#![doc = include_str!("coolant_never_on.md")]

use crate::event::{Moment, What};
use crate::lathe::Coolant;
use crate::report::Out;
use model::files::control::Does;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::Function(Does::CoolantOff)
        && moment.before.coolant == Coolant::OffInACut {
        out.found(
            "Coolant is turned off here, and none of the cuts before had any.",
            "Turn it on before the first cut, or take this word out where the part is cut dry.",
        );
    }
}
