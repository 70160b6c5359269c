//! What cuts ask, reckoned twice: by the plan from its own list of cuts, and by the proof from the
//! metal that the written program takes off the bar. They share the formulas and nothing that
//! places or measures a cut.

use crate::folder::Folder;
use model::files::job::Job;
use model::{Files, Source};
use nc::program::Library;
use prove::{Proof, Setup};

pub(crate) fn job(demo: &str, change: &str) -> Job {
    let folder = Folder::changed(demo, change.parse().unwrap());
    Job::read(&folder.read(&format!("{demo}.job.toml")).unwrap(), &folder).value.unwrap()
}

/// The programs planned for a demo, proven on a lathe that is changed.
fn proven(demo: &str, change: &str) -> Proof {
    let programs = plan::plan(&job(demo, "")).programs;
    let trees = programs
        .iter()
        .map(|program| nc::read::read(&Source::new("planned.nc", program.text.clone())));
    prove::prove(&Library::new(trees.collect()), &Setup::of(&job(demo, change)))
}

/// The figures of a message: the first three numbers in it.
pub(crate) fn figures(message: &str) -> [f64; 3] {
    let figures = message.split(|c: char| !(c.is_ascii_digit() || c == '.'));
    let figures: Vec<f64> = figures.filter_map(|figure| figure.parse().ok()).collect();
    [figures[0], figures[1], figures[2]]
}

fn found(proof: &Proof, id: &str) -> Vec<[f64; 3]> {
    let of_it = proof.findings.iter().filter(|finding| finding.id == id);
    of_it.map(|finding| figures(&finding.message)).collect()
}

fn planned(demo: &str, id: &str) -> [f64; 3] {
    let answer = plan::plan(&job(demo, ""));
    let line = answer.checks.iter().find(|line| line.id == id).unwrap();
    [line.value, line.low, line.high]
}

fn near<const N: usize>(one: [f64; N], other: [f64; N], share: f64) {
    let off = one.iter().zip(other).all(|(one, other)| (one / other - 1.0).abs() <= share);
    assert!(off, "{one:?} and {other:?}");
}

#[test]
fn power_of_the_heaviest_cut_is_that_of_the_plan() {
    for demo in ["detent-pin", "lamp-spacer"] {
        let weak = "[lathe.spindle.drive]\npower = 0.01";
        let cuts = found(&proven(demo, weak), "power-too-small");
        assert!(cuts.len() > 3, "{demo}: every cut is heavier than 10 W: {cuts:?}");
        let heaviest = cuts.into_iter().max_by(|one, other| one[0].total_cmp(&other[0])).unwrap();
        // The message has two decimals of a kilowatt.
        near(heaviest.map(|kw| 1000.0 * kw), planned(demo, "power-too-small"), 0.03);
    }
}

#[test]
fn grip_is_short_by_as_much_as_the_plan_says() {
    // A fifth of the grip holds a fifth as much.
    let weak = "[lathe.grip]\nforce = 6000";
    let proof = proven("detent-pin", weak);
    let answer = plan::plan(&job("detent-pin", weak));
    for id in ["grip-too-weak", "jaws-lift"] {
        let line = answer.checks.iter().find(|line| line.id == id).unwrap();
        // The plan has the least of all cuts at each end of the range.
        let cuts = found(&proof, id);
        let least = |end: usize| cuts.iter().map(|cut| cut[end]).fold(f64::INFINITY, f64::min);
        near([least(0), least(1), least(2)], [line.value, line.low, line.high], 0.05);
    }
}

#[test]
fn a_diameter_bends_by_as_much_as_the_plan_says() {
    let soft = "[lathe.grip]\nradial = 400";
    let answer = plan::plan(&job("detent-pin", soft));
    let line = answer.checks.iter().find(|line| line.id == "part-bends").unwrap();
    let cuts = found(&proven("detent-pin", soft), "part-bends");
    let worst = |end: usize| cuts.iter().map(|cut| cut[end]).fold(0.0, f64::max);
    near([worst(0), worst(2)], [line.value, line.high], 0.1);
}

#[test]
fn a_cut_that_nobody_described_is_unproven() {
    let lacking = [
        ("[lathe.spindle]\ndrive = \"absent\"", "spindle.drive"),
        ("[lathe]\ngrip = \"absent\"", "[grip]"),
        ("[tools.station.1]\nedge_angle = \"absent\"", "edge_angle"),
    ];
    for (change, key) in lacking {
        let proof = proven("detent-pin", change);
        let loads = |it: &&model::Unproven| it.what == "force, power and grip of the cuts";
        let mut why = proof.unproven.iter().filter(loads).map(|it| it.why.as_str());
        assert!(why.any(|why| why.contains(key)), "{key}: {:?}", proof.unproven);
    }
    let whole = proven("detent-pin", "");
    assert!(whole.unproven.iter().all(|it| it.what != "force, power and grip of the cuts"));
}
