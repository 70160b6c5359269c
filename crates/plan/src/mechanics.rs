//! What every cut of the plan asks of drive, chuck, bar and edge: each move of the operations
//! against the bar as it stands before it, reckoned by [`calc::station`].
//!
//! It is reckoned for the first part of an advance, which stands out farthest, and once more with
//! the grip that is left for the last parts of a bar.

mod outline;
pub(crate) mod taken;

use crate::acts::Acts;
use crate::bar::BarPlan;
use crate::cuts::{Speed, Work};
use crate::process::Process;
use calc::cutting::Wear;
use calc::held::Margins;
use calc::holding::friction::WorkSurface;
use calc::life::Life;
use calc::motion;
use calc::station::{Feeding, Lack, Loads, Setting, StationCut, Turning};
use model::Length;
use model::files::job::{Job, Step};
use model::files::tools::Station;
use model::quantity::{Deflection, FeedPerRev, Roughness, Seconds, SpindleSpeed};
use taken::Taken;

/// One cut with its loads.
#[derive(Debug, Clone)]
pub struct CutLoads {
    /// Which way it goes and what it takes off.
    pub feeding: Feeding,
    /// How far it goes along the axis; nothing for a cut across it.
    pub length: Length,
    /// Its feed.
    pub feed: FeedPerRev,
    /// How long it takes.
    pub time: Seconds,
    /// The diameter of the drawing that it leaves, where it leaves one.
    pub finishes: Option<Step>,
    /// Loads with full jaws.
    pub loads: Result<Loads, Lack>,
    /// Margins with the grip of the last parts, where that is less than the jaws' length.
    pub last: Option<Result<Margins, Lack>>,
    /// Shortest length in the jaws that keeps every margin; none where full jaws do not.
    pub shortest_grip: Option<Length>,
}

/// One operation with the loads of its cuts.
#[derive(Debug, Clone)]
pub struct OperationLoads {
    /// What it is for.
    pub work: Work,
    /// What it is, in plain words.
    pub name: &'static str,
    /// The station of its tool.
    pub station: u32,
    /// How the spindle turns.
    pub speed: Speed,
    /// Its cuts, in their order; moves that meet no metal are left out.
    pub cuts: Vec<CutLoads>,
}

/// What all cuts of one part ask.
#[derive(Debug, Clone)]
pub struct Mechanics {
    /// The operations; facing of a new bar's end comes first, where there is one.
    pub operations: Vec<OperationLoads>,
    /// How many of them belong to a new bar and not to every part.
    pub of_new_bar: usize,
}

impl Mechanics {
    /// Every cut with the name of its operation.
    pub fn cuts(&self) -> impl Iterator<Item = (&'static str, &CutLoads)> {
        self.operations.iter().flat_map(|it| it.cuts.iter().map(|cut| (it.name, cut)))
    }

    /// The operations that every part needs.
    pub fn each_part(&self) -> &[OperationLoads] {
        self.operations.get(self.of_new_bar..).unwrap_or_default()
    }

    /// The cuts that every part needs, with the station that makes them.
    pub fn of_each_part(&self) -> impl Iterator<Item = (u32, &CutLoads)> {
        self.each_part().iter().flat_map(|it| it.cuts.iter().map(|cut| (it.station, cut)))
    }
}

/// Reckons every cut of a job.
pub fn reckon(job: &Job, bar: &BarPlan, process: &Process) -> Mechanics {
    let bench = Bench::of(job, bar);
    let cuts = taken::all(job, bar, process);
    let operations = cuts.iter().map(|cuts| {
        let (operation, station) = (cuts.operation, cuts.station);
        let turning = bench.turning(operation.speed);
        let loads = |taken: &Taken| bench.loads(station, taken, taken.feed, turning);
        OperationLoads {
            work: operation.work,
            name: operation.name,
            station: operation.station,
            speed: operation.speed,
            cuts: cuts.taken.iter().map(loads).collect(),
        }
    });
    Mechanics {
        operations: operations.collect(),
        of_new_bar: usize::from(process.new_bar.is_some()),
    }
}

/// What is the same for all cuts of a job.
pub fn setting(job: &Job) -> Setting<'_> {
    let condition = job.file.bar.condition.as_ref();
    Setting {
        lathe: &job.lathe,
        material: &job.material,
        bar: job.file.bar.size,
        surface: WorkSurface::of(condition.and_then(|condition| condition.surface)),
    }
}

/// What every cut of a job is reckoned with.
pub(crate) struct Bench<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
    setting: Setting<'j>,
    clamp: SpindleSpeed,
}

impl<'j> Bench<'j> {
    pub(crate) fn of(job: &'j Job, bar: &'j BarPlan) -> Bench<'j> {
        Bench { job, bar, setting: setting(job), clamp: Acts::new(job, bar).clamp() }
    }

    /// How the spindle turns for an operation, as the program will hold it.
    pub(crate) fn turning(&self, speed: Speed) -> Turning {
        match speed {
            Speed::Surface(speed) => Turning::Surface(speed, self.clamp),
            Speed::Spindle(speed) => Turning::Spindle(speed),
        }
    }

    /// A cut with full jaws, at any feed and speed.
    fn cut<'c>(
        &self,
        station: &'c Station,
        taken: &'c Taken,
        feed: FeedPerRev,
        turning: Turning,
    ) -> StationCut<'c> {
        let jaw_face = self.bar.jaw_face;
        let allowed = taken.finishes.and_then(|step| step.allowed);
        StationCut {
            station,
            feeding: taken.feeding,
            feed,
            turning,
            wear: Wear::Any,
            place: (taken.place.0 - jaw_face, taken.place.1 - jaw_face),
            steps: &taken.before,
            gripped: self.job.lathe.chuck.jaw_length,
            allowed: allowed.map(|allowed| Deflection::from_um(1000.0 * allowed.mm())),
        }
    }

    /// The same cut as the last parts of a bar are held; none where the jaws are full to the end.
    fn short<'c>(&self, cut: StationCut<'c>) -> Option<StationCut<'c>> {
        let gripped = self.bar.last_grip;
        (gripped < cut.gripped && self.bar.parts_per_bar > 0)
            .then_some(StationCut { gripped, ..cut })
    }

    /// The highest speed of the spindle.
    pub(crate) fn clamp(&self) -> SpindleSpeed {
        self.clamp
    }

    /// Cutting time that an edge lasts in a cut.
    pub(crate) fn life(
        &self,
        station: &Station,
        taken: &Taken,
        feed: FeedPerRev,
        turning: Turning,
    ) -> Result<Life, Lack> {
        match &taken.lack {
            Some(lack) => Err(lack.clone()),
            None => self.cut(station, taken, feed, turning).edge_life(&self.setting),
        }
    }

    /// Loads with full jaws, and margins with the grip of the last parts where that is less.
    pub(crate) fn asked(
        &self,
        station: &Station,
        taken: &Taken,
        feed: FeedPerRev,
        turning: Turning,
    ) -> (Result<Loads, Lack>, Option<Result<Margins, Lack>>) {
        if let Some(lack) = &taken.lack {
            return (Err(lack.clone()), None);
        }
        let cut = self.cut(station, taken, feed, turning);
        let last = self.short(cut).map(|cut| cut.loads(&self.setting)?.held);
        (cut.loads(&self.setting), last)
    }

    fn loads(
        &self,
        station: &Station,
        taken: &Taken,
        feed: FeedPerRev,
        turning: Turning,
    ) -> CutLoads {
        let (loads, last) = self.asked(station, taken, feed, turning);
        let shortest =
            || self.cut(station, taken, feed, turning).shortest_grip(&self.setting).ok()?;
        CutLoads {
            feeding: taken.feeding,
            length: (taken.place.1 - taken.place.0).abs(),
            feed,
            time: time(taken, feed, turning),
            finishes: taken.finishes,
            shortest_grip: taken.lack.is_none().then(shortest).flatten(),
            loads,
            last,
        }
    }
}

/// How long a cut takes.
pub(crate) fn time(taken: &Taken, feed: FeedPerRev, turning: Turning) -> Seconds {
    Seconds::from_s(taken.paths.iter().map(|path| way_time(path, feed, turning).s()).sum())
}

/// How long a straight way takes.
pub(crate) fn way_time(path: &motion::Cut, feed: FeedPerRev, turning: Turning) -> Seconds {
    match turning {
        Turning::Surface(speed, clamp) => motion::surface_speed_time(path, feed, speed, clamp),
        Turning::Spindle(speed) => {
            let (along, across) = (path.to_z - path.from_z, path.to_r - path.from_r);
            let way = Length::nearest_mm(libm::hypot(along.mm(), across.mm()));
            motion::feed_per_revolution_time(way, feed, speed)
        }
    }
}

impl CutLoads {
    /// Mean roughness that the drawing asks of this cut.
    pub fn ra(&self) -> Option<Roughness> {
        self.finishes.and_then(|step| step.ra)
    }
}
