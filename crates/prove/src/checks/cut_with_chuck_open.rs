#![doc = include_str!("cut_with_chuck_open.md")]

use crate::event::{Moment, What};
use crate::report::Out;
use model::files::tools::ToolKind;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let before = moment.before;
    if !matches!(moment.what, What::Cut(_)) || before.tool.kind == Some(ToolKind::BarStop) {
        return;
    }
    let chuck = before.chuck;
    if chuck.open || before.now < chuck.done_at {
        out.found(
            "A cut starts while the chuck does not hold the bar.",
            "Close the chuck and wait its closing time before cutting.",
        );
    }
}
