//! The rows of the project's list of worked NC checks that a whole run answers: F1 to F10 (the
//! bar), C7 and C8 (arcs), D10 (a feed that waits). Each test names its row and the row's flag:
//! *found* where the value stands in a text that was read, *computed* where it is arithmetic,
//! *from memory* where the rule is.

use model::files::Job;
use model::{Files, Length, Source, Units};
use nc::program::Library;
use prove::event::{EndedBy, What};
use prove::lathe::Shown;
use prove::run::{Order, Outcome, Run};
use prove::{Proof, Setup, prove};
use std::fmt::Write as _;

/// The figures of one bar, in the units of its shop; the blade is 2.5 mm or 0.125 in wide.
struct Bar {
    units: &'static str,
    length: &'static str,
    face_stock: &'static str,
    first_face: &'static str,
    part: &'static str,
    clearance: &'static str,
    least_grip: &'static str,
    reset_clears: bool,
    repeat_form: &'static str,
}

/// The bar of row F8.
const F8: Bar = Bar {
    units: "mm",
    length: "1000",
    face_stock: "1",
    first_face: "5",
    part: "28",
    clearance: "12",
    least_grip: "30",
    reset_clears: false,
    repeat_form: "L",
};

impl Files for Bar {
    fn read(&self, path: &str) -> Result<Source, String> {
        let inch = self.units == "inch";
        let scaled = |mm: &str, inches: &str| if inch { inches } else { mm }.to_owned();
        let mut text = format!("units = \"{}\"\n", self.units);
        let body = match path {
            "job" => format!(
                "name = \"rows\"\nprogram = 1\n\
                 [files]\nlathe = \"lathe\"\ngripper = \"gripper\"\ntools = \"tools\"\ncontrol = \"control\"\n\
                 [order]\nquantity = 1000\n\
                 [bar]\nmaterial = \"material.toml\"\nsize = {}\nlength = {}\nlength_tolerance = 0\n\
                 [part]\nlength = {}\nupper = {}\nlower = -{}\n\
                 [[part.feature]]\nkind = \"diameter\"\ndiameter = {}\nto = {}\n\
                 [advance]\nface_stock = {}\nfirst_face = {}\njaw_clearance = {}\n\
                 [count]\nby = \"variable\"\n",
                scaled("16", "0.625"),
                self.length,
                self.part,
                // The rows tell of lengths only: their parts keep the diameter of the bar.
                scaled("0.05", "0.002"),
                scaled("0.05", "0.002"),
                scaled("16", "0.625"),
                self.part,
                self.face_stock,
                self.first_face,
                self.clearance
            ),
            "lathe" => format!(
                "name = \"rows\"\n[travel]\nx = 300\nz = 300\n[rapid]\nx = 12\nz = 18\n\
                 [spindle]\nmax_speed = 5000\nbore = 40\njaw_face_to_rear = {}\nrun_up = 2\nrun_down = 2\n\
                 [chuck]\nopen = 0.5\nclose = 0.5\njaw_length = 40\nleast_grip = {}\nmax_speed = 5000\n\
                 start_when_open = \"refused\"\n\
                 [turret]\nstations = 8\nstep = 0.2\nindex_x = {}\nindex_z = {}\n",
                scaled("2000", "80"),
                self.least_grip,
                scaled("100", "4"),
                scaled("50", "2")
            ),
            "gripper" => format!(
                "name = \"rows\"\nstyle = \"radial\"\nfingers = {}\nleast_engagement = {}\njaw_gap = {}\n\
                 diameter_min = 0.1\ndiameter_max = {}\npull_speed = 3000\napproach_speed = 1000\n\
                 clear_x = {}\nclear_z = 5\ndeviation = 0\n",
                scaled("8", "0.25"),
                scaled("6", "0.2"),
                scaled("2", "0.05"),
                scaled("50", "2"),
                scaled("40", "1.5")
            ),
            "tools" => format!(
                "[[station]]\nnumber = 1\nkind = \"turning\"\nname = \"turning tool\"\n\
                 speed = 100\nfeed = 0.01\ndepth = 0.5\n\
                 [[station]]\nnumber = 3\nkind = \"parting\"\nname = \"blade\"\n\
                 speed = 100\nfeed = 0.01\nwidth = {}\n\
                 [[station]]\nnumber = 7\nkind = \"gripper\"\nname = \"gripper\"\n",
                scaled("2.5", "0.125")
            ),
            "control" => format!(
                "name = \"rows\"\ncode_system = \"A\"\nrepeat_form = \"{}\"\n\
                 [numbers]\nwithout_point = \"least-increment\"\npower_on_units = \"{}\"\n\
                 [writing]\nsafe_start = []\n[variables]\nreset_clears_volatile = {}\n\
                 [read_ahead]\nmost_blocks = 3\nstoppers = [\"M0\", \"M1\", \"M30\", \"M5\", \"G53\"]\n[reset]\n\
                 [[function]]\ndoes = \"chuck-open\"\nword = \"M11\"\nconfirmed = true\n\
                 [[function]]\ndoes = \"chuck-close\"\nword = \"M10\"\nconfirmed = true\n\
                 [[function]]\ndoes = \"spindle-stop\"\nword = \"M5\"\nconfirmed = true\n",
                self.repeat_form, self.units, self.reset_clears
            ),
            "material.toml" => "name = \"rows\"\ngroup = \"P\"\ndensity = 7850\n\
                                density_source = \"from memory\"\n"
                .to_owned(),
            other => return Err(other.to_owned()),
        };
        text.push_str(&body);
        Ok(Source::new(path, text))
    }

    fn shipped(&self, path: &str) -> Result<Source, String> {
        Err(path.to_owned())
    }
}

impl Bar {
    fn setup(&self) -> Setup {
        let read = Job::read(&self.read("job").unwrap(), self);
        let troubles: Vec<_> = read.diagnostics.iter().map(|one| &one.message).collect();
        assert!(troubles.is_empty(), "{troubles:?}");
        Setup::of(&read.value.unwrap())
    }
}

/// One part of the bar of row F8, without the pull.
const PART: &str = "T0101\nG97 S1000 M3\nG0 X20. Z0.\nG1 X-1. F.1\nG0 X100. Z50.\n\
                    T0303\nG0 X20. Z-30.5\nG1 X-.5 F.05\nG0 X100.\nZ50.\nM5\n";

/// The pull of the bar of row F8, by a word such as `W31.5`.
fn pull(by: &str) -> String {
    format!(
        "T0707\nG0 X40. Z-40.\nG98 G1 X0. F900\nM11\nG1 {by} F1500\nM10\nX40. F900\nG0 X100. Z50.\nG99\n"
    )
}

fn library(text: &str) -> Library {
    Library::new(vec![nc::read::read(&Source::new("rows.nc", text))])
}

fn proof(setup: &Setup, text: &str) -> Proof {
    prove(&library(text), setup)
}

/// Ids of the findings with the texts they point at, each once.
fn found(proof: &Proof) -> Vec<(&'static str, String)> {
    let texts = proof
        .findings
        .iter()
        .map(|one| (one.id, one.place.source.text_of(one.place.span).into_owned()));
    texts.collect()
}

/// A loop with its count after the part: what it starts from, and its condition.
fn counted(first: &str, variable: u32, condition: &str) -> String {
    format!(
        "G21 G99\n{first}N1 {PART}{}#{variable}=#{variable}+1\nIF[#{variable}{condition}]GOTO1\nM30\n",
        pull("W31.5")
    )
}

/// Parts of a run that is reset once `parts` have fallen and started again from the top: before
/// the reset, and after it.
fn reset_after(bar: &Bar, text: &str, parts: u32) -> (u32, u32) {
    let (setup, library) = (bar.setup(), library(text));
    let mut run = Run::new(&library, &setup, Shown::default(), Order::Latest);
    while run.lathe.state.parts < parts {
        assert!(run.go_on(&mut |_| {}).is_continue());
    }
    let (mut interpreter, mut lathe) = (run.interpreter, run.lathe);
    // The reset comes after the advance, with the count stepped.
    let mut run = Run::at(interpreter, lathe, Order::Latest);
    while run.lathe.state.cycle() <= parts || run.lathe.state.tool.station != Some(1) {
        assert!(run.go_on(&mut |_| {}).is_continue());
    }
    (interpreter, lathe) = (run.interpreter, run.lathe);
    interpreter.reset();
    interpreter.stands_at(&lathe.state);
    lathe.reset();
    let made = lathe.state.parts;
    let again = Run::at(interpreter, lathe, Order::Latest).finish(&mut |_| {});
    (made, again.state.parts - made)
}

/// F1 (computed).
#[test]
fn f1_the_comparison_decides_the_parts() {
    let setup = F8.setup();
    for (condition, parts) in [("LT12", 12), ("LE12", 13), ("EQ12", 1)] {
        let proof = proof(&setup, &counted("#500=0\n", 500, condition));
        assert_eq!((proof.parts, proof.ended_by), (parts, EndedBy::Count), "{condition}");
    }
}

/// F2 (computed): a kept count goes on where it stood.
#[test]
fn f2_a_kept_count_goes_on() {
    let text = counted("", 500, "LT12");
    assert_eq!(reset_after(&F8, &text, 5), (5, 7));
    let proof = proof(&F8.setup(), &text);
    assert!(proof.count.survives_reset);
    let findings = found(&proof);
    assert!(!findings.iter().any(|(id, _)| *id == "count-lost-at-reset"), "{findings:?}");
}

/// F3 (computed; that a reset clears #100 on some controls is found).
#[test]
fn f3_a_count_set_at_the_top_or_cleared_starts_anew() {
    for reset_clears in [false, true] {
        let bar = Bar { reset_clears, ..F8 };
        let anew = counted("#100=0\n", 100, "LT12");
        assert_eq!(reset_after(&bar, &anew, 5), (5, 12));
        let told = found(&proof(&bar.setup(), &anew));
        assert!(told.contains(&("count-lost-at-reset", "#100=0".into())), "{told:?}");
        let kept = counted("", 100, "LT12");
        let more = if reset_clears { 12 } else { 7 };
        assert_eq!(reset_after(&bar, &kept, 5), (5, more));
        let proof = proof(&bar.setup(), &kept);
        assert_eq!(proof.count.survives_reset, !reset_clears);
    }
}

/// F4 (computed; the packed form is from memory).
#[test]
fn f4_the_repeats_of_a_call_are_lost() {
    let bar = Bar { repeat_form: "packed", ..F8 };
    let text = format!("O1\nG21 G99\nM98 P120036\nM30\nO36\n{PART}{}M99\n", pull("W31.5"));
    let whole = proof(&bar.setup(), &text);
    assert_eq!((whole.parts, whole.ended_by), (12, EndedBy::Count));
    let told = found(&whole);
    assert!(told.contains(&("count-lost-at-reset", "M99".into())), "{told:?}");
    // With the fifth part off before the stop there are 17 in all; the row's 16 are without it.
    assert_eq!(reset_after(&bar, &text, 5), (5, 12));
    assert_eq!(reset_after(&bar, &text, 4), (4, 12));
}

/// F5 (computed): with the switch off nothing ends the loop but the bar.
#[test]
fn f5_a_skipped_return_loops_while_the_switch_is_off() {
    let text = format!("G21 G99\n{PART}{}/M99\nM30\n", pull("W31.5"));
    let proof = proof(&F8.setup(), &text);
    assert_eq!(proof.ended_by, EndedBy::Bar);
    let told = found(&proof);
    assert!(told.contains(&("parts-not-counted", "M99".into())), "{told:?}");
    assert!(told.contains(&("bar-used-up", "W31.5".into())), "{told:?}");
    let switch = proof.unproven.iter().any(|one| one.what.contains("skip"));
    assert!(switch, "what the switch changes is not proven: {:?}", proof.unproven);
}

fn steps(text: &str, order: Order) -> Outcome {
    Run::new(&library(text), &F8.setup(), Shown::default(), order).finish(&mut |_| {})
}

/// F6 (the rule of reading ahead found, computed): the cut takes 30 s.
#[test]
fn f6_a_count_steps_before_its_cut_has_ended() {
    let program = |between: &str| {
        format!(
            "G21 G99\nT0303\nG0 X20. Z0.\nG97 S1000 M3\nG4 X2.\nG1 Z-50. F.1\n{between}#500=#500+1\nM1\nM30\n"
        )
    };
    let cut_ends = |text: &str| {
        let mut ends = 0.0;
        Run::new(&library(text), &F8.setup(), Shown::default(), Order::Latest).finish(
            &mut |moment| {
                if let What::Cut(_) = moment.what {
                    ends = moment.after.now.s();
                    assert!((moment.after.now - moment.before.now - 30.0).abs() < 0.01);
                }
            },
        );
        ends
    };
    let bare = program("");
    let ends = cut_ends(&bare);
    let at = |text: &str, order| steps(text, order).steps[0].at.s();
    assert!((at(&bare, Order::Latest) - ends).abs() < 1e-9);
    assert!(at(&bare, Order::Earliest) <= ends - 30.0 + 0.01);
    for between in ["M1\n", "G53\n"] {
        let held = program(between);
        let ends = cut_ends(&held);
        for order in [Order::Latest, Order::Earliest] {
            assert!((at(&held, order) - ends).abs() < 1e-9, "{between:?} {order:?}");
        }
    }
}

/// F6 (computed), in a loop that counts parts: the finding.
#[test]
fn f6_the_early_step_is_told() {
    let early = PART.replace("G0 X100.\nZ50.\nM5\n", "#500=#500+1\nG0 X100.\nZ50.\nM5\n");
    let text = format!("G21 G99\nN1 {early}IF[#500GE12]GOTO9\n{}GOTO1\nN9 M30\n", pull("W31.5"));
    let told = found(&proof(&F8.setup(), &text));
    assert!(told.contains(&("count-steps-early", "#500=#500+1".into())), "{told:?}");
}

/// F7 (computed; the four figures are common practice, no source): exactly 44 parts of
/// 48 in, not the 43 of binary floating point.
#[test]
fn f7_forty_four_parts_of_forty_eight_inches() {
    let bar = Bar {
        units: "inch",
        length: "48",
        face_stock: "0.02",
        first_face: "0",
        part: "0.925",
        clearance: "0.42",
        least_grip: "0.5",
        ..F8
    };
    let text = |parts: u32| {
        let mut text = "G20 G99\nN1 T0101\nG97 S1000 M3\nG0 X.7 Z0.\nG1 X-.04 F.005\nG0 X4. Z2.\n\
                        T0303\nG0 X.7 Z-1.05\nG1 X-.02 F.002\nG0 X4.\nZ2.\nM5\n#500=#500+1\n"
            .to_owned();
        writeln!(text, "IF[#500GE{parts}]GOTO9").unwrap();
        text.push_str(
            "T0707\nG0 X1.5 Z-1.3\nG98 G1 X0. F40.\nM11\nG1 W1.07 F60.\nM10\nX1.5 F40.\n\
             G0 X4. Z2.\nG99\nGOTO1\nN9 M30\n",
        );
        text
    };
    let setup = bar.setup();
    let whole = proof(&setup, &text(44));
    assert_eq!((whole.parts, whole.ended_by), (44, EndedBy::Count));
    assert_eq!(whole.remnant, Some(Length::parse("0.92", Units::Inch).unwrap()));
    assert_eq!(whole.verdict, model::finding::Verdict::Clear, "{:?}", found(&whole));
    let one_more = proof(&setup, &text(45));
    assert_eq!((one_more.parts, one_more.ended_by), (44, EndedBy::Bar));
}

/// F8 (computed): 30 parts and a remnant of 50; the 31st has too little in the jaws.
#[test]
fn f8_thirty_parts_of_a_meter() {
    let text = |parts: u32, by: &str| {
        format!(
            "G21 G99\nN1 {PART}#500=#500+1\nIF[#500GE{parts}]GOTO9\n{}GOTO1\nN9 M30\n",
            pull(by)
        )
    };
    let setup = F8.setup();
    let whole = proof(&setup, &text(30, "W31.5"));
    assert_eq!((whole.parts, whole.ended_by), (30, EndedBy::Count));
    assert_eq!(whole.remnant, Some(Length::from_mm(50)));
    assert_eq!(whole.verdict, model::finding::Verdict::Clear, "{:?}", found(&whole));
    let one_more = found(&proof(&setup, &text(31, "W31.5")));
    assert!(one_more.contains(&("grip-too-short", "W31.5".into())), "{one_more:?}");
}

/// F9 and F10 (computed): a short pull costs face stock every time and does not add up.
#[test]
fn f9_f10_short_pulls_do_not_add_up() {
    let text = |by: &str| {
        format!("G21 G99\nN1 {PART}#500=#500+1\nIF[#500GE30]GOTO9\n{}GOTO1\nN9 M30\n", pull(by))
    };
    let setup = F8.setup();
    let above_notes = |proof: &Proof| {
        let kept = proof.findings.iter().filter(|one| one.level > model::Level::Note);
        kept.map(|one| (one.id, one.times)).collect::<Vec<_>>()
    };
    let short = proof(&setup, &text("W31."));
    assert_eq!(short.parts, 30);
    assert_eq!(above_notes(&short), [("advance-not-pitch", 29)]);
    let too_short = proof(&setup, &text("W30.4"));
    assert_eq!(too_short.parts, 30);
    assert_eq!(above_notes(&too_short), [("advance-too-short", 29), ("part-length-off", 29)]);
    let off = too_short.findings.iter().find(|one| one.id == "part-length-off").unwrap();
    assert!(off.message.contains("0.100 mm too short"), "{}", off.message);
}

/// C7 (the limit of 0.002 mm found in NISTIR 6556 §3.5.3.2; computed) and C8 (computed).
#[test]
fn c7_c8_arcs_that_cannot_be_made() {
    let setup = F8.setup();
    let told = |arc: &str| {
        let text = format!("G21 G99\nT0101\nG97 S1000 M3\nG0 X20. Z0.\n{arc} F.1\nM30\n");
        let found = found(&proof(&setup, &text));
        found.into_iter().filter(|(id, _)| *id == "arc-impossible").collect::<Vec<_>>()
    };
    assert_eq!(told("G2 X30. Z-5.01 I5. K0."), [("arc-impossible", "X30. Z-5.01".to_owned())]);
    assert_eq!(told("G2 X30. Z-5.001 I5. K0."), []);
    assert_eq!(told("G3 X30. Z-5. R3.5"), [("arc-impossible", "X30. Z-5.".to_owned())]);
    // C1 (computed): the same corner with a radius that fits.
    assert_eq!(told("G3 X30. Z-5. R5."), []);
}

/// D10 (from memory): a feed per revolution with the spindle stopped never ends.
#[test]
fn d10_a_feed_per_revolution_waits_for_the_spindle() {
    let text = "G21\nT0101\nG97 S500 M3\nG0 X30. Z5.\nM5\nG99 G1 Z-5. F.1\nM30\n";
    let told = found(&proof(&F8.setup(), text));
    assert!(told.contains(&("feed-waits-for-spindle", "Z-5.".into())), "{told:?}");
    let turning = text.replace("M5\n", "");
    let told = found(&proof(&F8.setup(), &turning));
    assert!(!told.iter().any(|(id, _)| *id == "feed-waits-for-spindle"), "{told:?}");
}
