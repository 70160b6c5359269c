//! Cuts to the axis: what they take off the front of the bar, and when a part falls.

use super::{Lathe, Neck, Teller};
use crate::event::{Motion, Point, Spot, What};
use crate::form::Verdict;
use model::Length;
use model::files::tools::{BladeCorner, ToolKind};
use shape::Placed;

/// How near to the axis a cut must come to part: what is left then breaks off by itself.
const TO_AXIS: Length = Length::from_um(500);
/// How near to the axis a tip is on it.
const ON_AXIS: Length = Length::from_um(200);
/// How far before its tip a nose that faces may leave metal.
const FACED: Length = Length::from_um(50);
/// How much deeper than the shown place a parting may be and still be the same cut.
const SAME_PLACE: Length = Length::from_mm(2);

impl Lathe<'_> {
    /// What a feed move of a cutting tool does to the bar; `fell` is what it cut off.
    pub(super) fn cut(
        &mut self,
        motion: Motion,
        fell: Option<Placed>,
        spot: Spot,
        tell: &mut Teller<'_>,
    ) {
        let z = motion.to.z;
        if runs_on_axis(motion) && self.state.tool.kind == Some(ToolKind::Turning) {
            // A tip that comes in beside the axis leaves the middle of the face. On the axis the round
            // of the nose leaves metal too, which what follows takes.
            let on_axis = motion.to.r.abs() <= ON_AXIS;
            if on_axis || self.front().is_none_or(|front| front <= z + FACED) {
                self.face(z, spot, tell);
            }
            return;
        }
        let to_axis = reaches_axis(motion);
        if self.parts_off(z) {
            let falls = self.is_front(fell);
            if !falls && self.stands_before(self.kerf(z)) {
                return self.leaves_neck(motion, spot, tell);
            }
            if to_axis || falls {
                self.part_off(motion.to, self.kerf(z), fell, spot, tell);
                self.state.fell_early = falls && !to_axis;
            }
            return;
        }
        let on_axis = self.state.tool.kind.is_some_and(|kind| {
            kind.on_axis() || matches!(kind, ToolKind::Boring | ToolKind::BarStop)
        });
        if to_axis && !on_axis {
            self.face(at_axis(motion), spot, tell);
        }
    }

    /// Whether what fell is the front of the bar, not a ring from its middle.
    fn is_front(&self, fell: Option<Placed>) -> bool {
        let Some((metal, fell)) = self.metal.as_ref().zip(fell) else { return false };
        metal.front_of(fell) > self.state.shape.and_then(|bar| metal.front_of(bar))
    }

    /// The side of the blade toward the chuck, and its width, where it stands at `z`.
    fn kerf(&self, z: Length) -> (Length, Option<Length>) {
        let width = self.state.tool.width;
        let edge = match (self.state.tool.corner, width) {
            (BladeCorner::FrontSide, Some(width)) => z - width,
            _ => z,
        };
        (edge, width)
    }

    /// Where the front of the bar stands, where its shape is known.
    fn front(&self) -> Option<Length> {
        self.metal.as_ref().zip(self.state.shape).and_then(|(metal, bar)| metal.front_of(bar))
    }

    /// Whether metal that hangs on the bar stands before a kerf.
    fn stands_before(&self, (edge, width): (Length, Option<Length>)) -> bool {
        self.front().is_some_and(|front| front > edge + width.unwrap_or_default())
    }

    /// Remembers a parting cut that ends in the bar.
    fn leaves_neck(&mut self, motion: Motion, spot: Spot, tell: &mut Teller<'_>) {
        let to = motion.to;
        let inward = to.r.abs() < motion.from.r.abs();
        let in_bar = self.metal.as_ref().is_some_and(|metal| to.r.abs() < metal.raw_radius());
        let parting = self.state.tool.kind == Some(ToolKind::Parting) || reaches_axis(motion);
        if !(inward && in_bar && parting) {
            return;
        }
        if self.state.neck.is_some_and(|neck| (neck.at.z - to.z).abs() > SAME_PLACE) {
            self.leaves_groove_or_piece(tell);
        }
        if self.state.neck.is_none_or(|neck| to.r.abs() < neck.at.r.abs()) {
            let (edge, width) = self.kerf(to.z);
            self.state.neck = Some(Neck { spot, at: to, edge, width });
        }
    }

    /// The blade goes on elsewhere. Where it left a diameter of the drawing it grooved: the comparison
    /// of the piece that falls tells whether the groove is right.
    fn leaves_groove_or_piece(&mut self, tell: &mut Teller<'_>) {
        let limits = self.metal.as_ref().and_then(|metal| metal.limits());
        let grooved = self.state.neck.zip(limits).is_some_and(|(neck, limits)| {
            let core = neck.at.r.abs();
            core > TO_AXIS && limits.has_outside_radius(core)
        });
        if grooved {
            self.state.neck = None;
        } else {
            self.still_hangs(tell);
        }
    }

    /// Tells of a piece that hangs on the bar while it should be off. By a thin core it is taken to
    /// break off, so that what follows is judged as it was meant.
    pub(super) fn still_hangs(&mut self, tell: &mut Teller<'_>) {
        let before = self.state;
        let Some(neck) = self.state.neck.take() else { return };
        let core = neck.at.r.abs();
        let breaks = core <= TO_AXIS;
        self.tell(What::NotParted { core, breaks }, neck.spot, &before, tell);
        if breaks {
            self.part_off(neck.at, (neck.edge, neck.width), None, neck.spot, tell);
        }
    }

    /// Whether this cut to the axis at `z` is a parting cut.
    fn parts_off(&self, z: Length) -> bool {
        if let Some(kind) = self.state.tool.kind {
            return matches!(kind, ToolKind::Parting | ToolKind::Grooving);
        }
        let (Some(station), Some((shown, place))) = (self.state.tool.station, self.shown.parting)
        else {
            return false;
        };
        station == shown && z <= place + SAME_PLACE
    }

    fn face(&mut self, z: Length, spot: Spot, tell: &mut Teller<'_>) {
        let before = self.state;
        let depth = match self.state.bar.front {
            Some(front) if front > z => front - z,
            Some(_) => return,
            None => Length::ZERO,
        };
        self.set_front(z);
        self.tell(What::Faced(depth), spot, &before, tell);
    }

    fn part_off(
        &mut self,
        at: Point,
        (edge, width): (Length, Option<Length>),
        fell: Option<Placed>,
        spot: Spot,
        tell: &mut Teller<'_>,
    ) {
        if self.state.neck.is_some_and(|neck| (neck.at.z - at.z).abs() > SAME_PLACE) {
            self.leaves_groove_or_piece(tell);
        }
        let before = self.state;
        let Some(front) = self.state.bar.front else {
            self.set_front(edge);
            return self.fall(None, fell, spot, &before, tell);
        };
        let piece = front - edge - width.unwrap_or_default();
        if !piece.is_positive() {
            if front > edge {
                self.set_front(edge);
                return self.tell(What::Faced(front - edge), spot, &before, tell);
            }
            if before.unknown_word {
                return self.fall(None, fell, spot, &before, tell);
            }
            if before.fell_early {
                return;
            }
            self.state.partings += 1;
            return self.tell(What::PartedAir, spot, &before, tell);
        }
        self.set_front(edge);
        self.fall(width.map(|_| piece), fell, spot, &before, tell);
    }

    fn fall(
        &mut self,
        piece: Option<Length>,
        fell: Option<Placed>,
        spot: Spot,
        before: &super::State,
        tell: &mut Teller<'_>,
    ) {
        let shape = self.metal.as_ref().zip(self.state.shape).zip(self.state.bar.front);
        self.state.shape = shape.and_then(|((metal, shape), edge)| metal.parted(shape, edge));
        self.state.unknown_word = false;
        self.state.thread = None;
        self.state.knurled = None;
        self.state.neck = None;
        self.state.parts += 1;
        self.state.partings += 1;
        self.state.bar.drawn_since_part = Length::ZERO;
        self.state.pulled_at = None;
        self.tell(What::PartedOff(piece), spot, before, tell);
        self.compare(fell, spot, before, tell);
    }

    /// Lays the piece on the drawing.
    fn compare(
        &self,
        fell: Option<Placed>,
        spot: Spot,
        before: &super::State,
        tell: &mut Teller<'_>,
    ) {
        let shapes = self.metal.as_ref().zip(before.shape).zip(fell);
        if let Some(((metal, bar), piece)) = shapes {
            // A word that no file explains may have drawn the bar.
            let known = !before.unknown_word;
            let verdict = known.then(|| metal.compare(piece, before.bar.front, bar)).flatten();
            let right = verdict.as_ref().map(Verdict::is_right);
            self.tell(What::Fell { piece, right }, spot, before, tell);
            for what in verdict.iter().flat_map(Verdict::told) {
                self.tell(what, spot, before, tell);
            }
        }
    }

    /// The bar ends where its shape does, where that is shorter: a drilled bar is faced without
    /// going to the axis.
    pub(super) fn front_by_shape(&mut self) {
        let shape = self.metal.as_ref().zip(self.state.shape);
        let front = shape.and_then(|(metal, bar)| metal.front_of(bar));
        if let (Some(front), Some(known)) = (front, self.state.bar.front)
            && front < known
            && !self.state.unknown_word
        {
            self.set_front(front);
        }
    }

    /// The bar now ends here; where its length is known, so is then its rear end.
    fn set_front(&mut self, z: Length) {
        self.state.bar.front = Some(z);
        self.state.bar.front_is_drawn = false;
    }
}

/// Whether a move comes from outside to the axis, or crosses it.
fn reaches_axis(motion: Motion) -> bool {
    let (from, to) = (motion.from.r, motion.to.r);
    let crosses = from.is_negative() != to.is_negative() && from != Length::ZERO;
    from.abs() > TO_AXIS && (to.abs() <= TO_AXIS || crosses)
}

/// Where along the axis a move meets it: at its end, or where it crosses. An arc that comes from just
/// beyond the axis, as a round end begins with a nose, crosses it near its start.
fn at_axis(motion: Motion) -> Length {
    let (from, to) = (motion.from, motion.to);
    if to.r.abs() <= TO_AXIS || from.z == to.z {
        return to.z;
    }
    if motion.arc.is_some() {
        return if to.r.abs() > from.r.abs() { from.z } else { to.z };
    }
    let share = from.r.mm() / (from.r - to.r).mm();
    from.z + Length::nearest_mm((to.z - from.z).mm() * share)
}

/// Whether a move goes on the axis toward the chuck, as where a round end begins at its tip.
fn runs_on_axis(motion: Motion) -> bool {
    motion.from.r.abs().max(motion.to.r.abs()) <= TO_AXIS && motion.to.z < motion.from.z
}
