//! The outside and the bore: which tools turn them, and in which order.

use super::contour::{At, Contour};
use super::drawing::{self, Drawn, Edge, Side};
use super::ends::into_kerf;
use super::grooves::{self, Plunged, Unfit};
use super::path::Path;
use super::reach::{Edges, Reached, reached};
use super::turning::Turned;
use super::written::{Cycles, with_offset};
use super::{Cutting, Data, Missing, Process};
use crate::cuts::{Cycle, Move, Work};
use model::Length;
use model::files::control::TurningAs;
use model::files::job::{FeatureKind, GrooveSide, NoseIn};
use model::files::tools::{Station, ToolKind};

/// What the back of the outside is like.
#[derive(Default)]
pub(super) struct Back {
    pub edge: Option<Edge>,
    /// Radius at the back face.
    pub outside: f64,
}

/// What turning of both sides adds to.
pub(super) struct Sides<'c, 'j> {
    pub cutting: &'c Cutting<'j>,
    pub process: &'c mut Process,
}

/// One side on its way to its operations.
struct OneSide<'j> {
    side: Side,
    contour: Contour,
    /// Where the raw metal ends: the bar's outside, or the drilled hole.
    raw: f64,
    rough: &'j Station,
    finish: &'j Station,
    reached: Reached,
}

impl<'j> Sides<'_, 'j> {
    /// Roughs outside and bore, then finishes them, then cuts what an insert does not reach.
    pub(super) fn turned(&mut self) -> Back {
        let part = &self.cutting.job.file.part;
        let Some(Drawn { contour, back_edge }) = drawing::drawn(part, Side::Outside) else {
            return Back::default();
        };
        let back = Back { edge: back_edge, outside: contour.end().map_or(0.0, |end| end.r) };
        let grooves = drawing::grooves(part, Side::Outside, &contour);
        let raw = self.cutting.job.file.bar.reach().mm();
        let contour =
            without_raw_end(into_kerf(contour, self.nose(ToolKind::Turning), self.cutting), raw);
        let outside = self.one(Side::Outside, contour, raw);
        let bore = self.bore();
        for side in [&outside, &bore].into_iter().flatten() {
            self.turn(side, true);
            self.rough_the_rest(side);
        }
        for side in [&bore, &outside].into_iter().flatten() {
            self.turn(side, false);
        }
        for one in [outside, bore].into_iter().flatten() {
            for pocket in &one.reached.pockets {
                let feature = self.feature_at(one.side, &pocket.floor);
                let nose = one.finish.nose_radius.mm() + 0.05;
                let floor = |width: f64| pocket.with_ground(&one.contour, width + nose);
                self.groove(one.side, feature, &floor, one.raw);
            }
        }
        for (feature, floor) in grooves {
            self.groove(Side::Outside, feature, &|_| floor.clone(), raw);
        }
        for (feature, floor) in drawing::grooves(part, Side::Bore, &self.bore_wall()) {
            let raw = self.drilled().unwrap_or(floor.radii().1);
            self.groove(Side::Bore, feature, &|_| floor.clone(), raw);
        }
        for (index, _) in part.features.iter().enumerate().filter(|(_, it)| {
            !it.later && it.groove().is_some_and(|groove| groove.side == GrooveSide::Face)
        }) {
            let why = "This version plans no cut for a groove in the front face.";
            self.lacks(index, why, "Mark it `later = true`, or prove a program of your own.");
        }
        back
    }

    /// The largest nose of the tools of a kind.
    fn nose(&self, kind: ToolKind) -> f64 {
        let stations = self.cutting.job.tools.stations.iter().filter(|it| it.kind == kind);
        stations.map(|it| it.nose_radius.mm()).fold(0.0, f64::max)
    }

    fn lacks(&mut self, feature: usize, why: impl Into<String>, mend: impl Into<String>) {
        let (why, mend) = (why.into(), mend.into());
        self.process.missing.push(Missing { feature: Some(feature), why, mend });
    }

    fn one(&self, side: Side, contour: Contour, raw: f64) -> Option<OneSide<'j>> {
        let kind = if side == Side::Outside { ToolKind::Turning } else { ToolKind::Boring };
        let stations = self.cutting.job.tools.stations.iter().filter(|it| it.kind == kind);
        let stations: Vec<&Station> = stations.collect();
        let rough = *stations.first()?;
        let (finish, reached) = best(&stations, &contour)?;
        Some(OneSide { side, contour, raw, rough, finish, reached })
    }

    /// The bore as its contour, to where the drilled hole or the axis ends it.
    fn bore(&mut self) -> Option<OneSide<'j>> {
        let part = &self.cutting.job.file.part;
        let drawn = drawing::drawn(part, Side::Bore)?;
        let index = part.features.iter().position(|it| it.kind == FeatureKind::Bore && !it.later);
        let index = index.unwrap_or_default();
        let Some(raw) = self.drilled() else {
            self.lacks(
                index,
                "No drill opens this bore for a boring bar.",
                "Put a drill on the turret that leaves something for the boring bar.",
            );
            return None;
        };
        if drawn.back_edge.is_some() {
            let why = "No tool on the turret reaches the rear edge of a bore from the front.";
            self.lacks(index, why, "Mark it `later = true` and break it from the back.");
        }
        let mut contour = drawn.contour;
        let end = contour.end()?;
        if end.z > -part.length.mm() + 1e-6 {
            if self.drilled_deep() < -end.z - 0.01 {
                self.lacks(
                    index,
                    "The drill leaves a cone in the middle of this bore's floor.",
                    "Draw a hole that is deeper than the bore, or put a drill with a flat end on the turret (`point_angle = 180`).",
                );
                return None;
            }
            contour.line_to(end, At::new(end.z, raw));
        } else {
            contour = into_kerf(contour, self.nose(ToolKind::Boring), self.cutting);
        }
        let one = self.one(Side::Bore, contour, raw);
        if one.is_none() {
            let why = "No boring tool stands on the turret.";
            let mend = format!(
                "A boring bar that goes into {} and reaches {} deep would cut it.",
                Length::nearest_mm(-2.0 * raw).shown(self.cutting.units),
                Length::nearest_mm(-end.z).shown(self.cutting.units)
            );
            self.lacks(index, why, mend);
        }
        one.filter(|one| self.bar_goes_in(index, one))
    }

    /// Whether the boring bars have room in the hole and reach its end.
    fn bar_goes_in(&mut self, index: usize, one: &OneSide<'_>) -> bool {
        let shown = |mm: f64| Length::nearest_mm(mm).shown(self.cutting.units);
        let deep = one.contour.legs.iter().map(|leg| -leg.to.z).fold(0.0, f64::max);
        let hole = -2.0 * one.raw;
        for bar in [one.rough, one.finish] {
            if self.lift(one, bar) < 0.1 {
                let why = format!("{} is too thick for a hole of {}.", bar.name, shown(hole));
                self.lacks(index, why, "Take a thinner bar, or drill larger first.");
                return false;
            }
            if bar.overhang.is_some_and(|reach| reach.mm() < deep) {
                let why = format!("{} does not reach {} deep.", bar.name, shown(deep));
                self.lacks(index, why, "Let the bar stand out farther, or take a longer one.");
                return false;
            }
        }
        true
    }

    /// Radius of the widest hole that is drilled before, as the bore's side has it.
    fn drilled(&self) -> Option<f64> {
        let drilled =
            self.process.operations.iter().filter(|it| matches!(it.work, Work::Drill | Work::Ream));
        let tools = drilled.filter_map(|it| self.cutting.job.tools.station(it.station)?.diameter);
        tools.max().map(|diameter| Side::Bore.r(diameter.half().mm()))
    }

    /// How deep a full cylinder of that hole reaches.
    fn drilled_deep(&self) -> f64 {
        let drills = self.process.operations.iter().filter(|it| it.work == Work::Drill);
        let deep = drills.filter_map(|operation| {
            let drill = self.cutting.job.tools.station(operation.station)?;
            let end = operation.moves.iter().map(|one| -one.to.z).max()?;
            Some((drill.diameter?, end - drill.point_length()))
        });
        deep.max().map_or(0.0, |(_, deep)| deep.mm())
    }

    /// The wall that inside grooves are in: the bore's, else that of the drilled hole.
    fn bore_wall(&self) -> Contour {
        let part = &self.cutting.job.file.part;
        if let Some(drawn) = drawing::drawn(part, Side::Bore) {
            return drawn.contour;
        }
        let mut wall = Contour::default();
        if let Some(raw) = self.drilled() {
            wall.line_to(At::new(0.0, raw), At::new(-part.length.mm(), raw));
        }
        wall
    }

    /// How far a tool may go off the metal: in a hole the boring bar has its back near the other
    /// wall. A bar stands a tenth of its diameter beyond its tip, as the prover takes it.
    fn lift(&self, one: &OneSide<'_>, station: &Station) -> f64 {
        let clear = self.cutting.clear.mm();
        match (one.side, station.shank) {
            (Side::Outside, _) => clear,
            (Side::Bore, None) => clear / 2.0,
            (Side::Bore, Some(shank)) => {
                (clear / 2.0).min((-2.0 * one.raw - 1.1 * shank.mm()) / 2.0)
            }
        }
    }

    fn turn(&mut self, one: &OneSide<'_>, rough: bool) {
        let (work, station, name) = match (one.side, rough) {
            (Side::Outside, true) => (Work::Rough, one.rough, "rough the outside"),
            (Side::Outside, false) => (Work::Finish, one.finish, "finish the outside"),
            (Side::Bore, true) => (Work::RoughBore, one.rough, "rough the bore"),
            (Side::Bore, false) => (Work::FinishBore, one.finish, "finish the bore"),
        };
        let Some(data) = self.cutting.data(station, work) else {
            let why = format!("{} has no speed or no feed to {name}.", station.name);
            self.lacks(
                self.feature_at(one.side, &one.contour),
                why,
                "Give both in the tools file.",
            );
            return;
        };
        let roughed;
        let contour = if rough {
            roughed = reached(&one.contour, edges(one.rough)).contour;
            &roughed
        } else {
            &one.reached.contour
        };
        let turned = Turned {
            side: one.side,
            contour,
            raw: one.raw,
            nose: station.nose_radius.mm(),
            tip: tip(station, one.side),
            clear: self.cutting.clear.mm(),
            lift: self.lift(one, station),
            depth: data.depth.max(one.rough.finish_stock).mm(),
        };
        let mut moves = Vec::new();
        let cycle = self.in_cycle(one, &turned, rough, &data, &mut moves);
        if cycle.is_none() {
            let mut path = Path::new(one.side, self.cutting.units, data.feed, &mut moves);
            if rough {
                turned.rough(data.depth.mm(), station.finish_stock.mm(), &mut path);
            } else {
                turned.finish(&mut path);
            }
        }
        if moves.is_empty() && !rough && !one.contour.legs.is_empty() {
            let why = format!("The nose of {} has no room along the drawing.", station.name);
            self.lacks(self.feature_at(one.side, &one.contour), why, "Take a smaller nose.");
        }
        if !moves.is_empty() {
            let mut operation = Cutting::operation(work, name, station, data.speed, moves);
            operation.cycles.extend(cycle);
            self.process.operations.push(operation);
        }
    }

    /// The cycle that turns one side, where control and job ask for one and the contour has it.
    fn in_cycle(
        &self,
        one: &OneSide<'_>,
        turned: &Turned<'_>,
        rough: bool,
        data: &Data,
        moves: &mut Vec<Move>,
    ) -> Option<Cycle> {
        let (job, units) = (self.cutting.job, self.cutting.units);
        let offset = job.file.cutting.nose_in == NoseIn::Control && turned.nose > 0.0;
        if !rough && offset {
            return with_offset(turned, data.feed, units, moves);
        }
        // One contour serves both cycles: both tools must reach the same of it.
        let both = one.rough.number == one.finish.number;
        if job.control.writing.turning != TurningAs::Cycle || !both {
            return None;
        }
        let cycles = Cycles::of(turned)?;
        if !rough {
            return Some(cycles.finish(data.feed, units, moves));
        }
        let finish = self.cutting.data(one.finish, Work::Finish)?.feed;
        let figures = (data.depth.mm(), one.rough.finish_stock.mm(), turned.lift);
        let levels = job.control.cycles.levels_from;
        Some(cycles.rough(figures, levels, (data.feed, finish), units, moves))
    }

    /// Roughs with the finishing tool what the roughing tool had to leave, where that is deeper than
    /// one cut.
    fn rough_the_rest(&mut self, one: &OneSide<'_>) {
        let (work, name) = match one.side {
            Side::Outside => (Work::Rough, "rough the necks"),
            Side::Bore => (Work::RoughBore, "rough the recesses"),
        };
        let station = one.finish;
        let Some(data) = self.cutting.data(station, work) else { return };
        if station.number == one.rough.number {
            return;
        }
        let stock = station.finish_stock.mm();
        let around = 2.0 * (station.nose_radius.mm() + stock) + self.cutting.clear.mm();
        let mut moves = Vec::new();
        let mut path = Path::new(one.side, self.cutting.units, data.feed, &mut moves);
        for pocket in reached(&one.contour, edges(one.rough)).pockets {
            let Some((front, back)) = pocket.floor.start().zip(pocket.floor.end()) else {
                continue;
            };
            let rim = front.r.max(back.r);
            let high = rim + one.rough.finish_stock.mm();
            if high - pocket.floor.radii().0 <= data.depth.mm() {
                continue;
            }
            let contour = below_rim(&one.reached.contour, (front.z, back.z), rim, around);
            let turned = Turned {
                side: one.side,
                contour: &contour,
                raw: one.raw,
                nose: station.nose_radius.mm(),
                tip: tip(station, one.side),
                clear: self.cutting.clear.mm(),
                lift: self.lift(one, station),
                depth: data.depth.max(one.rough.finish_stock).mm(),
            };
            turned.rough_below(high, data.depth.mm(), stock, &mut path);
        }
        if !moves.is_empty() {
            let operation = Cutting::operation(work, name, station, data.speed, moves);
            self.process.operations.push(operation);
        }
    }

    /// The feature of a side in which a stretch that no insert reaches lies.
    fn feature_at(&self, side: Side, floor: &Contour) -> usize {
        let ends = floor.start().zip(floor.end());
        let deep = ends.map_or(0.0, |(front, back)| -f64::midpoint(front.z, back.z));
        let features = self.cutting.job.file.part.features.iter().enumerate();
        let on_side = features.filter(|(_, it)| match side {
            Side::Outside => it.on_outside(),
            Side::Bore => {
                it.kind == FeatureKind::Bore || (it.inside && it.kind == FeatureKind::Arc)
            }
        });
        let mut behind = on_side.filter(|(_, it)| it.to.mm() >= deep);
        behind.next().map_or(0, |(index, _)| index)
    }

    fn plunged<'f>(
        &self,
        station: &Station,
        width: f64,
        floor: &'f Contour,
        rim: f64,
        (side, raw): (Side, f64),
    ) -> Plunged<'f> {
        let clear = self.cutting.clear.mm();
        let (beside, clear, ahead) = match side {
            Side::Outside => (raw + clear, clear, None),
            Side::Bore => (rim.max(raw) + 0.5 * clear, 0.5 * clear, Some(clear)),
        };
        let (corner, stock) = (station.corner, station.finish_stock.mm());
        Plunged { floor, rim, width, corner, stock, beside, clear, ahead }
    }

    /// Cuts one groove with the first blade that fits; `floor` is what is to be cut with a blade of a
    /// width.
    fn groove(&mut self, side: Side, feature: usize, floor: &dyn Fn(f64) -> Contour, raw: f64) {
        let cutting = self.cutting;
        let blades = cutting.job.tools.stations.iter();
        let grooving = blades
            .clone()
            .filter(|it| it.kind == ToolKind::Grooving && it.inside == (side == Side::Bore));
        let parting = blades.filter(|it| it.kind == ToolKind::Parting && side == Side::Outside);
        let bare = floor(0.0);
        let deep = Length::nearest_mm(bare.radii().1 - bare.radii().0);
        let mut why = None;
        for station in grooving.chain(parting) {
            let Some(width) = station.width else { continue };
            let floor = floor(width.mm());
            let valleys = grooves::valleys(&floor);
            let rim = floor.radii().1;
            let plunged = |floor| self.plunged(station, width.mm(), floor, rim, (side, raw));
            let plunged: Vec<Plunged<'_>> = valleys.iter().map(plunged).collect();
            // In a bore the reach is how far the tool goes in.
            let reaches = match side {
                Side::Outside => station.reach.is_none_or(|reach| reach >= deep),
                Side::Bore => true,
            };
            if !reaches {
                continue;
            }
            if let Some(unfit) = plunged.iter().find_map(|one| one.fits().err()) {
                why = Some(unfit);
                continue;
            }
            let work = if side == Side::Bore { Work::GrooveBore } else { Work::Groove };
            let Some(data) = cutting.data(station, work) else { continue };
            let mut moves = Vec::new();
            let mut path = Path::new(side, cutting.units, data.feed, &mut moves);
            for one in &plunged {
                one.cut(&mut path);
            }
            let name = if side == Side::Bore { "groove the bore" } else { "groove" };
            self.process
                .operations
                .push(Cutting::operation(work, name, station, data.speed, moves));
            return;
        }
        let (lack, mend) = no_blade(cutting, &bare, why);
        self.lacks(feature, lack, mend);
    }
}

/// What of a contour lies behind the front rim of a pocket, with a level at the height of its higher rim
/// in front of it: whatever stands there is cut already, or is not to be cut.
fn below_rim(contour: &Contour, (front, back): (f64, f64), rim: f64, around: f64) -> Contour {
    let mut below = Contour::default();
    let start = At::new(front + around, rim);
    below.line_to(start, At::new(front, rim));
    let rest = contour.before(back - around).behind(front);
    if let Some(first) = rest.start() {
        below.line_to(start, first);
    }
    below.legs.extend(rest.legs);
    below
}

/// The contour without its end where that stays as large as the bar.
fn without_raw_end(mut contour: Contour, raw: f64) -> Contour {
    while contour.legs.last().is_some_and(|last| last.from.r >= raw - 1e-6) {
        contour.legs.pop();
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

/// The station that leaves least of a contour: the first of those that leave the least area in pockets
/// and at steps lower than their nose.
fn best<'s>(stations: &[&'s Station], contour: &Contour) -> Option<(&'s Station, Reached)> {
    let each = stations.iter().map(|station| {
        let reached = reached(contour, edges(station));
        let left = reached.left() + at_low_steps(contour, station.nose_radius.mm());
        (*station, reached, left)
    });
    let best = each.min_by(|(_, _, one), (_, _, other)| one.total_cmp(&(other + 1e-3)));
    best.map(|(station, reached, _)| (station, reached))
}

/// What a nose leaves before steps that are lower than its radius, in mm²: it rolls over them from afar.
fn at_low_steps(contour: &Contour, nose: f64) -> f64 {
    let upright = contour.legs.iter().filter(|leg| (leg.from.z - leg.to.z).abs() < 1e-6);
    let heights = upright.map(|leg| leg.to.r - leg.from.r);
    heights.filter(|height| *height > 1e-3 && *height < nose).map(|it| it * (nose - it)).sum()
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

/// Why no blade cuts a groove, and what would.
fn no_blade(cutting: &Cutting<'_>, floor: &Contour, why: Option<Unfit>) -> (String, String) {
    let shown = |mm: f64| Length::nearest_mm(mm).shown(cutting.units);
    let place = |at: Option<At>| at.map_or(0.0, |at| -at.z);
    let (front, back) = (place(floor.start()), place(floor.end()));
    let (lowest, highest) = floor.radii();
    let deep = shown(highest - lowest);
    let mend = match why {
        Some(Unfit::Shaped) => format!(
            "An insert that goes down more steeply toward the chuck would reach it, or a tool of its shape; it is {deep} deep."
        ),
        _ => format!(
            "A grooving blade no wider than {} that reaches {deep} deep would cut it.",
            shown(back - front)
        ),
    };
    let (front, back) = (shown(front), shown(back));
    (
        format!(
            "No tool on the turret cuts what lies from {front} to {back} behind the front face."
        ),
        mend,
    )
}
