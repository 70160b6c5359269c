#![doc = include_str!("bar_larger_than_needed.md")]

use super::{Limit, Line, Out, Planned};
use crate::skin::{self, Standing};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, units) = (planned.job, planned.job.file.units);
    let bar = &job.file.bar;
    // Without a list nobody asked; what the figures lack is filed with the skin.
    if bar.sizes.is_empty() {
        return;
    }
    let Ok(standing) = Standing::of(job, planned.bar) else { return };
    let Some(smallest) = standing.smallest(job) else { return };
    let (now, then) = (planned.bar.mass.kg(), skin::mass_in(job, planned.bar, smallest).kg());
    let share = 100.0 * (1.0 - smallest.mm() * smallest.mm() / (bar.size.mm() * bar.size.mm()));
    out.line(Line {
        value: Spread::exact(bar.size.mm()),
        limit: Limit::Most(smallest.mm()),
        unit: "mm",
        source: "the smallest size of the stock list that cleans up (calc::skin)",
        message: format!(
            "{} of the list is enough for this part: the blanks of the order would weigh {then:.1} kg and not {now:.1}, which saves {share:.0} % of the material. Jaws or collet, liner and gripper must take that size too; plan it anew.",
            smallest.shown(units)
        ),
        remedy: "Take the smaller bar, or take sizes that you do not want off the list.",
        key: "bar.sizes",
    });
}
