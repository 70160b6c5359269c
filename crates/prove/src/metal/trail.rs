//! How each shape of the bar came about: from which shape, by which cut.
//!
//! Only a move that was not made before adds to it, so it costs nothing once cycles are alike. A
//! shape that came about in two ways keeps the first.

use crate::event::Spot;
use rustc_hash::FxHashMap;
use shape::{Placed, RegionId};

/// The cut that made a shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Cut {
    /// The word that asked for it.
    pub spot: Spot,
    /// The station that made it.
    pub station: u32,
}

/// One step back: the shape before, as if the one behind it had its front at zero.
#[derive(Debug, Clone, Copy)]
pub(super) struct Step {
    pub before: Placed,
    /// How far the bar was drawn; what then comes out of the jaws is no cut.
    pub drawn: i64,
    pub cut: Option<Cut>,
}

#[derive(Debug, Default)]
pub(super) struct Trail {
    steps: FxHashMap<RegionId, Step>,
}

impl Trail {
    pub(super) fn cut(&mut self, before: Placed, after: Placed, cut: Cut) {
        let before = before.moved(after.shift.saturating_neg());
        self.steps.entry(after.id).or_insert(Step { before, drawn: 0, cut: Some(cut) });
    }

    pub(super) fn drawn(&mut self, before: Placed, after: Placed, by: i64) {
        let before = before.moved(after.shift.saturating_neg());
        self.steps.entry(after.id).or_insert(Step { before, drawn: by, cut: None });
    }

    /// The steps back from a shape, each with the shape behind it, both where they stand when the
    /// last one stands at `from`: as if the bar had not been drawn between.
    pub(super) fn back(&self, from: Placed) -> impl Iterator<Item = (Placed, Step)> + '_ {
        let mut at = from;
        // A shape can come again after an advance: there are no more steps than shapes.
        (0..self.steps.len()).map_while(move |_| {
            let step = *self.steps.get(&at.id)?;
            let after = at;
            at = step.before.moved(at.shift.saturating_add(step.drawn));
            Some((after, Step { before: at, ..step }))
        })
    }
}
