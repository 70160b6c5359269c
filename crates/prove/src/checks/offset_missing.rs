#![doc = include_str!("offset_missing.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let works = matches!(moment.what, What::Cut(_) | What::Pulled { .. } | What::GripperOn { .. });
    if works && moment.before.tool.station.is_some() && moment.before.offset == 0 {
        out.found(
            "The tool works with no offset in force: its tip is not where the program believes it.",
            "Call the station with its offset, such as T0303, before it comes to the bar.",
        );
    }
}
