//! What grooves inside and in the face empty, surely or perhaps.

use super::profile::{FAR, Stretch};
use super::rounds::fillet;
use shape::{Flaw, Point, Region};

/// What a groove inside surely empties, down to the axis: what lies in front of it inside is empty too.
pub(super) fn inside(groove: &Stretch, corner: i64) -> Result<Region, Flaw> {
    let (from, to) = (-groove.from - groove.ends.0, -groove.to + groove.ends.1);
    let ground = groove.radii.0 + groove.deviations.1;
    if from <= to || ground < 1 {
        return Ok(Region::empty());
    }
    let whole = Region::rectangle(Point::new(to, 0), Point::new(from, ground))?;
    Ok(whole.difference(&inside_corners(groove, corner)?))
}

/// Both corners at the ground of a groove inside, each as near to its middle as it may be.
fn inside_corners(groove: &Stretch, radius: i64) -> Result<Region, Flaw> {
    let r = groove.radii.0 + groove.deviations.1;
    let (front, back) = (-groove.from - groove.ends.0, -groove.to + groove.ends.1);
    let radius = radius.min((front - back) / 2);
    if radius < 2 {
        return Ok(Region::empty());
    }
    let front = fillet(Point::new(front, r), (-1, -1), radius)?;
    Ok(front.union(&fillet(Point::new(back, r), (1, -1), radius)?))
}

/// What a groove in the face surely empties, and what it may.
pub(super) fn in_face(
    [outer, inner]: &[Stretch; 2],
    corner: i64,
) -> Result<(Region, Region), Flaw> {
    let ring = |low: i64, high: i64, deep: i64| {
        if high <= low || deep < 1 {
            return Ok(Region::empty());
        }
        Region::rectangle(Point::new(-deep, low.max(0)), Point::new(FAR, high))
    };
    let off = outer.ends.1;
    let (low, high) = (inner.radii.0 + inner.deviations.0, outer.radii.0 + outer.deviations.1);
    let mut sure = ring(low, high, outer.to - off)?;
    let radius = corner.min((high - low) / 2).min(outer.to - off);
    if radius >= 2 && !sure.is_empty() {
        let ground = -(outer.to - off);
        sure = sure.difference(&fillet(Point::new(ground, low), (1, 1), radius)?);
        sure = sure.difference(&fillet(Point::new(ground, high), (1, -1), radius)?);
    }
    let may = ring(
        inner.radii.0 + inner.deviations.1,
        outer.radii.0 + outer.deviations.0,
        outer.to + off,
    )?;
    Ok((sure, may))
}
