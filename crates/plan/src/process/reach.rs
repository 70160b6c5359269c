//! What an edge can reach of a contour, and what it must leave to a narrower tool.

use super::contour::{At, Bend, Contour, Leg, NOTHING};
use std::f64::consts::PI;

/// A stretch that an edge does not reach: it lies below the line from its first to its last place.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Pocket {
    /// What is to be cut there, from its front rim to its back rim.
    pub floor: Contour,
    /// Its area, arcs by two chords each.
    area: f64,
}

/// A contour as far as an edge reaches it, with what it leaves.
#[derive(Debug, Clone, PartialEq, Default)]
pub(super) struct Reached {
    pub contour: Contour,
    pub pockets: Vec<Pocket>,
}

/// How an insert stands: angles between its edges and the way toward the chuck, in degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Edges {
    /// Of the main edge, which leads: 95° leans five degrees past square.
    pub main: f64,
    /// Of the minor edge, which trails: how steeply it may go down toward the chuck.
    pub minor: f64,
}

/// What an insert reaches, from both sides.
pub(super) fn reached(contour: &Contour, edges: Edges) -> Reached {
    let down = bridged(contour, edges.minor);
    let behind = bridged(&down.contour.seen_from_behind(), edges.main);
    let mut pockets = down.pockets;
    let turned = behind.pockets.into_iter().rev();
    pockets.extend(
        turned.map(|pocket| Pocket { floor: pocket.floor.seen_from_behind(), area: pocket.area }),
    );
    pockets.retain(|pocket| deep(pocket) > 2e-3 && pocket.area > SMALLEST);
    Reached { contour: behind.contour.seen_from_behind(), pockets }
}

/// What is left in the corner between a trailing edge and a steeper wall is as small as this, in mm²:
/// the drawing's own tolerance of form is for it.
const SMALLEST: f64 = 0.01;

/// How deep a pocket is at most, from its rims.
fn deep(pocket: &Pocket) -> f64 {
    let rims = pocket.floor.start().zip(pocket.floor.end());
    rims.map_or(0.0, |(front, back)| front.r.max(back.r) - pocket.floor.radii().0)
}

impl Pocket {
    /// What lies below a bridge from the floor's first place to `end`.
    fn below(end: At, floor: Vec<Leg>) -> Pocket {
        let places = floor.iter().flat_map(|leg| [leg.from, leg.middle()]);
        let places: Vec<At> = places.chain(floor.last().map(|last| last.to)).chain([end]).collect();
        let next = places.iter().cycle().skip(1);
        let crossed = places.iter().zip(next).map(|(one, two)| one.z * two.r - two.z * one.r);
        Pocket { floor: Contour::of(floor), area: crossed.sum::<f64>().abs() / 2.0 }
    }

    /// The pocket with more of the ground on which it ends, as far as that does not rise by more than
    /// 45°: the nose left a round there, and a blade needs the room of its width.
    pub(super) fn with_ground(&self, contour: &Contour, by: f64) -> Contour {
        let mut floor = self.floor.clone();
        let Some((front, back)) = floor.start().zip(floor.end()) else { return floor };
        if back.r > front.r - NOTHING {
            return floor;
        }
        for leg in contour.behind(back.z).before(back.z - by).legs {
            let rises = leg.to.r - leg.from.r > (leg.from.z - leg.to.z).max(NOTHING);
            let is_far = leg.from.distance(back) > by + NOTHING;
            let goes_on = floor.end().is_some_and(|end| end.distance(leg.from) < 1e-4);
            if rises || is_far || !goes_on {
                break;
            }
            floor.push(leg);
        }
        floor.joined()
    }
}

impl Reached {
    /// Area of all that is not reached.
    pub(super) fn left(&self) -> f64 {
        self.pockets.iter().map(|pocket| pocket.area).sum()
    }
}

/// The contour with every stretch that goes down more steeply than an angle bridged at that angle.
/// Where the bridge does not come down to a floor, it goes level instead, if there is a wall to meet.
fn bridged(contour: &Contour, angle: f64) -> Reached {
    let pieces = pieces(contour, angle);
    let mut reached = Reached::default();
    let mut rest: std::collections::VecDeque<Leg> = pieces.into();
    while let Some(leg) = rest.pop_front() {
        if !is_steep(&leg, angle) {
            reached.contour.push(leg);
            continue;
        }
        let legs: Vec<Leg> = std::iter::once(leg).chain(rest.iter().copied()).collect();
        let bridge = bridge(&legs, angle);
        reached.contour.line_to(leg.from, bridge.at);
        let mut floor: Vec<Leg> = legs[..bridge.leg].to_vec();
        if bridge.open {
            floor.push(legs[bridge.leg]);
            reached.pockets.push(Pocket::below(bridge.at, floor));
            break;
        }
        let (before, behind) = legs[bridge.leg].split(bridge.at);
        floor.push(before);
        floor.retain(|leg| !leg.is_nothing());
        reached.pockets.push(Pocket::below(bridge.at, floor));
        rest = legs[bridge.leg..].to_vec().into();
        rest[0] = behind;
        if behind.is_nothing() {
            rest.pop_front();
        }
    }
    reached
}

struct Bridge {
    /// The leg that it comes to.
    leg: usize,
    at: At,
    /// Whether it ends above the end of the contour, meeting nothing.
    open: bool,
}

fn bridge(legs: &[Leg], angle: f64) -> Bridge {
    let origin = legs[0].from;
    let slope = first_met(legs, origin, PI + angle.to_radians());
    let level = || first_met(legs, origin, PI);
    match slope {
        Some(met) if comes_down(&legs[met.leg], met.at) => met,
        Some(met) => level().unwrap_or(met),
        None => level().unwrap_or_else(|| last(legs, origin, angle)),
    }
}

/// Whether a bridge that ends here ends on a floor, not on a wall that rises steeply.
fn comes_down(leg: &Leg, at: At) -> bool {
    let (_, rest) = leg.split(at);
    let heading = rest.headings().0.rem_euclid(2.0 * PI);
    // A gentle rise counts as a floor.
    heading > 165.0_f64.to_radians()
}

fn first_met(legs: &[Leg], origin: At, heading: f64) -> Option<Bridge> {
    let met = legs.iter().enumerate().skip(1).flat_map(|(index, leg)| {
        let ways = leg.crossings(origin, heading).into_iter();
        ways.filter(|way| *way > 1e-4).map(move |way| (index, way))
    });
    let first = met.min_by(|one, other| one.1.total_cmp(&other.1))?;
    Some(Bridge { leg: first.0, at: origin.toward(heading, first.1), open: false })
}

/// A bridge that meets nothing ends above the end of the contour.
fn last(legs: &[Leg], origin: At, angle: f64) -> Bridge {
    let leg = legs.len() - 1;
    let end = legs[leg].to;
    let fall = (origin.z - end.z) * libm::tan(angle.to_radians());
    Bridge { leg, at: At::new(end.z, (origin.r - fall).max(end.r)), open: true }
}

fn is_steep(leg: &Leg, angle: f64) -> bool {
    let middle = leg.headings().0 + leg.swept() / 2.0;
    let below = (middle - PI - angle.to_radians() + 1e-7).rem_euclid(2.0 * PI);
    // Down, and back under the front as far as a quarter turn.
    below > 2e-7 && below < PI - angle.to_radians()
}

/// Arcs cut where they get too steep, and where they run level or upright.
fn pieces(contour: &Contour, angle: f64) -> Vec<Leg> {
    let mut pieces = Vec::new();
    for leg in &contour.legs {
        let Bend::Round { center, turn } = leg.bend else {
            pieces.push(*leg);
            continue;
        };
        let radius = center.distance(leg.from);
        let (start, swept) = (center.angle_to(leg.from), leg.swept());
        let steep = angle.to_radians();
        // Where the arc heads this way its radius points a quarter turn to the side.
        let headings = [PI + steep, 1.5 * PI, PI, PI / 2.0, 0.0];
        let quarter = if swept > 0.0 { -PI / 2.0 } else { PI / 2.0 };
        let mut cuts: Vec<f64> = headings
            .iter()
            .map(|heading| {
                let gone = heading + quarter - start;
                if swept > 0.0 { gone.rem_euclid(2.0 * PI) } else { -(-gone).rem_euclid(2.0 * PI) }
            })
            .filter(|gone| {
                gone.abs() * radius > NOTHING && (swept.abs() - gone.abs()) * radius > NOTHING
            })
            .collect();
        cuts.sort_by(|one, other| one.abs().total_cmp(&other.abs()));
        let mut from = leg.from;
        for gone in cuts {
            let to = center.toward(start + gone, radius);
            pieces.push(Leg { from, to, bend: Bend::Round { center, turn } });
            from = to;
        }
        pieces.push(Leg { from, ..*leg });
    }
    pieces
}

#[cfg(test)]
mod tests {
    use super::*;

    fn through(places: &[(f64, f64)]) -> Contour {
        let at: Vec<At> = places.iter().map(|(z, r)| At::new(*z, *r)).collect();
        Contour::of(at.windows(2).map(|pair| Leg::line(pair[0], pair[1])).collect())
    }

    fn places(contour: &Contour) -> Vec<(f64, f64)> {
        let round = |value: f64| (value * 1e6).round() / 1e6;
        let places = contour.start().into_iter().chain(contour.legs.iter().map(|leg| leg.to));
        places.map(|at| (round(at.z), round(at.r))).collect()
    }

    const COPYING: Edges = Edges { main: 93.0, minor: 32.0 };

    #[test]
    fn stairs_are_reached_whole() {
        let stairs = through(&[(0.0, 3.0), (-5.0, 3.0), (-5.0, 6.0), (-9.0, 6.0)]);
        let reached = reached(&stairs, Edges { main: 95.0, minor: 5.0 });
        assert_eq!((reached.contour, reached.pockets.len()), (stairs, 0));
    }

    #[test]
    fn a_wide_neck_is_entered_on_a_slope_and_a_narrow_one_passed_over() {
        let wide = through(&[
            (0.0, 6.0),
            (-5.0, 6.0),
            (-5.0, 4.0),
            (-15.0, 4.0),
            (-15.0, 6.0),
            (-20.0, 6.0),
        ]);
        let reached_wide = reached(&wide, COPYING);
        let down = 5.0 + 2.0 / libm::tan(32.0_f64.to_radians());
        let round = |value: f64| (value * 1e6).round() / 1e6;
        assert_eq!(
            places(&reached_wide.contour),
            [
                (0.0, 6.0),
                (-5.0, 6.0),
                (round(-down), 4.0),
                (-15.0, 4.0),
                (-15.0, 6.0),
                (-20.0, 6.0)
            ]
        );
        assert_eq!(
            places(&reached_wide.pockets[0].floor),
            [(-5.0, 6.0), (-5.0, 4.0), (round(-down), 4.0)]
        );
        let narrow = through(&[
            (0.0, 6.0),
            (-5.0, 6.0),
            (-5.0, 4.0),
            (-7.0, 4.0),
            (-7.0, 6.0),
            (-20.0, 6.0),
        ]);
        let reached_narrow = reached(&narrow, COPYING);
        assert_eq!(
            places(&reached_narrow.contour),
            [(0.0, 6.0), (-5.0, 6.0), (-7.0, 6.0), (-20.0, 6.0)]
        );
        assert_eq!(reached_narrow.pockets.len(), 1);
    }

    #[test]
    fn a_neck_that_stays_small_is_sloped_to_its_floor_or_to_the_end() {
        let neck = through(&[(0.0, 6.0), (-5.0, 6.0), (-5.0, 4.0), (-6.0, 4.0)]);
        let reached = reached(&neck, COPYING);
        let end = 6.0 - libm::tan(32.0_f64.to_radians());
        let round = |value: f64| (value * 1e6).round() / 1e6;
        assert_eq!(places(&reached.contour), [(0.0, 6.0), (-5.0, 6.0), (-6.0, round(end))]);
        assert_eq!(places(&reached.pockets[0].floor)[0], (-5.0, 6.0));
        // From the bridge down to the floor: a trapezoid one long.
        assert!((reached.left() - (2.0 + end - 4.0) / 2.0).abs() < 1e-9);
    }

    #[test]
    fn a_shoulder_that_leans_forward_needs_an_edge_past_square() {
        let undercut = through(&[
            (0.0, 5.0),
            (-9.0, 5.0),
            (-10.0, 4.8),
            (-10.5, 4.8),
            (-10.3, 6.0),
            (-10.3, 9.0),
        ]);
        let leaning = reached(&undercut, Edges { main: 117.0, minor: 28.0 });
        assert_eq!(leaning.pockets.len(), 0);
        let square = reached(&undercut, Edges { main: 93.0, minor: 32.0 });
        assert_eq!(square.pockets.len(), 1);
    }
}
