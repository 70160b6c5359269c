#![doc = include_str!("pull_before_chuck_open.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::control::Does;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if !matches!(moment.what, What::Pulled { .. }) {
        return;
    }
    let (before, setup) = (moment.before, moment.setup);
    if before.now < before.chuck.done_at {
        let short = before.chuck.done_at - before.now;
        out.found(
            format!("The pull starts {short:.1} s before the chuck has opened: the gripper slides on the bar and the part comes out short."),
            "Dwell for the chuck's opening time before the pull, or use a word that the machine confirms.",
        );
    }
    let confirmed = setup.control.that(Does::ChuckOpen).is_some_and(|function| function.confirmed);
    if setup.lathe.is_none() && !confirmed {
        out.unproven("whether the chuck has opened before the pull", "the lathe file, with its opening time, is not given");
    }
}
