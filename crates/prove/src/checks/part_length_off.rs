#![doc = include_str!("part_length_off.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::Length;

/// Below this a difference comes from rounding, not from the program.
const ROUNDING: Length = Length::from_um(1);

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::PartedOff(piece) = moment.what else { return };
    let setup = moment.setup;
    let what = "the length of the parts";
    if piece.is_none() && moment.before.unknown_word {
        let why = "a word that no file explains may have drawn the bar; parts are counted all the same";
        return out.unproven(what, why);
    }
    let Some(piece) = out.known(piece, what, "the width of the parting tool") else { return };
    let Some(part) = out.known(setup.part.as_ref(), what, "the part (a job)") else { return };
    let off = piece - part.finished;
    if off.abs() <= ROUNDING {
        return;
    }
    let which = if off.is_negative() { "short" } else { "long" };
    out.found(
        format!(
            "The part that falls here is {} long, {} too {which}: the drawing says {}.",
            shown(setup, piece),
            shown(setup, off.abs()),
            shown(setup, part.finished)
        ),
        "Check the place of this cut, the corner of the blade it means, and that the front was faced.",
    );
}
