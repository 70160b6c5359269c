#![doc = include_str!("nose_overcut.md")]

use crate::event::{Moment, What};
use crate::nose::Trouble;
use crate::report::{Out, shown};

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::Nose(trouble) = moment.what else { return };
    let message = match trouble {
        Trouble::ArcTooSmall { by } => format!(
            "The nose is larger than this inside arc by {}: the control stops here, or cuts too much.",
            shown(moment.setup, by)
        ),
        Trouble::Overcut => {
            "The nose does not fit between this move and the ones about it: it would cut into them."
                .to_owned()
        }
        _ => return,
    };
    out.found(message, "Use a smaller nose here, or give the contour more room.");
}
