#![doc = include_str!("thread_too_fast.md")]

use crate::event::{Moment, What};
use crate::lathe::turning;
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let Some(lead) = motion.lead else { return };
    let setup = moment.setup;
    let what = "whether the axis can follow the spindle in a thread";
    let Some(lathe) = out.known(setup.lathe.as_ref(), what, "the lathe file") else { return };
    let along = (motion.to.z - motion.from.z).abs() >= (motion.to.r - motion.from.r).abs();
    let rapid = if along { lathe.rapid.z } else { lathe.rapid.x };
    let axis = lathe.rapid.in_thread.unwrap_or(rapid);
    let (speed, most) = (turning(moment.after, setup), calc::thread::highest_speed(axis, lead));
    if speed.rpm() > most.rpm() * (1.0 + 1e-9) {
        out.found(
            format!(
                "At {:.0} rev/min this lead asks for {:.0} mm/min of the axis; it runs {:.0} mm/min at most.",
                speed.rpm(),
                speed.rpm() * lead,
                axis.mm_per_min()
            ),
            format!("Turn the thread at {:.0} rev/min at most.", most.rpm().floor()),
        );
    }
}
