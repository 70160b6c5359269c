#![doc = include_str!("drill_off_axis.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::Length;
use model::files::keys::Choice as _;

/// How far from the axis a drill may stand.
const ON_AXIS: Length = Length::from_um(50);

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let (before, setup) = (moment.before, moment.setup);
    let Some(kind) = before.tool.kind.filter(|kind| kind.on_axis()) else { return };
    if motion.to.z >= motion.from.z {
        return;
    }
    let off = motion.from.r.abs().max(motion.to.r.abs());
    if off <= ON_AXIS {
        return;
    }
    let what = "whether a drill beside the axis meets the bar";
    let Some(bar) = out.known(setup.bar.as_ref(), what, "the bar") else { return };
    let Some(front) = out.known(before.bar.front, what, "where the bar's face stands (a job)") else { return };
    if motion.to.z < front && motion.from.r.abs().min(motion.to.r.abs()) < bar.reach() {
        out.found(
            format!(
                "The {} goes into the bar {} beside the axis.",
                kind.word().replace('-', " "),
                shown(setup, off)
            ),
            "Bring it to X0, and check X of its offset.",
        );
    }
}
