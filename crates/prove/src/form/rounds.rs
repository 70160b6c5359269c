//! What a round nose leaves in the inside corners of the drawing.
//!
//! In square corners with room beside them it is a fillet, quickly drawn. Between any two slopes,
//! however short they are, a nose of radius c reaches every place outside of the metal that some disc
//! of radius c holds without touching metal. What it does not reach is the metal grown by the disc and
//! then shrunk by it, without the metal itself: one piece in each inside corner.

use super::gap::edges;
use super::profile::{FAR, Stretch};
use shape::{Chord, Edge, Flaw, Move, Outline, Point, Region, Sweep, Turn};

/// Corners that turn by less, in radians, may be chords of an arc: 8°.
const CHORD: f64 = 0.14;
/// Corners that turn by more, in radians, are clefts: 145°. The sharpest insert of ISO 1832 has 35°
/// at its nose and gets into none that is narrower.
const CLEFT: f64 = 2.53;
/// How far two points that are one may lie apart, in nanometers: rounding.
const SAME: i64 = 3;

/// What a nose of `radius` leaves in the inside corners of `metal`, one piece a corner.
///
/// Where it does not get between two corners, or into a hollow arc, or where the corner is a cleft,
/// there is no piece: the drawing asks for a smaller nose there.
pub(super) fn left_in_corners(metal: &Region, radius: i64) -> Result<Vec<Region>, Flaw> {
    if radius < 2 {
        return Ok(Vec::new());
    }
    let bends: Vec<Bend> = metal.loops().flat_map(bends).collect();
    let left = shrunk(grown(metal, radius)?, radius)?.difference(metal);
    let is_one_corner = |piece: &Region| {
        let touched = |bend: &&Bend| {
            let mut points = piece.loops().flatten();
            points.any(|p| (p.z - bend.at.z).abs() <= SAME && (p.r - bend.at.r).abs() <= SAME)
        };
        let mut corners = 0;
        for bend in bends.iter().filter(touched) {
            corners += u32::from(bend.turn >= CHORD);
            let tight = bend.turn < CHORD && bend.radius < radius as f64;
            if tight || bend.turn > CLEFT {
                return false;
            }
        }
        corners <= 1
    };
    Ok(left.pieces().filter(is_one_corner).collect())
}

/// A place where the outline of the metal turns inward.
struct Bend {
    at: Point,
    /// By how much, in radians.
    turn: f64,
    /// The radius of the arc whose chords meet here, if they are chords.
    radius: f64,
}

fn bends(points: &[Point]) -> impl Iterator<Item = Bend> + '_ {
    let count = points.len();
    (0..count).filter_map(move |i| {
        let (a, at, b) = (points[(i + count - 1) % count], points[i], points[(i + 1) % count]);
        let (iz, ir) = ((at.z - a.z) as f64, (at.r - a.r) as f64);
        let (oz, or) = ((b.z - at.z) as f64, (b.r - at.r) as f64);
        let turn = libm::atan2(iz * or - ir * oz, iz * oz + ir * or);
        // Loops have their metal on the left.
        let long = f64::midpoint(libm::hypot(iz, ir), libm::hypot(oz, or));
        (turn < 0.0).then(|| Bend { at, turn: -turn, radius: long / -turn })
    })
}

/// Equal on opposite sides, so that shrinking takes off just what growing put on.
fn disc(radius: i64) -> Result<Outline, Flaw> {
    let corners = [(radius, 0), (0, radius), (-radius, 0), (0, -radius), (radius, 0)];
    let [start, quarters @ ..] = corners.map(|(z, r)| Point::new(z, r));
    let center = Point::new(0, 0);
    let quarters = quarters.map(|to| Edge::Arc { to, center, turn: Turn::Counterclockwise });
    Outline::new(start, &quarters, Chord::FINE_INSIDE)
}

/// What a disc covers whose center runs around a region, but for the axis.
fn rims(metal: &Region, radius: i64) -> impl Iterator<Item = Result<Sweep, Flaw>> + '_ {
    let disc = disc(radius);
    let walls = metal.loops().flat_map(edges).filter(|(a, b)| a.r != 0 || b.r != 0);
    walls.map(move |(a, b)| {
        Sweep::of(disc.as_ref().map_err(|flaw| *flaw)?, &Move::line(a, b)?, Chord::FINE_INSIDE)
    })
}

fn grown(metal: &Region, radius: i64) -> Result<Region, Flaw> {
    rims(metal, radius).try_fold(metal.clone(), |all, rim| Ok(all.union(&Region::from(&rim?))))
}

fn shrunk(metal: Region, radius: i64) -> Result<Region, Flaw> {
    let around = metal.clone();
    rims(&around, radius).try_fold(metal, |rest, rim| Ok(rest.cut(&rim?)))
}

/// What a nose leaves in a corner: `toward` says to which sides of the corner the faces of the metal
/// run. Some metal behind the corner goes with it, so that no gap opens where a face slopes.
pub(super) fn fillet(at: Point, toward: (i64, i64), radius: i64) -> Result<Region, Flaw> {
    if radius < 2 {
        return Ok(Region::empty());
    }
    let along = Point::new(at.z + toward.0 * radius, at.r);
    let out = Point::new(at.z, at.r + toward.1 * radius);
    let center = Point::new(along.z, out.r);
    let turn = if toward.0 * toward.1 > 0 { Turn::Clockwise } else { Turn::Counterclockwise };
    let behind = (at.r - toward.1 * radius).max(0);
    let lines = [
        Edge::Line(Point::new(along.z, behind)),
        Edge::Line(along),
        Edge::Arc { to: out, center, turn },
    ];
    Ok(Region::from(&Outline::new(Point::new(at.z, behind), &lines, Chord::FINE)?))
}

/// The corners between neighbors of the outside, each as far out as it may be.
pub(super) fn fillets(stretches: &[Stretch], radius: i64) -> Result<Region, Flaw> {
    let mut all = Region::empty();
    for pair in stretches.windows(2) {
        let (ahead, behind) = (&pair[0], &pair[1]);
        let (front, back) = (ahead.radii.1, behind.radii.0);
        let room = (front - back).abs();
        // The corner lies on the smaller of both, at the face of the larger one.
        let (z, r, toward) = if back > front {
            (-behind.from + behind.ends.0, front + ahead.deviations.0, 1)
        } else {
            (-ahead.to - ahead.ends.1, back + behind.deviations.0, -1)
        };
        all = all.union(&fillet(Point::new(z, r), (toward, 1), radius.min(room))?);
    }
    Ok(all)
}

/// Both corners at the ground of a groove, each as near to its middle as it may be.
pub(super) fn groove_corners(groove: &Stretch, radius: i64) -> Result<Region, Flaw> {
    let r = groove.radii.0 + groove.deviations.0;
    let (front, back) = (-groove.from - groove.ends.0, -groove.to + groove.ends.1);
    let radius = radius.min((front - back) / 2);
    if radius < 2 {
        return Ok(Region::empty());
    }
    let front = fillet(Point::new(front, r), (-1, 1), radius)?;
    Ok(front.union(&fillet(Point::new(back, r), (1, 1), radius)?))
}

/// The corners where a bore gets smaller, each as far in as it may be.
pub(super) fn bore_fillets(stretches: &[Stretch], radius: i64) -> Result<Region, Flaw> {
    let mut all = Region::empty();
    for pair in stretches.windows(2) {
        let (ahead, behind) = (&pair[0], &pair[1]);
        let (front, back) = (ahead.radii.1, behind.radii.0);
        if back < front {
            let at = Point::new(-ahead.to + ahead.ends.1, front + ahead.deviations.1);
            all = all.union(&fillet(at, (1, -1), radius.min(front - back))?);
        }
    }
    Ok(all)
}

/// What a nose leaves in the corners of a bore: those of the metal around it.
pub(super) fn bore_rounds(bore: &Region, radius: i64) -> Result<Vec<Region>, Flaw> {
    let Some(bounds) = bore.bounds() else { return Ok(Vec::new()) };
    let around = Region::rectangle(
        Point::new(bounds.min.z - FAR, 0),
        Point::new(bounds.max.z, bounds.max.r + FAR),
    )?;
    left_in_corners(&around.difference(bore), radius)
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test fails by panic")]
mod tests {
    use super::*;

    const NOSE: i64 = 800_000;

    /// Metal from the axis up to these corners, in micrometers, from the front back.
    fn metal(corners: &[(i64, i64)]) -> Region {
        let mut points: Vec<_> =
            corners.iter().map(|(z, r)| Point::new(-z * 1000, r * 1000)).collect();
        points.push(Point::new(points[points.len() - 1].z, 0));
        points.push(Point::new(points[0].z, 0));
        Region::from(&Outline::polygon(&points).unwrap())
    }

    /// How far what is left reaches along the axis and away from it, in nanometers.
    fn sizes(metal: &Region) -> Vec<(i64, i64)> {
        let left = left_in_corners(metal, NOSE).unwrap();
        let bounds = left.iter().map(|piece| *piece.bounds().unwrap());
        bounds.map(|b| (b.max.z - b.min.z, b.max.r - b.min.r)).collect()
    }

    #[track_caller]
    fn near(got: &[(i64, i64)], wanted: &[(f64, f64)]) {
        assert_eq!(got.len(), wanted.len(), "{got:?} against {wanted:?}");
        for (one, two) in got.iter().zip(wanted) {
            let off = (one.0 as f64 - two.0).abs().max((one.1 as f64 - two.1).abs());
            // A disc of chords ends its touch within one chord of where a true one does.
            assert!(off < 20_000.0, "{got:?} against {wanted:?}");
        }
    }

    #[test]
    fn a_square_corner_has_the_fillet_of_the_nose() {
        let nose = NOSE as f64;
        near(
            &sizes(&metal(&[(0, 5000), (10_000, 5000), (10_000, 8000), (20_000, 8000)])),
            &[(nose, nose)],
        );
    }

    /// Plane geometry: a disc on the ground against the edge of a lower step stands √(2ch − h²) away.
    #[test]
    fn beside_a_step_lower_than_the_nose_it_leaves_more_than_the_step_is_high() {
        let step = metal(&[(0, 5000), (10_000, 5000), (10_000, 5200), (20_000, 5200)]);
        let (c, h) = (NOSE as f64, 200_000.0);
        near(&sizes(&step), &[(libm::sqrt(2.0 * c * h - h * h), h)]);
    }

    /// Plane geometry: between walls that enclose the angle w, the disc touches c / tan(w / 2) from
    /// the corner.
    #[test]
    fn between_a_cone_that_falls_and_a_shoulder_the_touch_is_farther_than_in_a_square_corner() {
        let valley = metal(&[(0, 8000), (10_000, 6000), (10_000, 9000), (20_000, 9000)]);
        let cone = libm::atan2(2000.0, 10_000.0);
        let touch = NOSE as f64 / libm::tan((std::f64::consts::FRAC_PI_2 - cone) / 2.0);
        near(&sizes(&valley), &[(touch * libm::cos(cone), touch)]);
    }

    #[test]
    fn where_the_nose_does_not_get_in_nothing_is_granted() {
        let neck = metal(&[
            (0, 8000),
            (10_000, 8000),
            (10_000, 6000),
            (11_000, 6000),
            (11_000, 8000),
            (20_000, 8000),
        ]);
        let cleft =
            metal(&[(0, 8000), (10_000, 8000), (10_200, 6000), (10_400, 8000), (20_000, 8000)]);
        near(&sizes(&neck), &[]);
        near(&sizes(&cleft), &[]);
    }

    #[test]
    fn a_hollow_arc_smaller_than_the_nose_is_not_filled() {
        let hollow = |radius: i64| {
            let (from, to) = (
                Point::new(-10_000_000, 8_000_000),
                Point::new(-10_000_000 - 2 * radius, 8_000_000),
            );
            let arc = Edge::Arc {
                to,
                center: Point::new(-10_000_000 - radius, 8_000_000),
                turn: Turn::Clockwise,
            };
            let lines = [
                Edge::Line(from),
                arc,
                Edge::Line(Point::new(-20_000_000, 8_000_000)),
                Edge::Line(Point::new(-20_000_000, 0)),
                Edge::Line(Point::new(0, 0)),
            ];
            Region::from(&Outline::new(Point::new(0, 8_000_000), &lines, Chord::FINE).unwrap())
        };
        near(&sizes(&hollow(600_000)), &[]);
    }
}
