//! One work of one tool: what may be chosen for it, how long each choice takes, how far it wears the edge,
//! and which limit it breaks.

use super::grid::{self, Fineness};
use super::limit::{self, Limit, Used};
use super::{Chosen, Held};
use crate::acts::{Act, Acts, way};
use crate::bar::BarPlan;
use crate::cuts::{Operation, Place, Speed, Way, Work};
use crate::mechanics::taken::{self, Taken};
use crate::mechanics::{self, Bench};
use crate::process::{Data, DataTable, Process};
use crate::time::{Clock, chords};
use calc::motion;
use calc::station::{Lack, Turning};
use model::Length;
use model::files::job::Job;
use model::files::material::EdgeLife;
use model::files::tools::Station;
use model::quantity::{FeedPerRev, SurfaceSpeed};
use std::cell::{Cell, RefCell};
use std::collections::{BTreeMap, HashMap};

/// One choice, by its places on the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Candidate {
    pub(super) speed: usize,
    pub(super) feed: usize,
    pub(super) depth: usize,
}

/// A candidate with what it takes for one part: seconds, and share of an edge that its cuts wear off by
/// the likely life.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Taking {
    pub(super) time: f64,
    pub(super) wear: f64,
    pub(super) candidate: Candidate,
}

/// Which limits a choice is held to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) enum Measure {
    /// Every limit is kept.
    Kept,
    /// No limit that the given data break is broken any further; the others are kept.
    NoWorse,
}

/// What is the same for all works.
pub(super) struct Shop<'j> {
    pub(super) job: &'j Job,
    pub(super) bar: &'j BarPlan,
    pub(super) bench: Bench<'j>,
    /// Whether the spindle may turn as fast as the job lets it; else nothing is chosen faster than
    /// given.
    pub(super) swings_free: bool,
    pub(super) fineness: Fineness,
}

/// One work of one tool.
pub(super) struct Unit<'s, 'j> {
    shop: &'s Shop<'j>,
    station: &'j Station,
    pub(super) work: Work,
    given: Data,
    known: &'j EdgeLife,
    /// What is around each of its operations.
    around: Vec<Around>,
    /// Whether it goes in layers, so that a depth can be chosen.
    layered: bool,
    /// The deepest layer that was looked at.
    deepest: Length,
    speeds: Vec<SurfaceSpeed>,
    feeds: Vec<FeedPerRev>,
    forms: Vec<Form>,
    /// For each form and speed.
    rates: Vec<Vec<Rate>>,
    /// How far the given data go to each limit.
    used: BTreeMap<Limit, f64>,
    known_broken: RefCell<HashMap<(Candidate, Measure), Option<Limit>>>,
    /// The cut that broke a limit last: most likely the next candidate breaks it there, too.
    witness: Cell<usize>,
}

/// What is around an operation of a part.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Around {
    /// Where the operation before it ends, and how the spindle turns for that; none for the first of a
    /// part, before which the spindle stands.
    before: Option<(Place, Speed)>,
    /// Whether another tool was at work before it, so that the turret comes from its safe place.
    arrives: bool,
    /// Whether another tool follows, so that the turret goes there.
    leaves: bool,
}

/// What is around each operation of one work with one tool.
fn around(operations: &[Operation], station: u32, work: Work) -> Vec<Around> {
    let own = operations.iter().enumerate();
    let own = own.filter(|(_, it)| it.station == station && it.work == work);
    own.map(|(index, _)| {
        let before = index.checked_sub(1).and_then(|before| operations.get(before));
        let after = operations.get(index + 1);
        Around {
            before: before.and_then(|it| Some((it.moves.last()?.to, it.speed))),
            arrives: before.is_none_or(|it| it.station != station),
            leaves: after.is_none_or(|it| it.station != station),
        }
    })
    .collect()
}

/// What the work looks like at one depth.
struct Form {
    depth: Length,
    /// Its operations for one part.
    operations: Vec<Operation>,
    /// Ways at the work's feed.
    ways: Vec<motion::Cut>,
    /// What is taken off; and whether of every part.
    taken: Vec<(Taken, bool)>,
}

/// Seconds and wear for one part at one depth and speed: of what goes at the work's feed, at the
/// given feed; and of all else, with what the spindle takes to come to speed.
#[derive(Debug, Clone, Copy)]
struct Rate {
    time: f64,
    time_own: f64,
    wear: f64,
    wear_own: f64,
}

impl<'s, 'j> Unit<'s, 'j> {
    /// The unit of a work in a process; none where the spindle turns at one speed for it.
    pub(super) fn of(
        shop: &'s Shop<'j>,
        station: &'j Station,
        work: Work,
        known: &'j EdgeLife,
    ) -> Option<Unit<'s, 'j>> {
        let given = Data::of(station, work)?;
        let Speed::Surface(speed) = given.speed else { return None };
        let clamp = shop.bench.clamp();
        let axes = grid::axes(shop.job, (station, work), &given, (known, clamp), shop.fineness)?;
        let mut speeds = axes.speeds;
        if !shop.swings_free {
            speeds.retain(|other| *other <= speed);
        }
        let depths = axes.depths;
        let mut unit = Unit {
            around: Vec::new(),
            layered: grid::layered(work),
            deepest: depths.last().copied().unwrap_or(given.depth),
            shop,
            station,
            work,
            given,
            known,
            speeds,
            feeds: axes.feeds,
            forms: Vec::new(),
            rates: Vec::new(),
            used: BTreeMap::new(),
            known_broken: RefCell::default(),
            witness: Cell::new(0),
        };
        unit.form(&depths);
        if unit.smoothness_unknown() {
            unit.feeds.retain(|feed| *feed <= given.feed);
        }
        unit.used = unit.used_by(unit.given_candidate());
        Some(unit)
    }

    /// Whether it leaves surfaces of the part of which the drawing does not say how rough they may be: what
    /// a higher feed does to them cannot be judged.
    fn smoothness_unknown(&self) -> bool {
        match self.work {
            Work::Finish | Work::FinishBore => {
                let taken = self.forms.iter().flat_map(|form| &form.taken);
                let mut left = taken.filter_map(|(taken, _)| taken.finishes).peekable();
                left.peek().is_none() || left.any(|step| step.ra.is_none())
            }
            Work::Face | Work::Groove | Work::GrooveBore | Work::BackEdge => true,
            _ => false,
        }
    }

    /// The different forms that depths give; of two that are alike the lesser depth stands, but the given
    /// one always.
    fn form(&mut self, depths: &[Length]) {
        let shop = self.shop;
        let mut seen: Vec<Vec<Operation>> = Vec::new();
        let mut forms: Vec<Form> = Vec::new();
        for depth in depths {
            let mut table = DataTable::default();
            table.set(self.station.number, self.work, Data { depth: *depth, ..self.given });
            let process = Process::with(shop.job, &shop.bar.division, &table);
            let own = |it: &&Operation| it.station == self.station.number && it.work == self.work;
            let operations: Vec<Operation> =
                process.operations.iter().filter(own).cloned().collect();
            // A new bar's end may be faced in other layers than a part's.
            let new_bar = process.new_bar.iter().filter(own).cloned();
            let all: Vec<Operation> = new_bar.chain(operations.iter().cloned()).collect();
            if let Some(same) = seen.iter().position(|other| *other == all) {
                if *depth == self.given.depth {
                    forms[same].depth = *depth;
                }
                continue;
            }
            let form = self.form_of(*depth, &process, &operations);
            self.rates.push(self.speeds.iter().map(|speed| self.rate(&form, *speed)).collect());
            forms.push(form);
            seen.push(all);
        }
        self.forms = forms;
    }

    /// Takes the time that the spindle needs from the operations before, as they now are.
    pub(super) fn follow(&mut self, operations: &[Operation]) {
        let around = around(operations, self.station.number, self.work);
        if self.around == around {
            return;
        }
        self.around = around;
        for index in 0..self.forms.len() {
            for at in 0..self.speeds.len() {
                let clocked = self.clocked(&self.forms[index], self.speeds[at]);
                let rate = &mut self.rates[index][at];
                rate.time_own = clocked - rate.time;
            }
        }
    }

    fn form_of(&self, depth: Length, process: &Process, operations: &[Operation]) -> Form {
        let (job, bar) = (self.shop.job, self.shop.bar);
        let of_new_bar = usize::from(process.new_bar.is_some());
        let all = taken::all(job, bar, process).into_iter().enumerate();
        let own = all.filter(|(_, cuts)| {
            cuts.station.number == self.station.number && cuts.operation.work == self.work
        });
        let taken = own.flat_map(|(index, cuts)| {
            cuts.taken.into_iter().map(move |taken| (taken, index >= of_new_bar))
        });
        let ways = operations.iter().flat_map(|operation| self.ways(operation)).collect();
        Form { depth, operations: operations.to_vec(), ways, taken: taken.collect() }
    }

    /// The straight ways of an operation that go at the work's feed.
    fn ways(&self, operation: &Operation) -> Vec<motion::Cut> {
        let mut ways = Vec::new();
        for pair in operation.moves.windows(2) {
            let (from, to) = (pair[0].to, pair[1].to);
            if pair[1].feed() != Some(self.given.feed) {
                continue;
            }
            let mut places = vec![from];
            if let Way::Arc { center, turn, .. } = pair[1].way {
                places.extend(chords(from, to, center, turn));
            }
            places.push(to);
            ways.extend(places.windows(2).map(|pair| taken::path(pair[0], pair[1])));
        }
        ways
    }

    /// Seconds of its operations by the lathe's clock, the spindle coming from the operation before.
    fn clocked(&self, form: &Form, speed: SurfaceSpeed) -> f64 {
        let shop = self.shop;
        let speed = Speed::Surface(speed);
        let acts = Acts::new(shop.job, shop.bar);
        let time = |(operation, around): (&Operation, &Around)| {
            let operation = Operation { speed, ..operation.clone() };
            let mut own = acts.operations(std::slice::from_ref(&operation));
            if !around.leaves {
                own.pop();
            }
            let mut clock = Clock::new(shop.job, shop.bench.clamp());
            if let Some((from, turns)) = around.before {
                let at_speed = Act::Dwell(shop.job.lathe.spindle.run_up);
                clock.follow(&[Act::Turn(turns, way(self.station)), Act::Rapid(from), at_speed]);
                if around.arrives {
                    clock.follow(&[Act::Rapid(acts.safe())]);
                } else {
                    own.retain(|act| !matches!(act, Act::Call { .. }));
                }
            }
            let before = clock.now().s();
            clock.follow(&own);
            clock.now().s() - before
        };
        form.operations.iter().zip(&self.around).map(time).sum()
    }

    fn turning(&self, speed: SurfaceSpeed) -> Turning {
        self.shop.bench.turning(Speed::Surface(speed))
    }

    fn rate(&self, form: &Form, speed: SurfaceSpeed) -> Rate {
        let turning = self.turning(speed);
        let time = |path: &motion::Cut| mechanics::way_time(path, self.given.feed, turning).s();
        let time: f64 = form.ways.iter().map(time).sum();
        let mut rate = Rate { time, time_own: 0.0, wear: 0.0, wear_own: 0.0 };
        for (taken, _) in form.taken.iter().filter(|(_, of_each)| *of_each) {
            let own = taken.feed != self.given.feed;
            let life = self.shop.bench.life(self.station, taken, taken.feed, turning);
            let life = life.map_or(0.0, |life| life.time.nominal.s());
            let wear = mechanics::time(taken, taken.feed, turning).s() / life;
            *(if own { &mut rate.wear_own } else { &mut rate.wear }) += wear;
        }
        rate
    }

    /// What a candidate takes.
    pub(super) fn taking(&self, candidate: Candidate) -> Taking {
        let rate = self.rates[candidate.depth][candidate.speed];
        // Time falls with the feed; life too, by its own power: T = c / f^(x/n).
        let more = self.feeds[candidate.feed].mm() / self.given.feed.mm();
        let power = self.known.feed_exponent / self.known.n - 1.0;
        Taking {
            time: rate.time_own + rate.time / more,
            wear: rate.wear_own + rate.wear * libm::pow(more, power),
            candidate,
        }
    }

    /// Every candidate of which all is known.
    pub(super) fn takings(&self) -> Vec<Taking> {
        let mut all = Vec::with_capacity(self.forms.len() * self.speeds.len() * self.feeds.len());
        for depth in 0..self.forms.len() {
            for speed in 0..self.speeds.len() {
                for feed in 0..self.feeds.len() {
                    let taking = self.taking(Candidate { speed, feed, depth });
                    if taking.time.is_finite() && taking.wear.is_finite() {
                        all.push(taking);
                    }
                }
            }
        }
        all
    }

    /// The given data as a candidate.
    pub(super) fn given_candidate(&self) -> Candidate {
        let speed = |it: &SurfaceSpeed| Speed::Surface(*it) == self.given.speed;
        Candidate {
            speed: self.speeds.iter().position(speed).unwrap_or(0),
            feed: self.feeds.iter().position(|it| *it == self.given.feed).unwrap_or(0),
            depth: self.forms.iter().position(|it| it.depth == self.given.depth).unwrap_or(0),
        }
    }

    /// What a candidate means.
    pub(super) fn data(&self, candidate: Candidate) -> Data {
        Data {
            speed: Speed::Surface(self.speeds[candidate.speed]),
            feed: self.feeds[candidate.feed],
            depth: self.forms[candidate.depth].depth,
        }
    }

    /// The candidates one step up in speed, feed and depth.
    fn above(&self, candidate: Candidate) -> [Option<Candidate>; 3] {
        let Candidate { speed, feed, depth } = candidate;
        [
            (speed + 1 < self.speeds.len()).then_some(Candidate { speed: speed + 1, ..candidate }),
            (feed + 1 < self.feeds.len()).then_some(Candidate { feed: feed + 1, ..candidate }),
            (depth + 1 < self.forms.len()).then_some(Candidate { depth: depth + 1, ..candidate }),
        ]
    }

    /// What the tools file does not say, so that less can be chosen.
    pub(super) fn lacks(&self) -> Vec<Lack> {
        let (number, takes) = (self.station.number, &self.station.takes);
        let mut lacks = Vec::new();
        if self.smoothness_unknown() {
            let why = format!(
                "the drawing does not say how rough all may be that station {number} leaves ({}), so no feed is chosen above the given",
                self.work.word()
            );
            lacks.push(Lack::of("part.feature", why));
        } else if takes.most_feed.is_none() {
            let why = format!(
                "the tools file does not say how much feed station {number} takes (`most_feed`), so none is chosen above the given"
            );
            lacks.push(Lack::of("most_feed", why));
        }
        if self.layered && takes.most_depth.is_none() {
            let why = format!(
                "the tools file does not say how deep a cut station {number} takes (`most_depth`), so the depth stays as given"
            );
            lacks.push(Lack::of("most_depth", why));
        }
        lacks
    }

    /// Whether the given data break a limit that some other candidate keeps.
    pub(super) fn mends(&self) -> bool {
        let breaks = self.used.values().any(|used| *used > 1.0);
        breaks && self.takings().iter().any(|it| self.broken(it.candidate, Measure::Kept).is_none())
    }

    /// How a candidate was chosen.
    pub(super) fn chosen(&self, candidate: Candidate) -> Chosen {
        let keeps_all = self.broken(candidate, Measure::Kept).is_none();
        let measure = if keeps_all { Measure::Kept } else { Measure::NoWorse };
        let ends = self.ends();
        let held = |axis: usize| match self.above(candidate)[axis] {
            None => ends[axis],
            Some(above) => self.broken(above, measure).map_or(Held::Goal, Held::Limit),
        };
        Chosen {
            given: self.given,
            speed: held(0),
            feed: held(1),
            depth: self.layered.then(|| held(2)),
            keeps_all,
            candidates: self.speeds.len() * self.feeds.len() * self.forms.len(),
        }
    }

    /// What ends the grid in speed, feed and depth.
    fn ends(&self) -> [Held; 3] {
        let takes = &self.station.takes;
        let last = self.speeds.last().copied().unwrap_or_default();
        let speed = if !self.shop.swings_free {
            Held::NotKnown
        } else if last >= self.known.highest {
            Held::End(Limit::SpeedRange)
        } else {
            Held::End(Limit::SpindleSpeed)
        };
        let feed = match takes.most_feed {
            None => Held::NotKnown,
            Some(_) if self.smoothness_unknown() => Held::NotKnown,
            Some(most) if most.mm() <= self.known.feed.mm() * 3.0 => Held::End(Limit::MostFeed),
            Some(_) => Held::End(Limit::FeedRange),
        };
        let depth = match (takes.most_depth, self.forms.last()) {
            (None, _) => Held::NotKnown,
            (_, Some(form)) if form.depth < self.deepest => Held::Whole,
            _ => Held::End(Limit::MostDepth),
        };
        [speed, feed, depth]
    }

    /// The first limit that a candidate breaks.
    pub(super) fn broken(&self, candidate: Candidate, measure: Measure) -> Option<Limit> {
        if let Some(known) = self.known_broken.borrow().get(&(candidate, measure)) {
            return *known;
        }
        let mut broken = None;
        self.look(candidate, &mut |used| {
            let allowed = match measure {
                Measure::Kept => 1.0,
                Measure::NoWorse => self.used.get(&used.limit).map_or(1.0, |given| given.max(1.0)),
            };
            // A hair for figures that are the same by another way.
            if used.used.is_nan() || used.used > allowed * (1.0 + 1e-9) {
                broken = Some(used.limit);
            }
            broken.is_none()
        });
        self.known_broken.borrow_mut().insert((candidate, measure), broken);
        broken
    }

    fn used_by(&self, candidate: Candidate) -> BTreeMap<Limit, f64> {
        let mut used = BTreeMap::new();
        self.look(candidate, &mut |Used { limit, used: here }| {
            let most = used.entry(limit).or_insert(here);
            *most = here.max(*most);
            true
        });
        used
    }

    /// Tells how far a candidate goes to each limit of each cut, the quickest told first, as long as it is
    /// wanted.
    fn look(&self, candidate: Candidate, wanted: &mut dyn FnMut(Used) -> bool) {
        let form = &self.forms[candidate.depth];
        let (speed, feed) = (self.speeds[candidate.speed], self.feeds[candidate.feed]);
        if self.quick(form, speed, feed).into_iter().any(|used| !wanted(used)) {
            return;
        }
        let turning = self.turning(speed);
        let count = form.taken.len();
        let first = self.witness.get().min(count.saturating_sub(1));
        let order = std::iter::once(first).chain((0..count).filter(|index| *index != first));
        for index in order.take(count) {
            let (taken, _) = &form.taken[index];
            let feed = if taken.feed == self.given.feed { feed } else { taken.feed };
            let (loads, last) = self.shop.bench.asked(self.station, taken, feed, turning);
            let Ok(loads) = &loads else {
                // Beyond the formulas: it cannot be told that it is kept.
                wanted(Used::new(Limit::Power, f64::INFINITY));
                return;
            };
            let used = limit::of_cut(loads, last.as_ref(), taken.finishes.as_ref());
            if used.into_iter().any(|used| !wanted(used)) {
                self.witness.set(index);
                return;
            }
        }
    }

    /// Limits that hang on the figures themselves.
    fn quick(&self, form: &Form, speed: SurfaceSpeed, feed: FeedPerRev) -> Vec<Used> {
        let (known, takes) = (self.known, &self.station.takes);
        let slow = if self.station.width.is_some() {
            // The speed of a blade falls to nothing at the center, whatever it is outside.
            0.0
        } else {
            known.lowest.m_per_min() / speed.m_per_min()
        };
        let fast = speed.m_per_min() / known.highest.m_per_min();
        let mut used = vec![Used::new(Limit::SpeedRange, fast.max(slow))];
        if let Some(most) = takes.most_feed {
            used.push(Used::new(Limit::MostFeed, feed.mm() / most.mm()));
        }
        if let Some(most) = takes.most_depth {
            let deepest = form.taken.iter().map(|(taken, _)| taken.depth().mm());
            let deepest = deepest.fold(0.0, f64::max);
            used.push(Used::new(Limit::MostDepth, deepest / most.mm()));
        }
        let nose = self.station.nose_radius;
        let finish = form.taken.iter().filter_map(|(taken, _)| {
            let feed = if taken.feed == self.given.feed { feed } else { taken.feed };
            limit::of_finish(taken.finishes.as_ref(), feed, nose)
        });
        used.extend(finish);
        used
    }
}
