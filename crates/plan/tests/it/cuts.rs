//! What holds for the cuts of any part, checked on many made-up parts by geometry of its own.

use crate::shop::{self, PIN, SPACER};
use model::files::Job;
use model::files::job::{BarShape, Feature, FeatureKind};
use model::files::tools::{BladeCorner, ToolKind};
use model::{Length, Units};
use plan::acts::{Act, Acts};
use plan::cuts::{Operation, Place, Turn, Way};
use plan::process::Process;
use proptest::prelude::*;

/// A written diameter is at most half a step beside the one that was meant.
const STEP: f64 = 0.003;

fn um(um: i64) -> Length {
    Length::from_um(um)
}

/// One cylinder of a made-up part: growth of its radius, its length, and its chamfer in percent
/// of the room that the reader allows.
type Cylinder = (i64, i64, i64);

fn features(cylinders: &[Cylinder]) -> Vec<Feature> {
    let mut features = Vec::new();
    let (mut radius, mut end) = (0, 0);
    for (index, &(growth, length, percent)) in cylinders.iter().enumerate() {
        radius += growth;
        // The reader refuses a chamfer longer than its step, its cylinder or the radius.
        let room = if index == 0 { radius } else { growth }.min(length);
        let leg = room * percent / 100;
        if leg >= 10 {
            features.push(Feature { size: um(leg), ..Feature::of(FeatureKind::Chamfer) });
        }
        end += length;
        let size = (um(2 * radius), um(end));
        features.push(Feature {
            diameter: size.0,
            to: size.1,
            ..Feature::of(FeatureKind::Diameter)
        });
    }
    features
}

prop_compose! {
    /// A made-up job: any part that the reader takes, any tool, bar, blade and advance.
    pub(crate) fn a_job()(
        inch in any::<bool>(),
        cylinders in prop::collection::vec((500_i64..4000, 400_i64..15_000, 0_i64..=100), 1..5),
        over in prop_oneof![Just(0_i64), 0_i64..6000],
        hexagon in any::<bool>(),
        depth in 200_i64..3000,
        nose in 0_i64..1200,
        finish_stock in 0_i64..600,
        (face_stock, first_face) in (0_i64..3000, 0_i64..4000),
        blade in 800_i64..5000,
        chuck_side in any::<bool>(),
        parts in 1_u32..4,
    ) -> Job {
        let mut job = shop::demo(if inch { SPACER } else { PIN });
        job.file.part.features = features(&cylinders);
        let last = job.file.part.features.last().unwrap();
        job.file.part.length = last.to;
        job.file.bar.size = last.diameter + um(over);
        job.file.bar.shape = if hexagon { BarShape::Hexagon } else { BarShape::Round };
        job.file.advance.parts = parts;
        job.file.advance.face_stock = um(face_stock);
        job.file.advance.first_face = um(first_face);
        for station in &mut job.tools.stations {
            match station.kind {
                ToolKind::Turning => {
                    station.depth = Some(um(depth));
                    station.nose_radius = um(nose);
                    station.finish_stock = um(finish_stock);
                }
                ToolKind::Parting => {
                    station.width = Some(um(blade));
                    station.corner =
                        if chuck_side { BladeCorner::ChuckSide } else { BladeCorner::FrontSide };
                }
                _ => {}
            }
        }
        job
    }
}

/// The drawing's outline in millimeters, from the axis at the front face to the back: (z, r).
fn outline(job: &Job) -> Vec<(f64, f64)> {
    let mut points = vec![(0.0, 0.0)];
    for step in job.file.part.steps() {
        let (r, from, leg) = (step.diameter.mm() / 2.0, step.from.mm(), step.chamfer.mm());
        points.extend([(-from, r - leg), (-from - leg, r), (-step.to.mm(), r)]);
    }
    points
}

fn radius_at(outline: &[(f64, f64)], z: f64) -> f64 {
    let segment = outline.windows(2).rev().find(|pair| pair[0].0 >= z && z >= pair[1].0);
    segment.map_or(0.0, |pair| {
        let run = pair[0].0 - pair[1].0;
        let part = if run > 0.0 { (pair[0].0 - z) / run } else { 1.0 };
        pair[0].1 + (pair[1].1 - pair[0].1) * part
    })
}

/// Whether a point lies inside the drawing by more than a written step.
fn is_inside(outline: &[(f64, f64)], (z, r): (f64, f64)) -> bool {
    z < -STEP && [z - STEP, z + STEP].into_iter().all(|z| r < radius_at(outline, z) - STEP)
}

fn distance(point: (f64, f64), pair: &[(f64, f64)]) -> f64 {
    let (run, rise) = (pair[1].0 - pair[0].0, pair[1].1 - pair[0].1);
    let length = run * run + rise * rise;
    let along = (point.0 - pair[0].0) * run + (point.1 - pair[0].1) * rise;
    let part = if length > 0.0 { (along / length).clamp(0.0, 1.0) } else { 0.0 };
    let (z, r) = (pair[0].0 + run * part, pair[0].1 + rise * part);
    libm::hypot(point.0 - z, point.1 - r)
}

/// Distance to the middle fifth of a stretch of the outline, away from its neighbors.
fn distance_to_middle(point: (f64, f64), pair: &[(f64, f64)]) -> f64 {
    let at = |part: f64| {
        (pair[0].0 + (pair[1].0 - pair[0].0) * part, pair[0].1 + (pair[1].1 - pair[0].1) * part)
    };
    distance(point, &[at(0.4), at(0.6)])
}

/// Whether a nose can touch the middle of a cylinder or chamfer without meeting the shoulder
/// behind it or the cylinder in front of it.
fn nose_reaches_middle(outline: &[(f64, f64)], index: usize, nose: f64, raw: f64) -> bool {
    let (start, end) = (outline[index], outline[index + 1]);
    let run = start.0 - end.0;
    if run < 0.01 || end.1 > raw - 0.01 {
        return false;
    }
    if end.1 - start.1 < 1e-9 {
        return run / 2.0 > nose + 0.01;
    }
    // The tip stands (1 - 1/√2) of the nose's radius inside the point that a 45° line is cut at.
    let needed = run / 2.0 + 0.3 * nose + 0.01;
    let room = if index == 1 { f64::INFINITY } else { end.1 - outline[index - 1].1 };
    needed < room && needed < start.0 - outline[index + 2].0
}

/// Every move of an operation as start, end and whether it cuts; arcs in chords of a degree.
fn moves(operation: &Operation) -> Vec<(Place, Place, bool)> {
    let mut moves = Vec::new();
    for pair in operation.moves.windows(2) {
        let (mut from, to) = (pair[0].to, pair[1].to);
        if let Way::Arc { center, turn, .. } = pair[1].way {
            for place in on_arc(from, to, center, turn) {
                moves.push((from, place, true));
                from = place;
            }
        }
        moves.push((from, to, pair[1].feed().is_some()));
    }
    moves
}

fn on_arc(from: Place, to: Place, center: Place, turn: Turn) -> Vec<Place> {
    let angle = |at: Place| ((at.x - center.x).mm() / 2.0).atan2((at.z - center.z).mm());
    let radius = ((from.x - center.x).mm() / 2.0).hypot((from.z - center.z).mm());
    let full = std::f64::consts::TAU;
    let swept = match turn {
        Turn::Counterclockwise => (angle(to) - angle(from)).rem_euclid(full),
        Turn::Clockwise => (angle(to) - angle(from)).rem_euclid(full) - full,
    };
    let count = swept.abs().to_degrees().ceil() as i32;
    let at = |step: i32| {
        let angle = angle(from) + swept * f64::from(step) / f64::from(count);
        Place {
            x: center.x + Length::nearest_mm(2.0 * radius * angle.sin()),
            z: center.z + Length::nearest_mm(radius * angle.cos()),
        }
    };
    (1..count).map(at).collect()
}

/// Points of a straight move, dense enough for what is checked here.
fn along(from: Place, to: Place) -> impl Iterator<Item = (f64, f64)> {
    let (z, r) = (from.z.mm(), from.x.mm() / 2.0);
    let (run, rise) = (to.z.mm() - z, to.x.mm() / 2.0 - r);
    // A chamfer may be as short as a hundredth, and its middle a fifth of that.
    let step = if run != 0.0 && rise != 0.0 { 0.002 } else { 0.03 };
    let count = (run.abs().max(rise.abs()) / step).ceil().max(1.0) as u32;
    (0..=count).map(move |index| {
        let part = f64::from(index) / f64::from(count);
        (z + run * part, r + rise * part)
    })
}

fn operation<'o>(operations: &'o [Operation], name: &str) -> Option<&'o Operation> {
    operations.iter().find(|operation| operation.name == name)
}

fn bar_plan(job: &Job) -> plan::bar::BarPlan {
    plan::bar::divide(job)
}

fn turning(job: &Job) -> &model::files::tools::Station {
    job.tools.first(ToolKind::Turning).unwrap()
}

/// Where the outside may end: inside the kerf, at most half a millimeter.
fn outside_end(job: &Job) -> f64 {
    let width = job.tools.first(ToolKind::Parting).unwrap().width.unwrap().mm();
    -job.file.part.length.mm()
        - (width / 2.0).min(0.5).max((turning(job).nose_radius.mm() + 0.05).min(0.9 * width))
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(48) })]

    /// The nose, a circle of its radius behind the tip, never enters the finished part, and on the
    /// finish pass touches every cylinder and every chamfer that it can reach.
    #[test]
    fn the_nose_cuts_the_drawing_and_nothing_of_the_part(job in a_job()) {
        let operations = Process::of(&job, &bar_plan(&job).division).operations;
        let outline = outline(&job);
        let nose = turning(&job).nose_radius.mm();
        let stock = turning(&job).finish_stock.mm();
        let mut nearest = vec![f64::INFINITY; outline.len() - 1];
        for operation in operations.iter().filter(|one| one.name != "part off") {
            for (from, to, _) in moves(operation).into_iter().filter(|(_, _, cuts)| *cuts) {
                for (z, r) in along(from, to) {
                    let center = (z + nose, r + nose);
                    prop_assert!(
                        !is_inside(&outline, center),
                        "{} at z {z} r {r}", operation.name
                    );
                    for (index, pair) in outline.windows(2).enumerate() {
                        let distance = distance(center, pair);
                        let kept = if operation.name == "rough the outside" { stock } else { 0.0 };
                        prop_assert!(distance >= nose + kept - STEP, "{} at z {z} r {r}", operation.name);
                        nearest[index] = nearest[index].min(distance_to_middle(center, pair));
                    }
                }
            }
        }
        for (index, nearest) in nearest.into_iter().enumerate() {
            if nose_reaches_middle(&outline, index, nose, job.file.bar.reach().mm()) {
                let pair = &outline[index..=index + 1];
                prop_assert!(nearest <= nose + STEP, "{pair:?} stays {nearest} from the nose's center");
            }
        }
    }

    /// Cuts stay between the first face and the kerf; the blade takes exactly the kerf.
    #[test]
    fn cuts_stay_on_their_own_part_of_the_bar(job in a_job()) {
        let bar = bar_plan(&job);
        let operations = Process::of(&job, &bar.division).operations;
        for operation in operations.iter().filter(|one| one.name != "part off") {
            for one in &operation.moves {
                prop_assert!(one.to.z.mm() >= outside_end(&job) - STEP, "{} {one:?}", operation.name);
            }
        }
        let parting = operation(&operations, "part off").unwrap();
        let blade = job.tools.first(ToolKind::Parting).unwrap();
        let cut = parting.moves.iter().find(|one| one.feed().is_some()).unwrap();
        let front = match blade.corner {
            BladeCorner::FrontSide => cut.to.z,
            BladeCorner::ChuckSide => cut.to.z + blade.width.unwrap(),
        };
        prop_assert!((front + job.file.part.length).abs() <= um(3), "{front:?}");
        prop_assert!(cut.to.x.is_negative() || job.file.cutting.past_center == Length::ZERO);
    }

    /// No rough pass along the axis is deeper than the tool allows.
    #[test]
    fn rough_passes_are_shallow(job in a_job()) {
        let operations = Process::of(&job, &bar_plan(&job).division).operations;
        let Some(roughing) = operation(&operations, "rough the outside") else { return Ok(()) };
        let depth = turning(&job).depth.unwrap().mm();
        let mut metal = Metal::new_bar(&job);
        metal.front = 0.0;
        for (from, to, cuts) in moves(roughing) {
            metal.at = from;
            if !cuts {
                continue;
            }
            if from.x == to.x {
                let r = to.x.mm() / 2.0;
                // Slopes of metal are stairs here, as high as they are wide.
                let ahead = |(z, _): &(f64, f64)| *z > to.z.mm() + 2.0 * STRETCH;
                let met = along(from, to).filter(ahead).map(|(z, _)| metal.radius(z));
                let met = met.fold(0.0, f64::max);
                prop_assert!(met - r <= depth + 2.0 * STRETCH, "{met} to {r}");
            }
            metal.cut(to, &job);
        }
    }

    /// Where a cylinder is long, roughing leaves the finish stock on its middle.
    #[test]
    fn roughing_leaves_the_finish_stock(job in a_job()) {
        let operations = Process::of(&job, &bar_plan(&job).division).operations;
        let Some(roughing) = operation(&operations, "rough the outside") else { return Ok(()) };
        let mut metal = Metal::new_bar(&job);
        metal.front = 0.0;
        for (from, to, _) in moves(roughing).into_iter().filter(|(_, _, cuts)| *cuts) {
            metal.at = from;
            metal.cut(to, &job);
        }
        let tool = turning(&job);
        let around = (tool.nose_radius + tool.finish_stock).mm();
        for step in job.file.part.steps() {
            let length = (step.to - step.from).mm();
            if length <= 4.0 * around + step.chamfer.mm() + 4.0 * STRETCH {
                continue;
            }
            let left = metal.radius(-(step.from + step.to).mm() / 2.0 - step.chamfer.mm() / 2.0);
            let wanted = (step.diameter.mm() / 2.0 + tool.finish_stock.mm()).min(job.file.bar.reach().mm());
            prop_assert!((left - wanted).abs() <= STEP, "{left} of {wanted} over {step:?}");
        }
    }

    /// Followed over a whole advance with all its parts, no rapid move touches metal that stands.
    #[test]
    fn no_rapid_move_touches_the_bar(job in a_job()) {
        let bar = bar_plan(&job);
        let acts = Acts::new(&job, &bar);
        let process = Process::of(&job, &bar.division);
        let mut metal = Metal::new_bar(&job);
        for act in acts.new_bar(&process).iter().chain(&acts.parts(&process)) {
            if let Err(why) = metal.follow(act, &job) {
                return Err(TestCaseError::fail(why));
            }
        }
        // The stub that is left: the front is the blade's chuck side, and what the gripper takes
        // is raw but for the little inside the kerf.
        let front = bar.division.face_stock - bar.division.advance();
        prop_assert!((metal.front - front.mm()).abs() < 0.05, "{} {front:?}", metal.front);
        let behind = metal.radius(metal.front - 0.1);
        prop_assert!((behind - job.file.bar.reach().mm()).abs() < STEP, "{behind}");
    }
}

/// The metal in front of the jaws as one radius a stretch of 0.04 mm, cut by the tool's tip.
struct Metal {
    radii: Vec<f64>,
    first: f64,
    front: f64,
    at: Place,
    kind: ToolKind,
}

const STRETCH: f64 = 0.04;

impl Metal {
    fn new_bar(job: &Job) -> Metal {
        let bar = bar_plan(job);
        let first = (bar.division.face_stock - bar.division.advance()).mm() - 6.0;
        let front = (bar.division.face_stock + bar.division.first_face).mm();
        let count = ((front - first) / STRETCH).ceil() as usize + 1;
        let turret = &job.lathe.turret;
        Metal {
            radii: vec![job.file.bar.reach().mm(); count],
            first,
            front,
            at: Place { x: turret.index_x, z: turret.index_z },
            kind: ToolKind::Turning,
        }
    }

    fn index(&self, z: f64) -> usize {
        (((z - self.first) / STRETCH).round().max(0.0) as usize).min(self.radii.len() - 1)
    }

    fn radius(&self, z: f64) -> f64 {
        if z > self.front + STRETCH { 0.0 } else { self.radii[self.index(z)] }
    }

    fn follow(&mut self, act: &Act, job: &Job) -> Result<(), String> {
        match act {
            Act::Call { station, .. } => self.kind = job.tools.station(*station).unwrap().kind,
            Act::Rapid(to) => {
                // Whichever axis is faster, the way lies between these two.
                let corners = [Place { x: to.x, z: self.at.z }, Place { x: self.at.x, z: to.z }];
                for corner in corners {
                    for (z, r) in along(self.at, corner).chain(along(corner, *to)) {
                        if r < self.radius(z) - STEP && z < self.front - STRETCH {
                            return Err(format!(
                                "{act:?} from {:?} meets metal at z {z} r {r}",
                                self.at
                            ));
                        }
                    }
                }
                self.at = *to;
            }
            Act::Cut(to, _) => {
                self.cut(*to, job);
                self.at = *to;
            }
            Act::CutArc { to, center, turn, .. } => {
                for place in on_arc(self.at, *to, *center, *turn).into_iter().chain([*to]) {
                    self.cut(place, job);
                    self.at = place;
                }
            }
            _ => {}
        }
        Ok(())
    }

    fn cut(&mut self, to: Place, job: &Job) {
        let blade = job.tools.first(ToolKind::Parting).unwrap();
        for (z, r) in along(self.at, to) {
            let edge = match (self.kind, blade.corner) {
                (ToolKind::Parting, BladeCorner::FrontSide) => z - blade.width.unwrap().mm(),
                _ => z,
            };
            let until = match self.kind {
                ToolKind::Parting => self.index(edge + blade.width.unwrap().mm()),
                _ => self.radii.len() - 1,
            };
            if edge > self.front {
                continue;
            }
            let start = self.index(edge) + 1;
            for radius in self.radii.iter_mut().take(until + 1).skip(start) {
                *radius = radius.min(r.max(0.0));
            }
            if r <= 0.0 {
                // What stands in front of a cut to the axis is gone.
                self.front = self.front.min(edge);
            }
        }
    }
}

/// The leg of nc-language §7 on a plain case: nose 0.4 and a leg of 0.5 give 0.5 + 0.4 × 0.5858.
#[test]
fn a_chamfer_is_programmed_longer_by_the_nose() {
    let job = shop::demo(PIN);
    assert_eq!(job.file.units, Units::Mm);
    let operations = Process::of(&job, &bar_plan(&job).division).operations;
    let finish = operation(&operations, "finish the outside").unwrap();
    let leg_ends = finish.moves.iter().find(|one| one.to.z.is_negative()).unwrap();
    assert_eq!(leg_ends.to.z, um(-734));
}

/// A feature that the planner does not cut is no reason to refuse the file, but no program may pass
/// it over.
#[test]
fn a_feature_that_is_not_planned_gets_no_program() {
    let mut job = shop::demo(shop::PIN);
    for feature in &mut job.file.part.features {
        feature.later = false;
        feature.width = feature.width.min(um(200));
    }
    let answer = plan::plan(&job);
    assert!(answer.findings.iter().any(|finding| finding.id == "feature-not-planned"));
    assert!(answer.programs.is_empty() && answer.proof.is_none());
}

/// What is left out is named, whatever it lacks.
#[test]
fn what_is_left_out_is_named() {
    let missing = |job: &Job| Process::of(job, &bar_plan(job).division).missing;
    let mut job = shop::demo(PIN);
    assert_eq!(missing(&job), []);
    job.file.part.features.push(Feature {
        face: true,
        diameter: um(6000),
        width: um(1000),
        to: um(1000),
        ..Feature::of(FeatureKind::Groove)
    });
    let groove = job.file.part.features.len() - 1;
    assert_eq!(missing(&job)[0].feature, Some(groove));
    let mut job = shop::demo(PIN);
    for station in job.tools.stations.iter_mut().filter(|it| it.kind == ToolKind::Turning) {
        (station.feed, station.finish_feed) = (None, None);
    }
    let named = missing(&job);
    assert!(named.iter().any(|it| it.why.contains("no feed to finish the outside")), "{named:?}");
}
