use super::*;

const SYSTEMS: [CodeSystem; 3] = [CodeSystem::A, CodeSystem::B, CodeSystem::C];

fn lathe(system: CodeSystem) -> Codes {
    Codes { system, drilling: Drilling::Lathe }
}

fn g(system: CodeSystem, number: u32) -> Option<GCode> {
    lathe(system).meaning(Code::new('G', number))
}

/// ISO 6983-1 (from memory) fixes these whatever the system; NISTIR 6556 table 4 has them too,
/// but for G96 and G97.
#[test]
fn standard_words_mean_the_same_everywhere() {
    for system in SYSTEMS {
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
    assert_eq!([g(A, 77), g(B, 77), g(C, 77)], [None, Some(G::TurningCycle), Some(G::RadialPeck)]);
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
            let found = lathe(system).word(wanted);
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
    for system in SYSTEMS {
        for drilling in [Drilling::Lathe, Drilling::Plain] {
            let codes = Codes { system, drilling };
            for tenths in 0..2000 {
                let code = Code { letter: 'G', tenths };
                if let Some(found) = codes.meaning(code) {
                    assert_eq!(codes.word(found), Some(code), "{code} in {system:?}");
                }
            }
            let words = ROWS.iter().filter(|row| codes.word(row.meaning).is_some());
            for row in words {
                let code = codes.word(row.meaning).unwrap();
                assert_eq!(codes.meaning(code), Some(row.meaning), "{code} in {system:?}");
            }
        }
    }
}

#[test]
fn every_meaning_knows_its_own_row() {
    for row in ROWS {
        assert_eq!(row.meaning.row(), row);
        assert!(row.does.ends_with('.') && !row.does.contains("  "), "{}", row.does);
    }
}

/// NISTIR 6556 §3.5.16 names them; G83 to G85 are theirs and the lathe's.
#[test]
fn a_control_has_one_family_of_drilling_cycles() {
    for system in SYSTEMS {
        let plain = Codes { system, drilling: Drilling::Plain };
        let meanings = |codes: Codes| {
            [81, 82, 83, 84, 85, 86, 87, 88, 89].map(|number| codes.meaning(Code::new('G', number)))
        };
        assert_eq!(
            meanings(plain),
            [
                Some(G::PlainDrill),
                Some(G::PlainDrillDwell),
                Some(G::PlainPeck),
                Some(G::PlainTap),
                Some(G::PlainBore),
                Some(G::PlainBoreStop),
                None,
                None,
                Some(G::PlainBoreDwell)
            ]
        );
        assert_eq!(
            meanings(lathe(system)),
            [
                None,
                None,
                Some(G::FaceDrill),
                Some(G::FaceTap),
                Some(G::FaceBore),
                None,
                Some(G::SideDrill),
                Some(G::SideTap),
                Some(G::SideBore)
            ]
        );
    }
}

#[test]
fn no_other_word_has_a_meaning() {
    let codes = lathe(CodeSystem::A);
    for code in ["G0.1", "G99.1", "G100", "G4294967", "M3", "X1"] {
        assert_eq!(codes.meaning(Code::parse(code).unwrap()), None, "{code}");
    }
    assert_eq!(codes.meaning(Code { letter: 'G', tenths: u32::MAX }), None);
    assert_eq!(codes.meaning(Code::parse("G54.1").unwrap()), Some(G::MoreWorkOffsets));
}
