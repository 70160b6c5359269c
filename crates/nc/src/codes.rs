//! What a G word means on one control. All that is known of a word is one row of [`ROWS`], from
//! which the prover's limits, the suggestions for a mistyped word and `docs/language.md` come too.
//!
//! Source: the three systems in general trade use, from memory; common practice where no standard
//! fixes a word. ISO 6983-1 and DIN 66025-2 (from memory too) fix the motions, the plane, the
//! nose radius, G53 to G59 and G94 to G97; they give G33, G70 and G71 the meanings of system C.
//! The plain drilling cycles are those of NISTIR 6556 §3.5.16.

mod table;

use model::files::Control;
use model::files::control::{Code, CodeSystem, Drilling};
pub use table::{GCode, ROWS, Row};

/// Words of one group replace each other; of group [`Group::Once`] each acts in its block alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
#[allow(missing_docs)]
pub enum Group {
    Once,
    Motion,
    SurfaceSpeed,
    Distance,
    Feed,
    Units,
    NoseRadius,
    SpeedWatch,
    StrokeCheck,
    DrillingCycle,
    CycleReturn,
    MacroCall,
    WorkOffset,
    PathMode,
    Plane,
    Polar,
    Polygon,
    Mirror,
}

impl Group {
    /// What its words are about, as a heading.
    pub const fn title(self) -> &'static str {
        match self {
            Group::Once => "In their own block only",
            Group::Motion => "Motion",
            Group::SurfaceSpeed => "Spindle speed",
            Group::Distance => "Places or distances",
            Group::Feed => "Feed",
            Group::Units => "Units",
            Group::NoseRadius => "Nose radius",
            Group::SpeedWatch => "Watch over the spindle speed",
            Group::StrokeCheck => "Watch over forbidden space",
            Group::DrillingCycle => "Drilling cycles",
            Group::CycleReturn => "Return level of drilling cycles",
            Group::MacroCall => "Macro call after every move",
            Group::WorkOffset => "Work offsets",
            Group::PathMode => "From one move to the next",
            Group::Plane => "Plane",
            Group::Polar => "Straight coordinates across the face",
            Group::Polygon => "Polygon turning",
            Group::Mirror => "Mirrored coordinates",
        }
    }
}

/// How far the prover follows a word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Extent {
    /// What it does is followed, or it changes nothing that a proof is about.
    Followed,
    /// It is read; this is left unproven where it is met.
    ReadOnly(&'static str),
}

/// The numbers of one meaning.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Numbers {
    /// Ten times the number in systems A, B and C; none where a system has no such word.
    tenths: [Option<u16>; 3],
    /// The drilling cycles with which it goes; none where they make no difference.
    drilling: Option<Drilling>,
}

/// Which numbers a control gives to which meanings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Codes {
    /// The system.
    pub system: CodeSystem,
    /// The drilling cycles.
    pub drilling: Drilling,
}

impl Codes {
    /// Those of a control.
    pub fn of(control: &Control) -> Codes {
        Codes { system: control.code_system, drilling: control.drilling }
    }

    /// The meaning of a G word; none where this control has no such word.
    ///
    /// ```
    /// use model::files::control::{Code, CodeSystem, Drilling};
    /// use nc::codes::{Codes, GCode};
    /// let g98 = Code::new('G', 98);
    /// let codes = |system| Codes { system, drilling: Drilling::Lathe };
    /// assert_eq!(codes(CodeSystem::A).meaning(g98), Some(GCode::FeedPerMinute));
    /// assert_eq!(codes(CodeSystem::B).meaning(g98), Some(GCode::ReturnToInitial));
    /// ```
    pub fn meaning(self, code: Code) -> Option<GCode> {
        self.row(code).map(|row| row.meaning)
    }

    /// The row of a G word.
    pub fn row(self, code: Code) -> Option<&'static Row> {
        if code.letter != 'G' {
            return None;
        }
        let places = &PLACES[self.drilling as usize][self.system as usize];
        ROWS.get(usize::from(*places.get(code.tenths as usize)?))
    }

    /// The word for a meaning, such as `G98`; none where this control has none.
    pub fn word(self, wanted: GCode) -> Option<Code> {
        wanted.row().numbers.on(self)
    }
}

impl Numbers {
    /// The word with these numbers on a control.
    pub fn on(self, codes: Codes) -> Option<Code> {
        let there = self.drilling.is_none_or(|drilling| drilling == codes.drilling);
        let tenths = self.tenths[codes.system as usize].filter(|_| there)?;
        Some(Code { letter: 'G', tenths: u32::from(tenths) })
    }

    /// The drilling cycles with which it goes; none where they make no difference.
    pub const fn drilling(self) -> Option<Drilling> {
        self.drilling
    }
}

/// G words up to G99.9 by ten times their number.
const HIGHEST: usize = 1000;
const NOWHERE: u8 = u8::MAX;

/// The row of each number, for each kind of drilling cycles and each system.
static PLACES: [[[u8; HIGHEST]; 3]; 2] = [places(Drilling::Lathe), places(Drilling::Plain)];

/// Checked when this crate is built: no number has two meanings.
const fn places(drilling: Drilling) -> [[u8; HIGHEST]; 3] {
    let mut places = [[NOWHERE; HIGHEST]; 3];
    let mut row = 0;
    while row < table::TABLE.len() {
        let numbers = table::TABLE[row].numbers;
        let there = match numbers.drilling {
            Some(only) => only as u8 == drilling as u8,
            None => true,
        };
        let mut system = 0;
        while there && system < 3 {
            if let Some(tenths) = numbers.tenths[system] {
                let place = &mut places[system][tenths as usize];
                assert!(*place == NOWHERE, "a number has two meanings");
                *place = row as u8;
            }
            system += 1;
        }
        row += 1;
    }
    assert!(row < NOWHERE as usize);
    places
}

use GCode as G;

impl GCode {
    /// The group whose words replace each other.
    pub fn group(self) -> Group {
        self.row().group
    }

    /// What is left unproven when this word is met; none where it is followed.
    pub fn not_modelled(self) -> Option<&'static str> {
        match self.row().extent {
            Extent::Followed => None,
            Extent::ReadOnly(what) => Some(what),
        }
    }

    /// Whether axis words of the following blocks run this cycle again.
    pub const fn is_cycle(self) -> bool {
        matches!(
            self,
            G::TurningCycle
                | G::FacingCycle
                | G::ThreadingCycle
                | G::FaceDrill
                | G::FaceTap
                | G::FaceBore
                | G::PlainDrill
                | G::PlainDrillDwell
                | G::PlainPeck
                | G::PlainTap
                | G::PlainBore
                | G::PlainBoreStop
                | G::PlainBoreDwell
        )
    }

    /// Whether this cycle runs in its own block only.
    pub const fn is_cycle_once(self) -> bool {
        matches!(
            self,
            G::FinishCycle
                | G::RoughTurning
                | G::RoughFacing
                | G::PatternRepeat
                | G::FacePeck
                | G::RadialPeck
                | G::MultipassThread
        )
    }
}

#[cfg(test)]
mod tests;
