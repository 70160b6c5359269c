//! The faces of the part: facing, the edge at the back and parting off.

use super::Cutting;
use super::contour::{At, Bend, Contour, Leg};
use super::drawing::{Edge, Side};
use super::path::Path;
use crate::cuts::{Operation, Work};
use calc::bar::Division;
use model::Length;
use model::files::tools::{BladeCorner, Station};

/// Faces from one distance in front of the finished face down to another, in equal passes.
pub(super) fn facing(
    cutting: &Cutting<'_>,
    station: &Station,
    name: &'static str,
    (from, to): (Length, Length),
) -> Option<Operation> {
    let data = cutting.data(station, Work::Face)?;
    let past = station.nose_radius.max(cutting.clear.half().half()).mm();
    let layers = super::layers(from - to, data.depth).max(1);
    let mut moves = Vec::new();
    let mut path = Path::new(Side::Outside, cutting.units, data.feed, &mut moves);
    for layer in 1..=layers {
        let z = if layer == layers { to } else { from - super::share(from - to, layer, layers) };
        let (z, clear) = (z.mm(), cutting.clear.mm());
        path.rapid(At::new(z, cutting.beside.half().mm()));
        path.cut(At::new(z, -past));
        path.rapid(At::new(z + clear, -past));
        path.rapid(At::new(z + clear, cutting.beside.half().mm()));
    }
    Some(Cutting::operation(Work::Face, name, station, data.speed, moves))
}

/// Where the blade's corner stands for parting.
fn parting_place(division: &Division, station: &Station) -> f64 {
    let back = -division.finished;
    match station.corner {
        BladeCorner::ChuckSide => (back - division.part_off).mm(),
        BladeCorner::FrontSide => back.mm(),
    }
}

/// Breaks the edge at the back face in the kerf of the blade, which stays open for parting off.
pub(super) fn back_edge(
    cutting: &Cutting<'_>,
    station: &Station,
    edge: Edge,
    outside: f64,
) -> Option<Operation> {
    let data = cutting.data(station, Work::BackEdge)?;
    let clear = cutting.clear.mm();
    let place = parting_place(cutting.division, station);
    // From the programmed corner to the corner in front, which cuts the edge.
    let to_front = match station.corner {
        BladeCorner::ChuckSide => station.width.unwrap_or_default().mm(),
        BladeCorner::FrontSide => 0.0,
    };
    let back = place + to_front;
    let size = edge.size();
    let mut moves = Vec::new();
    let mut path = Path::new(Side::Outside, cutting.units, data.feed, &mut moves);
    path.rapid(At::new(place, cutting.beside.half().mm()));
    path.cut(At::new(place, outside - size - 0.2 * clear));
    path.rapid(At::new(place, outside + clear));
    let (top, bottom) = (At::new(back + size, outside), At::new(back, outside - size));
    let leg = match edge {
        Edge::Chamfer(_) => Leg::line(top, bottom),
        Edge::Corner(_) => Leg {
            from: top,
            to: bottom,
            bend: Bend::Round {
                center: At::new(back + size, outside - size),
                turn: crate::cuts::Turn::Counterclockwise,
            },
        },
    };
    let leg = leg.moved(-to_front, 0.0);
    path.rapid(At::new(leg.from.z, outside + clear));
    path.follow(&leg);
    path.rapid(At::new(place, outside + clear));
    Some(Cutting::operation(Work::BackEdge, "break the back edge", station, data.speed, moves))
}

/// Parts off; `open` is the height down to which the kerf is open already.
pub(super) fn parting_off(
    cutting: &Cutting<'_>,
    station: &Station,
    open: Option<f64>,
) -> Option<Operation> {
    let data = cutting.data(station, Work::PartOff)?;
    let z = parting_place(cutting.division, station);
    let past = cutting.job.file.cutting.past_center.mm();
    let beside = cutting.beside.half().mm();
    let mut moves = Vec::new();
    let mut path = Path::new(Side::Outside, cutting.units, data.feed, &mut moves);
    path.rapid(At::new(z, beside));
    if let Some(open) = open {
        path.rapid(At::new(z, open + cutting.clear.mm() / 2.0));
    }
    path.cut(At::new(z, -past));
    path.rapid(At::new(z, beside));
    Some(Cutting::operation(Work::PartOff, "part off", station, data.speed, moves))
}

/// Ends a contour inside the kerf, so that no ring stays at the back face and the gripper takes raw
/// bar: by the nose's radius at least, since the nose leaves a round there.
pub(super) fn into_kerf(mut contour: Contour, nose: f64, cutting: &Cutting<'_>) -> Contour {
    let width = cutting.division.part_off.mm();
    let into = (width / 2.0).min(0.5).max((nose + 0.05).min(0.9 * width));
    if let Some(end) = contour.end() {
        contour.line_to(end, At::new(-cutting.division.finished.mm() - into, end.r));
    }
    contour
}
