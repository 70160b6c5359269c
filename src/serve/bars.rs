//! Where the bars of a job are now, as the shop's log has it.

use super::Shared;
use super::ways::times;
use model::record::LatheNow;
use view::pages::ruler::{Bars, OnLathe};

impl Shared {
    /// The lathes that are set up for the job of this name, with what stands on them.
    pub(super) fn bars_of(&self, job: &str) -> Bars {
        let on = self.book.ask(|asked| {
            let times = times(asked.now());
            let for_job = |now: &LatheNow| {
                self.file_of(&now.set_up).and_then(|file| self.shelf.job_name(&file)).as_deref()
                    == Some(job)
            };
            let recorded = |now: &LatheNow| {
                let bar = now.bar.as_ref().map(|bar| bar.since);
                bar.max(bar.and(now.last_part)).map(|at| times.near(at)).unwrap_or_default()
            };
            let lathes = asked.state().lathes.iter().filter(|(_, now)| for_job(now));
            lathes
                .map(|(name, now)| OnLathe {
                    name: name.clone(),
                    now: now.clone(),
                    recorded: recorded(now),
                })
                .collect()
        });
        on.map_or(Bars::NoLog, Bars::Log)
    }
}
