#![doc = include_str!("index_while_gripping.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::Indexed { to, .. } = moment.what
        && moment.before.gripped.is_some()
    {
        out.found(
            format!("The turret swings to station {to} while the gripper is on the bar."),
            "Take the gripper off and to a safe point before the next tool is called.",
        );
    }
}
