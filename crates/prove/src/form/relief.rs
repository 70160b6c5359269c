//! What an undercut of the drawing surely empties, and what it may.
//!
//! The outline is built here from the sizes alone, apart from that in `model::standards`, so that
//! both are evidence for each other.

use super::profile::Relief;
use shape::{Chord, Edge as Line, Flaw, Move, Outline, Point, Region, Sweep, Turn};

/// How much larger or smaller the radius in its corner may be: DIN 509, table 1; found.
const RADIUS_OFF: i64 = 100_000;

/// How far above the cylinder the outline of what may be empty is closed.
const ABOVE: i64 = 1_000;

/// What is surely empty, and what may be.
pub(super) fn limits(relief: &Relief) -> Result<(Region, Region), Flaw> {
    let (upper, lower) = relief.deviations;
    let sizes = &relief.sizes;
    let larger = Sizes {
        radius: (sizes.radius.nm() - RADIUS_OFF).max(1_000),
        width: (sizes.width + sizes.width_more).nm(),
        face: (sizes.face_depth + sizes.face_more).nm(),
        ground: (sizes.depth + sizes.depth_more).nm() + if relief.inside { upper } else { -lower },
    };
    // Behind a thread the width is the largest; the run-out may be steeper than its 30°.
    let run_out = if relief.sizes.angle() > 20.0 { sizes.depth.nm() } else { 0 };
    let smaller = Sizes {
        radius: sizes.radius.nm() + RADIUS_OFF,
        width: sizes.width.nm() - run_out,
        face: sizes.face_depth.nm(),
        ground: sizes.depth.nm() + if relief.inside { lower } else { -upper },
    };
    let off = relief.face.1;
    let may = moved(relief, &larger, off)?;
    let both = [off, -off].map(|by| Ok(region(relief, &smaller)?.shifted(by)));
    let [ahead, behind]: [Result<Region, Flaw>; 2] = both;
    Ok((ahead?.intersection(&behind?), may))
}

/// The sizes of an outline, in nanometers; the ground counts from the nominal cylinder.
struct Sizes {
    radius: i64,
    width: i64,
    face: i64,
    ground: i64,
}

fn moved(relief: &Relief, sizes: &Sizes, off: i64) -> Result<Region, Flaw> {
    let (start, lines) = outline(relief, sizes);
    let outline = Outline::new(start, &lines, Chord::FINE)?;
    let way = Move::line(Point::new(off, 0), Point::new(-off, 0))?;
    Ok(Region::from(&Sweep::of(&outline, &way, Chord::FINE)?))
}

fn region(relief: &Relief, sizes: &Sizes) -> Result<Region, Flaw> {
    let (start, lines) = outline(relief, sizes);
    Ok(Region::from(&Outline::new(start, &lines, Chord::FINE)?))
}

/// The closed outline: along the cylinder, down its run-out, along the ground, round the corner, and
/// up the face or its run-out.
fn outline(relief: &Relief, sizes: &Sizes) -> (Point, Vec<Line>) {
    let Sizes { radius, width, face, ground } = *sizes;
    let ground = ground.max(1);
    // Toward the gap in front of the face, and into the metal.
    let ahead = if relief.back { -1 } else { 1 };
    let into = if relief.inside { 1 } else { -1 };
    let place = |along: i64, deep: i64| {
        let r = (relief.radius + into * deep).max(0);
        Point::new(-relief.face.0 + ahead * along, r)
    };
    let angle = relief.sizes.angle().to_radians();
    let run = libm::round(ground as f64 / libm::tan(angle)) as i64;
    let radius = radius.min(width - run + face).max(2);
    let foot = (width - run).max(radius - face + 1);
    let mut lines = vec![
        Line::Line(place(width.max(foot + 1), 0)),
        Line::Line(place(foot, ground)),
        Line::Line(place(radius - face, ground)),
    ];
    let center = place(radius - face, ground - radius);
    let turn = if relief.back == relief.inside { Turn::Clockwise } else { Turn::Counterclockwise };
    let top = if face > 0 {
        // The tangent at 8° to the face leaves the circle so far above its center.
        let slope = model::standards::undercut::FACE_ANGLE.to_radians();
        let (across, along) = (radius as f64 * libm::cos(slope), radius as f64 * libm::sin(slope));
        let (across, along) = (libm::round(across) as i64, libm::round(along) as i64);
        let leaves = (radius - face - across, ground - radius - along);
        lines.push(Line::Arc { to: place(leaves.0, leaves.1), center, turn });
        let up = libm::round((-leaves.0).max(0) as f64 / libm::tan(slope)) as i64;
        lines.push(Line::Line(place(0, leaves.1 - up)));
        leaves.1 - up
    } else {
        lines.push(Line::Arc { to: place(0, ground - radius), center, turn });
        ground - radius
    };
    // Closed above the cylinder, where the drawing has no metal either.
    let closed = top.min(-ABOVE);
    if closed < top {
        lines.push(Line::Line(place(0, closed)));
    }
    let start = place(width.max(foot + 1), closed);
    lines.push(Line::Line(start));
    (start, lines)
}
