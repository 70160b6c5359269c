//! What a G word means in each of the three code systems of two-axis lathes.
//!
//! Source: the three systems in general trade use, from memory; common practice where no standard
//! fixes a word. ISO 6983-1 and DIN 66025-2 (from memory too) fix the motions, the plane, the
//! nose radius, G53 to G59 and G94 to G97; they give G33, G70 and G71 the meanings of system C.

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
    /// The group whose words replace each other.
    pub const fn group(self) -> Group {
        match self {
            G::Rapid
            | G::Line
            | G::ArcClockwise
            | G::ArcCounterclockwise
            | G::Thread
            | G::ThreadVariableLead
            | G::TurningCycle
            | G::ThreadingCycle
            | G::FacingCycle => Group::Motion,
            G::SurfaceSpeed | G::FixedSpeed => Group::SurfaceSpeed,
            G::Absolute | G::Incremental => Group::Distance,
            G::FeedPerMinute | G::FeedPerRevolution => Group::Feed,
            G::Inch | G::Millimeter => Group::Units,
            G::NoseOff | G::NoseLeft | G::NoseRight => Group::NoseRadius,
            G::SpeedWatchOff | G::SpeedWatchOn => Group::SpeedWatch,
            G::StrokeCheckOn | G::StrokeCheckOff => Group::StrokeCheck,
            G::DrillingCycleEnd
            | G::FaceDrill
            | G::FaceTap
            | G::FaceBore
            | G::SideDrill
            | G::SideTap
            | G::SideBore => Group::DrillingCycle,
            G::ReturnToInitial | G::ReturnToClearance => Group::CycleReturn,
            G::ModalMacroCall | G::ModalMacroCallEnd => Group::MacroCall,
            G::WorkOffset(_) => Group::WorkOffset,
            G::ExactStopMode | G::TappingMode | G::CuttingMode => Group::PathMode,
            G::PlaneXy | G::PlaneZx | G::PlaneYz => Group::Plane,
            G::Dwell
            | G::ExactStop
            | G::DataSetting
            | G::DataSettingEnd
            | G::CheckHome
            | G::ReturnHome
            | G::ReturnSecondHome
            | G::SkipMove
            | G::SetCoordinatesOrClamp
            | G::LocalShift
            | G::MachineCoordinates
            | G::MacroCall
            | G::FinishCycle
            | G::RoughTurning
            | G::RoughFacing
            | G::PatternRepeat
            | G::FacePeck
            | G::RadialPeck
            | G::MultipassThread => Group::Once,
        }
    }

    /// What is left unproven when this word is met; none where it is followed.
    pub const fn not_modelled(self) -> Option<&'static str> {
        Some(match self {
            G::ModalMacroCall => "macro calls after every move",
            G::DataSetting => "data set by the program",
            G::SkipMove => "moves that a signal ends",
            G::CheckHome => "the check of the home position",
            G::SideDrill | G::SideTap | G::SideBore => "drilling from the side",
            _ => return None,
        })
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
mod tests {
    use super::*;

    fn g(system: CodeSystem, number: u32) -> Option<GCode> {
        meaning(system, Code::new('G', number))
    }

    /// ISO 6983-1 (from memory) fixes these whatever the system; NISTIR 6556 table 4 has them too,
    /// but for G96 and G97.
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

    /// Every row of the trade's table of the three systems (from memory), written once more as the
    /// table has it: A, B, C, with 0 for "none" where G0 is not meant.
    #[test]
    fn every_row_of_the_table_is_read() {
        let rows: [(u32, u32, u32, GCode, Group); 37] = [
            (32, 33, 33, G::Thread, Group::Motion),
            (34, 34, 34, G::ThreadVariableLead, Group::Motion),
            (90, 77, 20, G::TurningCycle, Group::Motion),
            (92, 78, 21, G::ThreadingCycle, Group::Motion),
            (94, 79, 24, G::FacingCycle, Group::Motion),
            (4, 4, 4, G::Dwell, Group::Once),
            (10, 10, 10, G::DataSetting, Group::Once),
            (18, 18, 18, G::PlaneZx, Group::Plane),
            (20, 20, 70, G::Inch, Group::Units),
            (21, 21, 71, G::Millimeter, Group::Units),
            (22, 22, 22, G::StrokeCheckOn, Group::StrokeCheck),
            (25, 25, 25, G::SpeedWatchOff, Group::SpeedWatch),
            (28, 28, 28, G::ReturnHome, Group::Once),
            (30, 30, 30, G::ReturnSecondHome, Group::Once),
            (31, 31, 31, G::SkipMove, Group::Once),
            (41, 41, 41, G::NoseLeft, Group::NoseRadius),
            (42, 42, 42, G::NoseRight, Group::NoseRadius),
            (50, 92, 92, G::SetCoordinatesOrClamp, Group::Once),
            (52, 52, 52, G::LocalShift, Group::Once),
            (53, 53, 53, G::MachineCoordinates, Group::Once),
            (54, 54, 54, G::WorkOffset(1), Group::WorkOffset),
            (63, 63, 63, G::TappingMode, Group::PathMode),
            (65, 65, 65, G::MacroCall, Group::Once),
            (66, 66, 66, G::ModalMacroCall, Group::MacroCall),
            (70, 70, 72, G::FinishCycle, Group::Once),
            (71, 71, 73, G::RoughTurning, Group::Once),
            (72, 72, 74, G::RoughFacing, Group::Once),
            (73, 73, 75, G::PatternRepeat, Group::Once),
            (74, 74, 76, G::FacePeck, Group::Once),
            (75, 75, 77, G::RadialPeck, Group::Once),
            (76, 76, 78, G::MultipassThread, Group::Once),
            (83, 83, 83, G::FaceDrill, Group::DrillingCycle),
            (0, 90, 90, G::Absolute, Group::Distance),
            (0, 91, 91, G::Incremental, Group::Distance),
            (98, 94, 94, G::FeedPerMinute, Group::Feed),
            (99, 95, 95, G::FeedPerRevolution, Group::Feed),
            (0, 98, 98, G::ReturnToInitial, Group::CycleReturn),
        ];
        for (a, b, c, wanted, group) in rows {
            for (system, number) in [(CodeSystem::A, a), (CodeSystem::B, b), (CodeSystem::C, c)] {
                let found = word(system, wanted);
                assert_eq!(found, (number > 0).then_some(Code::new('G', number)), "{wanted:?}");
                if number > 0 {
                    assert_eq!(g(system, number), Some(wanted), "G{number} in {system:?}");
                }
            }
            assert_eq!(wanted.group(), group, "{wanted:?}");
        }
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
