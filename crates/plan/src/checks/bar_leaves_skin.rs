#![doc = include_str!("bar_leaves_skin.md")]

use super::{Limit, Line, Out, Planned};
use crate::skin::{self, Standing, Stretch};
use model::Length;

/// What may leave skin, and why it cannot be told.
const WHAT: &str = "whether turning takes off all of the bar's skin";

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, units) = (planned.job, planned.job.file.units);
    let bar = &job.file.bar;
    let turned: Vec<Stretch> = skin::stretches(job)
        .into_iter()
        .filter(|stretch| !stretch.stays_raw(bar.shape, bar.size))
        .collect();
    if turned.is_empty() {
        return;
    }
    let standing = match Standing::of(job, planned.bar) {
        Ok(standing) => standing,
        Err(lack) => return out.unproven(WHAT, lack.why),
    };
    let Some((least, _)) = bar.limits_at(bar.size) else {
        return out.unproven(WHAT, lacks_tolerance(planned));
    };
    let needed = turned.iter().filter_map(|it| Some((it, standing.least_size(it)?)));
    let Some((stretch, needed)) = needed.max_by_key(|(_, needed)| (needed.high, needed.nominal))
    else {
        return out.unproven(WHAT, "the figures of `bow` and `over` are outside their range");
    };
    out.line(Line {
        value: needed.map(Length::mm),
        limit: Limit::Most(least.mm()),
        unit: "mm",
        source: "common practice: diameter + total run-out of the chuck + twice the bend in front of the jaws (calc::skin)",
        message: format!(
            "To turn {} all around takes a bar of {} ({} to {}): the chuck runs out, and the bar is bent where it stands out. The smallest that comes is {}.{}",
            stretch.limits.0.shown(units),
            needed.nominal.shown(units),
            needed.low.shown(units),
            needed.high.shown(units),
            least.shown(units),
            of_the_list(planned, &standing)
        ),
        remedy: "Take a larger or a straighter bar, a chuck that runs truer, or let the bar stand out less; a cylinder that may stay raw is written as large as the bar, with limits to either side.",
        key: "bar.size",
    });
}

/// Why the limits of the bar's size are not known.
pub(super) fn lacks_tolerance(planned: &Planned<'_>) -> String {
    let bar = &planned.job.file.bar;
    match &bar.tolerance {
        None => "the job file does not say the class of the bar's size (`tolerance` under [bar])".to_owned(),
        Some(class) => format!(
            "there is no {} at {} (`tolerance` under [bar])",
            class.name(),
            bar.size.shown(planned.job.file.units)
        ),
    }
}

/// What the stock list has for it, as a sentence; empty without a list.
fn of_the_list(planned: &Planned<'_>, standing: &Standing) -> String {
    let job = planned.job;
    if job.file.bar.sizes.is_empty() {
        return String::new();
    }
    match standing.smallest(job) {
        Some(size) => {
            format!(" The smallest size of the list that cleans up is {}.", size.shown(job.file.units))
        }
        None => " No size of the list cleans up.".to_owned(),
    }
}
