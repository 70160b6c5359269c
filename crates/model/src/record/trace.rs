//! From a part's time to its bar's heat number, and from a heat number to its parts.

use super::event::{Loaded, Recorded, What};
use super::name::Name;
use super::stamp::Stamp;
use super::state::State;
use super::{Corrections, LatheNow};
use std::collections::BTreeMap;

/// One bar in one spindle, and the parts that came of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarRun {
    /// The lathe.
    pub lathe: Name,
    /// The job that the parts were made for.
    pub job: Option<Name>,
    /// What was recorded of the bar.
    pub loaded: Loaded,
    /// Who loaded it.
    pub person: Option<Name>,
    /// From when it was in the spindle.
    pub from: Stamp,
    /// Until when; none where it still is, or where the events end.
    pub until: Option<Stamp>,
    /// Parts made of it.
    pub made: u32,
    /// First and last part.
    pub parts_between: Option<(Stamp, Stamp)>,
}

/// The bars of the lathes in these events, in the order in which they ended; bars still in a spindle come last.
/// The events must come in their order. What a bar's rack item says of it is known where the events have it.
pub fn bars<'r>(
    recorded: impl Iterator<Item = &'r Recorded>,
    corrections: &Corrections,
) -> Vec<BarRun> {
    let mut state = State::default();
    let mut runs = Runs::default();
    for recorded in recorded {
        state.take(recorded, corrections);
        let Some(counts) = corrections.effective(recorded) else { continue };
        let event = &counts.event;
        let Some(lathe) = &event.lathe else { continue };
        let Some(now) = state.lathes.get(lathe) else { continue };
        let time = recorded.order.time;
        match &event.what {
            What::BarLoaded(_) => {
                runs.end(lathe, time);
                runs.begin(lathe, now, event.person.as_ref(), time, 0);
            }
            What::BarEnded { .. } => runs.end(lathe, time),
            What::PartsMade { .. } | What::CountRead { .. } => runs.step(lathe, now, time),
            // A bar that stays in the spindle while the job changes gives parts of both.
            What::SetUpDone(_) => {
                if let Some(made) = now.bar.as_ref().map(|bar| bar.made) {
                    runs.end(lathe, time);
                    runs.begin(lathe, now, event.person.as_ref(), time, made);
                }
            }
            _ => {}
        }
    }
    runs.ended.extend(runs.open.into_values().map(|(run, _)| run));
    runs.ended
}

/// The bars in the spindles, each with its parts that belong to a job before, and those that ended.
#[derive(Default)]
struct Runs {
    open: BTreeMap<Name, (BarRun, u32)>,
    ended: Vec<BarRun>,
}

impl Runs {
    fn end(&mut self, lathe: &Name, time: Stamp) {
        if let Some((run, _)) = self.open.remove(lathe) {
            self.ended.push(BarRun { until: Some(time), ..run });
        }
    }

    fn begin(
        &mut self,
        lathe: &Name,
        now: &LatheNow,
        person: Option<&Name>,
        from: Stamp,
        before: u32,
    ) {
        let Some(bar) = &now.bar else { return };
        let run = BarRun {
            lathe: lathe.clone(),
            job: now.job.clone(),
            loaded: bar.loaded.clone(),
            person: person.cloned(),
            from,
            until: None,
            made: 0,
            parts_between: None,
        };
        self.open.insert(lathe.clone(), (run, before));
    }

    fn step(&mut self, lathe: &Name, now: &LatheNow, time: Stamp) {
        let Some(bar) = &now.bar else { return };
        if !self.open.contains_key(lathe) {
            self.begin(lathe, now, None, bar.since, 0);
        }
        if let Some((run, before)) = self.open.get_mut(lathe) {
            let made = bar.made.saturating_sub(*before);
            if made > run.made {
                let first = run.parts_between.map_or(time, |(first, _)| first);
                run.parts_between = Some((first, time));
            }
            run.made = made;
        }
    }
}
