//! What the events of one job at one lathe teach: cycles, loads, pulls and edges, each beside what was planned.

use calc::learned::edge::{End, Use};
use calc::learned::{EdgeLife, Estimate, Repeatability, estimate};
use model::Length;
use model::files::Job;
use model::files::job::Learned;
use model::files::job::learned::{FEWEST_CYCLES, FEWEST_LOADS, FEWEST_PULLS, FEWEST_WORN};
use model::quantity::Seconds;
use model::record::event::{EdgeWhy, Event, Reading, What};
use model::record::{Corrections, Name, Recorded, Stamp};
use std::collections::BTreeMap;

use super::gauged::CONFIDENCE;

/// Single cycles that scatter more than this share of their mean were not told when they ended.
const LOOSEST: f64 = 0.2;

/// How far a recorded time of a part may be from the plan's and still be of this plan.
const SAME_PLAN: f64 = 0.005;

/// What the plan says, with nothing learned in it.
#[derive(Debug, Clone)]
pub(crate) struct Base {
    /// Time of one advance.
    cycle: Seconds,
    /// Time of one part, as a set-up may have been told it: with nothing learned, and as the job now counts.
    parts: [Seconds; 2],
    per_advance: u32,
    /// How far a pull draws the bar.
    advance: Length,
    /// Cutting time of each station for one part; none where the job chooses its data.
    cutting: Option<BTreeMap<u32, Seconds>>,
}

impl Base {
    pub(crate) fn of(job: &Job) -> Base {
        let mut plain = job.clone();
        plain.file.learned = Learned::default();
        let answer = plan::plan(&plain);
        let factor = job.file.learned.cycle.as_ref().filter(|it| it.records.used);
        let factor = factor.map_or(1.0, |it| it.factor);
        let per_advance = answer.bar.division.parts_per_advance.max(1);
        let cycle = answer.times.cycle;
        let part = cycle * (1.0 / f64::from(per_advance));
        let chosen = job.file.cutting.choose != model::files::job::Choose::AsGiven;
        let cutting = answer.edges.iter().map(|edge| (edge.station, edge.cutting)).collect();
        Base {
            cycle,
            parts: [part, part * factor],
            per_advance,
            advance: answer.bar.division.advance(),
            cutting: (!chosen).then_some(cutting),
        }
    }

    fn made(&self, part_time: Seconds) -> bool {
        self.parts.iter().any(|part| (part_time.s() / part.s() - 1.0).abs() <= SAME_PLAN)
    }
}

/// What was found in the events.
#[derive(Debug, Clone, Default)]
pub(crate) struct Records {
    cycles: Vec<Seconds>,
    loads: Vec<Seconds>,
    pulled: Vec<Length>,
    edges: BTreeMap<u32, Vec<(u32, End)>>,
    /// Stretches of parts that were told several advances at once.
    at_once: u32,
    /// Bars of which nobody told the end before the next was loaded.
    ends_untold: u32,
    /// Edges of which nobody told when they began.
    begun_untold: u32,
    /// Set-ups that were told with another plan than the job's present one, or with none.
    other_plans: u32,
}

/// A lathe while the log is gone through.
struct Lathe<'b> {
    base: Option<&'b Base>,
    pull: &'b str,
    on_it: bool,
    /// Whether its set-up is of the present plan.
    planned: bool,
    made: u32,
    of_bar: u32,
    /// The last part of a cycle that was told: when, and how many were made then.
    anchor: Option<(Stamp, u32)>,
    ended: Option<Stamp>,
    loaded: bool,
    began: BTreeMap<u32, u32>,
    found: Records,
}

/// What the events of a job at a lathe say; of pulls those that were gauged as the feature `pull`.
pub(crate) fn gather(
    events: &[Recorded],
    corrections: &Corrections,
    job: &Name,
    base: Option<&Base>,
    pull: &str,
) -> Records {
    let mut lathe = Lathe {
        base,
        pull,
        on_it: false,
        planned: false,
        made: 0,
        of_bar: 0,
        anchor: None,
        ended: None,
        loaded: false,
        began: BTreeMap::new(),
        found: Records::default(),
    };
    for recorded in events {
        if let Some(counts) = corrections.effective(recorded) {
            lathe.take(&counts.event, counts.order.time, job);
        }
    }
    lathe.leave();
    lathe.found
}

impl Lathe<'_> {
    fn take(&mut self, event: &Event, time: Stamp, job: &Name) {
        if let What::SetUpDone(set_up) = &event.what {
            self.leave();
            self.on_it = event.job.as_ref() == Some(job);
            let same =
                |base: &Base| set_up.part_time.is_some_and(|it| base.made(Seconds::from_s(it.s())));
            self.planned = self.base.is_some_and(same);
            self.found.other_plans += u32::from(self.on_it && !self.planned);
            return;
        }
        if !self.on_it {
            return;
        }
        match &event.what {
            What::BarLoaded(_) => {
                self.found.ends_untold += u32::from(self.ended.is_none() && self.made > 0);
                (self.loaded, self.of_bar, self.anchor) = (true, 0, None);
            }
            What::BarEnded { .. } => {
                (self.ended, self.loaded, self.of_bar, self.anchor) = (Some(time), false, 0, None);
            }
            What::Started => self.start(time),
            What::Stopped(_) => self.anchor = None,
            What::PartsMade { parts } => self.parts(*parts, time),
            What::CountRead { parts } => self.count(*parts, time),
            What::EdgeChanged { station, why } => self.edge(*station, *why),
            What::SizeMeasured(measured) if measured.feature.text() == self.pull => {
                if let (Reading::Size(size), true) = (measured.reading, self.planned) {
                    self.found.pulled.push(size);
                }
            }
            _ => {}
        }
    }

    /// From taking the old bar's end out to starting the new bar.
    fn start(&mut self, time: Stamp) {
        self.anchor = None;
        if let (Some(ended), true) = (self.ended.take(), self.loaded) {
            self.found.loads.push(Seconds::from_s(time.since(ended).s()));
        }
        self.loaded = false;
    }

    fn count(&mut self, count: u32, time: Stamp) {
        if let Some(less) = self.of_bar.checked_sub(count).filter(|less| *less > 0) {
            self.made = self.made.saturating_sub(less);
            (self.of_bar, self.anchor) = (count, None);
        }
        self.parts(count - self.of_bar, time);
    }

    fn parts(&mut self, parts: u32, time: Stamp) {
        if parts == 0 {
            return;
        }
        self.made = self.made.saturating_add(parts);
        self.of_bar = self.of_bar.saturating_add(parts);
        let Some(base) = self.base.filter(|_| self.planned) else { return };
        let Some((before, made)) = self.anchor else {
            self.anchor = Some((time, self.made));
            return;
        };
        let since = self.made - made;
        if since < base.per_advance {
            return;
        }
        if since == base.per_advance {
            self.found.cycles.push(Seconds::from_s(time.since(before).s()));
        } else {
            self.found.at_once += 1;
        }
        self.anchor = Some((time, self.made));
    }

    fn edge(&mut self, station: u32, why: EdgeWhy) {
        self.anchor = None;
        let end = if why == EdgeWhy::Planned { End::Early } else { End::Worn };
        self.used(station, end);
        self.began.insert(station, self.made);
    }

    fn used(&mut self, station: u32, end: End) {
        match self.began.get(&station).copied() {
            Some(from) if self.planned && self.made > from => {
                self.found.edges.entry(station).or_default().push((self.made - from, end));
            }
            Some(_) => {}
            None => self.found.begun_untold += 1,
        }
    }

    /// Another set-up, or the end of the log: edges that still cut last at least so long.
    fn leave(&mut self) {
        let stations: Vec<u32> = self.began.keys().copied().collect();
        for station in stations {
            self.used(station, End::Early);
        }
        self.began.clear();
        (self.made, self.of_bar, self.anchor) = (0, 0, None);
        (self.ended, self.loaded) = (None, false);
    }
}

/// The life of the edge on one station, with what it was reckoned with.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct TaughtEdge {
    pub(crate) worn: u32,
    pub(crate) early: u32,
    pub(crate) cutting: Seconds,
    pub(crate) life: Result<EdgeLife, String>,
}

/// What the records of a job at a lathe teach; else why not.
#[derive(Debug, Clone)]
pub(crate) struct Taught {
    pub(crate) cycle: Result<Estimate<f64>, String>,
    pub(crate) load: Result<Estimate<Seconds>, String>,
    pub(crate) gripper: Result<Repeatability, String>,
    pub(crate) edges: BTreeMap<u32, TaughtEdge>,
    /// What was not counted, in words.
    pub(crate) left_out: Vec<String>,
}

fn few(have: usize, need: u32, what: &str, how: &str) -> String {
    format!("too few: {have} {what}, {need} or more are needed; {how}")
}

impl Records {
    /// What all of this teaches.
    pub(crate) fn taught(&self, base: Option<&Base>) -> Taught {
        let no_plan = || {
            "no planned figures to hold it against: record the set-up with `--plan JOB`".to_owned()
        };
        let with = |base: Option<&Base>| base.cloned().ok_or_else(no_plan);
        Taught {
            cycle: with(base).and_then(|base| self.cycle(&base)),
            load: self.load(),
            gripper: with(base).and_then(|base| self.gripper(&base)),
            edges: base.map(|base| self.edges(base)).unwrap_or_default(),
            left_out: self.left_out(base),
        }
    }

    fn cycle(&self, base: &Base) -> Result<Estimate<f64>, String> {
        let have = self.cycles.len();
        if have < FEWEST_CYCLES as usize {
            let how = "tell each part when it is made, as a follower of the lathe does";
            return Err(few(have, FEWEST_CYCLES, "cycles between two parts told", how));
        }
        let pairs: Vec<_> = self.cycles.iter().map(|it| (*it, base.cycle)).collect();
        let factor = estimate::cycle_factor(&pairs, CONFIDENCE).map_err(|it| it.to_string())?;
        if factor.deviation > LOOSEST * factor.value.nominal {
            return Err(format!(
                "the {have} cycles scatter by {:.0} %, which is how they were told, not how the lathe runs: let a follower of the lathe tell them",
                100.0 * factor.deviation / factor.value.nominal
            ));
        }
        Ok(factor)
    }

    fn load(&self) -> Result<Estimate<Seconds>, String> {
        let have = self.loads.len();
        if have < FEWEST_LOADS as usize {
            let how = "tell `end` when the old bar is taken out, `bar`, and `start`";
            return Err(few(have, FEWEST_LOADS, "loads told from end to start", how));
        }
        estimate::load_time(&self.loads, CONFIDENCE).map_err(|it| it.to_string())
    }

    fn gripper(&self, base: &Base) -> Result<Repeatability, String> {
        let have = self.pulled.len();
        if have < FEWEST_PULLS as usize {
            let how = "gauge how far the gripper draws the bar, as the feature that --pull names";
            return Err(few(have, FEWEST_PULLS, "pulls gauged", how));
        }
        let short: Vec<Length> = self.pulled.iter().map(|it| base.advance - *it).collect();
        Repeatability::of(&short, CONFIDENCE).map_err(|it| it.to_string())
    }

    fn edges(&self, base: &Base) -> BTreeMap<u32, TaughtEdge> {
        let Some(cutting) = &base.cutting else { return BTreeMap::new() };
        let of = |(station, uses): (&u32, &Vec<(u32, End)>)| {
            let cutting = *cutting.get(station)?;
            let worn = uses.iter().filter(|(_, end)| *end == End::Worn).count();
            let early = (uses.len() - worn) as u32;
            let life = if worn < FEWEST_WORN as usize {
                let how = "tell `edge LATHE STATION worn` where one was worn";
                Err(few(worn, FEWEST_WORN, "edges that wore out", how))
            } else {
                let cut =
                    |(parts, end): &(u32, End)| Use { cut: cutting * f64::from(*parts), end: *end };
                let uses: Vec<Use> = uses.iter().map(cut).collect();
                EdgeLife::of(&uses, CONFIDENCE).map_err(|it| it.to_string()).and_then(bounded)
            };
            Some((*station, TaughtEdge { worn: worn as u32, early, cutting, life }))
        };
        self.edges.iter().filter_map(of).collect()
    }

    fn left_out(&self, base: Option<&Base>) -> Vec<String> {
        let told = |count: u32, what: &str| (count > 0).then(|| format!("{what}: {count}"));
        let chosen = base.is_some_and(|base| base.cutting.is_none()).then(|| {
            "edges: the plan chooses its cutting data (`choose`), and a life holds only for data as they are given"
                .to_owned()
        });
        [
            told(self.at_once, "stretches in which parts of several cycles were told at once"),
            told(self.ends_untold, "bars were loaded of whose last one nobody told the end"),
            told(self.begun_untold, "edges of which nobody told when they began to cut"),
            told(
                self.other_plans,
                "set-ups with another plan than the job's present one, or with none",
            ),
            chosen,
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// A life of which the records say both ends.
fn bounded(life: EdgeLife) -> Result<EdgeLife, String> {
    match life.unfavorable() {
        Some(_) => Ok(life),
        None => {
            Err("so few wore out beside those changed before that the life has no bound".to_owned())
        }
    }
}
