#![doc = include_str!("repeats_not_writable.md")]

use super::{Limit, Line, Out, Planned};
use crate::acts::Acts;
use crate::program::Family;
use calc::spread::Spread;
use model::Level;
use model::files::job::CountBy;

const MOST: f64 = 9999.0;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, bar) = (planned.job, planned.bar);
    if job.file.count.by != CountBy::Repeat {
        return;
    }
    let family = Family::of(job, bar);
    let repeats = f64::from(family.passes().saturating_sub(1));
    let call = family.repeats(&Acts::new(job, bar).writer());
    let digits = job.control.writing.program_digits as u32;
    let last = u64::from(job.file.program) + 2;
    let fits = (repeats == 0.0 || call.is_some()) && last < 10_u64.pow(digits);
    let line = Line {
        value: Spread::exact(repeats),
        limit: Limit::Most(MOST),
        unit: "",
        source: "form of a subprogram call with repeats (control file)",
        message: format!(
            "The control cannot be told to run O{last} {repeats:.0} times, by its digits or its form of the call."
        ),
        remedy: "Take a smaller program number, or count by \"variable\" or \"counter\".",
        key: "count.by",
    };
    out.judged(line, (!fits).then_some(Level::Stop));
}
