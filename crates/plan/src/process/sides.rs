//! The outside and the bore: which tools turn them, and in which order.

use super::contour::{At, Contour};
use super::drawing::{self, Drawn, Edge, Side};
use super::ends::into_kerf;
use super::grooves::{Plunged, Unfit};
use super::path::Path;
use super::reach::{Edges, Pocket, Reached, reached};
use super::turning::Turned;
use super::{Cutting, Missing, Process};
use crate::cuts::Work;
use model::Length;
use model::files::tools::{Station, ToolKind};

/// What the back of the outside is like.
#[derive(Default)]
pub(super) struct Back {
    pub back_edge: Option<Edge>,
    /// Radius at the back face.
    pub back: f64,
}

/// Turns the outside and cuts what an insert does not reach.
pub(super) fn outside(cutting: &Cutting<'_>, process: &mut Process) -> Back {
    let part = &cutting.job.file.part;
    let Some(Drawn { contour, back_edge }) = drawing::drawn(part, Side::Outside) else {
        return Back::default();
    };
    let back = Back { back_edge, back: contour.end().map_or(0.0, |end| end.r) };
    let grooves = drawing::grooves(part, Side::Outside, &contour);
    let contour = turned_away(into_kerf(contour, cutting), cutting);
    let stations: Vec<&Station> =
        cutting.job.tools.stations.iter().filter(|it| it.kind == ToolKind::Turning).collect();
    let Some(rough) = stations.first() else { return back };
    let Some((finish, reached_by_finish)) = best(&stations, &contour) else { return back };
    let raw = cutting.job.file.bar.reach().mm();
    turn(cutting, rough, Work::Rough, &reached(&contour, edges(rough)).contour, raw, process);
    turn(cutting, finish, Work::Finish, &reached_by_finish.contour, raw, process);
    for (feature, floor) in grooves {
        groove(cutting, Some(feature), &floor, raw, process);
    }
    for Pocket { floor } in reached_by_finish.pockets {
        groove(cutting, None, &floor, raw, process);
    }
    back
}

/// The contour without its end where that stays as large as the bar.
fn turned_away(mut contour: Contour, cutting: &Cutting<'_>) -> Contour {
    let raw = cutting.job.file.bar.reach().mm();
    while let Some(last) = contour.legs.last_mut() {
        if last.from.r >= raw - 1e-6 {
            contour.legs.pop();
        } else {
            break;
        }
    }
    contour
}

/// How the insert of a station stands. Where the file gives no angles, an insert of 80° that leads
/// with 95° is meant: such a holder is the most common one for turning from bar (common practice).
fn edges(station: &Station) -> Edges {
    let main = station.edge_angle.unwrap_or(95.0);
    let corner = station.insert.and_then(|insert| insert.shape.corner()).unwrap_or(80.0);
    // Two degrees stay between the trailing edge and the metal.
    Edges { main, minor: (180.0 - main - corner - 2.0).max(0.0) }
}

/// The station that reaches most of a contour: the first of those that leave the fewest pockets.
fn best<'s>(stations: &[&'s Station], contour: &Contour) -> Option<(&'s Station, Reached)> {
    let each = stations.iter().map(|station| (*station, reached(contour, edges(station))));
    each.min_by_key(|(_, reached)| reached.pockets.len())
}

/// Where the programmed tip stands from the nose's center, for each unit of its radius: Z, then R
/// as the side has it. The numbers of the tips are common practice.
fn tip(station: &Station, side: Side) -> (f64, f64) {
    let (z, r) = match station.tip {
        Some(1) => (1.0, 1.0),
        Some(2) => (-1.0, 1.0),
        Some(4) => (1.0, -1.0),
        Some(5) => (1.0, 0.0),
        Some(6) => (0.0, 1.0),
        Some(7) => (-1.0, 0.0),
        Some(8) => (0.0, -1.0),
        Some(0 | 9) => (0.0, 0.0),
        _ => (-1.0, -1.0),
    };
    (z, side.r(r))
}

fn turn(
    cutting: &Cutting<'_>,
    station: &Station,
    work: Work,
    contour: &Contour,
    raw: f64,
    process: &mut Process,
) {
    let Some(data) = cutting.data(station, work) else { return };
    let side =
        if matches!(work, Work::RoughBore | Work::FinishBore) { Side::Bore } else { Side::Outside };
    let turned = Turned {
        side,
        contour,
        raw,
        nose: station.nose_radius.mm(),
        tip: tip(station, side),
        clear: cutting.clear.mm(),
    };
    let mut moves = Vec::new();
    let mut path = Path::new(side, cutting.units, data.feed, &mut moves);
    let name = match work {
        Work::Rough => {
            turned.rough(data.depth.mm(), station.finish_stock.mm(), &mut path);
            "rough the outside"
        }
        Work::RoughBore => {
            turned.rough(data.depth.mm(), station.finish_stock.mm(), &mut path);
            "rough the bore"
        }
        Work::FinishBore => {
            turned.finish(&mut path);
            "finish the bore"
        }
        _ => {
            turned.finish(&mut path);
            "finish the outside"
        }
    };
    if !moves.is_empty() {
        let operation = cutting.operation(work, name, station, data.speed, moves);
        process.operations.push(operation);
    }
}

/// Cuts one groove with the first blade that fits.
fn groove(
    cutting: &Cutting<'_>,
    feature: Option<usize>,
    floor: &Contour,
    raw: f64,
    process: &mut Process,
) {
    let blades = cutting.job.tools.stations.iter();
    let grooving = blades.clone().filter(|it| it.kind == ToolKind::Grooving);
    let parting = blades.filter(|it| it.kind == ToolKind::Parting);
    let deep = Length::nearest_mm(floor.radii().1 - floor.radii().0);
    let mut why = None;
    for station in grooving.chain(parting) {
        let Some(width) = station.width else { continue };
        let plunged = Plunged {
            floor,
            width: width.mm(),
            corner: station.corner,
            stock: station.finish_stock.mm(),
            beside: raw + cutting.clear.mm(),
            clear: cutting.clear.mm(),
        };
        if station.reach.is_some_and(|reach| reach < deep) {
            continue;
        }
        match plunged.fits() {
            Ok(()) => {
                let Some(data) = cutting.data(station, Work::Groove) else { continue };
                let mut moves = Vec::new();
                plunged.cut(&mut Path::new(Side::Outside, cutting.units, data.feed, &mut moves));
                let operation =
                    cutting.operation(Work::Groove, "groove", station, data.speed, moves);
                process.operations.push(operation);
                return;
            }
            Err(unfit) => why = Some(unfit),
        }
    }
    process.missing.push(no_blade(cutting, feature, floor, why));
}

fn no_blade(
    cutting: &Cutting<'_>,
    feature: Option<usize>,
    floor: &Contour,
    why: Option<Unfit>,
) -> Missing {
    let shown = |mm: f64| Length::nearest_mm(mm).shown(cutting.units);
    let (front, back) = (
        floor.start().unwrap_or(At::new(0.0, 0.0)).z.abs(),
        floor.end().unwrap_or(At::new(0.0, 0.0)).z.abs(),
    );
    let (lowest, highest) = floor.radii();
    let place = format!("from {} to {} behind the front face", shown(front), shown(back));
    let mend = match why {
        Some(Unfit::Shaped) => format!(
            "An insert that goes down more steeply toward the chuck would reach it, or a tool of its shape; it is {} deep.",
            shown(highest - lowest)
        ),
        _ => format!(
            "A grooving blade no wider than {} that reaches {} deep would cut it.",
            shown((front - back).abs()),
            shown(highest - lowest)
        ),
    };
    Missing { feature, why: format!("No tool on the turret cuts what lies {place}."), mend }
}
