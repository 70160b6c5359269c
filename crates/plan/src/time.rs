//! How long the acts take: by the same published formulas as the virtual lathe, from the list of
//! acts instead of the program's text.

use crate::acts::Act;
use crate::cuts::Place;
use calc::motion::{self, Cut};
use model::Length;
use model::files::control::Does;
use model::files::job::Job;
use model::quantity::{FeedRate, Seconds, SpindleSpeed, SurfaceSpeed};
use std::collections::BTreeMap;

/// A clock that follows the acts.
#[derive(Debug, Clone)]
pub struct Clock<'j> {
    job: &'j Job,
    clamp: SpindleSpeed,
    now: f64,
    at: Place,
    station: Option<u32>,
    speed: Option<SurfaceSpeed>,
    /// Speed called for, speed at the time of the call, and that time.
    spindle: (f64, f64, f64),
    turning: bool,
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
            turning: false,
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
            Act::Turn(speed) => {
                self.speed = Some(*speed);
                self.turning = true;
                self.aim(self.speed_at(self.at.x));
            }
            Act::Rapid(to) => self.rapid(*to),
            Act::Cut(to, feed) => self.cut(*to, *feed),
            Act::Creep(to, rate) | Act::Pull { to, speed: rate, .. } => {
                let path = path(self.at, *to);
                self.now += motion::feed_per_minute_time(Length::nearest_mm(path), *rate).s();
                self.now += self.ramps(*to, *rate);
                self.at = *to;
            }
            Act::Function(does, wait) => self.function(*does, *wait),
            Act::Dwell(time) => self.now += time.s(),
        }
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
        if self.turning {
            self.aim(self.speed_at(to.x));
        }
    }

    fn cut(&mut self, to: Place, feed: model::quantity::FeedPerRev) {
        let Some(speed) = self.speed else { return };
        self.aim(self.speed_at(self.at.x));
        if self.job.lathe.spindle.waits_for_speed {
            self.wait();
        }
        let cut =
            Cut { from_r: self.at.x.half(), from_z: self.at.z, to_r: to.x.half(), to_z: to.z };
        let time = motion::surface_speed_time(&cut, feed, speed, self.clamp).s();
        let fastest = self.speed_at(self.at.x).max(self.speed_at(to.x)) * feed.mm();
        self.now += time + self.ramps(to, FeedRate::from_mm_per_min(fastest));
        if let Some(station) = self.station {
            *self.cutting.entry(station).or_default() += time;
        }
        self.at = to;
        let speed = self.speed_at(to.x);
        self.spindle = (speed, speed, self.now);
    }

    fn function(&mut self, does: Does, wait: Seconds) {
        let chuck = &self.job.lathe.chuck;
        let confirmed = self.job.control.that(does).is_some_and(|function| function.confirmed);
        match does {
            Does::SpindleStop => {
                self.aim(0.0);
                self.turning = false;
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

    /// Seconds that speeding up and slowing down add on the straight way to a place.
    fn ramps(&self, to: Place, rate: FeedRate) -> f64 {
        let rapid = &self.job.lathe.rapid;
        let (way_x, way_z) = (to.x.half() - self.at.x.half(), to.z - self.at.z);
        let along =
            motion::path_acceleration(way_x, way_z, rapid.x_acceleration, rapid.z_acceleration);
        motion::ramps_time(Length::nearest_mm(path(self.at, to)), rate, along).s()
    }

    fn speed_at(&self, diameter: Length) -> f64 {
        self.speed.map_or(0.0, |speed| motion::spindle_speed(speed, diameter, self.clamp).rpm())
    }

    fn ramp(&self, from: f64, to: f64) -> f64 {
        let spindle = &self.job.lathe.spindle;
        let full = if to > from { spindle.run_up } else { spindle.run_down };
        motion::ramp_time(SpindleSpeed::from_rpm((to - from).abs()), spindle.max_speed, full).s()
    }

    fn aim(&mut self, target: f64) {
        let (to, from, since) = self.spindle;
        let whole = self.ramp(from, to);
        let part = if whole > 0.0 { ((self.now - since) / whole).clamp(0.0, 1.0) } else { 1.0 };
        self.spindle = (target, from + (to - from) * part, self.now);
    }

    fn wait(&mut self) {
        let (to, from, since) = self.spindle;
        self.now = self.now.max(since + self.ramp(from, to));
    }
}

fn path(from: Place, to: Place) -> f64 {
    libm::hypot((to.x.half() - from.x.half()).mm(), (to.z - from.z).mm())
}
