//! What a G word means in each of the three code systems of two-axis lathes.
//!
//! Source: the published tables of the three systems in general trade use; where ISO 6983-1 and
//! DIN 66025-2 fix a word, they agree (from memory, compared in `docs/language.md` later).

use model::files::control::{Code, CodeSystem};

/// The meaning of a G word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum GCode {
    Rapid,
    Line,
    ArcClockwise,
    ArcCounterclockwise,
    Thread,
    ThreadVariableLead,
    TurningCycle,
    ThreadingCycle,
    FacingCycle,
    Dwell,
    ExactStop,
    DataSetting,
    DataSettingEnd,
    PlaneXy,
    PlaneZx,
    PlaneYz,
    Inch,
    Millimeter,
    StrokeCheckOn,
    StrokeCheckOff,
    SpeedWatchOff,
    SpeedWatchOn,
    CheckHome,
    ReturnHome,
    ReturnSecondHome,
    SkipMove,
    NoseOff,
    NoseLeft,
    NoseRight,
    SetCoordinatesOrClamp,
    LocalShift,
    MachineCoordinates,
    /// G54 is 1.
    WorkOffset(u8),
    ExactStopMode,
    TappingMode,
    CuttingMode,
    MacroCall,
    ModalMacroCall,
    ModalMacroCallEnd,
    FinishCycle,
    RoughTurning,
    RoughFacing,
    PatternRepeat,
    FacePeck,
    RadialPeck,
    MultipassThread,
    DrillingCycleEnd,
    FaceDrill,
    FaceTap,
    FaceBore,
    SideDrill,
    SideTap,
    SideBore,
    Absolute,
    Incremental,
    FeedPerMinute,
    FeedPerRevolution,
    ReturnToInitial,
    ReturnToClearance,
    SurfaceSpeed,
    FixedSpeed,
}

use GCode as G;

/// Words that all three systems share.
const SHARED: [(u32, GCode); 46] = [
    (0, G::Rapid),
    (10, G::Line),
    (20, G::ArcClockwise),
    (30, G::ArcCounterclockwise),
    (40, G::Dwell),
    (90, G::ExactStop),
    (100, G::DataSetting),
    (110, G::DataSettingEnd),
    (170, G::PlaneXy),
    (180, G::PlaneZx),
    (190, G::PlaneYz),
    (220, G::StrokeCheckOn),
    (230, G::StrokeCheckOff),
    (250, G::SpeedWatchOff),
    (260, G::SpeedWatchOn),
    (270, G::CheckHome),
    (280, G::ReturnHome),
    (300, G::ReturnSecondHome),
    (310, G::SkipMove),
    (340, G::ThreadVariableLead),
    (400, G::NoseOff),
    (410, G::NoseLeft),
    (420, G::NoseRight),
    (520, G::LocalShift),
    (530, G::MachineCoordinates),
    (540, G::WorkOffset(1)),
    (550, G::WorkOffset(2)),
    (560, G::WorkOffset(3)),
    (570, G::WorkOffset(4)),
    (580, G::WorkOffset(5)),
    (590, G::WorkOffset(6)),
    (610, G::ExactStopMode),
    (630, G::TappingMode),
    (640, G::CuttingMode),
    (650, G::MacroCall),
    (660, G::ModalMacroCall),
    (670, G::ModalMacroCallEnd),
    (800, G::DrillingCycleEnd),
    (830, G::FaceDrill),
    (840, G::FaceTap),
    (850, G::FaceBore),
    (870, G::SideDrill),
    (880, G::SideTap),
    (890, G::SideBore),
    (960, G::SurfaceSpeed),
    (970, G::FixedSpeed),
];

/// Words whose number differs: in system A, B and C; zero where a system has none.
const DIFFERENT: [(u32, u32, u32, GCode); 20] = [
    (320, 330, 330, G::Thread),
    (900, 770, 200, G::TurningCycle),
    (920, 780, 210, G::ThreadingCycle),
    (940, 790, 240, G::FacingCycle),
    (200, 200, 700, G::Inch),
    (210, 210, 710, G::Millimeter),
    (500, 920, 920, G::SetCoordinatesOrClamp),
    (700, 700, 720, G::FinishCycle),
    (710, 710, 730, G::RoughTurning),
    (720, 720, 740, G::RoughFacing),
    (730, 730, 750, G::PatternRepeat),
    (740, 740, 760, G::FacePeck),
    (750, 750, 770, G::RadialPeck),
    (760, 760, 780, G::MultipassThread),
    (NONE, 900, 900, G::Absolute),
    (NONE, 910, 910, G::Incremental),
    (980, 940, 940, G::FeedPerMinute),
    (990, 950, 950, G::FeedPerRevolution),
    (NONE, 980, 980, G::ReturnToInitial),
    (NONE, 990, 990, G::ReturnToClearance),
];

const NONE: u32 = u32::MAX;

/// The meaning of a G word in a code system; none where the system has no such word.
///
/// ```
/// use model::files::control::{Code, CodeSystem};
/// use nc::codes::{GCode, meaning};
/// let g98 = Code::new('G', 98);
/// assert_eq!(meaning(CodeSystem::A, g98), Some(GCode::FeedPerMinute));
/// assert_eq!(meaning(CodeSystem::B, g98), Some(GCode::ReturnToInitial));
/// ```
pub fn meaning(system: CodeSystem, code: Code) -> Option<GCode> {
    if code.letter != 'G' {
        return None;
    }
    let different = DIFFERENT.iter().find(|(a, b, c, _)| {
        let number = match system {
            CodeSystem::A => a,
            CodeSystem::B => b,
            CodeSystem::C => c,
        };
        *number == code.tenths
    });
    let shared = SHARED.iter().find(|(number, _)| *number == code.tenths);
    different.map(|(_, _, _, meaning)| *meaning).or(shared.map(|(_, meaning)| *meaning))
}

/// The word for a meaning in a code system, such as `G98`.
pub fn word(system: CodeSystem, wanted: GCode) -> Option<Code> {
    let different = DIFFERENT.iter().find(|(_, _, _, meaning)| *meaning == wanted);
    let number = different.map(|(a, b, c, _)| match system {
        CodeSystem::A => *a,
        CodeSystem::B => *b,
        CodeSystem::C => *c,
    });
    let shared = SHARED.iter().find(|(_, meaning)| *meaning == wanted).map(|(number, _)| *number);
    let tenths = shared.or(number).filter(|number| *number != NONE)?;
    Some(Code { letter: 'G', tenths })
}

impl GCode {
    /// What is left unproven when this word is met; none where it is followed.
    pub const fn not_modelled(self) -> Option<&'static str> {
        Some(match self {
            G::TurningCycle | G::FacingCycle => "fixed turning and facing cycles",
            G::ThreadingCycle | G::MultipassThread => "threading cycles",
            G::FinishCycle | G::RoughTurning | G::RoughFacing | G::PatternRepeat => {
                "roughing and finishing cycles"
            }
            G::FacePeck | G::RadialPeck => "pecking cycles",
            G::FaceDrill | G::FaceTap | G::FaceBore | G::SideDrill | G::SideTap | G::SideBore => {
                "drilling cycles"
            }
            G::MacroCall | G::ModalMacroCall => "macro calls",
            G::DataSetting => "data set by the program",
            G::SkipMove => "moves that a signal ends",
            G::CheckHome => "the check of the home position",
            _ => return None,
        })
    }

    /// Whether axis words of the following blocks go on with this instead of a plain move.
    pub const fn is_cycle(self) -> bool {
        matches!(
            self,
            G::TurningCycle
                | G::FacingCycle
                | G::ThreadingCycle
                | G::FaceDrill
                | G::FaceTap
                | G::FaceBore
                | G::SideDrill
                | G::SideTap
                | G::SideBore
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn g(system: CodeSystem, number: u32) -> Option<GCode> {
        meaning(system, Code::new('G', number))
    }

    /// NISTIR 6556 table 5 and ISO 6983-1 fix these whatever the system.
    #[test]
    fn standard_words_mean_the_same_everywhere() {
        for system in [CodeSystem::A, CodeSystem::B, CodeSystem::C] {
            let known =
                [(0, G::Rapid), (1, G::Line), (2, G::ArcClockwise), (3, G::ArcCounterclockwise)];
            for (number, wanted) in known {
                assert_eq!(g(system, number), Some(wanted));
            }
            assert_eq!(g(system, 4), Some(G::Dwell));
            assert_eq!(g(system, 18), Some(G::PlaneZx));
            assert_eq!(g(system, 40), Some(G::NoseOff));
            assert_eq!(g(system, 59), Some(G::WorkOffset(6)));
            assert_eq!(g(system, 96), Some(G::SurfaceSpeed));
            assert_eq!(g(system, 97), Some(G::FixedSpeed));
            assert_eq!(g(system, 12), None);
        }
    }

    /// Common practice: the rows in which the systems differ.
    #[test]
    fn systems_differ_where_the_trade_says_so() {
        use CodeSystem::{A, B, C};
        assert_eq!(
            [g(A, 90), g(B, 90), g(C, 90)],
            [Some(G::TurningCycle), Some(G::Absolute), Some(G::Absolute)]
        );
        assert_eq!([g(A, 92), g(B, 92)], [Some(G::ThreadingCycle), Some(G::SetCoordinatesOrClamp)]);
        assert_eq!([g(A, 50), g(B, 50)], [Some(G::SetCoordinatesOrClamp), None]);
        assert_eq!([g(A, 70), g(C, 70)], [Some(G::FinishCycle), Some(G::Inch)]);
        assert_eq!([g(A, 20), g(C, 20)], [Some(G::Inch), Some(G::TurningCycle)]);
        assert_eq!([g(A, 99), g(B, 99)], [Some(G::FeedPerRevolution), Some(G::ReturnToClearance)]);
        assert_eq!(
            [g(A, 77), g(B, 77), g(C, 77)],
            [None, Some(G::TurningCycle), Some(G::RadialPeck)]
        );
    }

    #[test]
    fn a_word_and_its_meaning_go_both_ways() {
        for system in [CodeSystem::A, CodeSystem::B, CodeSystem::C] {
            for tenths in (0..1000).step_by(10) {
                let code = Code { letter: 'G', tenths };
                if let Some(found) = meaning(system, code) {
                    assert_eq!(word(system, found), Some(code), "{code} in {system:?}");
                }
            }
        }
    }
}
