//! What a cut is held to, and which limit it comes nearest.

use super::Outcome;
use crate::OutOfRange;
use crate::cutting::drive;
use model::files::lathe::Drive;
use model::quantity::{Force, Roughness, Seconds, SpindleSpeed, Torque};

/// What a cut must stay under; what is not given is not judged.
#[derive(Debug, Clone, Copy, Default)]
pub struct Limits<'l> {
    /// The spindle's drive and highest speed, for power and torque.
    pub drive: Option<(&'l Drive, SpindleSpeed)>,
    /// Torque that the chuck holds.
    pub grip_torque: Option<Torque>,
    /// Force across the axis that the bar may bear, from its bending.
    pub radial_force: Option<Force>,
    /// Force along the axis that slide or chuck may bear.
    pub axial_force: Option<Force>,
    /// Mean roughness of the drawing.
    pub ra: Option<Roughness>,
    /// Cutting time that one edge must last.
    pub edge_time: Option<Seconds>,
}

/// One kind of limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Limit {
    /// Power that the drive brings to the cut at this speed.
    Power,
    /// Torque that the drive brings to the spindle at this speed.
    Torque,
    /// Torque that the chuck holds.
    GripTorque,
    /// Force across the axis.
    RadialForce,
    /// Force along the axis.
    AxialForce,
    /// Mean roughness.
    Roughness,
    /// Life of the edge.
    EdgeLife,
}

/// How far a cut goes to a limit: 1 is at it, more is beyond it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Loaded {
    /// Which limit.
    pub limit: Limit,
    /// What the cut asks over what the limit allows, by the nominal figures.
    pub nominal: f64,
    /// The same by the worst figures of the range.
    pub worst: f64,
}

impl Outcome {
    /// How far the cut goes to each limit that is given and known for it, the nearest first, by
    /// the worst figures.
    ///
    /// A limit that cannot be judged (no data of life, no nose) is not
    /// in the list: it is *unproven*.
    ///
    /// # Errors
    /// A limit that is not above zero, or a spindle speed beyond the drive's highest.
    pub fn loads(&self, limits: &Limits<'_>) -> Result<Vec<Loaded>, OutOfRange> {
        let mut loads = Vec::new();
        let mut add = |limit, nominal: f64, worst: f64, allowed: f64| {
            if allowed > 0.0 && allowed.is_finite() {
                let (nominal, worst) = (nominal / allowed, worst / allowed);
                loads.push(Loaded { limit, nominal, worst });
                Ok(())
            } else {
                Err(OutOfRange)
            }
        };
        if let Some((drive, highest)) = limits.drive {
            let power = drive::power_at(drive, self.spindle, highest)?;
            let torque = drive::torque_at(drive, self.spindle, highest)?;
            add(Limit::Power, self.power.nominal.w(), self.power.high.w(), power.w())?;
            add(Limit::Torque, self.torque.nominal.nm(), self.torque.high.nm(), torque.nm())?;
        }
        if let Some(grip) = limits.grip_torque {
            add(Limit::GripTorque, self.torque.nominal.nm(), self.torque.high.nm(), grip.nm())?;
        }
        for (limit, force, allowed) in [
            (Limit::RadialForce, self.radial, limits.radial_force),
            (Limit::AxialForce, self.axial, limits.axial_force),
        ] {
            if let Some(allowed) = allowed {
                add(limit, force.nominal.n(), force.high.n(), allowed.n())?;
            }
        }
        if let (Some(ra), Some(allowed)) = (self.ra, limits.ra) {
            add(Limit::Roughness, ra.nominal.um(), ra.high.um(), allowed.um())?;
        }
        if let (Some(life), Some(asked)) = (self.life, limits.edge_time) {
            let (nominal, worst) = (life.time.nominal.s(), life.time.low.s());
            if !(asked.s() > 0.0 && worst > 0.0) {
                return Err(OutOfRange);
            }
            let (nominal, worst) = (asked.s() / nominal, asked.s() / worst);
            loads.push(Loaded { limit: Limit::EdgeLife, nominal, worst });
        }
        loads.sort_by(|one, other| other.worst.total_cmp(&one.worst));
        Ok(loads)
    }

    /// The limit that the cut comes nearest to by the worst figures; none where no limit given can
    /// be judged.
    ///
    /// # Errors
    /// As [`Outcome::loads`].
    pub fn nearest(&self, limits: &Limits<'_>) -> Result<Option<Loaded>, OutOfRange> {
        Ok(self.loads(limits)?.first().copied())
    }
}
