#![doc = include_str!("part_length_off.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::{Length, Level};

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
    let (longer, shorter) = setup
        .drawing
        .as_ref()
        .map_or((ROUNDING, -ROUNDING), crate::form::profile::length_deviations);
    if off.abs() <= ROUNDING || part.finished == piece {
        return;
    }
    let which = if off.is_negative() { "short" } else { "long" };
    let (piece, by) = (shown(setup, piece), shown(setup, off.abs()));
    let nominal = shown(setup, part.finished);
    let remedy = "Check the place of this cut, the corner of the blade it means, and that the front was faced.";
    if off <= longer && off >= shorter {
        let message = format!(
            "The part that falls here is {piece} long, {by} from the drawing's {nominal}, within what the drawing allows."
        );
        return out.lesser(Level::Note, message, remedy);
    }
    let general = setup.drawing.as_ref().is_some_and(|drawing| {
        drawing.length_deviations == (Length::ZERO, Length::ZERO)
    });
    let by_what = if general { " (general tolerance, ISO 2768-1 medium)" } else { "" };
    let allowed = if off.is_negative() { -shorter } else { longer };
    out.found(
        format!(
            "The part that falls here is {piece} long, {by} too {which}: the drawing says {nominal} and allows {}{by_what}.",
            shown(setup, allowed)
        ),
        remedy,
    );
}
