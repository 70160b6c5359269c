//! Spotting, drilling and reaming: the moves, and the cycles of controls that make the same moves.

use super::{Drilled, data};
use crate::cuts::{Cycle, CycleForm, Move, Operation, Speed, Work};
use crate::process::{Cutting, Missing, layers, share};
use calc::hole;
use model::Length;
use model::files::control::{Drilling, HolesAs};
use model::files::tools::{Station, ToolKind};
use model::quantity::{FeedPerRev, SpindleSpeed};

/// An operation on the axis: from the turret's own distance in front of the face onto it, in to where the
/// feed begins, and the moves given.
pub(super) fn on_axis(
    cutting: &Cutting<'_>,
    (work, name): (Work, &'static str),
    station: &Station,
    speed: SpindleSpeed,
    start: Length,
) -> Operation {
    let ahead = cutting.job.lathe.turret.index_z.max(start);
    let moves = vec![cutting.rapid(Length::ZERO, ahead), cutting.rapid(Length::ZERO, start)];
    Cutting::operation(work, name, station, Speed::Spindle(speed), moves)
}

/// A spot in the face where the first drill starts, if that drill goes deep and a spot drill stands there.
pub(super) fn spotted(
    cutting: &Cutting<'_>,
    first: &Drilled<'_>,
) -> Option<Result<Operation, Missing>> {
    let drill = first.drill.diameter?;
    let spot = cutting.job.tools.first(ToolKind::SpotDrill)?;
    if !hole::wants_spot(first.hole.depths(first.drill).0, drill) {
        return None;
    }
    // Four fifths of the hole, so that nothing of the cone is left; common practice.
    let wide = Length::from_nm(drill.nm() / 5 * 4).min(spot.diameter?);
    let half_angle = (spot.point_angle / 2.0).to_radians();
    let deep = Length::nearest_mm(wide.half().mm() / libm::tan(half_angle));
    let (speed, feed) = match data(cutting, first.hole.index, spot, Work::Spot) {
        Ok(data) => data,
        Err(missing) => return Some(Err(missing)),
    };
    let start = cutting.clear;
    let mut operation = on_axis(cutting, (Work::Spot, "spot the face"), spot, speed, start);
    operation.moves.push(cutting.cut(Length::ZERO, -deep, feed));
    operation.moves.push(cutting.rapid(Length::ZERO, start));
    Some(Ok(operation))
}

/// Drills from `from`, where a wider hole ends already, to the bottom.
pub(super) fn drilling(
    cutting: &Cutting<'_>,
    drilled: &Drilled<'_>,
    from: Length,
) -> Result<Operation, Missing> {
    let (drill, hole) = (drilled.drill, &drilled.hole);
    let (speed, feed) = data(cutting, hole.index, drill, Work::Drill)?;
    let diameter = drill.diameter.unwrap_or_default();
    let bottom = cutting.place(Length::ZERO, -hole.depths(drill).1);
    let start = cutting.place(Length::ZERO, cutting.clear - from).z;
    let peck = match drill.peck {
        Some(peck) => Some(peck),
        None => hole::peck(-bottom.z - from, diameter).unwrap_or_default(),
    };
    let increment = cutting.job.control.increment(cutting.units);
    let peck = peck.map(|peck| (increment * (peck / increment)).max(increment));
    let mut operation = on_axis(cutting, (Work::Drill, "drill"), drill, speed, start);
    let first = operation.moves.len();
    let (moves, form) = match (cutting.job.control.writing.drilling, peck) {
        (HolesAs::Moves, peck) => (pecks(cutting, start, bottom.z, peck, feed), None),
        (HolesAs::FacePeck, Some(peck)) => {
            let back = cutting.place(Length::ZERO, cutting.clear.half()).z;
            let form = CycleForm::FacePeck { bottom, peck, back, feed };
            (stuttered(cutting, start, bottom.z, (peck, back), feed), Some(form))
        }
        (HolesAs::Cycle | HolesAs::FacePeck, peck) => {
            let form = CycleForm::Drill { bottom, peck, feed };
            (cycled(cutting, start, bottom.z, peck, feed), Some(form))
        }
    };
    operation.cycles.extend(form.map(|form| Cycle { first, count: moves.len(), form }));
    operation.moves.extend(moves);
    if start < cutting.clear {
        // It began in a wider hole: out of that too, before the turret goes aside.
        operation.moves.push(cutting.rapid(Length::ZERO, cutting.clear));
    }
    Ok(operation)
}

/// Pecks of equal depth, all the way out after each, back in at rapid to a little above the ground.
fn pecks(
    cutting: &Cutting<'_>,
    start: Length,
    bottom: Length,
    peck: Option<Length>,
    feed: FeedPerRev,
) -> Vec<Move> {
    let whole = start - bottom;
    let count = peck.map_or(1, |peck| layers(whole, peck).max(1));
    let above = cutting.clear.half();
    let mut moves = Vec::new();
    for index in 1..=count {
        if index > 1 {
            let before = start - share(whole, index - 1, count);
            moves.push(cutting.rapid(Length::ZERO, (before + above).min(start)));
        }
        let to = if index == count { bottom } else { start - share(whole, index, count) };
        moves.push(cutting.cut(Length::ZERO, to, feed));
        moves.push(cutting.rapid(Length::ZERO, start));
    }
    moves.dedup_by(|next, before| next.to == before.to);
    moves
}

/// The depths that a cycle comes to in steps, the last one clipped.
fn steps(from: Length, to: Length, step: Option<Length>) -> Vec<Length> {
    let mut places = Vec::new();
    if let Some(step) = step.filter(|step| step.is_positive()) {
        let whole = (from - to - Length::from_nm(1)) / step;
        places.extend((1..=whole).map(|index| from - step * index));
    }
    places.push(to);
    places
}

/// The moves of a drilling cycle: in at rapid to the last ground, all the way out after each peck; how far
/// a control goes back is in its file.
fn cycled(
    cutting: &Cutting<'_>,
    start: Length,
    bottom: Length,
    peck: Option<Length>,
    feed: FeedPerRev,
) -> Vec<Move> {
    let control = &cutting.job.control;
    let back = control.cycles.drill_back;
    // The plain cycles without pecks know no going back.
    let stays = back.is_positive() && !(control.drilling == Drilling::Plain && peck.is_none());
    let mut moves = Vec::new();
    let mut before = start;
    for to in steps(start, bottom, peck) {
        moves.push(cutting.rapid(Length::ZERO, before));
        moves.push(cutting.cut(Length::ZERO, to, feed));
        let up = if stays && to != bottom { (to + back).min(start) } else { start };
        moves.push(cutting.rapid(Length::ZERO, up));
        before = if stays && to != bottom { up } else { to };
    }
    moves.remove(0);
    moves
}

/// The moves of the cycle that pecks along Z.
fn stuttered(
    cutting: &Cutting<'_>,
    start: Length,
    bottom: Length,
    (peck, back): (Length, Length),
    feed: FeedPerRev,
) -> Vec<Move> {
    let mut moves = Vec::new();
    for to in steps(start, bottom, Some(peck)) {
        moves.push(cutting.cut(Length::ZERO, to, feed));
        let up = if to == bottom { start } else { to + back };
        moves.push(cutting.rapid(Length::ZERO, up));
    }
    moves
}

/// In and out at feed, the spindle turning as it did: a reamer never turns back.
pub(super) fn reaming(
    cutting: &Cutting<'_>,
    drilled: &Drilled<'_>,
    reamer: &Station,
) -> Result<Operation, Missing> {
    let hole = &drilled.hole;
    let (speed, feed) = data(cutting, hole.index, reamer, Work::Ream)?;
    let shown = |length: Length| length.shown(cutting.units);
    let bottom = cutting.place(Length::ZERO, -hole.deep).z;
    if reamer.deepest().is_none_or(|deepest| deepest < hole.deep) {
        let number = reamer.number;
        return Err(Missing {
            feature: Some(hole.index),
            why: match reamer.deepest() {
                Some(is) => format!("The reamer of station {number} reaches {}.", shown(is)),
                None => format!(
                    "The tools file does not say how deep the reamer of station {number} reaches."
                ),
            },
            mend: format!("Write or mend its `reach`: {} at least.", shown(hole.deep)),
        });
    }
    let mut operation = on_axis(cutting, (Work::Ream, "ream"), reamer, speed, cutting.clear);
    operation.moves.push(cutting.cut(Length::ZERO, bottom, feed));
    operation.moves.push(cutting.cut(Length::ZERO, cutting.clear, feed));
    Ok(operation)
}
