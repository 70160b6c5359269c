//! Rows A and B of the project's list of worked NC checks that a whole run answers, where controls
//! differ: each with both answers. The rows that have one answer are in `motions.rs`; those of the
//! reader and of terms alone are with the crate that reads. Flags: *found*, *computed*, *from
//! memory*.

use crate::folder::Folder;
use model::files::Control;
use model::files::control::{
    AndPlace, AtanRange, JumpSearch, Logic, MixedBlock, NullInOrder, RepeatForm, Rounding,
};
use model::{Files, Length, Source};
use nc::program::Library;
use prove::event::{EndedBy, What};
use prove::lathe::Shown;
use prove::run::{Order, Run};
use prove::{Setup, prove};

/// A setup with nothing but the control of the test shop, changed.
fn control(change: impl FnOnce(&mut Control)) -> Setup {
    let read = Control::read(&Folder::of_tests("shop").read("control.toml").unwrap());
    let mut control = read.value.unwrap();
    change(&mut control);
    Setup::bare(control)
}

fn common() -> Setup {
    control(|_| {})
}

fn library(setup: &Setup, text: &str) -> Library {
    Library::new(vec![nc::read::read_for(&Source::new("rows.nc", text), &setup.control)])
}

/// The variables that a program leaves, by number.
fn variables(setup: &Setup, text: &str, numbers: &[u32]) -> Vec<Option<f64>> {
    let library = library(setup, text);
    let mut run = Run::new(&library, setup, Shown::default(), Order::Latest);
    while run.go_on(&mut |_| {}).is_continue() {}
    numbers.iter().map(|number| run.interpreter.variables.get(*number)).collect()
}

fn variable(setup: &Setup, text: &str, number: u32) -> f64 {
    variables(setup, text, &[number])[0].unwrap()
}

/// Ids and stretches of what a proof finds about the text and the terms.
fn found(setup: &Setup, text: &str) -> Vec<(&'static str, String)> {
    let proof = prove(&library(setup, text), setup);
    let all = proof.findings.iter();
    all.map(|one| (one.id, one.place.source.text_of(one.place.span).into_owned())).collect()
}

/// A3. NISTIR 6556 §3.3.3 (found): the move goes to 15, the value from before its line. The trade
/// (from memory) refuses the line.
#[test]
fn a3_a_move_mixed_with_an_assignment() {
    let text = "G21 G98\n#3=15\n#3=6 G1 X#3 F100\nM30\n";
    assert_eq!(found(&common(), text), [("mixed-block", "#3=6".to_owned())]);
    for (mixed, x) in [(MixedBlock::WordsFirst, 15), (MixedBlock::VariableFirst, 6)] {
        let setup = control(|control| control.terms.mixed_block = mixed);
        let library = library(&setup, text);
        let run = Run::new(&library, &setup, Shown::default(), Order::Latest);
        let state = run.finish(&mut |_| {}).state;
        assert_eq!(state.position.r * 2, Length::from_mm(x));
        assert_eq!(variables(&setup, text, &[3]), [Some(6.0)]);
    }
}

/// A7, the trade (from memory): of two words of one group the last acts, here the feed. NISTIR
/// 6556 §3.3.5 (found) makes it an error.
#[test]
fn a7_the_last_word_of_a_group_acts() {
    let setup = common();
    let rapid = |words: &str| {
        let library = library(&setup, &format!("G21 G98 F100\n{words} X5.\nM30\n"));
        let mut rapid = Vec::new();
        Run::new(&library, &setup, Shown::default(), Order::Latest).finish(&mut |moment| {
            if let What::Move(motion) | What::Cut(motion) = moment.what {
                rapid.push(motion.rapid);
            }
        });
        rapid
    };
    assert_eq!(rapid("G0 G1"), [false]);
    assert_eq!(rapid("G1 G0"), [true]);
}

/// A11 (from memory; the forms seen in public programs): which digits are the station.
#[test]
fn a11_stations_by_the_digits_of_the_control() {
    let stations = |digits: u32, text: &str| {
        let setup = control(|control| control.numbers.tool_offset_digits = digits);
        let library = library(&setup, &format!("{text}\nM30\n"));
        let mut stations = Vec::new();
        Run::new(&library, &setup, Shown::default(), Order::Latest).finish(&mut |moment| {
            if let What::Indexed { to, .. } = moment.what {
                stations.push(to);
            }
        });
        stations
    };
    assert_eq!(stations(2, "T0303\nT0505\nT303\nT0400"), [3, 5, 3, 4]);
    assert_eq!(stations(3, "T13013\nT3003"), [13, 3]);
    assert_eq!(stations(1, "T33\nT120"), [3, 12]);
    assert_eq!(stations(0, "T3\nT12"), [3, 12]);
}

/// A12 and B21 (from memory; B21 computed): repeats before the program's number, or as L.
#[test]
fn a12_b21_repeats_of_calls() {
    let packed = control(|control| control.repeat = RepeatForm::Packed);
    let letter = control(|control| control.repeat = RepeatForm::Letter);
    let times = |setup: &Setup, call: &str| {
        let one = |number: u32| format!("O{number}\n#120=#120+1\nM99\n");
        let text = format!("O1\n#120=0\n{call}\nM30\n{}{}", one(1002), one(36));
        variable(setup, &text, 120)
    };
    for setup in [&packed, &letter] {
        assert_eq!(times(setup, "M98 P1002").to_bits(), 1_f64.to_bits());
        assert_eq!(times(setup, "M98 P1002 L5").to_bits(), 5_f64.to_bits());
    }
    assert_eq!(times(&packed, "M98 P51002").to_bits(), 5_f64.to_bits());
    assert_eq!(times(&packed, "M98 P120036").to_bits(), 12_f64.to_bits());
    let text = "O6\n#120=0\nM98 P40007\nM30\nO7\nM98 P60008\nM99\nO8\n#120=#120+1\nM99\n";
    assert_eq!(variables(&packed, text, &[120]), [Some(24.0)]);
    // Where repeats are written by L, there is no program 51002.
    let told = found(&letter, "O1\nM98 P51002\nM30\nO1002\nM99\n");
    assert!(told.contains(&("program-missing", "M98".into())), "{told:?}");
}

/// B4, B7 and B9 in a run (NISTIR 6556 §3.3.2.3–4 found, the trade's from memory, B9 computed).
#[test]
fn b4_b7_b9_terms_are_those_of_the_control() {
    let standard = control(|control| {
        control.terms.rounding = Rounding::DownAndUp;
        control.terms.and_place = AndPlace::WithSums;
        control.terms.logic = Logic::Logical;
        control.terms.atan_range = AtanRange::HalfTurns;
    });
    let text = "#1=FIX[-2.8]\n#2=FUP[-2.8]\n#3=[1+6AND3]\n#4=ROUND[ATAN[-1]/[-1]]\nM30\n";
    let some = |values: [f64; 4]| values.map(Some);
    assert_eq!(variables(&common(), text, &[1, 2, 3, 4]), some([-2.0, -3.0, 3.0, 225.0]));
    assert_eq!(variables(&standard, text, &[1, 2, 3, 4]), some([-3.0, -2.0, 1.0, -135.0]));
}

/// B10 (a public manual, found): `Z#1` with #1 null is as if not written.
#[test]
fn b10_a_null_word_moves_nothing() {
    let setup = common();
    let ends = |first: &str| {
        let library = library(&setup, &format!("G21\nG0 X40. Z7.\n{first}G0 X20. Z#1\nM30\n"));
        let mut ends = Vec::new();
        Run::new(&library, &setup, Shown::default(), Order::Latest).finish(&mut |moment| {
            if let What::Move(motion) | What::Cut(motion) = moment.what {
                ends.push((motion.to.r * 2, motion.to.z));
            }
        });
        ends[1]
    };
    assert_eq!(ends(""), (Length::from_mm(20), Length::from_mm(7)));
    assert_eq!(ends("#1=0\n"), (Length::from_mm(20), Length::ZERO));
}

/// B12 (from memory; that null is GT 0 on another control, found), with its caution.
#[test]
fn b12_null_in_a_comparison() {
    let other = control(|control| control.terms.null_in_order = NullInOrder::AboveAll);
    let text = "IF[#1GE0]THEN#100=1\nIF[#1GT0]THEN#101=1\nIF[#1LT0]THEN#102=1\nM30\n";
    let numbers = [100, 101, 102];
    assert_eq!(variables(&common(), text, &numbers), [Some(1.0), None, None]);
    assert_eq!(variables(&other, text, &numbers), [Some(1.0), Some(1.0), None]);
    for setup in [&common(), &other] {
        let told = found(setup, text);
        let told: Vec<_> = told.iter().map(|(id, stretch)| (*id, stretch.as_str())).collect();
        let wanted = ["[#1GE0]", "[#1GT0]", "[#1LT0]"].map(|text| ("null-compared", text));
        assert_eq!(told, wanted);
    }
}

/// B12: a kept variable is empty but once; only where that does not count as zero is it a trouble.
#[test]
fn b12_a_kept_null_in_a_comparison() {
    let other = control(|control| control.terms.null_in_order = NullInOrder::AboveAll);
    let text = "WHILE[#500LT3]DO1\n#500=#500+1\nEND1\nM30\n";
    assert_eq!(variables(&common(), text, &[500]), [Some(3.0)]);
    assert_eq!(variables(&other, text, &[500]), [None]);
    let ids = |setup: &Setup| found(setup, text).into_iter().map(|(id, _)| id).collect::<Vec<_>>();
    assert_eq!(ids(&common()), [] as [&str; 0]);
    assert_eq!(ids(&other), ["null-compared"]);
}

/// B14 (computed for binary numbers of 64 bits), with its caution.
#[test]
fn b14_steps_of_a_tenth() {
    let text = "#1=0\nWHILE[#1LT1]DO1\n#1=#1+0.1\n#2=#2+1\nEND1\nM30\n";
    let left = variables(&common(), text, &[1, 2]);
    assert_eq!(left, [Some(1.099_999_999_999_999_9), Some(11.0)]);
    assert_eq!(found(&common(), text), [("fraction-steps", "#1=#1+0.1".to_owned())]);
}

/// B14 (computed): ten turns on a control that counts in decimal digits.
#[test]
fn b14_decimal_digits() {
    let text = "#1=0\nWHILE[#1LT1]DO1\n#1=#1+0.1\n#2=#2+1\nEND1\nM30\n";
    let setup = control(|control| control.terms.significant_digits = Some(12));
    assert_eq!(variables(&setup, text, &[1, 2]), [Some(1.0), Some(10.0)]);
    assert_eq!(found(&setup, text), []);
}

/// B20 (from memory): M98 keeps the caller's locals, or makes new ones.
#[test]
fn b20_locals_of_a_called_program() {
    let text = "O1\n#1=5\nM98 P4\n#103=#1\nM30\nO4\n#1=#1+1\nM99\n";
    for (makes, left) in [(false, 6.0), (true, 5.0)] {
        let setup = control(|control| control.variables.call_makes_locals = makes);
        assert_eq!(variables(&setup, text, &[103]), [Some(left)]);
    }
}

/// B23 (computed): forward first and then from the top, or always from the top; and its caution.
#[test]
fn b23_where_the_search_starts() {
    let text = "#100=0\nN5 #100=#100+1\nIF[#100EQ3]GOTO9\nGOTO5\nN5 #100=#100+10\n\
                IF[#100LT50]GOTO5\nN9 M30\n";
    for (search, left) in [(JumpSearch::Forward, 55.0), (JumpSearch::Top, 3.0)] {
        let setup = control(|control| control.terms.jump_search = search);
        assert_eq!(variables(&setup, text, &[100]), [Some(left)]);
        let twice = found(&setup, text).iter().filter(|(id, _)| *id == "number-twice").count();
        assert_eq!(twice, 1);
        assert_eq!(prove(&library(&setup, text), &setup).ended_by, EndedBy::Count);
    }
}
