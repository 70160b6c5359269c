//! Friction between jaws and bar.

use crate::figure::{BadFigure, positive};
use crate::spread::Spread;
use model::files::job::BarSurface;
use model::files::lathe::JawSurface;
use model::files::material::IsoGroup;

/// How the gripped length of a bar is finished.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WorkSurface {
    /// Ground or finely finished.
    Ground,
    /// Finished to roughed; drawn bar is as smooth.
    Turned,
    /// Rough, or as rolled.
    Raw,
}

impl WorkSurface {
    /// The surface of a bar as its job has it. Bar for lathes with a gripper comes drawn, where
    /// nothing is said; less friction than rolled bar has.
    pub const fn of(bar: Option<BarSurface>) -> WorkSurface {
        match bar {
            Some(BarSurface::Ground) => WorkSurface::Ground,
            Some(BarSurface::Rolled) => WorkSurface::Raw,
            Some(BarSurface::Drawn) | None => WorkSurface::Turned,
        }
    }
}

/// What is gripped, as far as friction is concerned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum WorkMetal {
    /// Steel, stainless too.
    Steel,
    /// Aluminum alloys.
    Aluminum,
    /// Brass.
    Brass,
    /// Gray iron.
    CastIron,
}

impl WorkMetal {
    /// What a group of ISO 513 counts as; of non-ferrous metals the one with the least friction.
    ///
    /// Common practice; plastics are softer than any metal here.
    pub const fn of(group: IsoGroup) -> WorkMetal {
        match group {
            IsoGroup::P | IsoGroup::M | IsoGroup::S | IsoGroup::H => WorkMetal::Steel,
            IsoGroup::K => WorkMetal::CastIron,
            IsoGroup::N => WorkMetal::Brass,
        }
    }

    /// Factor on the friction of steel.
    ///
    /// Source: a clamping-head maker's manual (maker withheld), trade-checks I7.
    /// Held to: `handbook/holding.toml`.
    pub const fn factor(self) -> f64 {
        match self {
            WorkMetal::Steel => 1.0,
            WorkMetal::Aluminum => 0.97,
            WorkMetal::Brass => 0.92,
            WorkMetal::CastIron => 0.80,
        }
    }
}

/// Coefficients of friction between jaws and bar.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coefficients {
    /// Against turning (tangential).
    pub around: f64,
    /// Against moving along the axis.
    pub along: f64,
}

impl Coefficients {
    /// One coefficient for both ways.
    pub const fn same(coefficient: f64) -> Coefficients {
        Coefficients { around: coefficient, along: coefficient }
    }

    /// The coefficients, where they can be used.
    ///
    /// # Errors
    /// Where one is not above zero.
    pub fn checked(self) -> Result<Coefficients, BadFigure> {
        positive(self.around, "coefficient of friction around the bar")?;
        positive(self.along, "coefficient of friction along the bar")?;
        Ok(self)
    }

    /// The coefficients with a factor.
    #[must_use]
    pub fn times(self, factor: f64) -> Coefficients {
        Coefficients { around: self.around * factor, along: self.along * factor }
    }
}

/// How far friction scatters to both sides: ±20 %.
///
/// Common practice; the manual gives no range.
pub const SCATTER: f64 = 0.2;

/// Friction of a bar in jaws.
///
/// Source: a clamping-head maker's manual (maker withheld), steel, trade-checks I7.
/// Held to: `handbook/holding.toml`.
pub const fn coefficients(jaws: JawSurface, work: WorkSurface) -> Coefficients {
    let (around, along) = match (work, jaws) {
        (WorkSurface::Ground, JawSurface::Smooth) => (0.06, 0.08),
        (WorkSurface::Ground, JawSurface::FineSerration) => (0.07, 0.09),
        (WorkSurface::Ground, JawSurface::CoarseSerration) => (0.15, 0.20),
        (WorkSurface::Turned, JawSurface::Smooth) => (0.10, 0.13),
        (WorkSurface::Turned, JawSurface::FineSerration) => (0.11, 0.15),
        (WorkSurface::Turned, JawSurface::CoarseSerration) => (0.18, 0.25),
        (WorkSurface::Raw, JawSurface::Smooth) => (0.14, 0.16),
        (WorkSurface::Raw, JawSurface::FineSerration) => (0.16, 0.18),
        (WorkSurface::Raw, JawSurface::CoarseSerration) => (0.20, 0.28),
    };
    Coefficients { around, along }
}

/// Friction of a bar in jaws as a range, [`SCATTER`] to both sides.
///
/// Source: as [`coefficients`] and [`WorkMetal::factor`].
/// Held to: `handbook/holding.toml`.
pub fn range(jaws: JawSurface, work: WorkSurface, metal: WorkMetal) -> Spread<Coefficients> {
    let nominal = coefficients(jaws, work).times(metal.factor());
    Spread { low: nominal.times(1.0 - SCATTER), nominal, high: nominal.times(1.0 + SCATTER) }
}
