//! The contours of the finished part, to the middle of its tolerances: the outside, and the bore
//! mirrored at the axis, so that both have their metal below them.

use super::contour::{At, Bend, Contour, Leg, NOTHING};
use crate::cuts::Turn;
use model::Length;
use model::files::job::{Feature, FeatureKind, GrooveSide, Part, Spot, UndercutLeg};

/// The outside of the part, or its bore.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Side {
    Outside,
    Bore,
}

impl Side {
    /// A radius of the part as this side's contour has it.
    pub(super) fn r(self, radius: f64) -> f64 {
        match self {
            Side::Outside => radius,
            Side::Bore => -radius,
        }
    }

    fn has(self, feature: &Feature) -> bool {
        let inside = feature.inside || feature.kind == FeatureKind::Bore;
        !feature.later && inside == (self == Side::Bore)
    }
}

/// A broken edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Edge {
    Chamfer(f64),
    Corner(f64),
}

impl Edge {
    fn of(feature: &Feature) -> Option<Edge> {
        match feature.kind {
            FeatureKind::Chamfer => Some(Edge::Chamfer(feature.size.mm())),
            FeatureKind::Corner => Some(Edge::Corner(feature.radius.mm())),
            _ => None,
        }
    }

    pub(super) const fn size(self) -> f64 {
        match self {
            Edge::Chamfer(size) | Edge::Corner(size) => size,
        }
    }

    /// From a place on a wall to one on a cylinder, both so far from the edge itself.
    fn leg(self, from: At, to: At, center: At) -> Leg {
        match self {
            Edge::Chamfer(_) => Leg::line(from, to),
            Edge::Corner(_) => {
                Leg { from, to, bend: Bend::Round { center, turn: Turn::Counterclockwise } }
            }
        }
    }
}

/// One stretch of a side.
struct Stretch<'p> {
    feature: &'p Feature,
    from: At,
    to: At,
    front: Option<Edge>,
    back: Option<Edge>,
    /// The relief in the corner behind it, and that in the corner before it.
    relief_behind: Option<&'p Feature>,
    relief_before: Option<&'p Feature>,
}

/// One side of the drawing.
pub(super) struct Drawn {
    /// Its contour, from the front face; that of the outside ends at the back face at full size.
    pub contour: Contour,
    /// The broken edge at the back face.
    pub back_edge: Option<Edge>,
}

/// The contour of a side; none where the drawing has nothing there.
pub(super) fn drawn(part: &Part, side: Side) -> Option<Drawn> {
    let mut stretches = stretches(part, side);
    let last = stretches.last_mut()?;
    // The edge at the back face comes last, from behind.
    let back_edge = if last.feature.to == part.length { last.back.take() } else { None };
    let mut contour = Contour::default();
    for (index, stretch) in stretches.iter().enumerate() {
        let next = stretches.get(index + 1);
        if index == 0 {
            begins(&mut contour, stretch);
        }
        runs(&mut contour, stretch, side);
        if let Some(next) = next {
            goes_over(&mut contour, stretch, next, side);
        }
    }
    Some(Drawn { contour: knurled(contour, part, side), back_edge })
}

fn stretches(part: &Part, side: Side) -> Vec<Stretch<'_>> {
    let mut stretches: Vec<Stretch<'_>> = Vec::new();
    let (mut front, mut relief) = (None, None);
    for feature in part.features.iter().filter(|feature| side.has(feature)) {
        match feature.kind {
            FeatureKind::Chamfer | FeatureKind::Corner if feature.back => {
                if let Some(last) = stretches.last_mut() {
                    last.back = Edge::of(feature);
                }
            }
            FeatureKind::Chamfer | FeatureKind::Corner => front = Edge::of(feature),
            FeatureKind::Undercut if feature.back => relief = Some(feature),
            FeatureKind::Undercut => {
                if let Some(last) = stretches.last_mut() {
                    last.relief_behind = Some(feature);
                }
            }
            FeatureKind::Diameter | FeatureKind::Taper | FeatureKind::Arc | FeatureKind::Bore => {
                let before = stretches.last().map(|it| it.to);
                let to = At::new(-feature.to.mm(), side.r(feature.cut().half().mm()));
                let shift = (feature.cut() - feature.diameter).half().mm();
                let start = match (feature.start, feature.kind) {
                    (Some(start), _) => side.r(start.half().mm() + shift),
                    (None, FeatureKind::Taper | FeatureKind::Arc) => {
                        before.map_or(side.r(0.0), |before| before.r)
                    }
                    (None, _) => to.r,
                };
                stretches.push(Stretch {
                    feature,
                    from: At::new(before.map_or(0.0, |before| before.z), start),
                    to,
                    front: front.take(),
                    back: None,
                    relief_behind: None,
                    relief_before: relief.take(),
                });
            }
            _ => {}
        }
    }
    for index in 1..stretches.len() {
        let (before, behind) = stretches.split_at_mut(index);
        if let (Some(before), Some(behind)) = (before.last_mut(), behind.first_mut()) {
            meets(before, behind);
        }
    }
    stretches
}

/// A cone or an arc that ends where a cylinder starts meets it at the size to which that is cut.
fn meets(before: &mut Stretch<'_>, behind: &mut Stretch<'_>) {
    let sloped = |stretch: &Stretch<'_>| {
        matches!(stretch.feature.kind, FeatureKind::Taper | FeatureKind::Arc)
            || stretch.feature.start.is_some()
    };
    let starts = behind.feature.start.unwrap_or(behind.feature.diameter);
    if before.feature.diameter != starts {
        return;
    }
    match (sloped(before), sloped(behind)) {
        (true, false) => before.to.r = behind.from.r,
        (_, true) => behind.from.r = before.to.r,
        (false, false) => {}
    }
}

/// The front edge of the first stretch.
fn begins(contour: &mut Contour, first: &Stretch<'_>) {
    rises_to(contour, first, first.from.moved(0.0, -first.front.map_or(0.0, Edge::size)));
}

/// From a place on the wall in front of a stretch over its front edge onto it.
fn rises_to(contour: &mut Contour, stretch: &Stretch<'_>, from: At) {
    let Some(edge) = stretch.front else {
        contour.line_to(from, stretch.from);
        return;
    };
    let size = edge.size();
    let (wall, on) = (stretch.from.moved(0.0, -size), stretch.from.moved(-size, 0.0));
    contour.line_to(from, wall);
    contour.push(edge.leg(wall, on, stretch.from.moved(-size, -size)));
}

/// The stretch itself, up to its back edge or the relief behind it.
fn runs(contour: &mut Contour, stretch: &Stretch<'_>, side: Side) {
    let from = contour.end().unwrap_or(stretch.from);
    let to = match (stretch.relief_behind.and_then(Feature::undercut_outline), stretch.back) {
        (Some((start, _)), _) => at(start, side),
        (None, Some(edge)) => stretch.to.moved(edge.size(), 0.0),
        (None, None) => stretch.to,
    };
    if stretch.feature.kind == FeatureKind::Arc {
        contour.push(arc(from, to, stretch.feature, side));
    } else {
        contour.line_to(from, to);
    }
}

/// From the end of a stretch over what lies in the corner to the start of the next.
fn goes_over(contour: &mut Contour, stretch: &Stretch<'_>, next: &Stretch<'_>, side: Side) {
    let end = contour.end().unwrap_or(stretch.to);
    if let Some((_, legs)) = stretch.relief_behind.and_then(Feature::undercut_outline) {
        relief(contour, &legs, side);
        rises_to(contour, next, contour.end().unwrap_or(end));
        return;
    }
    if let Some(edge) = stretch.back.filter(|_| stretch.to.r > next.from.r) {
        let leg = edge.size();
        let below = stretch.to.moved(0.0, -leg);
        contour.push(edge.leg(end, below, stretch.to.moved(leg, -leg)));
    }
    if let Some((start, legs)) = next.relief_before.and_then(Feature::undercut_outline) {
        let forward: Contour = undercut(at(start, side), &legs, side);
        for leg in forward.legs.iter().rev() {
            let leg = leg.turned_back();
            contour.line_to(end, leg.from);
            contour.push(leg);
        }
        return;
    }
    if next.from.r > end.r {
        rises_to(contour, next, end);
    } else {
        contour.line_to(end, next.from);
    }
}

fn at(spot: Spot, side: Side) -> At {
    At::new(-spot.behind.mm(), side.r(spot.radius.mm()))
}

fn relief(contour: &mut Contour, legs: &[UndercutLeg], side: Side) {
    let Some(start) = contour.end() else { return };
    for leg in undercut(start, legs, side).legs {
        contour.push(leg);
    }
}

fn undercut(start: At, legs: &[UndercutLeg], side: Side) -> Contour {
    let mut contour = Contour::default();
    for leg in legs {
        let from = contour.end().unwrap_or(start);
        match leg {
            UndercutLeg::Line(to) => contour.line_to(from, at(*to, side)),
            UndercutLeg::Arc { to, center } => {
                let bend = Bend::Round { center: at(*center, side), turn: Turn::Clockwise };
                contour.push(Leg { from, to: at(*to, side), bend });
            }
        }
    }
    contour
}

/// The arc of less than half a turn between two places.
fn arc(from: At, to: At, feature: &Feature, side: Side) -> Leg {
    let chord = from.distance(to);
    if chord < NOTHING {
        return Leg::line(from, to);
    }
    let bulges = feature.hollow == (side == Side::Bore);
    let high = feature.radius.mm() * feature.radius.mm() - chord * chord / 4.0;
    let quarter = if bulges { 1.0 } else { -1.0 } * std::f64::consts::PI / 2.0;
    let middle = At::new(f64::midpoint(from.z, to.z), f64::midpoint(from.r, to.r));
    let center = middle.toward(from.angle_to(to) + quarter, high.max(0.0).sqrt());
    let turn = if bulges { Turn::Counterclockwise } else { Turn::Clockwise };
    Leg { from, to, bend: Bend::Round { center, turn } }
}

/// Cylinders that are knurled later are turned smaller there.
fn knurled(contour: Contour, part: &Part, side: Side) -> Contour {
    let knurls = part.features.iter().filter(|feature| side.has(feature) && side == Side::Outside);
    knurls.fold(contour, |contour, feature| match feature.before_knurling() {
        Some(before) => lowered(&contour, feature, before),
        None => contour,
    })
}

fn lowered(contour: &Contour, knurl: &Feature, before: Length) -> Contour {
    let (front, back, r) = (-knurl.from.mm(), -knurl.to.mm(), before.half().mm());
    let mut lowered = Contour::default();
    for leg in &contour.legs {
        let level = (leg.from.r - leg.to.r).abs() < NOTHING && leg.bend == Bend::Straight;
        let (starts, ends) = (leg.from.z.min(front), leg.to.z.max(back));
        if !level || ends > starts - NOTHING || leg.from.r <= r {
            lowered.push(*leg);
            continue;
        }
        let place = |z: f64, r: f64| At::new(z, r);
        // A cylinder that is knurled from its front, which nothing stands before.
        if lowered.legs.is_empty() && (leg.from.z - starts).abs() < NOTHING {
            for to in [place(ends, r), place(ends, leg.from.r), leg.to] {
                lowered.line_to(place(starts, r), to);
            }
            continue;
        }
        // The wall in front of a cylinder that is knurled from its front ends lower with it.
        let wall = lowered.legs.last_mut().filter(|wall| {
            let upright = (wall.from.z - wall.to.z).abs() < NOTHING && wall.from.r < r;
            upright && wall.bend == Bend::Straight && (wall.to.z - starts).abs() < NOTHING
        });
        if let Some(wall) = wall {
            wall.to = place(starts, r);
            for to in [place(ends, r), place(ends, leg.from.r), leg.to] {
                lowered.line_to(leg.from, to);
            }
            continue;
        }
        // So does the broken edge in front of it, as far as the knurl covers that edge.
        let edge = lowered.legs.last_mut().filter(|edge| {
            let rises = edge.from.r < r && edge.to.r > r && edge.bend == Bend::Straight;
            rises && (edge.to.z - starts).abs() < NOTHING
        });
        if let Some(edge) = edge {
            let share = (r - edge.from.r) / (edge.to.r - edge.from.r);
            let met = place(edge.from.z + share * (edge.to.z - edge.from.z), r);
            if met.z <= front + NOTHING {
                edge.to = met;
                for to in [place(ends, r), place(ends, leg.from.r), leg.to] {
                    lowered.line_to(met, to);
                }
                continue;
            }
        }
        for to in [
            place(starts, leg.from.r),
            place(starts, r),
            place(ends, r),
            place(ends, leg.from.r),
            leg.to,
        ] {
            lowered.line_to(leg.from, to);
        }
    }
    lowered
}

/// The outside and inside grooves as pockets in a side's contour, each with its feature's place in the
/// list.
pub(super) fn grooves(part: &Part, side: Side, contour: &Contour) -> Vec<(usize, Contour)> {
    let wanted = if side == Side::Outside { GrooveSide::Outside } else { GrooveSide::Inside };
    let features = part.features.iter().enumerate().filter(|(_, it)| !it.later);
    let pocket = |(index, feature): (usize, &Feature)| {
        let groove = feature.groove().filter(|groove| groove.side == wanted)?;
        let (front, back) = (-groove.from.mm(), -groove.to.mm());
        let r = side.r(groove.diameter.half().mm());
        let rim = |z: f64| height(contour, z).unwrap_or(r).max(r);
        let (first, last) = (rim(front - 1e-4), rim(back + 1e-4));
        let mut floor = Contour::default();
        for to in [At::new(front, r), At::new(back, r), At::new(back, last)] {
            floor.line_to(At::new(front, first), to);
        }
        Some((index, floor))
    };
    features.filter_map(pocket).collect()
}

/// How high a contour is at a place along the axis.
pub(super) fn height(contour: &Contour, z: f64) -> Option<f64> {
    const BELOW: f64 = 10_000.0;
    let origin = At::new(z, -BELOW);
    let up = std::f64::consts::PI / 2.0;
    let ways = contour.legs.iter().flat_map(|leg| leg.crossings(origin, up));
    ways.max_by(f64::total_cmp).map(|way| way - BELOW)
}
