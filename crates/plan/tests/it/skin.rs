//! What passes leaves metal everywhere: held to bars that are laid out point by point, and what is beyond
//! the likely bend shows skin on a bar bent just so.

use crate::shop::{self, PIN};
use model::Length;
use model::files::Job;
use model::files::job::{Feature, FeatureKind};
use model::standards::fit::Class;
use plan::bar::divide;
use plan::checks::CheckLine;
use plan::skin::{self, Standing};
use proptest::prelude::*;
use std::f64::consts::{PI, TAU};

fn um(um: i64) -> Length {
    Length::from_um(um)
}

/// The pin's second cylinder, of which the rear 12 mm are as large as can be.
const LARGE: usize = 4;

#[derive(Debug, Clone)]
struct Case {
    /// Metal between the upper limit of the diameter and the bar, in µm.
    over: i64,
    bow: i64,
    straight_edge: i64,
    total_run_out: i64,
    clearance: i64,
    parts: u32,
    class: &'static str,
}

fn case() -> impl Strategy<Value = Case> {
    let classes = prop::sample::select(vec!["h8", "h9", "h10", "h11", "js9"]);
    let figures = (0..900_i64, 0..3000_i64, 300..3000_i64, 0..200_i64, 12_000..60_000_i64);
    (figures, 1..=4_u32, classes).prop_map(
        |((over, bow, edge, total_run_out, clearance), parts, class)| {
            let straight_edge = 1000 * edge;
            Case {
                over,
                bow: bow.min(straight_edge / 20),
                straight_edge,
                total_run_out,
                clearance,
                parts,
                class,
            }
        },
    )
}

fn job(case: &Case) -> Job {
    let mut job = shop::demo(PIN);
    let bar = &mut job.file.bar;
    bar.tolerance = Some(Class::read(case.class).unwrap());
    let condition = bar.condition.as_mut().unwrap();
    (condition.bow, condition.over) = (Some(um(case.bow)), um(case.straight_edge));
    job.lathe.grip.as_mut().unwrap().total_run_out = Some(um(case.total_run_out));
    job.file.advance.jaw_clearance = Some(um(case.clearance));
    job.file.advance.parts = case.parts;
    job.file.part.features[LARGE].diameter = job.file.bar.size - um(100 + case.over);
    job
}

/// The least distance from the axis to the skin of a bar of this radius whose middle lies at a place
/// beside it: the nearest of rays all around, each cut with the circle.
fn nearest_skin(radius: f64, middle: (f64, f64)) -> f64 {
    let rays = (0..720).map(|step| f64::from(step) * TAU / 720.0);
    let skin = rays.map(|angle| {
        let (x, y) = (angle.cos(), angle.sin());
        let (along, across) = (middle.0 * x + middle.1 * y, middle.0 * y - middle.1 * x);
        along + (radius * radius - across * across).sqrt()
    });
    skin.fold(f64::INFINITY, f64::min)
}

/// How far a bar stands off at a distance in front of the jaws: on the circle through both ends and
/// the middle of the straight edge.
fn on_a_circle(bow: f64, edge: f64, away: f64) -> f64 {
    if bow == 0.0 {
        return 0.0;
    }
    let radius = (edge * edge / 4.0 + bow * bow) / (2.0 * bow);
    radius - (radius * radius - away * away).sqrt()
}

/// The same for two straight legs that meet so far in front of the jaws and stand off the straight
/// edge by the bow.
fn with_a_kink(bow: f64, edge: f64, away: f64, kink: f64) -> f64 {
    let turn = 2.0 * (2.0 * bow / edge).asin();
    (away - kink).max(0.0) * turn.tan()
}

/// Radius and length of each cylinder with the jaws at zero, from the drawing alone, for every part
/// of an advance.
fn cylinders(job: &Job) -> Vec<(f64, f64, f64)> {
    let bar = divide(job);
    let mut cylinders = Vec::new();
    for part in 0..i64::from(job.file.advance.parts) {
        let front = -(bar.jaw_face + bar.division.pitch() * part);
        let mut from = Length::ZERO;
        for feature in job.file.part.features.iter().filter(|it| it.kind == FeatureKind::Diameter) {
            let radius = (feature.diameter + feature.deviations.0).mm() / 2.0;
            cylinders.push((radius, (front - feature.to).mm(), (front - from).mm()));
            from = feature.to;
        }
    }
    cylinders
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(200))]

    #[test]
    fn what_passes_leaves_metal_everywhere(
        case in case(),
        (bent, held, kink) in (0.0..TAU, 0.0..TAU, 0.0..1.0_f64),
    ) {
        let job = job(&case);
        let standing = Standing::of(&job, &divide(&job)).unwrap();
        prop_assume!(standing.is_enough(&job, job.file.bar.size));
        let (least, _) = job.file.bar.limits_at(job.file.bar.size).unwrap();
        let (bow, edge) = (um(case.bow).mm(), um(case.straight_edge).mm());
        let eccentric = um(case.total_run_out).mm() / 2.0;
        for (radius, near, far) in cylinders(&job) {
            for step in 0..=8 {
                let away = near + (far - near) * f64::from(step) / 8.0;
                for off in [
                    on_a_circle(bow, edge, away),
                    with_a_kink(bow, edge, away, 0.0),
                    with_a_kink(bow, edge, away, kink * away),
                ] {
                    for (bent, held) in [(bent, held), (bent, bent)] {
                        let middle = (
                            off * bent.cos() + eccentric * held.cos(),
                            off * bent.sin() + eccentric * held.sin(),
                        );
                        let skin = nearest_skin(least.mm() / 2.0, middle);
                        // A micrometer and a hundredth of the bend for small angles.
                        prop_assert!(skin >= radius - 0.001 - 0.01 * off, "{skin} {radius} {away} {off}");
                    }
                }
            }
        }
    }

    #[test]
    fn what_is_beyond_the_likely_bend_shows_skin(case in case(), bent in 0.0..TAU) {
        let job = job(&case);
        let bar = divide(&job);
        let standing = Standing::of(&job, &bar).unwrap();
        let (least, _) = job.file.bar.limits_at(job.file.bar.size).unwrap();
        let beyond = skin::stretches(&job).into_iter().any(|stretch| {
            standing.least_size(&stretch).unwrap().nominal > least + um(2)
        });
        prop_assume!(beyond);
        let (bow, edge) = (um(case.bow).mm(), um(case.straight_edge).mm());
        let shows = cylinders(&job).into_iter().any(|(radius, _, far)| {
            let off = on_a_circle(bow, edge, far) + um(case.total_run_out).mm() / 2.0;
            let middle = (off * bent.cos(), off * bent.sin());
            nearest_skin(least.mm() / 2.0, middle) < radius
        });
        prop_assert!(shows);
    }

    /// An arc is laid out from its center, and the largest of its points is what a bar must have.
    #[test]
    fn a_bulging_arc_counts_where_it_is_largest(
        (middle, radius) in (1.0..5.0_f64, 2.0..20.0_f64),
        (front, rear) in (0.1..3.0_f64, 0.1..3.0_f64),
    ) {
        prop_assume!(front > rear + 0.2);
        let (front, rear) = (PI - front.min(3.0), PI - rear);
        let (front, rear) = (front.max(rear), front.min(rear));
        let at = |angle: f64| (radius * angle.cos(), middle + radius * angle.sin());
        let length = |mm: f64| Length::nearest_mm(mm);
        let mut job = shop::demo(PIN);
        let mut arc = Feature::of(FeatureKind::Arc);
        arc.start = Some(length(2.0 * at(front).1));
        arc.diameter = length(2.0 * at(rear).1);
        arc.to = length(at(rear).0 - at(front).0);
        arc.radius = length(radius);
        job.file.part.features = vec![arc];
        let points = (0..=2000).map(|step| at(front + (rear - front) * f64::from(step) / 2000.0).1);
        let largest = 2.0 * points.fold(0.0, f64::max);
        let ours = skin::stretches(&job)[0].cut.mm();
        prop_assert!((ours - largest).abs() < 0.0005, "{ours} {largest}");
    }
}

fn line(job: &Job, id: &str) -> Option<CheckLine> {
    plan::plan(job).checks.into_iter().find(|it| it.id == id)
}

/// The pin by hand: 11 + 0.1 is the largest; the second cylinder starts 42.5 − 16 = 26.5 in front of the
/// jaws. Likely 11.1 + 0.03 + 2 × 4 × 0.4 × 0.0265² = 11.1322, at most 11.13 + 8 × 0.4 × 0.0265 = 11.2148;
/// an h10 bar of 12 mm is at least 12 − 0.070. The line tells what each has over 11.1.
#[test]
fn the_pins_sum_by_hand() {
    let line = line(&shop::demo(PIN), "bar-leaves-skin").unwrap();
    assert!((line.value - 0.032_247).abs() < 1e-5, "{line:?}");
    assert!((line.low - 0.03).abs() < 1e-9, "{line:?}");
    assert!((line.high - 0.1148).abs() < 1e-5, "{line:?}");
    assert!((line.limit - 0.83).abs() < 1e-9, "{line:?}");
    assert_eq!(line.level, None);
}

/// 11.5 mm of a list are enough. 14 m of it weigh 12.461 × (11.5/12)² = 11.444 kg: 8.16 % less.
#[test]
fn a_smaller_size_of_the_list_and_what_it_saves() {
    let mut job = shop::demo(PIN);
    job.file.bar.sizes = vec![um(12_000), um(11_200), um(11_500), um(16_000)];
    let line = line(&job, "bar-larger-than-needed").unwrap();
    assert!(line.message.starts_with("11.500 mm of the list"), "{}", line.message);
    assert!(line.message.contains("11.4 kg and not 12.5, which saves 8 %"), "{}", line.message);
    assert_eq!(line.level, Some(model::Level::Note));
}

/// Where no size of the list is enough, the finding says so; where one is, it names that.
#[test]
fn the_list_stands_in_the_finding_of_skin() {
    let mut job = shop::demo(PIN);
    job.file.part.features[LARGE].diameter = um(11_950);
    job.file.bar.sizes = vec![um(12_000)];
    let none = line(&job, "bar-leaves-skin").unwrap();
    assert!(none.message.ends_with("No size of the list cleans up."), "{}", none.message);
    job.file.bar.sizes.push(um(13_000));
    let one = line(&job, "bar-leaves-skin").unwrap();
    assert!(one.message.ends_with("cleans up is 13.000 mm."), "{}", one.message);
}

/// Of two cylinders that stay raw the drawing's closer one is judged.
#[test]
fn the_closest_raw_cylinder_is_told() {
    let mut job = shop::demo(PIN);
    for (index, width) in [(1, 200), (LARGE, 20)] {
        let feature = &mut job.file.part.features[index];
        feature.diameter = job.file.bar.size;
        feature.deviations = (um(width), um(-width));
    }
    job.file.part.features.retain(|it| it.kind == FeatureKind::Diameter);
    let line = line(&job, "raw-diameter-off").unwrap();
    assert_eq!((line.limit, line.level), (11.98, Some(model::Level::Stop)));
}
