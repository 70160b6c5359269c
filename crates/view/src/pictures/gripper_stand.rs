//! The gripper on the stub, right before the chuck opens: what it keeps from the jaws, and how
//! much of the stub its fingers hold. The chuck is on the left; only what the files say is to scale.

use super::measures::{self, Measure};
use crate::scene::{Anchor, Role, Scene, Shape};
use model::files::gripper::Style;
use model::files::job::Job;
use model::{Length, Units};
use plan::acts::Acts;
use plan::bar::BarPlan;

/// Places of the gripper along the axis, counted from the finished front face of the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stand {
    /// The jaw face.
    pub jaw_face: Length,
    /// The front end of the stub.
    pub stub_end: Length,
    /// The chuck-side end of the fingers, before the pull.
    pub fingers: Length,
    /// The same after the pull.
    pub drawn: Length,
    /// What the fingers keep from the jaw face.
    pub gap: Length,
    /// Length of stub that the fingers hold.
    pub engagement: Length,
}

/// Where the gripper stands.
pub fn stand(job: &Job, bar: &BarPlan) -> Stand {
    let fingers = Acts::new(job, bar).grip_z();
    let stub_end = bar.jaw_face + bar.division.jaw_clearance;
    Stand {
        jaw_face: bar.jaw_face,
        stub_end,
        fingers,
        drawn: fingers + bar.division.advance(),
        gap: fingers - bar.jaw_face,
        engagement: (stub_end - fingers).min(job.gripper.fingers).max(Length::ZERO),
    }
}

const SIDE: f64 = 16.0;
/// Room for the words in front of the jaws, which are drawn as long as this part of the whole.
const TALLEST: f64 = 120.0;

struct Paper {
    scale: f64,
    /// The jaw face.
    jaws: f64,
    axis: f64,
}

impl Paper {
    /// A box on both sides of the axis: along it counted from the jaw face, across it as radii.
    fn boxes(&self, along: [f64; 2], radii: [f64; 2], role: Role, title: &str) -> Vec<Shape> {
        let left = self.jaws + along[0] * self.scale;
        let width = (along[1] - along[0]) * self.scale;
        let [low, high] = radii.map(|r| r * self.scale);
        let title = title.to_owned();
        if low == 0.0 {
            let at = [left, self.axis - high, width, 2.0 * high];
            return vec![Shape::Box { at, role, title }];
        }
        let tops = [self.axis - high, self.axis + low];
        let shape = |top: f64| Shape::Box {
            at: [left, top, width, high - low],
            role,
            title: title.clone(),
        };
        tops.map(shape).to_vec()
    }
}

/// The picture, so wide.
pub fn scene(job: &Job, bar: &BarPlan, width: f64) -> Scene {
    let (gripper, units) = (&job.gripper, job.file.units);
    let stand = stand(job, bar);
    let reach = job.file.bar.reach().mm();
    let outline = gripper.outline;
    let finger_r =
        outline.map_or(reach * 1.8, |it| it.finger_diameter.half().mm()).max(reach * 1.1);
    let body_r = outline.map_or(finger_r, |it| it.body_diameter.half().mm()).max(reach * 1.1);
    let long = outline.map_or(gripper.fingers * 2, |it| it.length).mm();
    let (gap, fingers) = (stand.gap.mm(), gripper.fingers.mm());
    let stub = bar.division.jaw_clearance.mm();
    let behind = 0.35 * (gap + long.max(stub));
    let all = behind + (gap + long).max(stub);
    let tall = finger_r.max(body_r).max(reach * 2.0);
    let scale = (0.7 * (width - 2.0 * SIDE) / all).min(TALLEST / (2.0 * tall));
    let left = (width - all * scale) / 2.0;
    let axis = SIDE + 24.0 + tall * scale;
    let paper = Paper { scale, jaws: left + behind * scale, axis };
    let jaw_r = [reach, tall];
    let mut shapes = Vec::new();
    let body = [gap + fingers, gap + long.max(fingers)];
    // Behind the throat the body is closed; without one the bar passes through it.
    let open = outline.is_none_or(|it| it.throat.is_none());
    let throat = outline.and_then(|it| it.throat).map_or(0.0, Length::mm);
    if open {
        shapes.extend(paper.boxes(body, [reach, body_r], Role::Gripper, "the gripper's body"));
    } else {
        let hollow = [body[0], (gap + throat).clamp(body[0], body[1])];
        shapes.extend(paper.boxes(hollow, [reach, body_r], Role::Gripper, "the gripper's body"));
        let closed = [hollow[1], body[1]];
        shapes.extend(paper.boxes(closed, [0.0, body_r], Role::Gripper, "the gripper's body"));
    }
    shapes.extend(paper.boxes([-behind, stub], [0.0, reach], Role::Bar, "the bar and its stub"));
    shapes.extend(paper.boxes([-behind, 0.0], jaw_r, Role::Jaws, "the jaws"));
    let holds = [gap, gap + fingers];
    shapes.extend(paper.boxes(holds, [reach, finger_r], Role::Gripper, "the fingers"));
    let right = left + all * scale + 12.0;
    shapes.push(Shape::Line { at: [left - 8.0, axis, right, axis], role: Role::Axis });
    shapes.extend(words(&paper, job, [gap, stub], tall));
    let below = axis + tall * scale;
    let measure = |to: Length, name: &str| Measure {
        to: paper.jaws + (to - stand.jaw_face).mm() * scale,
        from_height: axis + reach * scale,
        words: format!("{name} {}, Z {}", shown(to - stand.jaw_face, units), shown(to, units)),
    };
    let mut lengths = vec![measure(stand.fingers, "jaw gap"), measure(stand.stub_end, "stub")];
    let hold_end = stand.fingers + gripper.fingers;
    lengths.push(measure(hold_end, "to the fingers' end"));
    let y = measures::rows([paper.jaws, below], below, &lengths, &mut shapes);
    Scene {
        width,
        height: y + 10.0,
        title: format!("{} on the stub", gripper.name),
        description: description(job, bar),
        shapes,
    }
}

/// The picture in words.
pub fn description(job: &Job, bar: &BarPlan) -> String {
    let (stand, units) = (stand(job, bar), job.file.units);
    format!(
        "The fingers stand {} in front of the jaw face and hold {} of a stub of {}; they may come no nearer than {} and must hold at least {}.",
        stand.gap.shown(units),
        stand.engagement.shown(units),
        bar.division.jaw_clearance.shown(units),
        job.gripper.jaw_gap.shown(units),
        job.gripper.least_engagement.shown(units),
    )
}

/// Which way the gripper comes, and what is what.
fn words(paper: &Paper, job: &Job, [gap, stub]: [f64; 2], tall: f64) -> Vec<Shape> {
    let top = paper.axis - tall * paper.scale - 12.0;
    let at = |z: f64| paper.jaws + z * paper.scale;
    let way = match job.gripper.style {
        Style::Radial => "gripper: comes down in X over the stub",
        Style::Axial => "gripper: comes along Z onto the stub",
    };
    let shape =
        if job.gripper.outline.is_none() { " (its outline is not in its file)" } else { "" };
    vec![
        Shape::Text { at: [at(0.0) - 4.0, top], anchor: Anchor::End, words: "jaws".to_owned() },
        Shape::Text {
            at: [at(gap.min(stub)) + 2.0, top],
            anchor: Anchor::Start,
            words: format!("{way}{shape}"),
        },
    ]
}

fn shown(length: Length, units: Units) -> String {
    length.text(units, units.decimals())
}
