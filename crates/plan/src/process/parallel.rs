//! The path of a nose's center: a contour's parallel at its radius.
//!
//! The parallel comes from the library `cavalier_contours`; around an outside corner it puts an arc.
//! Where two lines meet there, the path goes straight on to where they meet instead: the corner stays
//! as sharp, and the program is what a person would write.

use super::contour::{At, Bend, Contour, Leg, NOTHING};
use crate::cuts::Turn;
use cavalier_contours::polyline::{PlineOffsetOptions, PlineSource, PlineSourceMut, Polyline};
use std::f64::consts::PI;

/// Sharper outside corners than this are gone around on an arc.
const SHARPEST: f64 = 100.0 * PI / 180.0;

/// The parallel at a distance on the right, away from the metal; none where the contour has no room
/// for it anywhere.
pub(super) fn parallel(contour: &Contour, distance: f64) -> Option<Contour> {
    if contour.legs.is_empty() {
        return None;
    }
    if distance < NOTHING {
        return Some(contour.clone());
    }
    let options = PlineOffsetOptions { handle_self_intersects: true, ..Default::default() };
    let curves = polyline(contour).parallel_offset_opt(-distance, &options);
    let [curve] = curves.as_slice() else { return None };
    let corners: Vec<At> = contour.legs.iter().skip(1).map(|leg| leg.from).collect();
    Some(straightened(&legs(curve), &corners, distance))
}

fn polyline(contour: &Contour) -> Polyline<f64> {
    let mut line = Polyline::new();
    for leg in &contour.legs {
        line.add(leg.from.z, leg.from.r, libm::tan(leg.swept() / 4.0));
    }
    if let Some(end) = contour.end() {
        line.add(end.z, end.r, 0.0);
    }
    line
}

fn legs(curve: &Polyline<f64>) -> Vec<Leg> {
    let leg = |start: At, end: At, bulge: f64| {
        let (chord, turn) = (start.distance(end), 4.0 * libm::atan(bulge));
        if turn.abs() < NOTHING || chord < NOTHING {
            return Leg::line(start, end);
        }
        // From the middle of the chord to its left, where the arc turns left.
        let away = chord / 2.0 / libm::tan(turn / 2.0);
        let middle = At::new(f64::midpoint(start.z, end.z), f64::midpoint(start.r, end.r));
        let center = middle.toward(start.angle_to(end) + PI / 2.0, away);
        let turn = if turn > 0.0 { Turn::Counterclockwise } else { Turn::Clockwise };
        Leg { from: start, to: end, bend: Bend::Round { center, turn } }
    };
    let at = |z, r| At::new(z, r);
    let segments = curve.iter_segments();
    let legs = segments.map(|(from, to)| leg(at(from.x, from.y), at(to.x, to.y), from.bulge));
    legs.filter(|leg| !leg.is_nothing()).collect()
}

/// Puts corners where the parallel goes around one on an arc between two lines.
fn straightened(legs: &[Leg], corners: &[At], distance: f64) -> Contour {
    let is_line = |leg: Option<&Leg>| leg.is_some_and(|leg| leg.bend == Bend::Straight);
    let mut contour = Contour::default();
    for (index, leg) in legs.iter().enumerate() {
        let Bend::Round { center, .. } = leg.bend else {
            contour.push(*leg);
            continue;
        };
        let near = |corner: &At| corner.distance(center) < 1e-4 * distance.max(1.0);
        let around =
            (center.distance(leg.from) - distance).abs() < 1e-4 && corners.iter().any(near);
        let lines = is_line(index.checked_sub(1).and_then(|before| legs.get(before)))
            && is_line(legs.get(index + 1));
        let turned = leg.swept().abs();
        if around && lines && turned <= SHARPEST {
            let more = distance * libm::tan(turned / 2.0);
            let corner = leg.from.toward(leg.headings().0, more);
            contour.push(Leg::line(leg.from, corner));
            contour.push(Leg::line(corner, leg.to));
        } else {
            contour.push(*leg);
        }
    }
    contour.joined()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stairs() -> Contour {
        let places = [(0.0, 3.0), (-1.0, 4.0), (-10.0, 4.0), (-10.0, 8.0), (-20.0, 8.0)];
        let places: Vec<At> = places.iter().map(|(z, r)| At::new(*z, *r)).collect();
        Contour::of(places.windows(2).map(|pair| Leg::line(pair[0], pair[1])).collect())
    }

    #[test]
    fn a_chamfer_is_longer_for_a_nose_and_shoulders_stay_where_they_are() {
        let path = parallel(&stairs(), 0.4).unwrap().moved(-0.4, -0.4);
        let places: Vec<(f64, f64)> = path.legs.iter().map(|leg| (leg.to.z, leg.to.r)).collect();
        // c + R (2 - √2) along the axis, and the shoulder's inside corner sharp for the tip.
        let leg = 1.0 + 0.4 * (2.0 - 2.0_f64.sqrt());
        let wanted = [(-leg, 4.0), (-10.0, 4.0), (-10.0, 8.0)];
        for (place, wanted) in places.iter().zip(wanted) {
            assert!(
                (place.0 - wanted.0).abs() < 1e-9 && (place.1 - wanted.1).abs() < 1e-9,
                "{places:?}"
            );
        }
    }

    #[test]
    fn a_ball_grows_by_the_nose() {
        let ball = Leg {
            from: At::new(0.0, 0.0),
            to: At::new(-5.0, 5.0),
            bend: Bend::Round { center: At::new(-5.0, 0.0), turn: Turn::Counterclockwise },
        };
        let contour = Contour::of(vec![ball, Leg::line(ball.to, At::new(-9.0, 5.0))]);
        let path = parallel(&contour, 0.8).unwrap();
        let Bend::Round { center, .. } = path.legs[0].bend else { panic!("{path:?}") };
        assert!((center.distance(path.legs[0].to) - 5.8).abs() < 1e-9, "{path:?}");
        assert!(path.start().unwrap().distance(At::new(0.8, 0.0)) < 1e-9, "{path:?}");
        assert!(path.end().unwrap().distance(At::new(-9.0, 5.8)) < 1e-9, "{path:?}");
    }

    #[test]
    fn a_groove_too_narrow_for_the_nose_is_passed_over() {
        let places = [(0.0, 4.0), (-5.0, 4.0), (-5.0, 3.0), (-5.5, 3.0), (-5.5, 4.0), (-9.0, 4.0)];
        let places: Vec<At> = places.iter().map(|(z, r)| At::new(*z, *r)).collect();
        let narrow = Contour::of(places.windows(2).map(|it| Leg::line(it[0], it[1])).collect());
        let path = parallel(&narrow, 0.4).unwrap();
        // The circle dips between both edges: √(R² - 0.25²) above them.
        let dip = 4.0 + (0.4_f64 * 0.4 - 0.25 * 0.25).sqrt();
        assert!((path.radii().0 - dip).abs() < 1e-9, "{path:?}");
    }
}
