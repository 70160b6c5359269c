//! A part that is drawn by this test, as DXF or SVG, and read again, has the same features.

use crate::writer::{Sheet, Way};
use model::files::Job;
use model::files::job::{Feature, FeatureKind};
use model::{Files, Length, Source, Units};
use outline::{Drawn, Format, Front, Told};
use proptest::prelude::*;

/// The steps in which lengths are drawn: 0.01 mm or 0.0005 in.
const fn unit(units: Units) -> i64 {
    match units {
        Units::Mm => 10_000,
        Units::Inch => 12_700,
    }
}

/// What a stretch of the outside or the bore is to be; figures count in steps.
#[derive(Debug, Clone, Copy)]
enum Wish {
    /// Step up or down by this, go on by this, with an edge of this size (0 for none), round or not.
    Cylinder { step: i64, along: i64, edge: i64, round: bool },
    /// A step first (or none), then a cone.
    Taper { step: i64, along: i64, change: i64 },
    /// A step first (or none), then an arc between two of seven places of a circle.
    Arc { step: i64, scale: i64, from: usize, over: usize, hollow: bool },
}

/// Places on half a circle of radius 65: along the axis, and off it.
const PLACES: [(i64, i64); 9] =
    [(-65, 0), (-60, 25), (-52, 39), (-39, 52), (0, 65), (39, 52), (52, 39), (60, 25), (65, 0)];

fn wish() -> impl Strategy<Value = Wish> {
    let step = prop_oneof![Just(0_i64), -150..150_i64];
    prop_oneof![
        3 => (-200..200_i64, 60..400_i64, prop_oneof![Just(0_i64), 5..50_i64], any::<bool>())
            .prop_map(|(step, along, edge, round)| Wish::Cylinder { step, along, edge, round }),
        1 => (step.clone(), 20..300_i64, -90..90_i64)
            .prop_map(|(step, along, change)| Wish::Taper { step, along, change }),
        1 => (step, 1..4_i64, 0..8_usize, 1..9_usize, any::<bool>()).prop_map(
            |(step, scale, from, over, hollow)| Wish::Arc { step, scale, from, over, hollow }
        ),
    ]
}

/// A part in whole steps, and as features.
#[derive(Debug, Clone)]
struct Part {
    units: Units,
    length: Length,
    features: Vec<Feature>,
}

struct Side {
    unit: i64,
    inside: bool,
    depth: i64,
    radius: i64,
    /// Between these the radius stays.
    within: (i64, i64),
    features: Vec<Feature>,
}

impl Side {
    fn length(&self, steps: i64) -> Length {
        Length::from_nm(self.unit * steps)
    }

    fn start(&self, radius: i64) -> Option<Length> {
        (radius != self.radius).then(|| self.length(2 * radius))
    }

    /// The radius that follows a step; a step of the edge's size at least where there is an edge.
    fn stepped(&self, step: i64, least: i64) -> i64 {
        let (low, high) = self.within;
        if least == 0 {
            return (self.radius.max(low) + step).clamp(low, high);
        }
        let grown = if self.inside {
            self.radius - least - step.abs()
        } else {
            self.radius + least + step.abs()
        };
        grown.clamp(low, high)
    }

    fn take(&mut self, wish: Wish) {
        match wish {
            Wish::Cylinder { step, along, edge, round } => {
                let edge = edge.min(along - 10);
                let mut radius = self.stepped(step, edge);
                let room = if self.inside { self.radius - radius } else { radius - self.radius };
                let edge = if room >= edge { edge } else { 0 };
                // No diameter twice near each other: two cylinders of one diameter are read as one.
                let stands = |it: i64| {
                    self.features.iter().any(|feature| feature.diameter == self.length(2 * it))
                };
                let way = if self.inside == (radius - 60 > self.within.0) { -3 } else { 3 };
                while radius == self.radius || stands(radius) {
                    radius += way;
                }
                let room = if self.inside { self.radius - radius } else { radius - self.radius };
                if edge > 0 && room >= edge {
                    let kind = if round { FeatureKind::Corner } else { FeatureKind::Chamfer };
                    let mut feature = Feature { inside: self.inside, ..Feature::of(kind) };
                    let size = self.length(edge);
                    if round {
                        feature.radius = size;
                    } else {
                        feature.size = size;
                    }
                    self.features.push(feature);
                }
                self.depth += along;
                self.radius = radius;
                let kind = if self.inside { FeatureKind::Bore } else { FeatureKind::Diameter };
                let (diameter, to) = (self.length(2 * radius), self.length(self.depth));
                self.features.push(Feature { diameter, to, ..Feature::of(kind) });
            }
            Wish::Taper { step, along, change } => {
                let after_slope = self.features.last().is_none_or(|it| {
                    it.kind != FeatureKind::Diameter && it.kind != FeatureKind::Bore
                });
                let from = self.stepped(
                    if after_slope {
                        step.abs().max(1) * if self.inside { -1 } else { 1 }
                    } else {
                        step
                    },
                    0,
                );
                let change = if change == 0 || change.abs() == along { 1 } else { change };
                let to = from + change;
                if to < self.within.0 || to > self.within.1 || (after_slope && from == self.radius)
                {
                    return;
                }
                let start =
                    if self.inside { Some(self.length(2 * from)) } else { self.start(from) };
                self.depth += along;
                let kind = if self.inside { FeatureKind::Bore } else { FeatureKind::Taper };
                let (diameter, end) = (self.length(2 * to), self.length(self.depth));
                self.features.push(Feature { diameter, start, to: end, ..Feature::of(kind) });
                self.radius = to;
            }
            Wish::Arc { step, scale, from, over, hollow } => {
                let (a, b) = (PLACES[from], PLACES[(from + over).min(8)]);
                let corner = (a, b) == (PLACES[0], PLACES[4]) || (a, b) == (PLACES[4], PLACES[8]);
                let side = if hollow { -scale } else { scale };
                let start = self.stepped(step, 0);
                let end = start + side * (b.1 - a.1);
                let low = self.within.0 + 70 * scale;
                if corner || end < low || start < low || end > self.within.1 - 70 * scale {
                    return;
                }
                let start_key = self.start(start);
                self.depth += scale * (b.0 - a.0);
                self.features.push(Feature {
                    diameter: self.length(2 * end),
                    start: start_key,
                    to: self.length(self.depth),
                    radius: self.length(65 * scale),
                    hollow,
                    inside: self.inside,
                    ..Feature::of(FeatureKind::Arc)
                });
                self.radius = end;
            }
        }
    }
}

#[derive(Debug, Clone, Copy)]
enum End {
    Solid,
    Flat,
    Drilled { angle: f64 },
    Through,
}

fn part() -> impl Strategy<Value = Part> {
    let end = prop_oneof![
        Just(End::Solid),
        Just(End::Flat),
        prop_oneof![Just(118.0), Just(90.0), Just(140.0)].prop_map(|angle| End::Drilled { angle }),
        Just(End::Through),
    ];
    (
        any::<bool>(),
        prop::collection::vec(wish(), 1..6),
        prop::collection::vec(wish(), 1..3),
        end,
        (3200..4000_i64, prop::option::of((10..40_i64, 5..20_i64))),
    )
        .prop_map(|(inch, outside, bore, end, (last, groove))| {
            let units = if inch { Units::Inch } else { Units::Mm };
            let unit = unit(units);
            let within = (900, 1900);
            let mut out =
                Side { unit, inside: false, depth: 0, radius: 0, within, features: Vec::new() };
            for wish in outside {
                out.take(wish);
            }
            out.take(Wish::Cylinder { step: 11, along: last, edge: 0, round: false });
            if let Some((width, deep)) = groove {
                // In the last cylinder, between its ends.
                let (to, diameter) = (out.depth - 5, 2 * (out.radius - deep));
                let (to, width, diameter) =
                    (out.length(to), out.length(width), out.length(diameter));
                out.features.push(Feature {
                    to,
                    width,
                    diameter,
                    ..Feature::of(FeatureKind::Groove)
                });
            }
            let length = out.depth;
            let within = (100, 700);
            let mut inside =
                Side { unit, inside: true, depth: 0, radius: 750, within, features: Vec::new() };
            let mut features = out.features.clone();
            if !matches!(end, End::Solid) {
                for wish in bore {
                    let before = (inside.features.clone(), inside.depth, inside.radius);
                    inside.take(wish);
                    if inside.depth > length / 2 {
                        (inside.features, inside.depth, inside.radius) = before;
                    }
                }
                let mut radius = if inside.radius > 200 { inside.radius - 60 } else { 70 };
                let stands = |radius: i64| {
                    inside.features.iter().any(|it| it.diameter == inside.length(2 * radius))
                };
                while stands(radius) {
                    radius -= 3;
                }
                let to = inside.length(if matches!(end, End::Through) {
                    length
                } else {
                    length - length / 4
                });
                let diameter = inside.length(2 * radius);
                if let End::Drilled { angle } = end {
                    let hole = Feature {
                        diameter,
                        to,
                        point_angle: angle,
                        ..Feature::of(FeatureKind::Hole)
                    };
                    features.push(hole);
                } else {
                    inside.features.push(Feature {
                        diameter,
                        to,
                        ..Feature::of(FeatureKind::Bore)
                    });
                    if let Some((width, deep)) = groove {
                        // In this last bore too, between its ends.
                        let end = to - inside.length(7);
                        let ground = diameter + inside.length(2 * deep);
                        let width = inside.length(width);
                        inside.features.push(Feature {
                            to: end,
                            width,
                            diameter: ground,
                            inside: true,
                            ..Feature::of(FeatureKind::Groove)
                        });
                    }
                }
            }
            let hole =
                features.iter().find(|it| it.kind == FeatureKind::Hole).map(|it| it.diameter);
            let room =
                |it: &Feature| it.diameter.min(it.start.unwrap_or(it.diameter)) - it.radius * 2;
            let bores = inside.features.iter().filter(|it| it.diameter.is_positive());
            if hole.is_some_and(|hole| bores.map(room).any(|room| room <= hole)) {
                // A drill cannot come through a bore that is narrower.
                inside.features.clear();
            }
            features.extend(inside.features);
            Part { units, length: out.length(length), features }
        })
}

fn sheet() -> impl Strategy<Value = Sheet> {
    (
        0..4_usize,
        any::<bool>(),
        (-500..500_i64, -500..500_i64),
        any::<bool>(),
        prop_oneof![Just(Way::Lines), Just(Way::Light), Just(Way::Old), Just(Way::Path)],
        any::<u64>(),
    )
        .prop_map(|(front, full, shift, reversed, way, order)| Sheet {
            front: Front::ALL[front],
            full,
            shift,
            reversed,
            way,
            order,
        })
}

/// The files of a new job, as the program writes them.
struct NewJob;

impl Files for NewJob {
    fn read(&self, path: &str) -> Result<Source, String> {
        let text = match path {
            "lathe.toml" => include_str!("../../../../src/commands/new/lathe.toml"),
            "gripper.toml" => include_str!("../../../../src/commands/new/gripper.toml"),
            "tools.toml" => include_str!("../../../../src/commands/new/tools.toml"),
            "control.toml" => include_str!("../../../../src/commands/new/control.toml"),
            other => return Err(format!("there is no file {other}")),
        };
        Ok(Source::new(path, text))
    }

    fn shipped(&self, _: &str) -> Result<Source, String> {
        Ok(Source::new("brass", include_str!("../../../../data/materials/brass-c360.toml")))
    }
}

/// What the reader of job files says of a part in millimeters, put into the job that the program writes.
fn said_of(part: &str) -> Vec<String> {
    let job = include_str!("../../../../src/commands/new/job.toml");
    let (head, rest) = job.split_once("# The finished part.").unwrap();
    let tail = &rest[rest.find("# How the gripper draws").unwrap()..];
    let head = head.replace("size = 20\n", "size = 45\n");
    let read = Job::read(&Source::new("part.job.toml", format!("{head}{part}\n{tail}")), &NewJob);
    // What is said of the bar, the gripper and the blade is no business of the part.
    let of_part = head.len()..head.len() + part.len();
    let said = read.diagnostics.into_iter().filter(|it| {
        it.source.name() == "part.job.toml" && of_part.contains(&(it.span.start as usize))
    });
    said.map(|it| it.message).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]
    #[test]
    fn a_drawn_part_is_read_as_it_was(part in part(), sheet in sheet()) {
        let bored_through = part.features.iter().any(|it| it.kind == FeatureKind::Bore && it.to == part.length);
        let full = sheet.full && !bored_through;
        let sheet = Sheet { full, ..sheet };
        let (text, axis_at) = crate::writer::draw(&part.features, part.length, part.units, &sheet);
        let told = Told {
            front: Some(sheet.front),
            drawn: Some(if full { Drawn::Full } else { Drawn::Half }),
            axis_at: Some(axis_at),
            ..Told::default()
        };
        let format = if matches!(sheet.way, Way::Path) { Format::Svg } else { Format::Dxf };
        let read = outline::read(&Source::new("part", text.clone()), format, &told);
        let read = match read {
            Ok(read) => read,
            Err(why) => return Err(TestCaseError::fail(format!("{why:?}\n{text}"))),
        };
        prop_assert_eq!(read.units, part.units);
        prop_assert_eq!(read.length, part.length);
        let shown = format!("{text}\n{:#?}\n{:#?}", read.features, part.features);
        prop_assert!(read.features == part.features, "{}", shown);
        if part.units == Units::Mm {
            let text = outline::text::part(&read);
            prop_assert_eq!(said_of(&text), Vec::<String>::new(), "{}", text);
        }
    }
}
