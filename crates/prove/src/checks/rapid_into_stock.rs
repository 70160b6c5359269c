#![doc = include_str!("rapid_into_stock.md")]

use crate::event::{Moment, Motion, What};
use crate::metal::{Against, Part};
use crate::report::{Out, shown};
use model::files::tools::ToolKind;
use model::{Length, Level};

/// What a leaning edge leaves of a shoulder.
const SLIVER: Length = Length::from_um(200);

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::Move(motion) = moment.what
        && to_the_axis_behind_the_front(&motion, moment)
    {
        return out.found(
            "The tool goes to the axis at rapid, where the bar is.",
            "Move clear of the metal first, or go there at feed.",
        );
    }
    let What::Struck { strike, rapid: true } = moment.what else { return };
    if strike.against != Against::Bar {
        return;
    }
    let setup = moment.setup;
    let part = match strike.part {
        Part::Edge => "The tool",
        Part::Holder => "The holder",
        _ => return,
    };
    let level = if strike.depth > SLIVER { Level::Stop } else { Level::Caution };
    out.lesser(
        level,
        format!(
            "{part} goes {} deep into the bar at rapid, at X{} Z{}.",
            shown(setup, strike.depth),
            strike.at.r.text(setup.units, setup.units.decimals()),
            strike.at.z.text(setup.units, setup.units.decimals()),
        ),
        "Move clear of the metal first, or go there at feed.",
    );
}

/// Whether a tool from outside goes to the axis at rapid behind the bar's front, where the bar is
/// followed along its axis only and no shape tells.
fn to_the_axis_behind_the_front(motion: &Motion, moment: &Moment<'_>) -> bool {
    const NEAR: Length = Length::from_um(500);
    let before = moment.before;
    let from_outside =
        matches!(before.tool.kind, Some(ToolKind::Turning | ToolKind::Parting | ToolKind::Grooving));
    let (Some(front), Some(bar)) = (before.bar.front, &moment.setup.bar) else { return false };
    let crosses = motion.from.r.is_negative() != motion.to.r.is_negative();
    motion.rapid
        && from_outside
        && before.shape.is_none()
        && motion.from.z == motion.to.z
        && motion.to.z < front
        && motion.from.r.abs() >= bar.reach()
        && (crosses || motion.to.r.abs() <= NEAR)
}
