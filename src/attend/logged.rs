//! A shop as its log tells it: what is left in each bar, and when its lathe stands next.

use super::gather::Gathered;
use ::visits::course::{Begun, Course, Limit, Work};
use ::visits::setting::NotKnown;
use model::files::shop::Runs as Says;
use model::quantity::Seconds;
use model::record::event::Fills;
use model::record::{self, LatheNow, Name, Runs, Stamp, State, Tally};

/// The shop from `begin` on, with what its log says of each lathe in place of what its file says.
pub(crate) fn by_log(gathered: &Gathered, state: &State, begin: Stamp) -> Gathered {
    let mut told = gathered.clone();
    for index in 0..told.shop.lathes.len() {
        let name = told.shop.lathes[index].name.clone();
        let now = Name::parse(&name).and_then(|name| state.lathes.get(&name));
        let why = match now {
            None => Some(
                "the log has nothing of this lathe, so that the shop file's word is taken"
                    .to_owned(),
            ),
            Some(now) => {
                let order = now.job.as_ref().and_then(|job| state.order(job));
                told.lathe_by_log(index, now, order, begin).err()
            }
        };
        if let Some(why) = why {
            let what = "when it stands next".to_owned();
            told.not_known.push(NotKnown { lathe: name, what, why });
        }
    }
    told
}

impl Gathered {
    /// Takes over what the log says of a lathe; else why it cannot be.
    fn lathe_by_log(
        &mut self,
        index: usize,
        now: &LatheNow,
        order: Option<&Tally>,
        begin: Stamp,
    ) -> Result<(), String> {
        self.same_job(index, now)?;
        let (parts, at) = match &now.runs {
            Runs::NotKnown => {
                return Err(
                    "the log does not say whether it runs, so that the shop file's word is taken"
                        .to_owned(),
                );
            }
            Runs::Stopped(..) => (0, begin),
            Runs::Since(_) => {
                let due = record::visits(now, order);
                let timed = due.iter().find_map(|due| Some((due.parts, due.at?)));
                let (parts, at) = timed.ok_or(
                    "nobody recorded how long a part takes, so that the shop file's word is taken",
                )?;
                (parts.unwrap_or(0), at)
            }
        };
        let lathe = &mut self.shop.lathes[index];
        lathe.stands_in = Seconds::from_s(at.since(begin).s());
        if matches!(lathe.runs, Says::Job(_) | Says::Answer(_)) {
            let course = &mut self.courses[index];
            course.begun = begun(course, now, parts);
            if let Some(left) = order.and_then(Tally::left) {
                course.parts_left = Some(left.saturating_sub(parts));
            }
        }
        Ok(())
    }

    /// Whether the lathe is set up for the job that the shop file names, as far as both say it.
    fn same_job(&self, index: usize, now: &LatheNow) -> Result<(), String> {
        let file = |path: &str| path.rsplit(['/', '\\']).next().unwrap_or(path).to_owned();
        match (&self.shop.lathes[index].runs, &now.set_up.job_file) {
            (Says::Job(named), Some(set_up)) if file(named) != file(set_up.text()) => Err(format!(
                "the log says that it is set up for {}, and the shop file names {}",
                file(set_up.text()),
                file(named)
            )),
            _ => Ok(()),
        }
    }
}

/// What stands when so many more parts are made; none where a new bar is then loaded.
fn begun(course: &Course, now: &LatheNow, parts: u32) -> Option<Begun> {
    let bar = now.bar.as_ref()?;
    let in_bar = match now.left_in_bar() {
        Some(left) => course.parts_per_bar.saturating_sub(left.saturating_sub(parts)),
        None => bar.made.saturating_add(parts),
    };
    let known = |limit: &Limit| match limit.work {
        Work::Edge(station) => now.edges.get(&station).copied(),
        Work::Size(station) => now.drifted.get(&station).copied(),
        Work::Gauge => Some(now.not_gauged),
        Work::Catcher => now.fills.get(&Fills::Catcher).copied(),
        Work::Chips => now.fills.get(&Fills::Chips).copied(),
        Work::Load | Work::Look => None,
    };
    let since = |limit: &Limit| known(limit).map_or(0, |made| made.saturating_add(parts));
    Some(Begun { in_bar, since: course.limits.iter().map(since).collect() })
}
