//! What every cut of the plan asks of drive, chuck, bar and edge: each move of the operations
//! against the bar as it stands before it, reckoned by [`calc::station`].
//!
//! It is reckoned for the first part of an advance, which stands out farthest, and once more with
//! the grip that is left for the last parts of a bar.

mod outline;

use crate::acts::Acts;
use crate::bar::BarPlan;
use crate::cuts::{Operation, Place, Speed};
use crate::process::Process;
use calc::bending::Step as Bar;
use calc::cutting::Wear;
use calc::held::Margins;
use calc::holding::friction::WorkSurface;
use calc::motion;
use calc::station::{Feeding, Lack, Loads, Setting, StationCut, Turning};
use model::Length;
use model::files::job::{Job, Step};
use model::files::tools::{BladeCorner, Station, ToolKind};
use model::quantity::{Deflection, FeedPerRev, Roughness, Seconds, SpindleSpeed};
use outline::Outline;

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
    /// What it is, in plain words.
    pub name: &'static str,
    /// The station of its tool.
    pub station: u32,
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

    /// The cuts that every part needs, with the station that makes them.
    pub fn of_each_part(&self) -> impl Iterator<Item = (u32, &CutLoads)> {
        let each = self.operations.iter().skip(self.of_new_bar);
        each.flat_map(|it| it.cuts.iter().map(|cut| (it.station, cut)))
    }
}

/// Reckons every cut of a job.
pub fn reckon(job: &Job, bar: &BarPlan, process: &Process) -> Mechanics {
    let division = &bar.division;
    let new_bar = &process.new_bar;
    let of_new_bar = usize::from(new_bar.is_some());
    let across = job.file.bar.reach() * 2;
    let front = if new_bar.is_some() {
        division.face_stock + division.first_face
    } else {
        division.face_stock
    };
    let mut lathe = Turned {
        job,
        bar,
        outline: Outline::raw(bar.jaw_face, front, across),
        clamp: Acts::new(job, bar).clamp(),
        steps: job.file.part.steps(),
    };
    let operations = new_bar.iter().chain(&process.operations);
    let operations = operations.filter_map(|operation| lathe.operation(operation)).collect();
    Mechanics { operations, of_new_bar }
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

/// The bar while it is turned.
struct Turned<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
    outline: Outline,
    clamp: SpindleSpeed,
    steps: Vec<Step>,
}

/// What one move takes off.
struct Taken {
    feeding: Feeding,
    /// Place of the tool at its start and end, from the finished front face.
    place: (Length, Length),
    /// Share of the move's time in which this piece is cut.
    share: f64,
}

impl Turned<'_> {
    fn operation(&mut self, operation: &Operation) -> Option<OperationLoads> {
        let station = self.job.tools.station(operation.station)?;
        let turning = match operation.speed {
            Speed::Surface(speed) => Turning::Surface(speed, self.clamp),
            Speed::Spindle(speed) => Turning::Spindle(speed),
        };
        let mut at: Option<Place> = None;
        let mut cuts = Vec::new();
        for one in &operation.moves {
            if let (Some(from), Some(feed)) = (at, one.feed()) {
                let path = path(from, one.to);
                for (before, taken) in self.taken(station, from, one.to) {
                    cuts.extend(self.loads(station, &before, &taken, (feed, turning), path));
                }
            }
            at = Some(one.to);
        }
        Some(OperationLoads { name: operation.name, station: operation.station, cuts })
    }

    /// What a move takes off, each piece with the bar as it stands before it.
    fn taken(&mut self, station: &Station, from: Place, to: Place) -> Vec<(Vec<Bar>, Taken)> {
        let before = self.outline.steps(self.job.file.bar.size);
        let one = if station.kind == ToolKind::Parting {
            self.part_off(station, from, to)
        } else if from.z == to.z {
            self.across(from, to)
        } else {
            return self.along(from, to);
        };
        one.map(|taken| (before, taken)).into_iter().collect()
    }

    fn loads(
        &self,
        station: &Station,
        before: &[Bar],
        taken: &Taken,
        (feed, turning): (FeedPerRev, Turning),
        path: motion::Cut,
    ) -> Option<CutLoads> {
        let jaw_face = self.bar.jaw_face;
        let jaws = self.job.lathe.chuck.jaw_length;
        let finishes = self.finishes(station, taken);
        let allowed = finishes.and_then(|step| step.allowed);
        let cut = StationCut {
            station,
            feeding: taken.feeding,
            feed,
            turning,
            wear: Wear::Any,
            place: (taken.place.0 - jaw_face, taken.place.1 - jaw_face),
            steps: before,
            gripped: jaws,
            allowed: allowed.map(|allowed| Deflection::from_um(1000.0 * allowed.mm())),
        };
        let setting = setting(self.job);
        let short = self.bar.last_grip;
        let last = (short < jaws && self.bar.parts_per_bar > 0)
            .then(|| StationCut { gripped: short, ..cut }.loads(&setting)?.held);
        let whole = time(&path, feed, turning);
        Some(CutLoads {
            feeding: taken.feeding,
            length: (taken.place.1 - taken.place.0).abs(),
            feed,
            time: whole * taken.share,
            finishes,
            loads: cut.loads(&setting),
            last,
            shortest_grip: cut.shortest_grip(&setting).ok().flatten(),
        })
    }

    /// The blade goes in from the outside; at the center what stands in front of it is off.
    fn part_off(&mut self, station: &Station, from: Place, to: Place) -> Option<Taken> {
        let width = station.width.unwrap_or_default();
        let chuck_side = match station.corner {
            BladeCorner::ChuckSide => to.z,
            BladeCorner::FrontSide => to.z - width,
        };
        let outside = self.outline.largest(chuck_side, chuck_side + width).min(from.x);
        if to.x >= outside {
            return None;
        }
        if to.x.is_positive() {
            self.outline.turn(chuck_side, chuck_side + width, to.x);
        } else {
            self.outline.end(chuck_side);
        }
        let feeding = Feeding::Across { from: outside, to: to.x, depth: width };
        Some(Taken { feeding, place: (chuck_side + width, chuck_side), share: 1.0 })
    }

    /// A face or a shoulder: what stands in front of the tool is taken off, toward the center or
    /// away from it.
    fn across(&mut self, from: Place, to: Place) -> Option<Taken> {
        let (inner, outer) = (from.x.min(to.x), from.x.max(to.x));
        let depth = self.outline.reaches(to.z, inner.max(Length::ZERO));
        let outside = self.outline.largest(to.z, to.z + depth).min(outer);
        if !depth.is_positive() || outside <= inner {
            return None;
        }
        if inner.is_positive() {
            self.outline.turn(to.z, to.z + depth, inner);
        } else {
            self.outline.end(to.z);
        }
        let (starts, ends) = if to.x < from.x { (outside, to.x) } else { (from.x, outside) };
        let feeding = Feeding::Across { from: starts, to: ends, depth };
        Some(Taken { feeding, place: (to.z, to.z), share: 1.0 })
    }

    /// Along the axis, or on a slant: that is taken as a cut along the axis at its deepest place.
    /// Each cylinder that is met is a piece of its own.
    fn along(&mut self, from: Place, to: Place) -> Vec<(Vec<Bar>, Taken)> {
        let toward_chuck = to.z < from.z;
        let at = |z: Length| {
            let share = (z - from.z).mm() / (to.z - from.z).mm();
            from.x + Length::nearest_mm((to.x - from.x).mm() * share)
        };
        let mut met = self.outline.between(from.z, to.z);
        if toward_chuck {
            met.reverse();
        }
        let mut pieces = Vec::new();
        for (near, far, outside) in met {
            let (one, other) = (at(near), at(far));
            let (least, most) = (one.min(other), one.max(other));
            if least >= outside || !least.is_positive() {
                continue;
            }
            let before = self.outline.steps(self.job.file.bar.size);
            self.outline.turn(near, far, most);
            pieces.push((
                before,
                Taken {
                    feeding: Feeding::Along { from: outside, to: least, toward_chuck },
                    place: if toward_chuck { (far, near) } else { (near, far) },
                    share: (far - near).mm() / (to.z - from.z).abs().mm(),
                },
            ));
        }
        pieces
    }

    /// The cylinder of the drawing that a cut along the axis leaves. Within a nose radius of a
    /// shoulder there is none, but the nose's own round.
    fn finishes(&self, station: &Station, taken: &Taken) -> Option<Step> {
        const WRITTEN: Length = Length::from_um(3);
        let Feeding::Along { to, .. } = taken.feeding else { return None };
        let (one, other) = taken.place;
        if (other - one).abs() <= station.nose_radius {
            return None;
        }
        let middle = one + (other - one).half();
        let inside = |step: &&Step| step.from <= -middle && -middle <= step.to;
        let step = self.steps.iter().find(inside)?;
        ((step.diameter - to).abs() <= WRITTEN).then_some(*step)
    }
}

fn time(path: &motion::Cut, feed: FeedPerRev, turning: Turning) -> Seconds {
    match turning {
        Turning::Surface(speed, clamp) => motion::surface_speed_time(path, feed, speed, clamp),
        Turning::Spindle(speed) => {
            let (along, across) = (path.to_z - path.from_z, path.to_r - path.from_r);
            let way = Length::nearest_mm(libm::hypot(along.mm(), across.mm()));
            motion::feed_per_revolution_time(way, feed, speed)
        }
    }
}

fn path(from: Place, to: Place) -> motion::Cut {
    motion::Cut { from_r: from.x.half(), from_z: from.z, to_r: to.x.half(), to_z: to.z }
}

impl CutLoads {
    /// Mean roughness that the drawing asks of this cut.
    pub fn ra(&self) -> Option<Roughness> {
        self.finishes.and_then(|step| step.ra)
    }
}
