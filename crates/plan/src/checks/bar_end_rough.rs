#![doc = include_str!("bar_end_rough.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;
use model::files::job::BarEnds;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let condition = planned.job.file.bar.condition;
    let what = "whether the ends of the bar pass liner and gripper";
    let Some(ends) = condition.and_then(|condition| condition.ends) else {
        out.unproven(what, "the job does not say how the ends were made (`ends` under [bar.condition])");
        return;
    };
    let chamfered = match (ends, condition.and_then(|condition| condition.chamfered)) {
        (BarEnds::Parted, _) => true,
        (BarEnds::Sawn | BarEnds::Sheared, Some(chamfered)) => chamfered,
        (BarEnds::Sawn | BarEnds::Sheared, None) => {
            return out.unproven(
                what,
                "the job does not say whether the rear end has a chamfer (`chamfered` under [bar.condition])",
            );
        }
    };
    let message = match (ends, chamfered) {
        (_, true) => "The ends pass liner, gripper and jaws.",
        (BarEnds::Sheared, false) => {
            "The ends are sheared and not chamfered: what the shear pressed out can hang in the liner, hold the bar back from the gripper and keep the jaws from closing true."
        }
        (_, false) => {
            "The ends are sawn and not chamfered: the burr scrapes the liner, holds the bar back from the gripper and spoils rings and jaws."
        }
    };
    out.line(Line {
        value: Spread::exact(f64::from(u8::from(!chamfered))),
        limit: Limit::Most(0.0),
        unit: "",
        source: "common practice",
        message: message.to_owned(),
        remedy: "Chamfer both ends of every blank before it is loaded.",
        key: "bar.condition",
    });
}
