//! What a move took off: how deep, square to its way, and whether it went into solid metal.

use super::{Metal, ways};
use crate::action::Path;
use crate::event;
use model::Length;
use shape::{Move, Placed, Point, Region};

/// How far in front of the deepest place a bore is looked for, and how thick a chip is at least.
const INSIDE: i64 = 1000;

impl Metal {
    /// How deep a cut was where its tool has a limit, and where a boring tool went into metal that
    /// is solid to the axis.
    pub(super) fn removed(
        &self,
        before: Placed,
        after: Placed,
        station: u32,
        (from, to): (event::Point, event::Point),
        path: Path,
    ) -> (Option<Length>, Option<event::Point>) {
        let Some(tool) = self.tool(station).filter(|_| after != before) else {
            return (None, None);
        };
        let (bores, limited) = (tool.bores() && to.z < from.z, tool.has_most_depth());
        if !bores && !limited {
            return (None, None);
        }
        let mut store = self.store.borrow_mut();
        let removed = store.difference(before, after);
        let (removed, bar) = (store.region(removed), store.region(before));
        let way = ways(from, to, path, None).and_then(|[way, _]| way);
        let depth = way.filter(|_| limited).map(|way| Length::from_nm(depth(&removed, &way)));
        let solid = if bores { solid_at(&bar, &removed) } else { None };
        let point = |at: Point| event::Point { r: Length::from_nm(at.r), z: Length::from_nm(at.z) };
        (depth, solid.map(point))
    }
}

/// The depth of what was removed, square to the way, in nanometers. Of a line that goes more along the
/// axis than across it this is the longest section, so that a film which the trailing edge wipes off
/// elsewhere is not counted; of others how far it stands off the line or arc that the innermost of it
/// lies on.
fn depth(removed: &Region, way: &Move) -> i64 {
    if let Move::Line { from, to } = *way {
        let (z, r) = ((to.z - from.z) as f64, (to.r - from.r) as f64);
        if z.abs() > r.abs() {
            return libm::round(longest_section(removed) as f64 * z.abs() / libm::hypot(z, r))
                as i64;
        }
    }
    stands_off(removed, way)
}

/// The longest stretch of metal across the axis; it is longest at a corner.
fn longest_section(removed: &Region) -> i64 {
    let mut places: Vec<i64> = removed.loops().flatten().map(|point| point.z).collect();
    places.sort_unstable();
    places.dedup();
    let spans = places.into_iter().flat_map(|z| removed.section(z));
    spans.map(|span| span.high - span.low).max().unwrap_or(0)
}

fn stands_off(removed: &Region, way: &Move) -> i64 {
    let chips: Vec<Point> =
        removed.loops().flatten().copied().filter(|at| is_thick(removed, *at)).collect();
    let points = || chips.iter().copied();
    let across: Box<dyn Fn(Point) -> f64> = match *way {
        Move::Line { from, to } => {
            let (z, r) = (to.z as f64 - from.z as f64, to.r as f64 - from.r as f64);
            let length = libm::hypot(z, r);
            if length <= 0.0 {
                return 0;
            }
            Box::new(move |p| (p.r as f64 * z - p.z as f64 * r) / length)
        }
        Move::Arc { center, .. } => Box::new(move |p| {
            libm::hypot(p.z as f64 - center.z as f64, p.r as f64 - center.r as f64)
        }),
    };
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for at in points().map(across) {
        (least, most) = (least.min(at), most.max(at));
    }
    if most > least { libm::round(most - least) as i64 } else { 0 }
}

/// Where the bar was solid to the axis at the deepest place of what a move toward the chuck
/// removed.
fn solid_at(before: &Region, removed: &Region) -> Option<Point> {
    let deepest = removed.bounds()?.min.z;
    let spans = before.section(deepest.checked_add(INSIDE)?);
    let inner = spans.first()?;
    (inner.low == 0).then(|| Point::new(deepest, removed.bounds().map_or(0, |it| it.min.r)))
}

/// Whether what was removed is more at a point of its outline than a sliver, as a wall leaves that a new
/// corner on the grid moves by less than a nanometer.
fn is_thick(removed: &Region, at: Point) -> bool {
    [-INSIDE, INSIDE].into_iter().any(|beside| {
        let spans = removed.section(at.z.saturating_add(beside));
        spans.iter().any(|span| {
            let near = span.low - INSIDE <= at.r && at.r <= span.high + INSIDE;
            near && span.high - span.low > INSIDE
        })
    })
}
