//! Holes and threads: whatever the plan makes of them, the proof of its program finds the part as drawn.

use crate::shop::{self, PIN, SPACER};
use model::files::control::{HolesAs, TapsAs, ThreadsAs};
use model::files::job::{Feature, FeatureKind};
use model::files::{Job, Tools};
use model::{Length, Source};
use plan::{Answer, plan};

/// Tools of these holes and threads, in millimeters.
const TOOLS: &str = r#"
[[station]]
number = 2
kind = "spot-drill"
name = "spot drill 6, 90 degrees"
diameter = 6
speed = 60
feed = 0.05
reach = 20

[[station]]
number = 4
kind = "drill"
name = "drill 5"
diameter = 5
speed = 60
feed = 0.08
reach = 60

[[station]]
number = 5
kind = "tap"
name = "tap M6"
diameter = 6
pitch = 1
chamfer = 2
speed = 10
reach = 25

[[station]]
number = 6
kind = "threading"
name = "60 degree edge"
least_pitch = 0.5
most_pitch = 1.5
nose_radius = 0.06
speed = 80
turns = "forward"
"#;

fn with_tools(mut job: Job, more: &str) -> Job {
    let read = Tools::read(&Source::new("tools.toml", format!("units = \"mm\"\n{more}")));
    assert!(read.diagnostics.is_empty(), "{:#?}", read.diagnostics);
    job.tools.stations.extend(read.value.unwrap().stations);
    job
}

fn um(um: i64) -> Length {
    Length::from_um(um)
}

fn pin(features: Vec<Feature>) -> Job {
    let mut job = with_tools(shop::demo(PIN), TOOLS);
    job.file.part.features.retain(|it| it.kind == FeatureKind::Diameter);
    job.file.part.features.extend(features);
    job
}

/// What was found but what has nothing to do with holes and threads.
fn found(answer: &Answer) -> Vec<String> {
    let findings = answer.findings.iter().filter(|it| it.id != "power-opinions-differ");
    findings.map(|it| format!("{} {} {}", it.id, it.message, it.remedy)).collect()
}

fn text(answer: &Answer) -> String {
    answer.programs.iter().map(|program| program.text.as_str()).collect()
}

#[test]
fn look() {
    let hole = Feature { diameter: um(5000), to: um(20_000), ..Feature::of(FeatureKind::Hole) };
    let thread = Feature {
        diameter: um(6000),
        to: um(14_000),
        pitch: um(1000),
        inside: true,
        ..Feature::of(FeatureKind::Thread)
    };
    let outside = Feature {
        diameter: um(8000),
        to: um(10_000),
        pitch: um(1250),
        ..Feature::of(FeatureKind::Thread)
    };
    for (threads, drilling, tapping) in [
        (ThreadsAs::Moves, HolesAs::Moves, TapsAs::Moves),
        (ThreadsAs::Box, HolesAs::Cycle, TapsAs::Cycle),
        (ThreadsAs::Cycle, HolesAs::FacePeck, TapsAs::Cycle),
        (ThreadsAs::OneBlock, HolesAs::FacePeck, TapsAs::Cycle),
        (ThreadsAs::Moves, HolesAs::FacePeck, TapsAs::Cycle),
        (ThreadsAs::Cycle, HolesAs::Cycle, TapsAs::Cycle),
        (ThreadsAs::OneBlock, HolesAs::Cycle, TapsAs::Cycle),
    ] {
        let mut job = pin(vec![hole.clone(), thread.clone(), outside.clone()]);
        job.control.writing.threads = threads;
        job.control.writing.drilling = drilling;
        job.control.writing.tapping = tapping;
        let answer = plan(&job);
        println!("{}", text(&answer));
        println!("{:#?}", found(&answer));
        for unproven in &answer.unproven {
            println!("unproven {} : {}", unproven.what, unproven.why);
        }
        let proof = answer.proof.as_ref();
        println!("{:?} {:?}", proof.map(|it| it.time.s()), answer.times.bar.s());
        println!("{:?} {:?}", proof.map(|it| it.cycle.s()), answer.times.cycle.s());
    }
    let _ = SPACER;
}
