//! A part in its chuck under a cut: every margin of holding and bending at once, each as a range,
//! and the limit that is nearest.

mod reckon;

use crate::bending::{self, Broken, Step};
use crate::figure::BadFigure;
use crate::holding::friction::{self, Coefficients, WorkMetal, WorkSurface};
use crate::holding::{Loss, Safety};
use crate::spread::Spread;
use model::Length;
use model::files::lathe::{Chuck, Grip, HolderKind};
use model::quantity::{
    Deflection, Force, Modulus, RadialCompliance, SpindleSpeed, TiltCompliance, Torque,
};
use reckon::{Outcome, around, ratios};

/// What the chuck holds in a cut over what acts: 2 or more.
///
/// A chuck maker's manual, reference value for a new chuck (maker withheld). The same manual asks
/// for 4 where overturning is not reckoned by itself; here it is.
pub const LEAST_RATIO: f64 = 2.0;

/// Stick-out over diameter without support: 4 at most. Common practice, 3 to 4.
pub const LARGEST_STICK_OUT: f64 = 4.0;

/// A chuck or collet.
#[derive(Debug, Clone, PartialEq)]
pub struct Holder {
    /// Grip at rest with full jaws, the sum over all jaws.
    pub at_rest: Spread<Force>,
    /// What speed takes of it.
    pub loss: Loss,
    /// Length of the jaws.
    pub jaw_length: Length,
    /// Friction between jaws and bar.
    pub friction: Spread<Coefficients>,
    /// How far the bar gives way sideways, where it is known.
    pub radial: Option<Spread<RadialCompliance>>,
    /// How far it tilts, where it is known.
    pub tilt: Option<Spread<TiltCompliance>>,
    /// Factors that the grip is to keep.
    pub safety: Safety,
}

/// How far grip scatters to both sides: ±10 %, a chuck that is greased as it should be.
///
/// Common practice; wear and want of grease are the business of [`Safety`].
pub const GRIP_SCATTER: f64 = 0.1;

/// How far the compliance of a chuck scatters to both sides: ±30 %. Common practice.
pub const COMPLIANCE_SCATTER: f64 = 0.3;

/// Poisson's ratio taken for shear: 0.3, steel. Metals lie between 0.2 and 0.35, which changes the
/// deflection by less than a hundredth.
const POISSON: f64 = 0.3;

impl Holder {
    /// The chuck of a lathe file, holding a bar of this surface and metal, with the least safety.
    ///
    /// Valid: what a lathe file may hold.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn of(
        grip: &Grip,
        chuck: &Chuck,
        work: WorkSurface,
        metal: WorkMetal,
    ) -> Result<Holder, BadFigure> {
        let loss = match (grip.kind, grip.mass_radius, grip.lost) {
            (HolderKind::Jaw, Some(sum), _) => Loss::Jaws(sum),
            (HolderKind::Collet, _, Some(lost)) => Loss::Share { lost, at: chuck.max_speed },
            _ => return Err(BadFigure { what: "loss of grip by speed", must: "known" }),
        };
        let about = |value, share| Spread::either_side(value, share);
        let of = |value| about(value, COMPLIANCE_SCATTER);
        Ok(Holder {
            at_rest: about(grip.force.n(), GRIP_SCATTER).map(Force::from_n),
            loss,
            jaw_length: chuck.jaw_length,
            friction: friction::range(grip.surface, work, metal),
            radial: grip.radial.map(|it| of(it.um_per_kn()).map(RadialCompliance::from_um_per_kn)),
            tilt: grip.tilt.map(|it| of(it.urad_per_nm()).map(TiltCompliance::from_urad_per_nm)),
            safety: Safety::LEAST,
        })
    }
}

/// A part as it stands in the chuck before a cut.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldPart<'p> {
    /// The chuck.
    pub holder: &'p Holder,
    /// The part in front of the jaw face, from there outward.
    pub steps: &'p [Step],
    /// Stiffness of its material.
    pub modulus: Modulus,
    /// Diameter in the jaws.
    pub diameter: Length,
    /// Length in the jaws; more than the jaws have counts as full.
    pub gripped: Length,
}

/// A cut with its forces; forces of a cut grow and fall together.
#[derive(Debug, Clone, PartialEq)]
pub struct HeldCut {
    /// Distance from the jaw face where it starts.
    pub from: Length,
    /// Distance from the jaw face where it ends.
    pub to: Length,
    /// Diameter that it is to leave.
    pub diameter: Length,
    /// Force in the direction of the cut.
    pub cutting: Spread<Force>,
    /// Force away from the tool, across the axis.
    pub passive: Spread<Force>,
    /// Force along the axis.
    pub feed: Spread<Force>,
    /// Whether the feed force points toward the chuck.
    pub toward_chuck: bool,
    /// Torque that comes without a force across the axis, as a drill's.
    pub torque: Spread<Torque>,
    /// Speed of the spindle.
    pub speed: SpindleSpeed,
    /// Error of the diameter that bending may cause, to either side; none for a cut of which no
    /// size is wanted.
    pub allowed: Option<Deflection>,
}

/// What is held over what acts, and the least that this should be.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Margin {
    /// What is held over what acts; the low end with the least friction and grip and the largest
    /// forces.
    pub ratio: Spread<f64>,
    /// What it should be at least.
    pub least: f64,
}

/// A limit of holding or bending.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Limit {
    /// The grip at rest that VDI 3106 asks for.
    Grip,
    /// The bar turns in the jaws.
    Slip,
    /// The bar moves along the axis.
    PullOut,
    /// The bar tips out of the jaws.
    Overturning,
    /// An edge of the jaws lifts off the bar, which then no longer runs true.
    Lift,
    /// Speed takes too large a share of the grip.
    Loss,
    /// Bending makes the diameter wrong.
    Size,
    /// The part stands out too far for its diameter.
    StickOut,
}

/// Error of the diameter along a cut.
#[derive(Debug, Clone, PartialEq)]
pub struct SizeError {
    /// The largest error of either sign; positive is too large.
    pub worst: Spread<Deflection>,
    /// Its distance from the jaw face in mm.
    pub at: f64,
    /// Largest less smallest error along the cut.
    pub taper: Spread<Deflection>,
    /// Where the nominal error is larger than allowed.
    pub broken: Option<Broken>,
    /// Whether it is known how the chuck gives way. If not, this is the part's share alone, and
    /// the real error is larger.
    pub chuck_known: bool,
}

/// Every margin of a part under a cut. What has nothing acting against it is none.
#[derive(Debug, Clone, PartialEq)]
pub struct Margins {
    /// Grip there is at rest over that which VDI 3106 asks for, safety factors included.
    pub grip: Option<Margin>,
    /// Grip at rest that it asks for.
    pub grip_needed: Spread<Force>,
    /// Grip that is left at speed.
    pub grip_at_speed: Spread<Force>,
    /// Highest speed at which the grip is what it asks for; infinite where speed takes no grip.
    pub highest_speed: Spread<SpindleSpeed>,
    /// Slip torque over torque.
    pub slip: Option<Margin>,
    /// Pull-out force over axial force.
    pub pull_out: Option<Margin>,
    /// Overturning moment that is held over that which acts.
    pub overturning: Option<Margin>,
    /// Grip at speed over that below which an edge of the jaws lifts.
    pub lift: Option<Margin>,
    /// Share of the grip that may be lost by speed over that which is.
    pub loss: Option<Margin>,
    /// Stick-out over the diameter in front of the jaws.
    pub stick_out: f64,
    /// Error of the diameter.
    pub size: SizeError,
    /// Error of the diameter that is allowed over that which there is.
    pub size_margin: Option<Margin>,
}

impl HeldPart<'_> {
    /// Every margin under a cut.
    ///
    /// Overturning is reckoned about the middle of the gripped length, at the worse end of the cut,
    /// with the passive and the cutting force across each other; a grip shorter than the jaws by [`crate::holding::short_grip`].
    /// Valid: as the parts of [`crate::holding`] and [`crate::bending`].
    /// Source: those parts.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn margins(&self, cut: &HeldCut) -> Result<Margins, BadFigure> {
        let outcomes = self.outcomes(cut)?;
        let [low, nominal, high] = outcomes;
        let margin = |of: fn(&Outcome) -> Option<f64>, least| ratios(&outcomes, of, least);
        let (size, size_margin) = self.size(cut)?;
        let diameter = self.steps.first().map_or(self.diameter, |step| step.diameter);
        let stick_out = self.steps.iter().fold(Length::ZERO, |sum, step| sum + step.length);
        Ok(Margins {
            grip: margin(|it| it.grip, 1.0),
            // A collet that grips harder loses more, so that the ends may change places.
            grip_needed: around([high, nominal, low].map(|it| it.needed.n())).map(Force::from_n),
            grip_at_speed: Spread { low: low.left, nominal: nominal.left, high: high.left },
            highest_speed: Spread {
                low: low.highest,
                nominal: nominal.highest,
                high: high.highest,
            },
            slip: margin(|it| it.slip, LEAST_RATIO),
            pull_out: margin(|it| it.pull_out, LEAST_RATIO),
            overturning: margin(|it| it.overturning, LEAST_RATIO),
            lift: margin(|it| it.lift, 1.0),
            loss: margin(|it| it.loss, 1.0),
            stick_out: bending::stick_out_ratio(stick_out, diameter)?,
            size,
            size_margin,
        })
    }

    /// Shortest length in the jaws with which grip, slip, pull-out and overturning keep their least
    /// margins at the low end; none where full jaws do not. For the last parts of a bar.
    ///
    /// Found by halving, up to the micrometer.
    /// Valid, source: as [`HeldPart::margins`].
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn shortest_grip(&self, cut: &HeldCut) -> Result<Option<Length>, BadFigure> {
        let holds = |um: i64| -> Result<bool, BadFigure> {
            let gripped = Length::from_um(um);
            let outcomes = HeldPart { gripped, ..self.clone() }.outcomes(cut)?;
            let enough = |of: fn(&Outcome) -> Option<f64>, least| {
                ratios(&outcomes, of, least).is_none_or(|margin| margin.ratio.low >= least)
            };
            Ok(enough(|it| it.grip, 1.0)
                && enough(|it| it.slip, LEAST_RATIO)
                && enough(|it| it.pull_out, LEAST_RATIO)
                && enough(|it| it.overturning, LEAST_RATIO))
        };
        let (mut short, mut long) = (0, self.holder.jaw_length.nm() / 1000);
        if long < 1 || !holds(long)? {
            return Ok(None);
        }
        while long - short > 1 {
            let middle = i64::midpoint(short, long);
            if holds(middle)? { long = middle } else { short = middle }
        }
        Ok(Some(Length::from_um(long)))
    }
}

impl Margins {
    /// Of two places of one cut, what is worse of each.
    #[must_use]
    pub fn or_worse(self, other: Margins) -> Margins {
        let margin = |one: Option<Margin>, other: Option<Margin>| match (one, other) {
            (Some(one), Some(other)) => {
                Some(if other.ratio.low < one.ratio.low { other } else { one })
            }
            (one, other) => one.or(other),
        };
        let more = other.grip_needed.high > self.grip_needed.high;
        let less = other.grip_at_speed.low < self.grip_at_speed.low;
        let slower = other.highest_speed.low < self.highest_speed.low;
        let worse_size = other.size.worst.nominal.um().abs() > self.size.worst.nominal.um().abs();
        Margins {
            grip: margin(self.grip, other.grip),
            grip_needed: if more { other.grip_needed } else { self.grip_needed },
            grip_at_speed: if less { other.grip_at_speed } else { self.grip_at_speed },
            highest_speed: if slower { other.highest_speed } else { self.highest_speed },
            slip: margin(self.slip, other.slip),
            pull_out: margin(self.pull_out, other.pull_out),
            overturning: margin(self.overturning, other.overturning),
            lift: margin(self.lift, other.lift),
            loss: margin(self.loss, other.loss),
            stick_out: self.stick_out.max(other.stick_out),
            size: if worse_size { other.size } else { self.size },
            size_margin: margin(self.size_margin, other.size_margin),
        }
    }

    /// The limit that is nearest or passed farthest, and how much of it is used at the worst end:
    /// 1 is at the limit. None where nothing acts.
    pub fn nearest(&self) -> Option<(Limit, f64)> {
        let used = |margin: &Option<Margin>| margin.map(|it| it.least / it.ratio.low);
        let all = [
            (Limit::Grip, used(&self.grip)),
            (Limit::Slip, used(&self.slip)),
            (Limit::PullOut, used(&self.pull_out)),
            (Limit::Overturning, used(&self.overturning)),
            (Limit::Lift, used(&self.lift)),
            (Limit::Loss, used(&self.loss)),
            (Limit::Size, used(&self.size_margin)),
            (Limit::StickOut, Some(self.stick_out / LARGEST_STICK_OUT)),
        ];
        let all = all.into_iter().filter_map(|(limit, used)| Some((limit, used?)));
        all.max_by(|(_, one), (_, other)| one.total_cmp(other))
    }
}

#[cfg(test)]
mod tests;
