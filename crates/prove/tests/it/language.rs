//! Every word of the language's tables does in the prover what its row says: a followed word
//! changes the run and leaves nothing unproven; one that is only read says what is left open.

use crate::folder::Folder;
use model::files::Control;
use model::files::control::{CodeSystem, Drilling};
use model::{Files, Source};
use nc::codes::{Codes, Extent, GCode, ROWS};
use nc::language::{ADDRESSES, OWN_M};
use nc::program::Library;
use prove::Setup;
use prove::event::Moment;
use prove::lathe::Shown;
use prove::run::{Order, Run};

/// Rows whose word the prover does not treat yet as they say. To be emptied; a row that is treated
/// as it says must not stand here.
const PENDING: &[GCode] = &[];

/// The same for letters and for M words.
const PENDING_WORDS: &[&str] = &[];

/// Followed words that change nothing that a proof is about, each with the reason.
const CHANGE_NOTHING: &[(GCode, &str)] = &[
    (GCode::ExactStop, "moves end in their place anyway"),
    (GCode::ExactStopMode, "moves end in their place anyway"),
    (GCode::CuttingMode, "moves end in their place anyway"),
    (GCode::TappingMode, "no override is modelled"),
    (GCode::DataSettingEnd, "G10 sets in its own block"),
    (GCode::PlaneZx, "a lathe turns in it"),
    (GCode::StrokeCheckOff, "travel limits are always unproven"),
    (GCode::SpeedWatchOff, "the spindle turns evenly"),
    (GCode::SpeedWatchOn, "the spindle turns evenly"),
    (GCode::NoseOff, "no offset of the nose is in force"),
    (GCode::WorkOffset(1), "it is in force at the start"),
    (GCode::PolarOff, "the word that begins it is unproven"),
    (GCode::PolygonOff, "the word that begins it is unproven"),
    (GCode::MirrorOff, "the word that begins it is unproven"),
];

/// What a followed word may leave open, since it depends on the lathe and not on the language.
const OF_THE_LATHE: &[&str] = &[
    "the way to the home position",
    "the check of the home position",
    "the offset of the tool's nose radius",
    "where work offsets other than the first lie",
    "whether the work offset that the program sets lies on the finished face",
    "whether a thread starts far enough before the bar",
    "whether the axis can follow the spindle in a thread",
];

/// Blocks in which a word does its work; `{}` is the word.
fn blocks(meaning: GCode, codes: Codes) -> String {
    let word = |meaning| codes.word(meaning).map(|code| code.to_string()).unwrap_or_default();
    let drill = match codes.drilling {
        Drilling::Lathe => word(GCode::FaceDrill),
        Drilling::Plain => word(GCode::PlainDrill),
    };
    let contour = "\nN10 G0 X10.\nG1 Z-5.\nN20 X18.";
    match meaning {
        GCode::Line => "G0 X18.\n{} X17.".to_owned(),
        GCode::ArcClockwise | GCode::ArcCounterclockwise => "{} X30. Z-4. R8.".to_owned(),
        GCode::Thread | GCode::ThreadVariableLead => "G0 X18.\n{} Z-5. F1. K.1".to_owned(),
        GCode::TurningCycle | GCode::ThreadingCycle | GCode::FacingCycle => {
            "{} X18. Z-5. F.1".to_owned()
        }
        GCode::Dwell => "{} X1.".to_owned(),
        GCode::DataSetting => "{} L2 P1 X5. Z5.".to_owned(),
        GCode::CheckHome => "{} X30. Z5.".to_owned(),
        GCode::ReturnHome | GCode::ReturnSecondHome => "{} U0 W0".to_owned(),
        // Its words are limits: nothing moves to them.
        GCode::StrokeCheckOn => "{} X50. Z20. I0. K-80.".to_owned(),
        GCode::MachineCoordinates => "{} X0 Z0".to_owned(),
        GCode::SkipMove | GCode::LocalShift => "{} Z-1.".to_owned(),
        GCode::SetCoordinatesOrClamp => "{} S1000".to_owned(),
        GCode::MacroCall => "{} P2 A1.".to_owned(),
        GCode::ModalMacroCall => "{} P2 A1.\nX18.".to_owned(),
        GCode::ModalMacroCallEnd => {
            format!("{} P2 A1.\nX18.\n{{}}\nX17.", word(GCode::ModalMacroCall))
        }
        GCode::FinishCycle => format!("{{}} P10 Q20{contour}"),
        GCode::RoughTurning => format!("{{}} U1. R.5\n{{}} P10 Q20 U.2 W.1{contour}"),
        GCode::RoughFacing => {
            "{} W1. R.5\n{} P10 Q20 U.2 W.1\nN10 G0 Z-5.\nG1 X10.\nN20 Z2.".to_owned()
        }
        GCode::PatternRepeat => format!("{{}} U2. W0 R2\n{{}} P10 Q20 U.2 W.1{contour}"),
        GCode::FacePeck => "{} R.5\n{} Z-5. Q2000".to_owned(),
        GCode::RadialPeck => "{} R.5\n{} X10. P1000".to_owned(),
        GCode::MultipassThread => "{} P010060 Q50 R.05\n{} X17. Z-10. P920 Q300 F1.5".to_owned(),
        GCode::Inch => "{}\nX1.".to_owned(),
        GCode::Millimeter => format!("{}\n{{}}\nX18.", word(GCode::Inch)),
        GCode::Absolute => format!("{}\n{{}} X18.", word(GCode::Incremental)),
        GCode::Incremental => "{} X-1.".to_owned(),
        GCode::FeedPerMinute => "{} F100.\nX18.".to_owned(),
        GCode::FeedPerRevolution => {
            format!("{} F100.\n{{}} F.1\nX18.", word(GCode::FeedPerMinute))
        }
        GCode::SurfaceSpeed => "{} S100\nX18.".to_owned(),
        GCode::FixedSpeed => "G96 S100\n{} S300\nX18.".to_owned(),
        GCode::DrillingCycleEnd => format!("{drill} X0 Z-5. R-1. F.1\n{{}}\nX18."),
        GCode::FaceDrill | GCode::FaceTap | GCode::FaceBore => "{} X0 Z-5. R-1. F.1".to_owned(),
        GCode::SideDrill | GCode::SideTap | GCode::SideBore => "{} X10. Z-1. R-1. F.1".to_owned(),
        GCode::PlainDrill
        | GCode::PlainDrillDwell
        | GCode::PlainPeck
        | GCode::PlainTap
        | GCode::PlainBore
        | GCode::PlainBoreStop
        | GCode::PlainBoreDwell => "{} X0 Z-5. R1. Q1000 P100 F.1".to_owned(),
        GCode::ReturnToInitial => {
            format!("{} {drill} X0 Z-5. R1. F.1\n{{}} X1.", word(GCode::ReturnToClearance))
        }
        GCode::ReturnToClearance => format!("{{}} {drill} X0 Z-5. R1. F.1"),
        GCode::MoreWorkOffsets => "{} P1".to_owned(),
        GCode::NoseLeft | GCode::NoseRight => "{} X18.".to_owned(),
        _ => "{}".to_owned(),
    }
}

/// Each code system with each family of drilling cycles.
fn every_codes() -> impl Iterator<Item = Codes> {
    [CodeSystem::A, CodeSystem::B, CodeSystem::C].into_iter().flat_map(|system| {
        [Drilling::Lathe, Drilling::Plain].map(|drilling| Codes { system, drilling })
    })
}

fn setup(codes: Codes) -> Setup {
    let source = Folder::of_tests("shop").read("control.toml").unwrap();
    let text = String::from_utf8_lossy(source.bytes()).into_owned();
    let drilling = match codes.drilling {
        Drilling::Lathe => "lathe",
        Drilling::Plain => "plain",
    };
    let system = codes.system.shown();
    let keys = format!("code_system = \"{system}\"\ndrilling = \"{drilling}\"");
    let text = text.replace("code_system = \"A\"", &keys);
    let control = Control::read(&Source::new("control.toml", text)).value.unwrap();
    assert_eq!(Codes::of(&control), codes);
    Setup::bare(control)
}

/// What a program with these blocks leads to: every moment, and all that is unproven.
fn run(setup: &Setup, blocks: &str) -> (Vec<String>, Vec<String>) {
    let program = format!(
        "O1\nG97 S500 M3 F.1\nG0 X20. Z2.\nG1 X19.\n{blocks}\nX17. Z-2.\nM5\nM30\nO2\nG4 X1.\nM99\n"
    );
    let library = Library::new(vec![nc::read::read(&Source::new("word.nc", program))]);
    let mut moments = Vec::new();
    let mut tell = |moment: &Moment<'_>| {
        moments.push(format!(
            "{:?} {:.6} {:?}",
            moment.what,
            moment.after.now.s(),
            moment.after.spindle
        ));
    };
    Run::new(&library, setup, Shown::default(), Order::Latest).finish(&mut tell);
    let unproven = prove::prove(&library, setup).unproven;
    (moments, unproven.into_iter().map(|unproven| unproven.what).collect())
}

/// What is wrong with how this word is treated; none where it is as its row says.
fn wrong(meaning: GCode, codes: Codes) -> Option<String> {
    let word = codes.word(meaning)?.to_string();
    let setup = setup(codes);
    let blocks = blocks(meaning, codes);
    let with = run(&setup, &blocks.replace("{}", &word));
    let without = run(&setup, &blocks.replace("{}", ""));
    let more = with
        .1
        .iter()
        .filter(|what| !without.1.contains(what) && !OF_THE_LATHE.contains(&what.as_str()));
    let more: Vec<_> = more.collect();
    let inert = CHANGE_NOTHING.iter().any(|(inert, _)| *inert == meaning);
    let fault = match meaning.row().extent {
        Extent::ReadOnly(what) if !with.1.iter().any(|unproven| unproven == what) => {
            format!("does not say that it leaves open: {what}")
        }
        Extent::Followed if !more.is_empty() => format!("leaves open: {more:?}"),
        Extent::Followed if inert != (with.0 == without.0) => {
            format!("is to change nothing: {inert}; changes nothing: {}", !inert)
        }
        Extent::ReadOnly(_) | Extent::Followed => return None,
    };
    Some(format!("{word} in {codes:?} {fault}"))
}

#[test]
fn every_g_word_is_treated_as_its_row_says() {
    let mut failures = Vec::new();
    for row in ROWS {
        let wrong: Vec<_> = every_codes().filter_map(|codes| wrong(row.meaning, codes)).collect();
        match (PENDING.contains(&row.meaning), wrong.is_empty()) {
            (false, false) => failures.push(format!("{:?}: {}", row.meaning, wrong.join("; "))),
            (true, true) => failures.push(format!("{:?} is pending no more", row.meaning)),
            _ => {}
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

#[test]
fn every_letter_and_m_word_that_is_only_read_is_unproven() {
    let setup = setup(Codes { system: CodeSystem::A, drilling: Drilling::Lathe });
    let letters = ADDRESSES.iter().map(|row| {
        (char::from(row.letter).to_string(), format!("{}5.", char::from(row.letter)), row.extent)
    });
    let functions =
        OWN_M.iter().map(|row| (row.code.to_string(), row.code.to_string(), row.extent));
    let mut failures = Vec::new();
    for (name, block, extent) in letters.chain(functions) {
        let Extent::ReadOnly(what) = extent else { continue };
        let treated = run(&setup, &block).1.iter().any(|unproven| unproven == what);
        if treated == PENDING_WORDS.contains(&name.as_str()) {
            failures.push(format!("{name}: unproven is {treated}"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// What the checks of the text say about a program: id, line and message.
fn findings(codes: Codes, program: &str) -> Vec<(&'static str, u32, String)> {
    let library = Library::new(vec![nc::read::read(&Source::new("word.nc", program))]);
    let findings = prove::prove(&library, &setup(codes)).findings;
    findings.into_iter().map(|it| (it.id, it.place.start().line, it.message)).collect()
}

/// The trade's table of the three systems, from memory: the same number, another meaning.
#[test]
fn words_of_another_system_are_found_in_every_system() {
    let cases: [(CodeSystem, &str, &[u32]); 8] = [
        (CodeSystem::A, "G90\nG92 S2500\nG94\nG99\nG20\nM30", &[1, 2, 3]),
        (CodeSystem::A, "G70\nG71\nG70 P1 Q2\nM30", &[1, 2]),
        (CodeSystem::B, "G90\nG92 S2500\nG94\nG99\nG98\nM30", &[4, 5]),
        (CodeSystem::B, "G98 G83 X0 Z-5. R-1. F.1\nG99\nG80\nM30", &[]),
        (CodeSystem::B, "G77 X18. Z-5. F.1\nG70\nM30", &[2]),
        (CodeSystem::C, "G20\nG21\nG24\nM30", &[1, 2]),
        (CodeSystem::C, "G70 P10 Q20\nG71 P10 Q20 U.4\nG70\nG71\nM30", &[1, 2]),
        (CodeSystem::C, "G20 X18. Z-5. F.1\nG21 X18. Z-5. F1.\nM30", &[]),
    ];
    for (system, program, wanted) in cases {
        let found = findings(Codes { system, drilling: Drilling::Lathe }, program);
        let lines: Vec<_> = found
            .into_iter()
            .filter(|(id, ..)| *id == "word-of-another-system")
            .map(|(_, line, _)| line)
            .collect();
        assert_eq!(lines, wanted, "{program} in {system:?}");
    }
}

#[test]
fn an_unknown_word_names_the_likely_one() {
    let plain = |system| Codes { system, drilling: Drilling::Plain };
    let lathe = |system| Codes { system, drilling: Drilling::Lathe };
    for (codes, word, wanted) in [
        (lathe(CodeSystem::B), "G50 S2500", "Here that is G92."),
        (lathe(CodeSystem::C), "G32 Z-5. F1.", "Here that is G33."),
        (lathe(CodeSystem::A), "G95", "Here that is G99."),
        (lathe(CodeSystem::A), "G81 X0 Z-5. R1.", "Drills along Z in one stroke"),
        (plain(CodeSystem::A), "G87 X0 Z-5. R1.", "Drills along X"),
        (lathe(CodeSystem::A), "G967 S200", "Code system A has no G967."),
        (lathe(CodeSystem::A), "G977 S200", "G97 was likely meant."),
        (lathe(CodeSystem::A), "M89", "M98 was likely meant."),
        (lathe(CodeSystem::A), "WIHLE[#1LT2]DO1", "WHILE was likely meant."),
    ] {
        let found = findings(codes, &format!("{word}\nM30"));
        let said = found.iter().find(|(id, ..)| *id == "unknown-word").unwrap();
        assert!(said.2.contains(wanted), "{word}: {}", said.2);
    }
    // Near to nothing that the control has: nothing is guessed.
    let found = findings(lathe(CodeSystem::A), "M889\nM46\nM30");
    assert!(found.iter().all(|(id, ..)| *id != "unknown-word"), "{found:?}");
}
