#![doc = include_str!("point_in_whole_number.md")]

use crate::event::{Moment, TextTrouble, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if let What::Text(TextTrouble::PointInWhole(letter)) = moment.what {
        out.found(
            format!("{letter} is a whole number here, and has a decimal point: controls alarm, or take another number."),
            "Write it without the point.",
        );
    }
}
