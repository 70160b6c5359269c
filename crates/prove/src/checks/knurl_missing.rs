#![doc = include_str!("knurl_missing.md")]

use crate::event::{Moment, What};
use crate::report::{Out, shown};
use model::Length;
use model::files::job::FeatureKind;

/// How far before the end of a knurl its wheel may stop, and how far beyond it go.
const OFF: Length = Length::from_um(500);

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    let What::PartedOff(_) = moment.what else { return };
    let (before, setup) = (moment.before, moment.setup);
    let Some(drawing) = &setup.drawing else { return };
    let knurls = drawing.features.iter().enumerate();
    let mut knurls = knurls.filter(|(_, it)| it.kind == FeatureKind::Knurl && !it.later).peekable();
    if knurls.peek().is_none() {
        return;
    }
    let what = "whether the knurl of the drawing is rolled";
    let lacking = "where the bar's face stands, or its shape (a job)";
    let known = before.bar.front.filter(|_| before.shape.is_some());
    let Some(face) = out.known(known, what, lacking) else { return };
    for (index, knurl) in knurls {
        let (from, to) = (face - knurl.from, face - knurl.to);
        let rolled = before.knurled.is_some_and(|(rear, front)| rear <= to + OFF && front >= from - OFF);
        if !rolled {
            let where_it_ran = match before.knurled {
                Some((rear, front)) => format!(
                    "a wheel ran from {} to {} behind the front face",
                    shown(setup, (face - front).max(Length::ZERO)),
                    shown(setup, face - rear)
                ),
                None => "no wheel ran on the bar".to_owned(),
            };
            out.found(
                format!(
                    "The knurl of the drawing (feature {}) is not on the part that falls here: {where_it_ran}.",
                    index + 1
                ),
                "Roll the knurl over its whole length before the part is off.",
            );
        }
    }
    out.unproven(
        "how deep and how clean the knurl is",
        "a knurl raises the metal, and no file says by how much",
    );
}
