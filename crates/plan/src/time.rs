//! How long the acts take: by the same published formulas as the virtual lathe, from the list of
//! acts instead of the program's text.

use crate::acts::Act;
use crate::cuts::{Place, Speed, Turn};
use calc::motion::{self, Cut};
use model::Length;
use model::files::control::Does;
use model::files::job::Job;
use model::files::tools::Turns;
use model::quantity::{FeedPerRev, FeedRate, Seconds, SpindleSpeed};
use std::collections::BTreeMap;

/// A clock that follows the acts.
#[derive(Debug, Clone)]
pub struct Clock<'j> {
    job: &'j Job,
    clamp: SpindleSpeed,
    now: f64,
    at: Place,
    station: Option<u32>,
    speed: Option<Speed>,
    /// Speed called for, speed at the time of the call, and that time.
    spindle: (f64, f64, f64),
    turning: Option<Turns>,
    /// Cutting time of each station so far.
    cutting: BTreeMap<u32, f64>,
}

impl<'j> Clock<'j> {
    /// A clock at zero, the turret at its safe place and the spindle standing.
    pub fn new(job: &'j Job, clamp: SpindleSpeed) -> Clock<'j> {
        let turret = &job.lathe.turret;
        Clock {
            job,
            clamp: SpindleSpeed::from_rpm(clamp.rpm().min(job.lathe.spindle.max_speed.rpm())),
            now: 0.0,
            at: Place { x: turret.index_x, z: turret.index_z },
            station: None,
            speed: None,
            spindle: (0.0, 0.0, 0.0),
            turning: None,
            cutting: BTreeMap::new(),
        }
    }

    /// The time since it was new.
    pub fn now(&self) -> Seconds {
        Seconds::from_s(self.now)
    }

    /// The cutting time of each station so far.
    pub fn cutting(&self) -> &BTreeMap<u32, f64> {
        &self.cutting
    }

    /// Lets all these acts happen.
    pub fn follow(&mut self, acts: &[Act]) {
        for act in acts {
            self.act(act);
        }
    }

    fn act(&mut self, act: &Act) {
        match act {
            Act::Heading(_) | Act::Coolant(_) => {}
            Act::Call { station, .. } => self.index(*station),
            Act::Turn(speed, turns) => {
                // The speed comes with the block's first word, the way with its last.
                self.speed = Some(*speed);
                if self.turning.is_some() {
                    self.aim(self.speed_at(self.at.x));
                }
                self.start(*turns);
            }
            Act::TurnBack(turns) => self.start(*turns),
            Act::Cycle(_, made) => self.follow(made),
            Act::Rapid(to) => self.rapid(*to),
            Act::Cut(to, feed) => self.cut(*to, None, *feed),
            Act::CutArc { to, center, turn, feed } => self.cut(*to, Some((*center, *turn)), *feed),
            Act::Thread(to, lead) => self.thread(*to, *lead),
            Act::Creep(to, rate) | Act::Pull { to, speed: rate, .. } => {
                let way = path(self.at, *to);
                self.now += motion::feed_per_minute_time(Length::nearest_mm(way), *rate).s();
                let ways = (to.x.half() - self.at.x.half(), to.z - self.at.z);
                self.now += self.ramps(way, ways, *rate);
                self.at = *to;
            }
            Act::Function(does, wait) => self.function(*does, *wait),
            Act::Dwell(time) => self.now += time.s(),
        }
    }

    /// The spindle runs down first where it turned the other way.
    fn start(&mut self, turns: Turns) {
        if self.turning.is_some_and(|turning| turning != turns) {
            self.now += self.ramp(self.turns_at(), 0.0);
        }
        self.turning = Some(turns);
        self.aim(self.speed_at(self.at.x));
    }

    fn index(&mut self, station: u32) {
        if self.station != Some(station) {
            let turret = &self.job.lathe.turret;
            let steps = self.station.map_or(1, |from| {
                let around = from.abs_diff(station) % turret.stations;
                around.min(turret.stations - around)
            });
            self.now += turret.step.s() * f64::from(steps);
            self.station = Some(station);
        }
    }

    fn rapid(&mut self, to: Place) {
        let rapid = &self.job.lathe.rapid;
        let x = motion::rapid_time(
            (to.x.half() - self.at.x.half()).abs(),
            rapid.x,
            rapid.x_acceleration,
        );
        let z = motion::rapid_time((to.z - self.at.z).abs(), rapid.z, rapid.z_acceleration);
        self.now += x.s().max(z.s());
        self.at = to;
        if self.turning.is_some() && matches!(self.speed, Some(Speed::Surface(_))) {
            self.aim(self.speed_at(to.x));
        }
    }

    /// A feed per revolution, straight or round a center.
    fn cut(&mut self, to: Place, arc: Option<(Place, Turn)>, feed: FeedPerRev) {
        let Some(speed) = self.speed else { return };
        self.ready_to_cut();
        let chords = arc.map_or(Vec::new(), |(center, turn)| chords(self.at, to, center, turn));
        let (mut from, mut time, mut way) = (self.at, 0.0, 0.0);
        for to in chords.into_iter().chain([to]) {
            time += self.cutting_time(from, to, feed, speed);
            way += path(from, to);
            from = to;
        }
        let fastest = self.speed_at(self.at.x).max(self.speed_at(to.x)) * feed.mm();
        let ways = match arc {
            // Along an arc either axis may be the one that limits.
            Some(_) => (Length::ZERO, Length::ZERO),
            None => (to.x.half() - self.at.x.half(), to.z - self.at.z),
        };
        let ramps = self.ramps(way, ways, FeedRate::from_mm_per_min(fastest));
        self.has_cut(to, time, ramps);
    }

    /// In step with the spindle, whose run-up lies in front of the thread.
    fn thread(&mut self, to: Place, lead: FeedPerRev) {
        self.ready_to_cut();
        let way = (to.x - self.at.x).half().abs().max((to.z - self.at.z).abs());
        let speed = SpindleSpeed::from_rpm(self.speed_at(self.at.x));
        let time = motion::feed_per_revolution_time(way, lead, speed).s();
        self.has_cut(to, time, 0.0);
    }

    fn ready_to_cut(&mut self) {
        self.aim(self.speed_at(self.at.x));
        if self.job.lathe.spindle.waits_for_speed {
            self.wait();
        }
    }

    fn has_cut(&mut self, to: Place, time: f64, ramps: f64) {
        self.now += time + ramps;
        if let Some(station) = self.station {
            *self.cutting.entry(station).or_default() += time;
        }
        self.at = to;
        if matches!(self.speed, Some(Speed::Surface(_))) {
            let speed = self.speed_at(to.x);
            self.spindle = (speed, speed, self.now);
        }
    }

    fn cutting_time(&self, from: Place, to: Place, feed: FeedPerRev, speed: Speed) -> f64 {
        match speed {
            Speed::Surface(speed) => {
                let cut =
                    Cut { from_r: from.x.half(), from_z: from.z, to_r: to.x.half(), to_z: to.z };
                motion::surface_speed_time(&cut, feed, speed, self.clamp).s()
            }
            Speed::Spindle(_) => {
                let speed = SpindleSpeed::from_rpm(self.speed_at(Length::ZERO));
                let way = Length::nearest_mm(path(from, to));
                motion::feed_per_revolution_time(way, feed, speed).s()
            }
        }
    }

    fn function(&mut self, does: Does, wait: Seconds) {
        let chuck = &self.job.lathe.chuck;
        let confirmed = self.job.control.that(does).is_some_and(|function| function.confirmed);
        match does {
            Does::SpindleStop => {
                self.aim(0.0);
                self.turning = None;
                if confirmed {
                    self.wait();
                }
            }
            Does::ChuckOpen if confirmed => self.now += chuck.open.s(),
            Does::ChuckClose if confirmed => self.now += chuck.close.s(),
            _ => {}
        }
        self.now += wait.s();
    }

    /// Seconds that speeding up and slowing down add on a way that leads so far along X and Z.
    fn ramps(&self, way: f64, (way_x, way_z): (Length, Length), rate: FeedRate) -> f64 {
        let rapid = &self.job.lathe.rapid;
        let along =
            motion::path_acceleration(way_x, way_z, rapid.x_acceleration, rapid.z_acceleration);
        motion::ramps_time(Length::nearest_mm(way), rate, along).s()
    }

    fn speed_at(&self, diameter: Length) -> f64 {
        match self.speed {
            None => 0.0,
            Some(Speed::Surface(speed)) => motion::spindle_speed(speed, diameter, self.clamp).rpm(),
            Some(Speed::Spindle(speed)) => speed.rpm().min(self.clamp.rpm()),
        }
    }

    fn ramp(&self, from: f64, to: f64) -> f64 {
        let spindle = &self.job.lathe.spindle;
        let full = if to > from { spindle.run_up } else { spindle.run_down };
        motion::ramp_time(SpindleSpeed::from_rpm((to - from).abs()), spindle.max_speed, full).s()
    }

    fn aim(&mut self, target: f64) {
        self.spindle = (target, self.turns_at(), self.now);
    }

    /// How fast the spindle turns now.
    fn turns_at(&self) -> f64 {
        let (to, from, since) = self.spindle;
        let whole = self.ramp(from, to);
        let part = if whole > 0.0 { ((self.now - since) / whole).clamp(0.0, 1.0) } else { 1.0 };
        from + (to - from) * part
    }

    fn wait(&mut self) {
        let (to, from, since) = self.spindle;
        self.now = self.now.max(since + self.ramp(from, to));
    }
}

fn path(from: Place, to: Place) -> f64 {
    libm::hypot((to.x.half() - from.x.half()).mm(), (to.z - from.z).mm())
}

/// Places on an arc, no more than two degrees from one to the next, without its ends.
pub(crate) fn chords(from: Place, to: Place, center: Place, turn: Turn) -> Vec<Place> {
    let seen = |place: Place| ((place.x - center.x).half().mm(), (place.z - center.z).mm());
    let ((from_r, from_z), (to_r, to_z)) = (seen(from), seen(to));
    let (start, end) = (libm::atan2(from_r, from_z), libm::atan2(to_r, to_z));
    let full = std::f64::consts::TAU;
    let swept = match turn {
        Turn::Counterclockwise => (end - start).rem_euclid(full),
        Turn::Clockwise => -(start - end).rem_euclid(full),
    };
    let count = (swept.abs() / 2.0_f64.to_radians()).ceil().max(1.0);
    let radius = libm::hypot(from_r, from_z);
    let place = |index: u32| {
        let angle = start + swept * f64::from(index) / count;
        let (r, z) = (radius * libm::sin(angle), radius * libm::cos(angle));
        Place { x: center.x + Length::nearest_mm(2.0 * r), z: center.z + Length::nearest_mm(z) }
    };
    (1..count as u32).map(place).collect()
}
