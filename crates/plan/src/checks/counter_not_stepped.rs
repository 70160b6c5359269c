#![doc = include_str!("counter_not_stepped.md")]

use super::{Limit, Line, Out, Planned};
use crate::program::Family;
use calc::spread::Spread;
use model::files::job::CountBy;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    if planned.job.file.count.by != CountBy::Counter {
        return;
    }
    let family = Family::of(planned.job, planned.bar);
    let (stepped, ended) = (family.is_stepped(), family.end().is_some());
    let message = if stepped {
        "The control's counter takes M2 and M30 for parts too: every new bar would start one part high."
    } else {
        "No word of the control file steps the part counter, so this program would run without end."
    };
    out.line(Line {
        value: Spread::exact(f64::from(u8::from(stepped && ended))),
        limit: Limit::Least(1.0),
        unit: "",
        source: "words that step the counter (control file)",
        message: message.to_owned(),
        remedy: "Add a function \"part-count\" whose word is in counted_by, or count by \"variable\".",
        key: "count.by",
    });
}
