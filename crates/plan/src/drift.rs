//! How far the size drifts that an edge turns, and after what share of its life the edge has to be looked
//! after, though it still cuts.
//!
//! The first piece is set to the middle of the tolerance; from there the size drifts toward one limit as
//! evenly as the edge wears.

use crate::mechanics::CutLoads;
use calc::life::{WORN_LAND, size_drift};
use calc::station::Lack;
use calc::tolerance;
use model::Length;
use model::files::tools::Station;

/// Clearance of an insert whose own is 0°: its holder tilts it by so much. Common practice.
const TILTED: f64 = 6.0;

/// Drift of the tightest size that an edge turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Drift {
    /// How far its diameter drifts over the whole life of the edge.
    pub over_life: Length,
    /// How far it may: half of its tolerance.
    pub allowed: Length,
    /// The diameter.
    pub diameter: Length,
}

impl Drift {
    /// Share of the edge's life after which the size is at its limit; 1 where the edge is worn first.
    pub fn share(&self) -> f64 {
        (self.allowed.mm() / self.over_life.mm()).clamp(0.0, 1.0)
    }

    /// The drift of the edge at a station; none where it leaves no size.
    ///
    /// # Errors
    /// The insert is not known.
    pub(crate) fn of<'c>(
        station: &Station,
        cuts: impl Iterator<Item = &'c CutLoads>,
    ) -> Option<Result<Drift, Lack>> {
        let allowed = |cut: &CutLoads| {
            let step = cut.finishes?;
            let general = || tolerance::linear_medium(step.diameter).ok();
            Some((step.allowed.or_else(general)?, step.diameter))
        };
        let (allowed, diameter) = cuts.filter_map(allowed).min()?;
        let Some(insert) = station.insert else {
            let why = format!(
                "the tools file does not say what insert it is (station {}, `insert`)",
                station.number
            );
            return Some(Err(Lack::of("insert", why)));
        };
        let clearance = if insert.clearance > 0.0 { insert.clearance } else { TILTED };
        let drift = size_drift(WORN_LAND, clearance).map_err(Lack::from);
        Some(drift.map(|over_life| Drift { over_life, allowed, diameter }))
    }
}
