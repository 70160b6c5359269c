//! Roughing by layers and finishing along a contour, outside or in a bore: both have their metal
//! below the contour.

use super::contour::{At, Bend, Contour, Leg, NOTHING};
use super::drawing::Side;
use super::parallel::parallel;
use super::path::Path;
use std::f64::consts::PI;

/// What an insert is to turn.
pub(super) struct Turned<'c> {
    /// Which side of the part.
    pub side: Side,
    /// What it is to leave, as far as its edges reach.
    pub contour: &'c Contour,
    /// Where the raw metal ends: the bar's outside, or the drilled hole.
    pub raw: f64,
    /// Radius of the nose.
    pub nose: f64,
    /// Where the programmed tip stands from the nose's center, for each unit of its radius.
    pub tip: (f64, f64),
    /// Distance kept from metal at rapid.
    pub clear: f64,
    /// A small way off the metal, for which there is room.
    pub lift: f64,
    /// The deepest cut of the insert, and no less than the stock that it finds.
    pub depth: f64,
}

/// A piece of a contour between two layers, by where it lies.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Lies {
    BelowLayer,
    InLayer,
    Above,
}

impl Turned<'_> {
    /// The path of the programmed tip that leaves so much on the contour.
    pub(super) fn tip_path(&self, stock: f64) -> Option<Contour> {
        self.tip_path_on(self.contour, stock)
    }

    fn tip_path_on(&self, contour: &Contour, stock: f64) -> Option<Contour> {
        let path = parallel(contour, self.nose + stock)?;
        let path = path.moved(self.nose * self.tip.0, self.nose * self.tip.1);
        // The tip leads the nose; it goes no farther than the contour does.
        Some(path.before(self.contour.end()?.z))
    }

    /// Beside the raw metal, where the tool may go along.
    pub(super) fn beside(&self) -> f64 {
        self.raw + self.lift
    }

    /// Layers of at most a depth, down to a contour that keeps the stock for finishing.
    pub(super) fn rough(&self, depth: f64, stock: f64, path: &mut Path<'_>) {
        // With the face in front of it, its first edge keeps the stock too.
        let mut faced = Contour::default();
        let face = self.contour.start().map(|start| start.moved(0.0, -2.0 * (self.nose + stock)));
        if let (Some(face), Some(start)) = (face, self.contour.start()) {
            faced.line_to(face, start);
        }
        faced.legs.extend(&self.contour.legs);
        let Some(limit) = self.tip_path_on(&faced, stock) else { return };
        let mut before = self.raw;
        for layer in layers(&limit, self.contour.radii().0 + stock, self.raw, depth) {
            for run in runs(&limit, layer, before) {
                self.run(&run, layer, before, path);
            }
            before = layer;
        }
    }

    /// Layers below a rim, between two places on the contour that lie as high.
    pub(super) fn rough_below(&self, rim: f64, depth: f64, stock: f64, path: &mut Path<'_>) {
        let Some(limit) = self.tip_path(stock) else { return };
        let mut before = rim;
        for layer in layers(&limit, self.contour.radii().0 + stock, rim, depth) {
            for run in runs(&limit, layer, before) {
                if !run_is_front(&run, layer, before) {
                    self.run(&run, layer, before, path);
                }
            }
            before = layer;
        }
    }

    /// One run of a layer: in, along, up on the contour to where the layer before it was, and off.
    fn run(&self, run: &[(Leg, Lies)], layer: f64, before: f64, path: &mut Path<'_>) {
        let Some(first) = run.first().map(|(leg, _)| leg.from) else { return };
        let from_front = run_is_front(run, layer, before);
        if from_front {
            let r = if run[0].1 == Lies::BelowLayer { layer } else { first.r };
            if path.at().is_some_and(|at| at.z < self.clear - NOTHING) {
                // From behind what stands in front, beside it first.
                path.rapid(At::new(self.clear, self.beside()));
            }
            path.rapid(At::new(self.clear, r));
        } else {
            // Off first, then along: at rapid both axes at once would pass through what stands between.
            if let Some(at) = path.at().filter(|at| at.r < self.beside()) {
                path.rapid(At::new(at.z, self.beside()));
            }
            path.rapid(At::new(first.z, self.beside()));
            path.rapid(At::new(first.z, (first.r + self.lift).min(self.beside())));
            path.cut(first);
        }
        for (leg, lies) in run {
            match lies {
                Lies::BelowLayer => path.cut(At::new(leg.to.z, layer)),
                _ => path.follow(leg),
            }
        }
        let end = path.at().unwrap_or(first);
        let room = if from_front { end.z.abs() } else { (first.z - end.z).abs() / 2.0 };
        let lift = self.lift;
        path.cut(end.moved(lift.min(room), lift));
        if from_front {
            path.rapid(At::new(self.clear, end.r + lift));
        } else {
            path.rapid(At::new(path.at().unwrap_or(end).z, self.beside()));
        }
    }

    /// One pass along the contour; what stands as high as the raw metal at its end is left raw.
    pub(super) fn finish(&self, path: &mut Path<'_>) {
        let Some(tip) = self.tip_path(0.0) else { return };
        let Some(first) = tip.legs.first() else { return };
        let ahead = self.lead_in(first);
        self.face_walls(&tip, path);
        if self.side == Side::Outside {
            path.rapid(At::new(self.clear, self.beside()));
        }
        path.rapid(At::new(ahead.z.max(self.clear), ahead.r));
        path.cut(ahead);
        path.cut(first.from);
        for leg in &tip.legs {
            path.follow(leg);
        }
        self.leave(path);
    }

    /// Faces the walls that are higher than the deepest cut, from their tops. Along the contour the insert
    /// would come against such a wall with its whole main edge.
    fn face_walls(&self, tip: &Contour, path: &mut Path<'_>) {
        let walls = tip.legs.iter().enumerate().filter(|(_, leg)| self.is_high_wall(leg));
        for (index, wall) in walls {
            // Behind its top a broken edge may rise further, with the stock on it.
            let rising = tip.legs[index + 1..].iter().take_while(|leg| leg.to.r > leg.from.r);
            let top = rising.last().map_or(wall.to.r, |leg| leg.to.r);
            let above = top + if top > wall.to.r { self.depth } else { 0.0 } + self.lift;
            path.rapid(At::new(self.clear, self.beside()));
            path.rapid(At::new(wall.to.z, self.beside()));
            path.rapid(At::new(wall.to.z, above.min(self.beside())));
            // What the pass along the cylinder below takes stands up to one cut high there; a little above
            // that, so that none of it is faced off in its whole length.
            let above = (1.1 * self.depth + 0.02).min(wall.to.r - wall.from.r);
            let end = wall.from.moved(0.0, above);
            path.cut(end);
            path.cut(end.moved(self.lift, self.lift));
            path.rapid(At::new(end.z + self.lift, self.beside()));
            path.rapid(At::new(self.clear, self.beside()));
        }
    }

    /// Whether a leg is a wall that is higher than the deepest cut.
    pub(super) fn is_high_wall(&self, leg: &Leg) -> bool {
        let upright = leg.bend == Bend::Straight && (leg.to.z - leg.from.z).abs() < NOTHING;
        upright && leg.to.r - leg.from.r > self.depth
    }

    /// The same pass as a control makes it that reckons the nose in: from a place the offset comes on at
    /// rapid, so far in front of the first leg, and on the way off it goes again.
    pub(super) fn finish_from(&self, (before, off): (At, At), far: f64, path: &mut Path<'_>) {
        let Some(tip) = self.tip_path(0.0) else { return };
        let Some(first) = tip.legs.first() else { return };
        if self.side == Side::Outside {
            path.rapid(At::new(before.z, self.beside()));
        }
        path.rapid(before);
        path.rapid(Turned { clear: far, ..*self }.lead_in(first));
        for leg in &tip.legs {
            path.follow(leg);
        }
        path.cut(off);
        if self.side == Side::Bore {
            path.rapid(At::new(far, off.r));
        }
    }

    /// Away from the contour's end to where the tool may go along.
    pub(super) fn leave(&self, path: &mut Path<'_>) {
        let Some(end) = path.at() else { return };
        match self.side {
            Side::Outside => path.cut(At::new(end.z, self.beside())),
            Side::Bore => {
                path.cut(end.moved(self.lift.min(end.z.abs()), self.lift));
                let off = path.at().unwrap_or(end);
                path.rapid(At::new(self.clear, off.r));
            }
        }
    }

    /// Where a finishing pass begins, in front of the face: on the first leg's line, but along the axis
    /// where that stands upright.
    pub(super) fn lead_in(&self, first: &Leg) -> At {
        let heading = first.headings().0;
        let level = libm::cos(heading) < -0.5;
        if !level {
            return first.from.moved(self.clear, 0.0);
        }
        let way = self.clear / libm::cos(heading).abs();
        let ahead = first.from.toward(heading + PI, way);
        // A chamfer near the axis is entered without passing over it.
        if self.side == Side::Outside && ahead.r < 0.0 { first.from } else { ahead }
    }
}

/// The heights of the layers, the highest first: equal ones between the raw metal and each cylinder.
fn layers(limit: &Contour, lowest: f64, raw: f64, depth: f64) -> Vec<f64> {
    let level = |leg: &&Leg| (leg.from.r - leg.to.r).abs() < 1e-4 && leg.bend == Bend::Straight;
    let mut levels: Vec<f64> = limit.legs.iter().filter(level).map(|leg| leg.to.r).collect();
    // A slope or an arc below the lowest cylinder is finished from there, if that is not too deep.
    let cylinder = levels.iter().copied().fold(raw, f64::min);
    if cylinder - lowest > depth {
        levels.push(lowest + depth.min(cylinder - lowest) / 4.0);
    }
    levels.retain(|level| *level < raw - 1e-4);
    levels.sort_by(|one, other| other.total_cmp(one));
    levels.dedup_by(|one, other| (*one - *other).abs() < 1e-3);
    let (mut layers, mut from) = (Vec::new(), raw);
    for level in levels {
        let count = ((from - level) / depth - 1e-9).ceil().max(1.0);
        let whole =
            (1..=count as u32).map(|layer| from - (from - level) * f64::from(layer) / count);
        layers.extend(whole);
        from = level;
    }
    layers
}

/// The stretches of a contour that a layer is cut over, each from where it leaves the layer before to
/// where it comes back to it.
fn runs(limit: &Contour, layer: f64, before: f64) -> Vec<Vec<(Leg, Lies)>> {
    let mut runs: Vec<Vec<(Leg, Lies)>> = vec![Vec::new()];
    for leg in limit.legs.iter().flat_map(|leg| between(leg, &[layer, before])) {
        let middle = leg.middle().r;
        let lies = if middle <= layer + 1e-5 {
            Lies::BelowLayer
        } else if middle < before - 1e-5 {
            Lies::InLayer
        } else {
            Lies::Above
        };
        match (lies, runs.last_mut()) {
            (Lies::Above, _) => runs.push(Vec::new()),
            (lies, Some(run)) => run.push((leg, lies)),
            _ => {}
        }
    }
    runs.retain(|run| run.iter().any(|(_, lies)| *lies == Lies::BelowLayer));
    runs
}

/// Whether a run is open to the front: where its contour begins there.
fn run_is_front(run: &[(Leg, Lies)], layer: f64, before: f64) -> bool {
    let Some((first, lies)) = run.first() else { return false };
    match lies {
        // Inside a contour a run starts where that comes down from the layer before.
        Lies::BelowLayer => first.from.r < layer - 1e-5 || first.from.z >= -1e-5,
        _ => first.from.r < before - 1e-5,
    }
}

/// A leg cut at some heights.
fn between(leg: &Leg, heights: &[f64]) -> Vec<Leg> {
    const AHEAD: f64 = 10_000.0;
    let mut cuts: Vec<At> = Vec::new();
    for height in heights {
        let origin = At::new(AHEAD, *height);
        let ways = leg.crossings(origin, PI);
        cuts.extend(ways.into_iter().map(|way| At::new(AHEAD - way, *height)));
    }
    let along = |at: &At| match leg.bend {
        Bend::Straight => leg.from.distance(*at),
        Bend::Round { .. } => Leg { to: *at, ..*leg }.swept().abs(),
    };
    cuts.retain(|at| at.distance(leg.from) > NOTHING && at.distance(leg.to) > NOTHING);
    cuts.sort_by(|one, other| along(one).total_cmp(&along(other)));
    let (mut pieces, mut rest) = (Vec::new(), *leg);
    for at in cuts {
        let (piece, behind) = rest.split(at);
        pieces.push(piece);
        rest = behind;
    }
    pieces.push(rest);
    pieces.retain(|piece| !piece.is_nothing());
    pieces
}
