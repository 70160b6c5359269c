//! Cuts to the axis: what they take off the front of the bar, and when a part falls.

use super::{Lathe, Teller};
use crate::event::{Motion, Spot, What};
use model::Length;
use model::files::tools::{BladeCorner, ToolKind};

/// How near to the axis a cut must come to part: what is left then breaks off by itself.
const TO_AXIS: Length = Length::from_um(500);
/// How much deeper than the shown place a parting may be and still be the same cut.
const SAME_PLACE: Length = Length::from_mm(2);

impl Lathe<'_> {
    /// What a feed move of a cutting tool does to the bar.
    pub(super) fn cut(&mut self, motion: Motion, spot: Spot, tell: &mut Teller<'_>) {
        let z = motion.to.z;
        if runs_on_axis(motion) && self.state.tool.kind == Some(ToolKind::Turning) {
            return self.face(z, spot, tell);
        }
        if !reaches_axis(motion) {
            return;
        }
        if self.parts_off(z) {
            self.part_off(z, spot, tell);
        } else if !matches!(
            self.state.tool.kind,
            Some(ToolKind::Drill | ToolKind::Boring | ToolKind::BarStop)
        ) {
            self.face(z, spot, tell);
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

    fn part_off(&mut self, z: Length, spot: Spot, tell: &mut Teller<'_>) {
        let before = self.state;
        let width = self.state.tool.width;
        let edge = match (self.state.tool.corner, width) {
            (BladeCorner::FrontSide, Some(width)) => z - width,
            _ => z,
        };
        let Some(front) = self.state.bar.front else {
            self.set_front(edge);
            return self.fall(None, spot, &before, tell);
        };
        let piece = front - edge - width.unwrap_or_default();
        if !piece.is_positive() {
            if front > edge {
                self.set_front(edge);
                return self.tell(What::Faced(front - edge), spot, &before, tell);
            }
            if before.unknown_word {
                return self.fall(None, spot, &before, tell);
            }
            self.state.partings += 1;
            return self.tell(What::PartedAir, spot, &before, tell);
        }
        self.set_front(edge);
        self.fall(width.map(|_| piece), spot, &before, tell);
    }

    fn fall(
        &mut self,
        piece: Option<Length>,
        spot: Spot,
        before: &super::State,
        tell: &mut Teller<'_>,
    ) {
        let shape = self.metal.as_ref().zip(self.state.shape).zip(self.state.bar.front);
        self.state.shape = shape.and_then(|((metal, shape), edge)| metal.parted(shape, edge));
        self.state.unknown_word = false;
        self.state.parts += 1;
        self.state.partings += 1;
        self.state.bar.drawn_since_part = Length::ZERO;
        self.state.pulled_at = None;
        self.tell(What::PartedOff(piece), spot, before, tell);
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

/// Whether a move goes on the axis toward the chuck, as where a round end begins at its tip.
fn runs_on_axis(motion: Motion) -> bool {
    motion.from.r.abs().max(motion.to.r.abs()) <= TO_AXIS && motion.to.z < motion.from.z
}
