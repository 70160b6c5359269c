//! The nose radius offset against two outside checks on random contours: distances, sampled
//! densely, and the parallel curves of the library `cavalier_contours`; and against itself,
//! backward and mirrored.

use crate::contour::{Contour, Followed, follow, nose};
use cavalier_contours::polyline::{PlineOffsetOptions, PlineSource, PlineSourceMut, Polyline};
use model::Length;
use proptest::prelude::*;
use prove::action::{Arc, Path};
use prove::event::Point;
use prove::nose::{HELD, Leg, Outside, Side};
use std::f64::consts::{PI, TAU};

/// A leg of a random contour: how far the path turns before it, and its shape.
#[derive(Debug, Clone, Copy)]
enum Shape {
    Line(f64),
    Arc { radius: f64, turn: f64 },
}

fn any_shape() -> impl Strategy<Value = Shape> {
    let turn = prop_oneof![-1.5..-0.4, 0.4..1.5];
    prop_oneof![
        (4.0..10.0_f64).prop_map(Shape::Line),
        (5.0..12.0_f64, turn).prop_map(|(radius, turn)| Shape::Arc { radius, turn }),
    ]
}

fn any_turn() -> impl Strategy<Value = f64> {
    // Tangent, nearly tangent as rounded programs are, gentle, and sharp.
    prop_oneof![2 => Just(0.0), 1 => -0.01..0.01, 3 => -0.8..0.8, 3 => -2.6..1.4_f64]
}

/// A contour whose every leg is long enough for a nose of 1 mm; the sharp turns are those away
/// from a nose on the left. The first leg is the start-up move.
fn any_contour() -> impl Strategy<Value = Contour> {
    let legs = prop::collection::vec((any_turn(), any_shape()), 2..8);
    (-PI..PI, legs).prop_map(|(heading, legs)| contour(heading, legs))
}

fn contour(mut heading: f64, legs: Vec<(f64, Shape)>) -> Contour {
    let mut contour = Contour::from(60.0, 20.0).line(40.0, 3.0);
    for (turn, shape) in legs {
        heading += turn;
        let at = contour.at();
        match shape {
            Shape::Line(length) => {
                let to = Point {
                    r: at.r + Length::nearest_mm(length * heading.sin()),
                    z: at.z + Length::nearest_mm(length * heading.cos()),
                };
                contour = contour.line_to(to);
            }
            Shape::Arc { radius, turn } => {
                let side = heading + turn.signum() * PI / 2.0;
                let center = (at.r.mm() + radius * side.sin(), at.z.mm() + radius * side.cos());
                contour = contour.about(center, turn);
                heading += turn;
            }
        }
    }
    contour
}

/// Contours with narrow places, of no more legs than are known at once. The programmed path
/// itself neither crosses nor nearly touches itself.
fn narrow_contour() -> impl Strategy<Value = Contour> {
    let turn = prop_oneof![-2.6..-0.1, 0.1..2.6];
    let shape = prop_oneof![
        (0.2..5.0_f64).prop_map(Shape::Line),
        (0.3..6.0_f64, turn).prop_map(|(radius, turn)| Shape::Arc { radius, turn }),
    ];
    let turn = prop_oneof![1 => Just(0.0), 4 => -2.6..2.6_f64];
    let legs = prop::collection::vec((turn, shape), 2..=HELD);
    (-PI..PI, legs)
        .prop_map(|(heading, legs)| contour(heading, legs))
        .prop_filter("crosses itself", |contour| is_simple(&contour.legs[1..]))
}

fn is_simple(legs: &[Leg]) -> bool {
    legs.iter().enumerate().all(|(index, leg)| {
        let to = place(leg.to);
        legs.iter().skip(index + 1).enumerate().all(|(between, other)| {
            let near = |place: &Place| between == 0 && apart(*place, to) < 0.1;
            places(leg, 0.05).iter().all(|place| near(place) || distance(*place, other) > 0.05)
        })
    })
}

type Place = (f64, f64);

fn place(point: Point) -> Place {
    (point.z.mm(), point.r.mm())
}

fn apart(a: Place, b: Place) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// Places along a move, both ends with them.
fn places(leg: &Leg, step: f64) -> Vec<Place> {
    let (from, to) = (place(leg.from), place(leg.to));
    match leg.path {
        Path::Rapid | Path::Line => {
            let count = (apart(from, to) / step).ceil().max(1.0);
            let part = |index| f64::from(index) / count;
            (0..=count as u32)
                .map(|index| {
                    let part = part(index);
                    (from.0 + (to.0 - from.0) * part, from.1 + (to.1 - from.1) * part)
                })
                .collect()
        }
        Path::Arc(arc) => {
            let count = (arc.length() / step).ceil().max(1.0);
            let start = (from.1 - arc.center.0).atan2(from.0 - arc.center.1);
            (0..=count as u32)
                .map(|index| {
                    let angle = start + arc.turn * f64::from(index) / count;
                    let (r, z) = arc.center;
                    (z + arc.radius * angle.cos(), r + arc.radius * angle.sin())
                })
                .collect()
        }
    }
}

/// The least distance from a place to a leg.
fn distance(from: Place, leg: &Leg) -> f64 {
    let ends = apart(from, place(leg.from)).min(apart(from, place(leg.to)));
    match leg.path {
        Path::Rapid | Path::Line => {
            let (start, end) = (place(leg.from), place(leg.to));
            let (dz, dr) = (end.0 - start.0, end.1 - start.1);
            let length = dz.hypot(dr);
            let along = ((from.0 - start.0) * dz + (from.1 - start.1) * dr) / length;
            if !(0.0..=length).contains(&along) {
                return ends;
            }
            (((from.0 - start.0) * dr - (from.1 - start.1) * dz) / length).abs()
        }
        Path::Arc(arc) => {
            let center = (arc.center.1, arc.center.0);
            let angle = |place: Place| (place.1 - center.1).atan2(place.0 - center.0);
            let beyond = (angle(from) - angle(place(leg.from))) * arc.turn.signum();
            if beyond.rem_euclid(TAU) > arc.turn.abs() {
                return ends;
            }
            (apart(from, center) - arc.radius).abs()
        }
    }
}

fn nearest<'l>(from: Place, legs: impl IntoIterator<Item = &'l Leg>) -> f64 {
    legs.into_iter().map(|leg| distance(from, leg)).fold(f64::INFINITY, f64::min)
}

/// Whether no two legs with one between them come nearer than this, nor the far ends of two with
/// a common point.
fn is_open(legs: &[Leg], room: f64) -> bool {
    let room = room + 0.1;
    let beyond_corner = |leg: &Leg, corner: Point, other: &Leg| {
        let mut far = places(leg, 0.2).into_iter().filter(|far| apart(*far, place(corner)) > 4.5);
        far.all(|place| distance(place, other) > room)
    };
    let far_ends = legs.windows(2).all(|pair| {
        distance(place(pair[0].from), &pair[1]) > room
            && distance(place(pair[1].to), &pair[0]) > room
            && beyond_corner(&pair[0], pair[0].to, &pair[1])
            && beyond_corner(&pair[1], pair[0].to, &pair[0])
    });
    let mut pairs = legs
        .iter()
        .enumerate()
        .flat_map(|(index, leg)| legs.iter().skip(index + 2).map(move |other| (leg, other)));
    far_ends
        && pairs.all(|(leg, other)| {
            places(leg, 0.2).into_iter().all(|place| distance(place, other) > room)
        })
}

/// The moves of the nose center behind the start-up move, and the contour's legs.
fn of_center<'a>(followed: &'a Followed, contour: &'a Contour) -> (&'a [Leg], &'a [Leg]) {
    (&followed.moves[1..], &contour.legs[1..])
}

const RADIUS: f64 = 1.0;

/// How far the nose center may be from one leg, at a straight corner of 90°, and still keep its
/// radius from another.
const ROOM: f64 = RADIUS * (1.0 + std::f64::consts::SQRT_2);

/// Contours for a nose on the left, without narrow places and with room for each corner.
fn fair_contour() -> impl Strategy<Value = Contour> {
    any_contour().prop_filter("narrow places", |contour| is_open(&contour.legs[1..], ROOM))
}

proptest! {
    #![proptest_config(ProptestConfig {
        failure_persistence: None,
        max_global_rejects: 100_000,
        ..ProptestConfig::with_cases(500)
    })]

    /// Every place of the center's path lies one radius from the contour where corners are
    /// round, and no nearer where they are straight; and never to the right of it.
    #[test]
    fn the_nose_touches_and_never_cuts(contour in fair_contour()) {
        for outside in [Outside::Round, Outside::Straight] {
            let followed = follow(&contour, nose(RADIUS, 0), Side::Left, outside);
            prop_assert_eq!(&followed.troubles, &[]);
            let (moves, legs) = of_center(&followed, &contour);
            for center in moves.iter().flat_map(|leg| places(leg, 0.05)) {
                let distance = nearest(center, legs);
                prop_assert!(distance >= RADIUS - 1e-5, "{distance} {center:?} {outside:?}");
                if outside == Outside::Round {
                    prop_assert!(distance <= RADIUS + 1e-5, "{distance} {center:?}");
                } else {
                    // No further than a corner of 90° needs.
                    let most = RADIUS * std::f64::consts::SQRT_2;
                    prop_assert!(distance <= most + 1e-5, "{distance} {center:?}");
                }
            }
        }
    }

    /// The same as the parallel curve of another library, both ways.
    #[test]
    fn round_corners_are_those_of_parallel_curves(contour in fair_contour()) {
        let followed = follow(&contour, nose(RADIUS, 0), Side::Left, Outside::Round);
        let (moves, legs) = of_center(&followed, &contour);
        let parallel = parallel(legs, RADIUS);
        prop_assert_eq!(parallel.len(), 1);
        let theirs = &parallel[0];
        for center in moves.iter().flat_map(|leg| places(leg, 0.05)) {
            prop_assert!(nearest(center, theirs) < 1e-4, "ours {center:?} {}", nearest(center, theirs));
        }
        for center in theirs.iter().flat_map(|leg| places(leg, 0.05)) {
            prop_assert!(nearest(center, moves) < 1e-4, "theirs {center:?} {}", nearest(center, moves));
        }
    }

    /// Within what is known ahead no overcut goes untold.
    #[test]
    fn no_overcut_goes_untold(contour in narrow_contour()) {
        for outside in [Outside::Round, Outside::Straight] {
            let followed = follow(&contour, nose(RADIUS, 0), Side::Left, outside);
            let (moves, legs) = of_center(&followed, &contour);
            let places = moves.iter().flat_map(|leg| places(leg, 0.02));
            let least = places.map(|center| nearest(center, legs)).fold(f64::INFINITY, f64::min);
            let told = !followed.troubles.is_empty();
            prop_assert!(told || least >= RADIUS - 0.001 - 1e-6, "{least} {outside:?}");
        }
    }

    /// Another tip number shifts every move, and nothing else; the table of the reference.
    #[test]
    fn a_tip_number_shifts_the_path(contour in fair_contour(), tip in 1_u8..9, round: bool) {
        let (dz, dr) = [(1, 1), (-1, 1), (-1, -1), (1, -1), (1, 0), (0, 1), (-1, 0), (0, -1)]
            [usize::from(tip - 1)];
        let shift = |point: Point| Point {
            r: point.r + Length::nearest_mm(RADIUS) * dr,
            z: point.z + Length::nearest_mm(RADIUS) * dz,
        };
        let outside = if round { Outside::Round } else { Outside::Straight };
        let center = follow(&contour, nose(RADIUS, 0), Side::Left, outside);
        let tip = follow(&contour, nose(RADIUS, tip), Side::Left, outside);
        let shifted = |leg: &Leg| Leg {
            from: shift(leg.from),
            to: shift(leg.to),
            path: match leg.path {
                Path::Arc(arc) => Path::Arc(Arc {
                    center: (
                        arc.center.0 + RADIUS * f64::from(dr as i32),
                        arc.center.1 + RADIUS * f64::from(dz as i32),
                    ),
                    ..arc
                }),
                path => path,
            },
            ..*leg
        };
        let of_center: Vec<Leg> = center.moves[1..].iter().map(shifted).collect();
        same(&of_center, &tip.moves[1..])?;
        for (center, tip) in of_center.iter().zip(&tip.moves[1..]) {
            if let (Path::Arc(center), Path::Arc(tip)) = (center.path, tip.path) {
                prop_assert!(apart(center.center, tip.center) < 1e-9);
            }
        }
    }

    /// A line in two halves is the same as one.
    #[test]
    fn a_line_in_halves(contour in fair_contour(), round: bool) {
        let outside = if round { Outside::Round } else { Outside::Straight };
        let whole = follow(&contour, nose(RADIUS, 0), Side::Left, outside);
        let halves = contour.legs.iter().enumerate().flat_map(|(index, leg)| {
            let half = Point {
                r: leg.from.r + (leg.to.r - leg.from.r).half(),
                z: leg.from.z + (leg.to.z - leg.from.z).half(),
            };
            match leg.path {
                Path::Line if index > 0 => {
                    vec![Leg { to: half, ..*leg }, Leg { from: half, ..*leg }]
                }
                _ => vec![*leg],
            }
        });
        let halves = follow(&of_legs(halves.collect()), nose(RADIUS, 0), Side::Left, outside);
        prop_assert_eq!(&halves.troubles, &[]);
        for (ours, theirs) in [(&whole, &halves), (&halves, &whole)] {
            for place in ours.moves[1..].iter().flat_map(|leg| places(leg, 0.05)) {
                prop_assert!(nearest(place, &theirs.moves[1..]) < 1e-5, "{place:?}");
            }
        }
    }

    /// The same contour backward with the nose on the right, and mirrored about the axis with
    /// the nose on the right.
    #[test]
    fn backward_and_mirrored(contour in fair_contour(), round: bool) {
        let outside = if round { Outside::Round } else { Outside::Straight };
        let followed = follow(&contour, nose(RADIUS, 0), Side::Left, outside);
        let (moves, _) = of_center(&followed, &contour);
        let start = contour.legs[0];

        let mut back: Vec<Leg> = contour.legs[1..].iter().rev().map(backward).collect();
        back.insert(0, Leg { from: Point { r: Length::ZERO, z: Length::from_mm(90) }, to: back[0].from, ..start });
        let back = follow(&of_legs(back), nose(RADIUS, 0), Side::Right, outside);
        prop_assert_eq!(&back.troubles, &[]);
        same(moves, &back.moves[1..].iter().rev().map(backward).collect::<Vec<_>>())?;

        let mirror: Vec<Leg> = contour.legs.iter().map(mirrored).collect();
        let mirror = follow(&of_legs(mirror), nose(RADIUS, 0), Side::Right, outside);
        same(&followed.moves, &mirror.moves.iter().map(mirrored).collect::<Vec<_>>())?;
    }
}

fn of_legs(legs: Vec<Leg>) -> Contour {
    let mut contour = Contour::from(0.0, 0.0);
    contour.legs = legs;
    contour
}

fn backward(leg: &Leg) -> Leg {
    let path = match leg.path {
        Path::Arc(arc) => Path::Arc(Arc { turn: -arc.turn, ..arc }),
        path => path,
    };
    Leg { from: leg.to, to: leg.from, path, ..*leg }
}

fn mirrored(leg: &Leg) -> Leg {
    let point = |point: Point| Point { r: -point.r, z: point.z };
    let path = match leg.path {
        Path::Arc(Arc { center: (r, z), radius, turn }) => {
            Path::Arc(Arc { center: (-r, z), radius, turn: -turn })
        }
        path => path,
    };
    Leg { from: point(leg.from), to: point(leg.to), path, ..*leg }
}

/// The same moves to a few nanometers.
fn same(ours: &[Leg], theirs: &[Leg]) -> Result<(), TestCaseError> {
    prop_assert_eq!(ours.len(), theirs.len());
    for (ours, theirs) in ours.iter().zip(theirs) {
        prop_assert!(apart(place(ours.to), place(theirs.to)) < 2e-5, "{ours:?} {theirs:?}");
        prop_assert!(apart(place(ours.from), place(theirs.from)) < 2e-5, "{ours:?} {theirs:?}");
        match (ours.path, theirs.path) {
            (Path::Arc(ours), Path::Arc(theirs)) => {
                prop_assert!((ours.turn - theirs.turn).abs() < 1e-4);
                prop_assert!((ours.radius - theirs.radius).abs() < 1e-5);
            }
            (ours, theirs) => prop_assert_eq!(ours, theirs),
        }
    }
    Ok(())
}

/// The parallel curves to the left of a contour, by `cavalier_contours`.
fn parallel(legs: &[Leg], offset: f64) -> Vec<Vec<Leg>> {
    let mut line = Polyline::<f64>::new();
    for leg in legs {
        let (z, r) = place(leg.from);
        let bulge = match leg.path {
            Path::Arc(arc) => (arc.turn / 4.0).tan(),
            Path::Rapid | Path::Line => 0.0,
        };
        line.add(z, r, bulge);
    }
    let (z, r) = place(legs.last().unwrap().to);
    line.add(z, r, 0.0);
    let options = PlineOffsetOptions { handle_self_intersects: true, ..Default::default() };
    let curves = line.parallel_offset_opt(offset, &options);
    curves.iter().map(|curve| of_polyline(curve, &legs[0])).collect()
}

fn of_polyline(curve: &Polyline<f64>, like: &Leg) -> Vec<Leg> {
    let point = |z, r| Point { r: Length::nearest_mm(r), z: Length::nearest_mm(z) };
    curve
        .iter_segments()
        .map(|(start, end)| {
            let (from, to) = (point(start.x, start.y), point(end.x, end.y));
            let chord = (end.x - start.x).hypot(end.y - start.y);
            let turn = 4.0 * start.bulge.atan();
            if turn.abs() < 1e-9 || chord < 1e-9 {
                return Leg { from, to, path: Path::Line, ..*like };
            }
            let radius = chord / 2.0 / (turn.abs() / 2.0).sin();
            // From the middle of the chord to the left, when counter-clockwise.
            let away = chord / 2.0 / (turn / 2.0).tan();
            let (dz, dr) = ((end.x - start.x) / chord, (end.y - start.y) / chord);
            let center = (
                f64::midpoint(start.y, end.y) + away * dz,
                f64::midpoint(start.x, end.x) - away * dr,
            );
            Leg { from, to, path: Path::Arc(Arc { center, radius, turn }), ..*like }
        })
        .collect()
}
