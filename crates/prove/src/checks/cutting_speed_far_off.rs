#![doc = include_str!("cutting_speed_far_off.md")]

use crate::action::Speed;
use crate::event::{Moment, What};
use crate::report::Out;
use model::files::tools::ToolKind;

/// So many times too fast or too slow is no choice but a mistake.
const FAR: f64 = 4.0;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Cut(motion) = moment.what else { return };
    let (before, setup) = (moment.before, moment.setup);
    if before.tool.kind.is_some_and(ToolKind::on_axis)
        && matches!(before.spindle.speed, Some(Speed::Surface(_)))
    {
        return out.found(
            "This tool stands on the axis, where a constant surface speed drives the spindle to its highest speed.",
            "Give a fixed speed (G97).",
        );
    }
    let cuts = matches!(before.tool.kind, Some(ToolKind::Turning | ToolKind::Parting));
    let (Some(tools), Some(bar), true) = (&setup.tools, &setup.bar, cuts && motion.lead.is_none())
    else {
        return;
    };
    let known = before.tool.station.and_then(|number| tools.station(number)?.speed);
    let (Some(known), Some(speed)) = (known, before.spindle.speed) else { return };
    // The largest diameter that is cut: what lies outside of the bar is air.
    let r = motion.from.r.abs().max(motion.to.r.abs()).min(bar.reach());
    let is = match speed {
        Speed::Surface(speed) => speed.m_per_min(),
        Speed::Fixed(speed) => std::f64::consts::TAU * r.m() * speed.rpm(),
    };
    let ratio = is / known.m_per_min();
    // A fixed speed is chosen for the largest diameter; smaller ones are cut slower.
    let too_slow = ratio * FAR < 1.0 && r * 2 >= bar.size.half();
    if ratio > FAR || too_slow {
        out.found(
            format!(
                "This cut runs at {is:.0} m/min; the tools file has {:.0} m/min for this tool.",
                known.m_per_min()
            ),
            "Check S, and whether it counts meters or feet a minute (G96) or turns a minute (G97).",
        );
    }
}
