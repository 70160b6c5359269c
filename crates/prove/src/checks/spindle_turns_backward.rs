#![doc = include_str!("spindle_turns_backward.md")]

use crate::event::{Moment, What};
use crate::lathe::Direction;
use crate::report::Out;
use model::files::tools::{ToolKind, Turns};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let (before, setup) = (moment.before, moment.setup);
    let Some(told) = before.spindle.told else { return };
    let what = "whether the spindle turns the right way for each tool";
    let Some(tools) = out.known(setup.tools.as_ref(), what, "the tools file") else { return };
    let Some(station) = before.tool.station.and_then(|number| tools.station(number)) else { return };
    if matches!(station.kind, ToolKind::Gripper | ToolKind::BarStop) {
        return;
    }
    let drills = station.kind.on_axis();
    // A tap comes out while the spindle turns the other way.
    if moment.cuts_metal() == Some(false) || drills && motion.to.z >= motion.from.z {
        return;
    }
    let Some(turns) = station.takes.turns else { return };
    // Where a nose starts on the axis, its programmed tip stands beyond it by the nose's radius.
    let middle = (motion.from.r + motion.to.r).half() + station.nose_radius;
    let far = !drills && middle.is_negative();
    let wanted = match (turns, far) {
        (Turns::Forward, false) | (Turns::Reverse, true) => Direction::Forward,
        (Turns::Reverse, false) | (Turns::Forward, true) => Direction::Reverse,
    };
    if told != wanted {
        let word = |direction| if direction == Direction::Forward { "M3" } else { "M4" };
        out.found(
            format!(
                "The spindle turns as {} says, the wrong way for this tool: the metal comes at the back of its edge.",
                word(told)
            ),
            format!("Turn it with {}, or put `turns` of the tools file right.", word(wanted)),
        );
    }
}
