//! One cycle of a program as steps that can be told, timed and drawn.

use model::files::keys::Choice as _;
use model::{Source, Units};
use prove::event::What;
use prove::lathe::{Coolant, Direction, State};
use prove::playback::{Frame, Playback};

/// What a stretch of time is spent on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Spent {
    /// Cutting at feed.
    Cut,
    /// Moving at rapid or at feed without cutting.
    Move,
    /// Drawing the bar.
    Draw,
    /// The turret turns.
    Index,
    /// The spindle runs up or down.
    Spindle,
    /// The chuck opens or closes.
    Chuck,
    /// A dwell.
    Dwell,
    /// All else.
    Other,
}

impl Spent {
    /// Each, in the order of the legend.
    pub const ALL: [Spent; 8] = [
        Spent::Cut,
        Spent::Move,
        Spent::Draw,
        Spent::Index,
        Spent::Spindle,
        Spent::Chuck,
        Spent::Dwell,
        Spent::Other,
    ];

    /// Its word, which is its class name too.
    pub const fn word(self) -> &'static str {
        match self {
            Spent::Cut => "cut",
            Spent::Move => "move",
            Spent::Draw => "draw",
            Spent::Index => "turret",
            Spent::Spindle => "spindle",
            Spent::Chuck => "chuck",
            Spent::Dwell => "dwell",
            Spent::Other => "other",
        }
    }
}

/// One step.
#[derive(Debug, Clone)]
pub struct Step {
    /// Which file.
    pub tree: u32,
    /// Its line, from 1.
    pub line: u32,
    /// What its time is spent on.
    pub spent: Spent,
    /// When it begins, in s after the start of the program.
    pub from_s: f64,
    /// When it has ended.
    pub to_s: f64,
    /// What happens, a few words.
    pub words: String,
}

/// Steps of a cycle that a page shows at most.
pub const MOST_STEPS: usize = 3000;

/// The steps of a playback of these files, one a frame, of a very long cycle the first.
pub fn steps(sources: &[Source], playback: &Playback, units: Units) -> Vec<Step> {
    playback.frames.iter().take(MOST_STEPS).map(|frame| step(sources, frame, units)).collect()
}

fn step(sources: &[Source], frame: &Frame, units: Units) -> Step {
    let source = sources.get(frame.spot.tree as usize);
    let line = source.map_or(0, |source| source.locate(frame.spot.span.start).line);
    Step {
        tree: frame.spot.tree,
        line,
        spent: spent(frame),
        from_s: frame.before.now.s(),
        to_s: frame.after.now.s(),
        words: words(frame, units),
    }
}

fn spent(frame: &Frame) -> Spent {
    match frame.what {
        What::Cut(_) | What::Faced(_) | What::PartedOff(_) => Spent::Cut,
        What::Pulled { .. } => Spent::Draw,
        What::Indexed { .. } | What::OffsetCalled { .. } => Spent::Index,
        What::SpindleStarted
        | What::SpindleStopped
        | What::SpeedCalled(_)
        | What::SurfaceSpeed
        | What::SurfaceSpeedUnclamped => Spent::Spindle,
        What::ChuckOpened | What::ChuckClosed => Spent::Chuck,
        What::Dwell(_) => Spent::Dwell,
        What::Move(_) | What::GripperOn { .. } | What::GripperOff { .. } | What::Slid(_) => {
            Spent::Move
        }
        _ => Spent::Other,
    }
}

fn words(frame: &Frame, units: Units) -> String {
    match frame.what {
        What::Cut(_) => {
            let metal = frame.before.shape != frame.after.shape;
            if metal { "cuts".to_owned() } else { "at feed, cuts nothing".to_owned() }
        }
        What::Move(motion) if motion.rapid => "at rapid".to_owned(),
        What::Move(_) => "at feed".to_owned(),
        What::Pulled { by, .. } => format!("draws the bar {}", by.shown(units)),
        What::Slid(by) => format!("slides {} along the bar", by.shown(units)),
        What::GripperOn { engaged, .. } => {
            format!("gripper onto the stub, {} between its fingers", engaged.shown(units))
        }
        What::GripperOff { .. } => "gripper off the stub".to_owned(),
        What::ChuckOpened => "chuck opens".to_owned(),
        What::ChuckClosed => "chuck closes".to_owned(),
        What::SpindleStarted => "spindle starts".to_owned(),
        What::SpindleStopped => "spindle is told to stop".to_owned(),
        What::SpeedCalled(speed) => format!("speed {:.0} rev/min", speed.rpm()),
        What::SurfaceSpeed | What::SurfaceSpeedUnclamped => "surface speed is kept".to_owned(),
        What::Indexed { to, .. } => format!("turret to station {to}"),
        What::OffsetCalled { station, offset } => format!("station {station}, offset {offset}"),
        What::Dwell(_) => "waits".to_owned(),
        What::Faced(by) => format!("the end is faced by {}", by.shown(units)),
        What::PartedOff(Some(length)) => format!("a piece of {} falls", length.shown(units)),
        What::PartedOff(None) => "a piece falls".to_owned(),
        What::Fell { right: Some(false), .. } => "the piece is not as drawn".to_owned(),
        What::Fell { .. } => "the piece falls".to_owned(),
        What::NotParted { .. } => "the piece still hangs by a core".to_owned(),
        What::Stuck(_) => "feed a turn while the spindle stands: never ends".to_owned(),
        What::Halted => "the program halts".to_owned(),
        What::Function(does) => does.word().replace('-', " "),
        _ if frame.before.coolant != frame.after.coolant => {
            let on = frame.after.coolant == Coolant::On;
            if on { "coolant on".to_owned() } else { "coolant off".to_owned() }
        }
        _ => "the lathe changes its state".to_owned(),
    }
}

/// Chuck, spindle and gripper of a state, a few words each.
pub fn stands(state: &State) -> [&'static str; 3] {
    let spindle = match state.spindle.told {
        Some(Direction::Forward) => "turns forward",
        Some(Direction::Reverse) => "turns in reverse",
        None => "told to stand",
    };
    let chuck = if state.chuck.open { "open" } else { "closed" };
    [spindle, chuck, if state.gripped.is_some() { "on the bar" } else { "off" }]
}
