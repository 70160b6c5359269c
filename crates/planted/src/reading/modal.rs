//! What is in force between two lines of a text.

use model::files::control::Does;
use model::files::tools::ToolKind;
use model::{Length, Units};
use nc::blocks::{MCode, Meaning, Said};
use nc::codes::{GCode, Group};
use nc::decimal;
use prove::Setup;

/// What is in force, as far as the text above tells it.
#[derive(Debug, Clone, Copy, PartialEq)]
#[allow(clippy::struct_excessive_bools, reason = "each is a switch of its own on the control")]
pub struct Modal {
    /// The station at work.
    pub station: Option<u32>,
    /// What stands there.
    pub kind: Option<ToolKind>,
    /// The offset in force.
    pub offset: u32,
    /// The motion.
    pub motion: Option<GCode>,
    /// Whether feeds are per minute.
    pub per_minute: Option<bool>,
    /// Whether X and Z are distances.
    pub incremental: bool,
    /// The units.
    pub units: Units,
    /// Whether S is a surface speed.
    pub surface: bool,
    /// The last S word.
    pub speed: Option<f64>,
    /// The highest speed that was clamped.
    pub clamp: Option<f64>,
    /// The last F word.
    pub feed: Option<f64>,
    /// Where the tool stands, as X counts.
    pub x: Option<Length>,
    /// Where the tool stands, as Z counts.
    pub z: Option<Length>,
    /// Whether the spindle was told to turn.
    pub turning: bool,
    /// Whether the chuck was told to open.
    pub open: bool,
    /// Whether coolant is on.
    pub coolant: bool,
    /// Whether a nose radius offset is in force.
    pub nose: bool,
    /// The seconds of a dwell in this very line.
    pub dwell: Option<f64>,
}

impl Modal {
    /// Nothing said yet. Programs that say nothing of units are written in those of the job.
    pub fn at_power_on(setup: &Setup) -> Modal {
        Modal {
            station: None,
            kind: None,
            offset: 0,
            motion: None,
            per_minute: None,
            incremental: false,
            units: setup.units,
            surface: false,
            speed: None,
            clamp: None,
            feed: None,
            x: None,
            z: None,
            turning: false,
            open: false,
            coolant: false,
            nose: false,
            dwell: None,
        }
    }

    /// Takes the words of one block in.
    pub fn run(&mut self, words: &[Said], setup: &Setup) {
        self.dwell = None;
        let mut once = None;
        for word in words {
            match word.meaning {
                Meaning::G(_, Some(meaning)) => {
                    if meaning.group() == Group::Once {
                        once = Some(meaning);
                    }
                    self.code(meaning);
                }
                Meaning::M(_, MCode::Does(does)) => self.function(does),
                _ => {}
            }
        }
        for word in words {
            match (word.letter, once) {
                (b'T', _) => self.tool(word, setup),
                (b'S', Some(GCode::SetCoordinatesOrClamp)) => self.clamp = Some(word.value),
                (b'S', _) => self.speed = Some(word.value),
                (b'F', None) => self.feed = Some(word.value),
                (b'X' | b'U' | b'P', Some(GCode::Dwell)) => {
                    self.dwell = Some(seconds(word, setup));
                }
                _ => {}
            }
        }
        match once {
            None | Some(GCode::ExactStop) => self.go(words),
            Some(GCode::Dwell) => {}
            Some(_) if words.iter().any(Said::is_axis) => (self.x, self.z) = (None, None),
            Some(_) => {}
        }
    }

    fn code(&mut self, meaning: GCode) {
        match meaning {
            GCode::FeedPerMinute => self.per_minute = Some(true),
            GCode::FeedPerRevolution => self.per_minute = Some(false),
            GCode::Incremental => self.incremental = true,
            GCode::Absolute => self.incremental = false,
            GCode::Inch => self.units = Units::Inch,
            GCode::Millimeter => self.units = Units::Mm,
            GCode::SurfaceSpeed => self.surface = true,
            GCode::FixedSpeed => self.surface = false,
            GCode::NoseLeft | GCode::NoseRight => self.nose = true,
            GCode::NoseOff => self.nose = false,
            _ if meaning.group() == Group::Motion => self.motion = Some(meaning),
            _ => {}
        }
    }

    fn function(&mut self, does: Does) {
        match does {
            Does::SpindleForward | Does::SpindleReverse => self.turning = true,
            Does::SpindleStop | Does::SpindleOrient => self.turning = false,
            Does::ChuckOpen => self.open = true,
            Does::ChuckClose => self.open = false,
            Does::CoolantOn => self.coolant = true,
            Does::CoolantOff => self.coolant = false,
            _ => {}
        }
    }

    fn tool(&mut self, word: &Said, setup: &Setup) {
        let Some(number) = word.whole() else { return };
        let call = decimal::tool(number, &setup.control);
        if call.station > 0 {
            self.station = Some(call.station);
            let known = setup.tools.as_ref().and_then(|tools| tools.station(call.station));
            self.kind = known.map(|station| station.kind);
        }
        self.offset = call.offset;
    }

    fn go(&mut self, words: &[Said]) {
        for word in words.iter().filter(|word| word.is_axis()) {
            let length = if word.term.is_some() { None } else { word.length(self.units) };
            let step = self.incremental;
            let moved = |at: Option<Length>| Some(at? + length?);
            match word.letter {
                b'X' if !step => self.x = length,
                b'Z' if !step => self.z = length,
                b'X' | b'U' => self.x = moved(self.x),
                _ => self.z = moved(self.z),
            }
        }
        // A box cycle comes back to where it began, which is not what its words say.
        let plain = [
            GCode::Rapid,
            GCode::Line,
            GCode::ArcClockwise,
            GCode::ArcCounterclockwise,
            GCode::Thread,
        ];
        if self.motion.is_some_and(|motion| !plain.contains(&motion))
            && words.iter().any(Said::is_axis)
        {
            (self.x, self.z) = (None, None);
        }
    }
}

/// Seconds of a dwell word: P counts thousandths, X and U seconds, without a point as the control
/// reads them.
fn seconds(word: &Said, setup: &Setup) -> f64 {
    match word.written() {
        Some(number) => decimal::dwell(word.letter, number, &setup.control).s(),
        None => word.value,
    }
}
