//! No program, however broken, stops the prover, and none keeps it running.

use crate::folder::Folder;
use model::files::control::Semicolon;
use model::files::job::Job;
use model::{Files, Source};
use nc::program::Library;
use proptest::prelude::*;
use prove::lathe::Shown;
use prove::report::Report;
use prove::run::{Order, Run};
use prove::{Setup, prove};
use std::sync::LazyLock;

static SETUP: LazyLock<Setup> = LazyLock::new(|| {
    let shop = Folder::of_tests("shop");
    let source = shop.read("pin.job.toml").unwrap();
    Setup::of(&Job::read(&source, &shop).value.unwrap())
});

const GOOD: &str = "O1\nG21 G99\nG50 S2500\n#500=0\nN1 T0101\nG96 S150 M3\nG0 X20. Z0.\nG1 X-0.8 F0.1\n\
    G0 X120. Z60.\nT0303\nG0 X20. Z-22.5\nG1 X-0.6 F0.05\nG0 X120. Z60.\nM5\nG4 X2.\n#500=#500+1\n\
    IF[#500GE24]GOTO9\nT0707\nG0 X40. Z-32.\nG98 G1 X0. F800\nM11\nG4 X1.\nG1 W23. F1500\nM10\nG4 X1.\n\
    G1 X40. F1000\nG0 X120. Z60.\nG99\nGOTO1\nN9 M30\n";

const PIECES: [&str; 46] = [
    "G0",
    "G1",
    "G2",
    "G3",
    "G4",
    "G28",
    "G50",
    "G70",
    "G71",
    "G74",
    "G75",
    "G76",
    "G83",
    "G90",
    "G92",
    "G94",
    "G96",
    "G98",
    "G99",
    "X10.",
    "X-0.",
    "Z-99999.",
    "U0",
    "W1",
    "R1.",
    "P10",
    "P-3",
    "Q20",
    "F0",
    "F.1",
    "S0",
    "S99999",
    "T0707",
    "T0303",
    "M3",
    "M5",
    "M10",
    "M11",
    "M98 P1",
    "M99",
    "#500=#500+1",
    "#1=1/#2",
    "GOTO10",
    "N10",
    "WHILE[#1LT5]DO1",
    "END1",
];

fn run(text: &[u8]) -> (prove::Proof, f64) {
    let library = Library::new(vec![nc::read::read(&Source::new("any.nc", text))]);
    let start = std::time::Instant::now();
    let proof = prove(&library, &SETUP);
    (proof, start.elapsed().as_secs_f64())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn any_words_in_any_order(lines in prop::collection::vec(prop::collection::vec(0..PIECES.len(), 1..5), 1..25)) {
        let lines = lines.iter().map(|line| line.iter().map(|piece| PIECES[*piece]).collect::<Vec<_>>().join(" "));
        let text = lines.collect::<Vec<_>>().join("\n");
        let (_, seconds) = run(text.as_bytes());
        prop_assert!(seconds < 20.0, "{seconds} s for\n{text}");
    }

    #[test]
    fn a_good_program_with_lines_dropped_doubled_and_exchanged(
        changes in prop::collection::vec((0_usize..3, 0_usize..29, 0_usize..29), 1..6),
    ) {
        let mut lines: Vec<&str> = GOOD.lines().collect();
        for (kind, one, other) in changes {
            let (one, other) = (one % lines.len(), other % lines.len());
            match kind {
                0 => drop(lines.remove(one)),
                1 => lines.insert(other, lines[one]),
                _ => lines.swap(one, other),
            }
        }
        let text = lines.join("\n");
        let (proof, seconds) = run(text.as_bytes());
        prop_assert!(seconds < 20.0, "{seconds} s for\n{text}");
        // Every finding points into the text, and the verdict follows from the findings.
        for finding in &proof.findings {
            prop_assert!(finding.place.span.end as usize <= finding.place.source.bytes().len());
        }
        prop_assert_eq!(proof.verdict, model::finding::Verdict::over(&proof.findings));
    }

    #[test]
    fn any_bytes(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        run(&bytes);
    }
}

#[test]
fn nothing_at_all_is_proven_without_complaint() {
    let (proof, _) = run(b"");
    assert_eq!(proof.parts, 0);
    let none = prove(&Library::new(Vec::new()), &SETUP);
    assert_eq!(none.parts, 0);
}

#[test]
fn the_good_program_is_good() {
    let (proof, _) = run(GOOD.as_bytes());
    assert_eq!((proof.parts, proof.ended_by), (24, prove::event::EndedBy::Count));
}

/// Some controls end a block at a semicolon: what stands behind it may be a move.
#[test]
fn words_behind_a_semicolon_are_unproven() {
    let told = |text: &str| {
        let (proof, _) = run(text.as_bytes());
        proof.unproven.iter().any(|one| one.what.contains("semicolon"))
    };
    assert!(told("G0 X50.; G1 Z-80.\nM30\n"));
    assert!(!told("G0 X50. ; move clear\nM30\n"));
    assert!(!told("G0 X50. (G1 Z-80.)\nM30\n"));
}

/// Where the control's file says what a semicolon is, the text is read so and nothing is unproven.
#[test]
fn a_control_that_says_what_a_semicolon_is_is_believed() {
    let told = |semicolon, text: &str, read_as| {
        let mut setup = SETUP.clone();
        setup.control.semicolon = read_as;
        let tree = nc::read::read_for(&Source::new("any.nc", text), &setup.control);
        setup.control.semicolon = semicolon;
        let proof = prove(&Library::new(vec![tree]), &setup);
        (proof.blocks, proof.unproven.iter().any(|one| one.what.contains("semicolon")))
    };
    let (comment, ends) = (Some(Semicolon::Comment), Some(Semicolon::BlockEnd));
    let text = "G0 X50.; G1 Z-80. F100;\nM30\n";
    let (as_comment, unproven) = told(comment, text, comment);
    assert!(!unproven);
    let (as_blocks, unproven) = told(ends, text, ends);
    assert!(!unproven);
    assert!(as_blocks > as_comment, "{as_blocks} blocks, {as_comment} with comments");
    assert!(told(ends, text, comment).1, "read for another control");
    assert!(told(None, text, None).1);
}

/// Where not every block could be tried as a stop, the count is not said to survive one.
#[test]
fn a_count_is_not_said_to_survive_untried() {
    let (whole, _) = run(GOOD.replace("#500=0\n", "").as_bytes());
    assert!(whole.count.survives_reset);
    let endless = GOOD.replace("#500=0\n", "").replace("M30", "G4 X1.\nGOTO9");
    let (never, _) = run(endless.as_bytes());
    assert_eq!(never.ended_by, prove::event::EndedBy::Never);
    assert!(!never.count.survives_reset);
}

/// Without a job nobody knows where a new bar's face stands: a program that draws the bar before
/// its first cut is not said to let the bar go, but how it is held is unproven.
#[test]
fn a_pull_before_any_cut_is_no_false_alarm() {
    let mut setup = SETUP.clone();
    setup.part = None;
    let text = "G21\nT0707\nG0 X40. Z-32.\nG98 G1 X0. F800\nM11\nG4 X1.\nG1 W23. F1500\nM10\nG4 X1.\n\
                G1 X40. F1000\nG0 X120. Z60.\nM30\n";
    let proof = prove(&Library::new(vec![nc::read::read(&Source::new("any.nc", text))]), &setup);
    let ids: Vec<_> = proof.findings.iter().map(|finding| finding.id).collect();
    assert!(ids.is_empty(), "{ids:?}");
    assert!(proof.unproven.iter().any(|one| one.what.contains("gripper is on the stub")));
}

/// What is read but not followed is never passed over in silence.
#[test]
fn words_of_other_axes_are_unproven() {
    let (proof, _) = run(b"G21 G99\nS500 M3\nG0 X20. Z5.\nG1 C90. F1.\nM30\n");
    assert!(proof.unproven.iter().any(|one| one.what.contains("axes other than X and Z")));
    assert!(proof.findings.iter().all(|finding| finding.id != "corner-impossible"));
}

/// Found by fuzzing: a contour that holds its own cycle called itself without end.
#[test]
fn a_contour_cannot_hold_a_cycle() {
    let text = "G21 G99 G97 S500 M3 F.2\nG0 X20. Z2.\nG71 U1. R.5\nG71 P10 Q20 U.2 W.1\n\
                N10 G0 X10.\nG71 P10 Q20 U.2 W.1\nN20 X20.\nM30\n";
    let setup = Setup::bare(SETUP.control.clone());
    let library = Library::new(vec![nc::read::read(&Source::new("any.nc", text))]);
    let found: Vec<_> = prove(&library, &setup).findings.iter().map(|one| one.id).collect();
    assert_eq!(found, ["cycle-incomplete"]);
}

/// Steps a thousand times too small end in a finding, not in a long wait.
#[test]
fn a_step_far_too_small_is_told() {
    for cycle in [
        "G74 R.5\nG74 Z-400. Q1 F.1",
        "G75 R.5\nG75 X2. Z-400. P1 Q1 F.1",
        "G83 X0 Z-400. R-1. Q1 K900",
        "G71 U.001 R.5\nG71 P10 Q20 U.2 W.1\nN10 G0 X10.\nG1 Z-50.\nN20 X400.",
    ] {
        let text = format!("G21 G99 G97 S500 M3 F.2\nG0 X300. Z2.\n{cycle}\nM30\n");
        let setup = Setup::bare(SETUP.control.clone());
        let library = Library::new(vec![nc::read::read(&Source::new("any.nc", text))]);
        let proof = prove(&library, &setup);
        let found = proof.findings.iter().any(|one| one.id == "cycle-incomplete");
        assert!(found, "{cycle}: {:?}", proof.findings);
    }
}

/// Texts that the fuzzing of the executor kept, run as it runs them: step by step, in both orders of
/// reading ahead, every check watching.
#[test]
fn texts_that_fuzzing_kept_are_run() {
    const MOST_STEPS: u32 = 2000;
    let lines = include_str!("../found/run.txt").lines().filter(|line| !line.starts_with('#'));
    let text = |line: &str| -> Vec<u8> {
        let digits = line.as_bytes().chunks_exact(2);
        let byte = |pair: &[u8]| u8::from_str_radix(std::str::from_utf8(pair).unwrap(), 16);
        digits.map(|pair| byte(pair).unwrap()).collect()
    };
    let texts: Vec<_> = lines.map(text).collect();
    assert!(texts.len() >= 100, "the texts are not there");
    let setups = [Setup::bare(SETUP.control.clone()), SETUP.clone()];
    for (text, setup) in texts.iter().flat_map(|text| setups.iter().map(move |it| (text, it))) {
        let source = Source::new("any.nc", text.as_slice());
        let library = Library::new(vec![nc::read::read_for(&source, &setup.control)]);
        for order in [Order::Latest, Order::Earliest] {
            let mut report = Report::new(vec![source.clone()]);
            let mut run = Run::new(&library, setup, Shown::default(), order);
            for _ in 0..MOST_STEPS {
                if run.go_on(&mut |moment| prove::checks::watch(moment, &mut report)).is_break() {
                    break;
                }
            }
            for finding in report.finish().0.iter().filter(|it| it.place.source.name() == "any.nc")
            {
                assert!(finding.place.span.end as usize <= text.len());
            }
        }
    }
}
