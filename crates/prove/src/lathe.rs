//! The virtual lathe: its whole state on one screen. It does what actions ask and tells, moment
//! by moment, what happened.

mod chuck;
mod cutting;
mod gripper;
mod growth;
mod loading;
mod moving;
mod spindle;

pub(crate) use growth::StateGrowth;
pub(crate) use spindle::turning;
pub use spindle::{Direction, Spindle};

use crate::action::{Action, Ask};
use crate::event::{EndedBy, Moment, Motion, Point, Spot, What};
use crate::instant::Instant;
use crate::loads::LoadBook;
use crate::metal::Metal;
use crate::setup::Setup;
use model::Length;
use model::files::control::{Code, Does};
use model::files::tools::{BladeCorner, ToolKind};
use model::quantity::{Seconds, SpindleSpeed};
use shape::Placed;
use std::ops::ControlFlow;
use std::rc::Rc;

/// The chuck as told, and when it has done it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chuck {
    /// Whether it was last told to open.
    pub open: bool,
    /// When it has done so.
    pub done_at: Instant,
}

/// The bar along the spindle axis, counted from the finished front face; what is not known is none.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BarState {
    /// Its front end.
    pub front: Option<Length>,
    /// Its rear end.
    pub rear: Option<Length>,
    /// Whether its front end stands as the last pull left it, not cut since.
    pub front_is_drawn: bool,
    /// How far it was drawn since the start.
    pub drawn: Length,
    /// How far it was drawn since the last part fell.
    pub drawn_since_part: Length,
}

/// The tool at work.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tool {
    /// Its station; none before the first call.
    pub station: Option<u32>,
    /// What it is, where a file says so or the program shows it.
    pub kind: Option<ToolKind>,
    /// Width of its blade.
    pub width: Option<Length>,
    /// Which corner of the blade its Z words mean.
    pub corner: BladeCorner,
}

/// One pass of a thread: what must be the same in every pass.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ThreadPass {
    /// The station that cuts it.
    pub station: Option<u32>,
    /// Where it starts along the axis.
    pub start: Length,
    /// Where it ends, with a pull-out or further stretches.
    pub end: Point,
    /// Its lead in mm.
    pub lead: f64,
    /// The spindle's speed.
    pub speed: SpindleSpeed,
}

impl ThreadPass {
    /// Whether a move goes on from the end of this pass without leaving the thread.
    fn goes_on(&self, station: Option<u32>, motion: &Motion) -> bool {
        self.station == station && self.end == motion.from
    }

    /// Whether a move in step with the spindle runs over the same thread once more: it starts no
    /// further than a lead from where this pass did, as flank infeed and several starts have it,
    /// or ends at the same place.
    pub fn is_run_again(&self, station: Option<u32>, motion: &Motion) -> bool {
        let apart = (motion.from.z - self.start).abs().mm();
        self.station == station
            && !self.goes_on(station, motion)
            && (apart <= self.lead || self.end.z == motion.to.z)
    }
}

/// A parting cut that ended before the piece fell.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Neck {
    /// The word that ended it.
    pub spot: Spot,
    /// Where the blade was.
    pub at: Point,
    /// Where its side toward the chuck was.
    pub edge: Length,
    /// Width of the blade.
    pub width: Option<Length>,
}

/// What is known of the coolant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Coolant {
    /// It is off.
    Off,
    /// It is off, and something was cut without it.
    OffInACut,
    /// It is on.
    On,
    /// A word came that no file explains: it may have turned it on.
    Unsure,
}

/// Everything about the lathe at one instant.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// The present.
    pub now: Instant,
    /// Where the tool stands.
    pub position: Point,
    /// The tool at work.
    pub tool: Tool,
    /// The tool offset in force; 0 for none.
    pub offset: u32,
    /// The last pass of a thread.
    pub thread: Option<ThreadPass>,
    /// From where to where a knurling wheel has run on the bar since the last part fell.
    pub knurled: Option<(Length, Length)>,
    /// The spindle.
    pub spindle: Spindle,
    /// The chuck.
    pub chuck: Chuck,
    /// The bar.
    pub bar: BarState,
    /// The bar as a shape, where bar, part and tools are known.
    pub shape: Option<Placed>,
    /// The deepest parting cut since the last piece fell: that piece still hangs on the bar.
    pub neck: Option<Neck>,
    /// Whether a piece fell before the blade came to the axis, which it still may do.
    pub fell_early: bool,
    /// Length of stub in the gripper, while it is on.
    pub gripped: Option<Length>,
    /// Whether the chuck was opened since the gripper went on.
    pub opened_while_on: bool,
    /// The word that opened the chuck while nothing held the bar, until a person may have seen it.
    pub opened_unheld: Option<Spot>,
    /// The last word that drew the bar.
    pub pulled_at: Option<Spot>,
    /// Whether, since the last part fell, a word came that no file explains: it may have opened the
    /// chuck and drawn the bar.
    pub unknown_word: bool,
    /// Coolant.
    pub coolant: Coolant,
    /// Parts that fell.
    pub parts: u32,
    /// Times that the parting tool reached the axis, with or without bar.
    pub partings: u32,
    /// The control's own part counter.
    pub counter: f64,
    /// Advances that are complete: the chuck closed after a pull.
    pub advances: u32,
}

impl State {
    /// The cycle, from 1: a new one starts when the chuck has closed on a drawn bar.
    pub const fn cycle(&self) -> u32 {
        self.advances + 1
    }

    /// Whether anything was drawn or parted since the bar was new.
    pub const fn drawn_yet(&self) -> bool {
        self.partings > 0 || self.advances > 0
    }

    /// Length of bar inside the jaws, where it is known, of a blank that is shorter by so much.
    pub fn grip(&self, setup: &Setup, shorter: Length) -> Option<Length> {
        let (jaw, rear) = (setup.jaw_face()?, self.bar.rear? + shorter);
        let full = setup.lathe.as_ref().map_or(jaw - rear, |lathe| lathe.chuck.jaw_length);
        Some((jaw - rear).min(full))
    }
}

/// What the program itself shows about tools that no file names.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Shown {
    /// The station that stands at the bar when the chuck first opens.
    pub gripper: Option<u32>,
    /// The station and place of the last cut to the axis before that.
    pub parting: Option<(u32, Length)>,
}

/// Who is told what happens. Breaking ends the run.
pub type Teller<'t> = dyn FnMut(&Moment<'_>) + 't;

/// The virtual lathe.
#[derive(Debug, Clone)]
pub struct Lathe<'s> {
    /// What is known.
    pub setup: &'s Setup,
    /// What the program shows about its tools.
    pub shown: Shown,
    /// Its state.
    pub state: State,
    /// The shapes of bar, tools and jaws, where they are known.
    pub metal: Option<Rc<Metal>>,
    /// What cuts ask of drive, chuck and bar, where it is reckoned.
    pub(crate) loads: Option<Rc<LoadBook>>,
}

impl<'s> Lathe<'s> {
    /// A lathe with a new bar, loaded to the stop, chuck closed, spindle standing, tools away.
    pub fn with_new_bar(setup: &'s Setup, shown: Shown) -> Lathe<'s> {
        let front = setup.first_front();
        let rear = front.zip(setup.bar.as_ref()).map(|(front, bar)| front - bar.length);
        let metal = Metal::new(setup).map(Rc::new);
        let state = State {
            now: Instant::START,
            position: away(setup),
            tool: Tool { station: None, kind: None, width: None, corner: BladeCorner::ChuckSide },
            offset: 0,
            thread: None,
            knurled: None,
            spindle: Spindle::standing(),
            chuck: Chuck { open: false, done_at: Instant::START },
            bar: BarState { front, rear, ..BarState::default() },
            shape: metal.as_ref().zip(front).and_then(|(metal, front)| metal.bar_to(front)),
            neck: None,
            fell_early: false,
            gripped: None,
            opened_while_on: false,
            opened_unheld: None,
            pulled_at: None,
            unknown_word: false,
            coolant: Coolant::Off,
            parts: 0,
            partings: 0,
            counter: 0.0,
            advances: 0,
        };
        Lathe { setup, shown, state, metal, loads: None }
    }

    /// Does what an action asks. Breaks where the run ends with it.
    pub fn act(&mut self, action: &Action, tell: &mut Teller<'_>) -> ControlFlow<EndedBy> {
        let spot = action.spot;
        match action.ask {
            Ask::Move { to, path, feed } => return self.go(to, path, feed, spot, tell),
            Ask::Dwell(time) => self.step(spot, tell, |lathe| {
                lathe.state.now += time.s();
                What::Dwell(time)
            }),
            Ask::DwellTurns(turns) => self.step(spot, tell, |lathe| {
                let rpm = lathe.turning().rpm();
                let time = if rpm > 0.0 {
                    Seconds::from_s(60.0 * turns / rpm)
                } else {
                    Seconds::from_s(0.0)
                };
                lathe.state.now += time.s();
                What::Dwell(time)
            }),
            Ask::Rest => {
                self.state.spindle.before_rest = self.state.spindle.told;
                self.stop_spindle(true, spot, tell);
            }
            Ask::TurnOn => {
                if let Some(way) = self.state.spindle.before_rest.take() {
                    self.start_spindle(way, spot, tell);
                }
            }
            Ask::TurnBack => self.turn_back(spot, tell),
            Ask::Speed(speed) => self.call_speed(speed, spot, tell),
            Ask::HoldSpeed => self.hold_speed(),
            Ask::Clamp(speed) => self.step(spot, tell, |lathe| {
                lathe.state.spindle.clamp = Some(speed);
                What::SpeedCalled(speed)
            }),
            Ask::Function(does, word) => self.function(does, word, spot, tell),
            Ask::Unknown(word) => self.step(spot, tell, |lathe| {
                lathe.state.unknown_word = true;
                if lathe.state.coolant != Coolant::On {
                    lathe.state.coolant = Coolant::Unsure;
                }
                What::UnknownWord(word)
            }),
            Ask::NotModelled(what) => self.step(spot, tell, |_| What::NotModelled(what)),
            Ask::Index(station, offset) => self.index(station, offset, spot, tell),
            Ask::Halt => self.step(spot, tell, |lathe| {
                lathe.state.opened_unheld = None;
                What::Halted
            }),
            Ask::OptionalHalt => self.step(spot, tell, |_| What::Halted),
            Ask::Message => self.step(spot, tell, |_| What::Message),
            Ask::End(word) => {
                self.still_hangs(tell);
                self.count_by(word);
                self.state.opened_unheld = None;
                return ControlFlow::Break(EndedBy::Count);
            }
        }
        ControlFlow::Continue(())
    }

    /// Changes the state and tells what happened.
    fn step(
        &mut self,
        spot: Spot,
        tell: &mut Teller<'_>,
        change: impl FnOnce(&mut Lathe<'s>) -> What,
    ) {
        let before = self.state;
        let what = change(self);
        self.tell(what, spot, &before, tell);
    }

    /// Tells what happened, the state being `before` and now.
    pub fn tell(&self, what: What, spot: Spot, before: &State, tell: &mut Teller<'_>) {
        tell(&Moment { what, spot, before, after: &self.state, setup: self.setup, whole: None });
    }

    fn function(&mut self, does: Does, word: Code, spot: Spot, tell: &mut Teller<'_>) {
        let confirmed =
            self.setup.control.function(word).is_some_and(|function| function.confirmed);
        match does {
            Does::ChuckOpen => self.open_chuck(confirmed, spot, tell),
            Does::ChuckClose => self.close_chuck(confirmed, spot, tell),
            Does::SpindleForward => self.start_spindle(Direction::Forward, spot, tell),
            Does::SpindleReverse => self.start_spindle(Direction::Reverse, spot, tell),
            Does::SpindleStop => self.stop_spindle(confirmed, spot, tell),
            // Held at an angle: the next block waits for it on every control.
            Does::SpindleOrient => self.stop_spindle(true, spot, tell),
            _ => self.step(spot, tell, |lathe| {
                lathe.count_by(word);
                match does {
                    Does::CoolantOn => lathe.state.coolant = Coolant::On,
                    Does::CoolantOff => lathe.state.coolant = Coolant::Off,
                    _ => {}
                }
                What::Function(does)
            }),
        }
    }

    /// Steps the control's counter where this word does so.
    fn count_by(&mut self, word: Code) {
        let counter = self.setup.control.counter.as_ref();
        if counter.is_some_and(|counter| counter.counted_by.contains(&word)) {
            self.state.counter += 1.0;
        }
    }

    fn index(&mut self, station: u32, offset: u32, spot: Spot, tell: &mut Teller<'_>) {
        let from = self.state.tool.station;
        self.step(spot, tell, |lathe| {
            lathe.state.offset = offset;
            What::OffsetCalled { station, offset }
        });
        if from == Some(station) {
            return;
        }
        self.watch_swing(from, spot, tell);
        self.step(spot, tell, |lathe| {
            lathe.state.now += lathe.index_time(from, station);
            lathe.state.fell_early = false;
            lathe.state.tool = lathe.tool_at(station);
            What::Indexed { from, to: station }
        });
    }

    /// What the turret goes into when it swings here.
    fn watch_swing(&self, from: Option<u32>, spot: Spot, tell: &mut Teller<'_>) {
        let known = self.metal.as_ref().zip(self.state.shape).zip(from);
        let Some(((metal, bar), from)) = known else { return };
        if let Some(strike) = metal.swing_strike(bar, from, self.state.position) {
            self.tell(What::Struck { strike, rapid: true }, spot, &self.state, tell);
        }
    }

    fn index_time(&self, from: Option<u32>, to: u32) -> f64 {
        let Some(lathe) = &self.setup.lathe else { return 0.0 };
        let stations = lathe.turret.stations;
        let steps = from.map_or(1, |from| {
            let around = from.abs_diff(to) % stations;
            around.min(stations - around)
        });
        lathe.turret.step.s() * f64::from(steps)
    }

    fn tool_at(&self, number: u32) -> Tool {
        let known = self.setup.tools.as_ref().and_then(|tools| tools.station(number));
        if let Some(station) = known {
            return Tool {
                station: Some(number),
                kind: Some(station.kind),
                width: station.width,
                corner: station.corner,
            };
        }
        let kind = if self.shown.gripper == Some(number) { Some(ToolKind::Gripper) } else { None };
        Tool { station: Some(number), kind, width: None, corner: BladeCorner::ChuckSide }
    }

    /// The state in which a person finds the lathe after feed hold and reset.
    pub fn reset(&mut self) {
        let state = &mut self.state;
        state.spindle = Spindle::standing();
        state.now = Instant::START;
        state.chuck.done_at = Instant::START;
        state.opened_unheld = None;
    }
}

/// A point clear of everything, where the turret may swing.
pub(crate) fn away(setup: &Setup) -> Point {
    match &setup.lathe {
        Some(lathe) => {
            let r = lathe.turret.index_x.half();
            let far = lathe.travel.ends.is_some_and(|ends| ends.far_side());
            Point { r: if far { -r } else { r }, z: lathe.turret.index_z }
        }
        None => Point { r: Length::from_mm(100), z: Length::from_mm(200) },
    }
}
