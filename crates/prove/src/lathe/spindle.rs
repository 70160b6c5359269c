//! The spindle: it changes its speed in time, not at once.

use super::{Lathe, State, Teller};
use crate::action::Speed;
use crate::event::{Spot, What};
use crate::instant::Instant;
use calc::motion;
use model::Length;
use model::quantity::SpindleSpeed;

/// Which way the spindle turns.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    /// As M3.
    Forward,
    /// As M4.
    Reverse,
}

/// What the spindle was told, and how fast it turned when it was told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spindle {
    /// Which way it was told to turn; none for standing.
    pub told: Option<Direction>,
    /// Which way it turned before a cycle let it stand.
    pub before_rest: Option<Direction>,
    /// The speed called for.
    pub speed: Option<Speed>,
    /// The highest speed, where the program clamps it.
    pub clamp: Option<SpindleSpeed>,
    /// The speed it goes to.
    target_rpm: f64,
    /// The speed it had at `since`.
    start_rpm: f64,
    pub(super) since: Instant,
}

impl Spindle {
    /// A spindle that stands and was told nothing.
    pub const fn standing() -> Spindle {
        Spindle {
            told: None,
            before_rest: None,
            speed: None,
            clamp: None,
            target_rpm: 0.0,
            start_rpm: 0.0,
            since: Instant::START,
        }
    }

    /// The speed it goes to, in rev/min.
    pub const fn called_for(&self) -> f64 {
        self.target_rpm
    }
}

impl Lathe<'_> {
    /// The state with its times counted from now, so that it is the same whenever it stands so.
    pub(crate) fn whenever(&self) -> State {
        let mut state = self.state;
        let from_now = |at: Instant| Instant::START.later(at.nanoseconds_after(self.state.now), 1);
        state.now = Instant::START;
        state.chuck.done_at = from_now(state.chuck.done_at).max(Instant::START);
        if self.turning().rpm().to_bits() == state.spindle.target_rpm.to_bits() {
            state.spindle.start_rpm = state.spindle.target_rpm;
            state.spindle.since = Instant::START;
        } else {
            state.spindle.since = from_now(state.spindle.since);
        }
        state
    }

    /// The speed at which the spindle turns now.
    pub fn turning(&self) -> SpindleSpeed {
        turning(&self.state, self.setup)
    }

    pub(super) fn start_spindle(&mut self, way: Direction, spot: Spot, tell: &mut Teller<'_>) {
        self.step(spot, tell, |lathe| {
            let was = lathe.turning().rpm();
            let turned = lathe.state.spindle.told.is_some_and(|told| told != way);
            let wait = if turned { lathe.ramp(was, 0.0) } else { 0.0 };
            lathe.state.now += wait;
            lathe.state.spindle.told = Some(way);
            lathe.aim(lathe.speed_for(lathe.state.position.r));
            What::SpindleStarted
        });
    }

    pub(super) fn stop_spindle(&mut self, confirmed: bool, spot: Spot, tell: &mut Teller<'_>) {
        self.step(spot, tell, |lathe| {
            lathe.aim(0.0);
            lathe.state.spindle.told = None;
            if confirmed {
                lathe.wait_for_speed();
            }
            What::SpindleStopped
        });
    }

    /// Turns the other way than so far, as at the bottom of a tapped hole.
    pub(super) fn turn_back(&mut self, spot: Spot, tell: &mut Teller<'_>) {
        let way = match self.state.spindle.told {
            Some(Direction::Forward) => Direction::Reverse,
            Some(Direction::Reverse) => Direction::Forward,
            None => return,
        };
        self.start_spindle(way, spot, tell);
    }

    pub(super) fn call_speed(&mut self, speed: Speed, spot: Spot, tell: &mut Teller<'_>) {
        self.step(spot, tell, |lathe| {
            lathe.state.spindle.speed = Some(speed);
            if lathe.state.spindle.told.is_some() {
                lathe.aim(lathe.speed_for(lathe.state.position.r));
            }
            match speed {
                Speed::Fixed(speed) => What::SpeedCalled(speed),
                Speed::Surface(_) if lathe.state.spindle.clamp.is_none() => {
                    What::SurfaceSpeedUnclamped
                }
                Speed::Surface(_) => What::SurfaceSpeed,
            }
        });
    }

    /// The speed that was last called for stays, whatever diameter follows.
    pub(super) fn hold_speed(&mut self) {
        let held = self.state.spindle.target_rpm;
        self.state.spindle.speed = Some(Speed::Fixed(SpindleSpeed::from_rpm(held)));
    }

    /// The highest speed that clamp and lathe allow; no limit is known as infinite.
    pub(super) fn limit(&self) -> SpindleSpeed {
        let lathe = self.setup.lathe.as_ref().map(|lathe| lathe.spindle.max_speed.rpm());
        let clamp = self.state.spindle.clamp.map(SpindleSpeed::rpm);
        let limit = lathe.unwrap_or(f64::INFINITY).min(clamp.unwrap_or(f64::INFINITY));
        SpindleSpeed::from_rpm(limit)
    }

    /// The speed that is called for with the tool at this radius, in rev/min.
    pub(super) fn speed_for(&self, r: Length) -> f64 {
        match self.state.spindle.speed {
            None => 0.0,
            Some(Speed::Fixed(speed)) => speed.rpm().min(self.limit().rpm()),
            Some(Speed::Surface(speed)) => {
                motion::spindle_speed(speed, r.abs() * 2, self.limit()).rpm()
            }
        }
    }

    /// Starts toward another speed.
    pub(super) fn aim(&mut self, target_rpm: f64) {
        let start_rpm = self.turning().rpm();
        let spindle = &mut self.state.spindle;
        (spindle.start_rpm, spindle.target_rpm, spindle.since) =
            (start_rpm, target_rpm, self.state.now);
    }

    /// Takes the spindle to be at a speed already.
    pub(super) fn is_at(&mut self, rpm: f64) {
        let spindle = &mut self.state.spindle;
        (spindle.start_rpm, spindle.target_rpm, spindle.since) = (rpm, rpm, self.state.now);
    }

    /// Waits until the spindle has the speed it goes to.
    pub(super) fn wait_for_speed(&mut self) {
        let spindle = self.state.spindle;
        let done = spindle.since + self.ramp(spindle.start_rpm, spindle.target_rpm);
        self.state.now = self.state.now.max(done);
    }

    fn ramp(&self, from: f64, to: f64) -> f64 {
        ramp(self.setup, from, to)
    }
}

/// Seconds from one speed to another; none where no lathe file tells.
fn ramp(setup: &crate::Setup, from: f64, to: f64) -> f64 {
    let Some(lathe) = &setup.lathe else { return 0.0 };
    let spindle = &lathe.spindle;
    let full = if to > from { spindle.run_up } else { spindle.run_down };
    let change = SpindleSpeed::from_rpm((to - from).abs());
    motion::ramp_time(change, spindle.max_speed, full).s()
}

/// The speed at which the spindle of a state turns.
pub(crate) fn turning(state: &State, setup: &crate::Setup) -> SpindleSpeed {
    let spindle = state.spindle;
    let (from, to) = (spindle.start_rpm, spindle.target_rpm);
    let whole = ramp(setup, from, to);
    let passed = state.now - spindle.since;
    // At the axis, with no limit known, the speed called for is infinite: no mean of it exists.
    if passed >= whole {
        return SpindleSpeed::from_rpm(to);
    }
    SpindleSpeed::from_rpm(from + (to - from) * (passed / whole))
}
