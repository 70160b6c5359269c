//! Turning as a control's own cycles make it, and finishing with the control's offset of the nose.
//!
//! A cycle is written with the contour; the moves here are those that it makes, for clock and loads.

use super::contour::{At, Contour, Leg};
use super::drawing::Side;
use super::path::Path;
use super::turning::Turned;
use crate::cuts::{Cycle, CycleForm, Move};
use model::files::control::LevelsFrom;
use model::quantity::FeedPerRev;
use model::{Length, Units};
use std::f64::consts::PI;

/// A roughing and a finishing cycle along one contour.
pub(super) struct Cycles {
    /// Where both begin and end.
    start: At,
    /// The contour from the first move along X to that off the metal.
    contour: Contour,
}

impl Cycles {
    /// The cycles for a contour of the outside that never falls toward the chuck; none for another.
    pub(super) fn of(turned: &Turned<'_>) -> Option<Cycles> {
        let tip = turned.tip_path(0.0)?;
        let rises = |leg: &Leg| {
            let places = [leg.from, leg.middle(), leg.to];
            places.windows(2).all(|it| it[1].z <= it[0].z + 1e-9 && it[1].r >= it[0].r - 1e-9)
        };
        if turned.side == Side::Bore || !tip.legs.iter().all(rises) {
            return None;
        }
        let (first, end) = (tip.legs.first()?, tip.end()?);
        let ahead = turned.lead_in(first);
        // From behind the face the cycle would begin inside of the bar.
        if ahead.z < turned.clear / 2.0 {
            return None;
        }
        let mut contour = Contour::default();
        contour.line_to(ahead, first.from);
        contour.legs.extend(&tip.legs);
        contour.line_to(end, At::new(end.z, turned.beside()));
        Some(Cycles { start: At::new(ahead.z, turned.beside()), contour: contour.joined() })
    }

    fn ahead(&self) -> At {
        self.contour.start().unwrap_or(self.start)
    }

    /// The contour as it is written: first along X alone.
    fn written(&self, units: Units, feed: FeedPerRev) -> Vec<Move> {
        let mut moves = Vec::new();
        let mut path = Path::new(Side::Outside, units, feed, &mut moves);
        path.rapid(self.ahead());
        for leg in &self.contour.legs {
            path.follow(leg);
        }
        moves
    }

    /// Roughing: its moves are added, and the cycle that makes them is given.
    pub(super) fn rough(
        &self,
        (depth, stock, lift): (f64, f64, f64),
        levels: LevelsFrom,
        (rough, finish): (FeedPerRev, FeedPerRev),
        units: Units,
        moves: &mut Vec<Move>,
    ) -> Cycle {
        let mut path = Path::new(Side::Outside, units, rough, moves);
        path.rapid(self.start);
        let first = path.count();
        // Along Z nothing is left: at the contour's end it would be cut at its whole height at once.
        let higher = self.contour.moved(0.0, stock);
        let clear = self.start.moved(0.0, stock);
        let top = if levels == LevelsFrom::Start { self.start.r } else { clear.r };
        let lowest = self.ahead().r + stock;
        let (mut before, mut level) = (clear.r, top - depth);
        while before > lowest + 1e-9 {
            level = level.max(lowest);
            let end = wall(&higher, level);
            path.rapid(At::new(clear.z, before));
            path.rapid(At::new(clear.z, level));
            path.cut(At::new(end, level));
            path.cut(At::new(end + lift, level + lift));
            path.rapid(At::new(clear.z, level + lift));
            (before, level) = (level, level - depth);
        }
        path.rapid(clear);
        path.rapid(self.ahead().moved(0.0, stock));
        for leg in &higher.legs {
            path.follow(leg);
        }
        path.rapid(self.start);
        let count = path.count() - first;
        let written = |mm: f64| Length::nearest_mm(mm).round_to(units, units.decimals());
        let form = CycleForm::RoughTurning {
            depth: written(depth),
            lift: written(lift),
            allowance: (written(2.0 * stock), Length::ZERO),
            feed: rough,
            contour: self.written(units, finish),
        };
        Cycle { first, count, form }
    }

    /// Finishing along the same contour.
    pub(super) fn finish(&self, feed: FeedPerRev, units: Units, moves: &mut Vec<Move>) -> Cycle {
        let mut path = Path::new(Side::Outside, units, feed, moves);
        path.rapid(self.start);
        let first = path.count();
        path.rapid(self.ahead());
        for leg in &self.contour.legs {
            path.follow(leg);
        }
        path.rapid(self.start);
        Cycle { first, count: path.count() - first, form: CycleForm::FinishTurning }
    }
}

/// Where a layer meets a contour that rises, at its first wall.
fn wall(contour: &Contour, level: f64) -> f64 {
    const AHEAD: f64 = 10_000.0;
    let origin = At::new(AHEAD, level + 1e-7);
    let met = contour.legs.iter().flat_map(|leg| leg.crossings(origin, PI));
    met.min_by(f64::total_cmp).map_or(0.0, |way| AHEAD - way)
}

/// A finishing pass whose places are the part's, the nose being reckoned in by the control. Its moves
/// are those of the tip.
pub(super) fn with_offset(
    turned: &Turned<'_>,
    feed: FeedPerRev,
    units: Units,
    moves: &mut Vec<Move>,
) -> Option<Cycle> {
    let end = turned.contour.end()?;
    // The tip leads the nose's center by its radius: the part's place ends so much earlier.
    let contour = match turned.side {
        Side::Outside => turned.contour.before(end.z + turned.nose),
        Side::Bore => turned.contour.clone(),
    };
    let (first, last) = (contour.legs.first()?, contour.end()?);
    // A contour that starts upright at the axis, or in which the nose has no room for a leg, is not for
    // the control's offset.
    let all = turned.tip_path(0.0)?.legs.len() >= contour.legs.len();
    let high = turned.tip_path(0.0)?.legs.iter().any(|leg| turned.is_high_wall(leg));
    if !all || high || libm::cos(first.headings().0) > -0.5 {
        return None;
    }
    let far = turned.clear.max(2.5 * turned.nose);
    let heading = first.headings().0;
    let onto = first.from.toward(heading + PI, far / libm::cos(heading).abs());
    let before = onto.moved(far, 0.0);
    let mut written = Vec::new();
    let mut path = Path::new(turned.side, units, feed, &mut written);
    if turned.side == Side::Outside {
        path.rapid(At::new(before.z, turned.beside()));
    }
    path.rapid(before);
    path.rapid(onto);
    for leg in &contour.legs {
        path.follow(leg);
    }
    let off = match turned.side {
        Side::Outside => At::new(last.z, turned.beside()),
        Side::Bore => last.moved(far.min(last.z.abs()), turned.lift),
    };
    path.cut(off);
    if turned.side == Side::Bore {
        path.rapid(At::new(far, off.r));
    }
    let first_made = moves.len();
    turned.finish_from((before, off), far, &mut Path::new(turned.side, units, feed, moves));
    let count = moves.len() - first_made;
    let right = turned.side == Side::Outside;
    Some(Cycle { first: first_made, count, form: CycleForm::NoseOffset { right, moves: written } })
}
