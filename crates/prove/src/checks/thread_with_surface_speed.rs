#![doc = include_str!("thread_with_surface_speed.md")]

use crate::action::Speed;
use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    if motion.lead.is_some() && matches!(moment.before.spindle.speed, Some(Speed::Surface(_))) {
        out.found(
            "This thread is cut at constant surface speed: every pass would turn at another speed, and none would meet the one before.",
            "Give a fixed speed (G97 S…) before the first pass of the thread.",
        );
    }
}
