#![doc = include_str!("gripper_slips.md")]

use super::{Limit, Line, Out, Planned};

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let drawn = match planned.pull {
        Ok(drawn) => drawn,
        Err(lack) => {
            return out.unproven("whether the gripper holds the bar while it draws", lack.why.clone());
        }
    };
    let Some(margin) = drawn.pulled.margin else { return };
    out.line(Line {
        value: margin,
        limit: Limit::Least(1.0),
        unit: "",
        source: "friction and acceleration against the hold of the gripper file",
        message: format!(
            "The fingers hold {:.0} N on this stub ({:.0} with burr and oil, {:.0} clean); to draw the fullest bar takes {:.0} N ({:.0} to {:.0}).",
            drawn.hold.nominal.n(),
            drawn.hold.low.n(),
            drawn.hold.high.n(),
            drawn.pulled.drag.nominal.n(),
            drawn.pulled.drag.low.n(),
            drawn.pulled.drag.high.n()
        ),
        remedy: "Fit stronger springs or other fingers, saw shorter blanks, or straighten the bar and clean the liner.",
        key: "bar.length",
    });
}
