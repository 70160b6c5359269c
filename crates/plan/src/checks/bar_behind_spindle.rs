//! A blank that hangs out behind the spindle; the page is the prover's.

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let bar = planned.bar;
    let longest = bar.blank + bar.tolerance;
    let units = planned.job.file.units;
    out.line(Line {
        value: Spread::exact(longest.mm()),
        limit: Limit::Most(bar.longest_blank.mm()),
        unit: "mm",
        source: "length of the bar's way through the spindle (lathe file)",
        message: format!(
            "A blank may be {} long, its tolerance included; beyond {} it hangs out behind the spindle.",
            longest.shown(units),
            bar.longest_blank.shown(units)
        ),
        remedy: "Saw the blanks shorter.",
        key: "bar.length",
    });
}
