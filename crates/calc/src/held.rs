//! A part in its chuck under a cut: every margin of holding and bending at once, each as a range,
//! and the limit that is nearest.

use crate::bending::{self, Broken, Cantilever, Compliance, Cut, Step};
use crate::figure::{BadFigure, not_negative, not_negative_range, positive};
use crate::holding::friction::Coefficients;
use crate::holding::{self, LARGEST_LOSS, Loss, Reaction, Safety, Seat};
use crate::spread::Spread;
use model::Length;
use model::quantity::{
    Deflection, Force, Modulus, RadialCompliance, SpindleSpeed, TiltCompliance, Torque,
};

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
    /// How far the bar gives way sideways.
    pub radial: Spread<RadialCompliance>,
    /// How far it tilts.
    pub tilt: Spread<TiltCompliance>,
    /// Factors that the grip is to keep.
    pub safety: Safety,
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
    /// The bar tips in the jaws.
    Overturning,
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
    /// Share of the grip that may be lost by speed over that which is.
    pub loss: Option<Margin>,
    /// Stick-out over the diameter in front of the jaws.
    pub stick_out: f64,
    /// Error of the diameter.
    pub size: SizeError,
    /// Error of the diameter that is allowed over that which there is.
    pub size_margin: Option<Margin>,
}

/// One end of all ranges at once.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum End {
    Low,
    Nominal,
    High,
}

impl End {
    fn of<T: Copy>(self, range: Spread<T>) -> T {
        match self {
            End::Low => range.low,
            End::Nominal => range.nominal,
            End::High => range.high,
        }
    }

    fn other(self) -> End {
        match self {
            End::Low => End::High,
            End::Nominal => End::Nominal,
            End::High => End::Low,
        }
    }
}

/// What comes out with friction and grip at one end and the forces at the other; a ratio is none
/// where nothing acts.
#[derive(Debug, Clone, Copy)]
struct Outcome {
    needed: Force,
    left: Force,
    highest: SpindleSpeed,
    grip: Option<f64>,
    slip: Option<f64>,
    pull_out: Option<f64>,
    overturning: Option<f64>,
    loss: Option<f64>,
}

impl HeldPart<'_> {
    /// Every margin under a cut.
    ///
    /// Overturning is reckoned about the middle of the gripped length, from the farther end of the
    /// cut, with the passive and the cutting force across each other; a grip shorter than the jaws
    /// by [`holding::short_grip`].
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
        let most = |it: &Step| it.diameter;
        let diameter = self.steps.first().map_or(self.diameter, most);
        let stick_out = self.steps.iter().fold(Length::ZERO, |sum, step| sum + step.length);
        Ok(Margins {
            grip: margin(|it| it.grip, 1.0),
            grip_needed: Spread { low: high.needed, nominal: nominal.needed, high: low.needed },
            grip_at_speed: Spread { low: low.left, nominal: nominal.left, high: high.left },
            highest_speed: Spread {
                low: low.highest,
                nominal: nominal.highest,
                high: high.highest,
            },
            slip: margin(|it| it.slip, LEAST_RATIO),
            pull_out: margin(|it| it.pull_out, LEAST_RATIO),
            overturning: margin(|it| it.overturning, LEAST_RATIO),
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

    /// The worst, the nominal and the best end.
    fn outcomes(&self, cut: &HeldCut) -> Result<[Outcome; 3], BadFigure> {
        self.holder.check()?;
        cut.check()?;
        positive(self.gripped.mm(), "gripped length")?;
        let end = |end| self.outcome(cut, end);
        Ok([end(End::Low)?, end(End::Nominal)?, end(End::High)?])
    }

    fn outcome(&self, cut: &HeldCut, end: End) -> Result<Outcome, BadFigure> {
        let holder = self.holder;
        let length = self.gripped.min(holder.jaw_length);
        let friction = end.of(holder.friction);
        let seat = Seat { diameter: self.diameter, length, friction };
        let on = cut.reaction(end.other(), length);
        let full = end.of(holder.at_rest);
        let at_rest = holding::short_grip(full, length, holder.jaw_length)?;
        // Speed takes from a short grip what it takes from a full one.
        let loss = Loss::Jaws(holder.loss.mass_radius(full)?);
        let taken = loss.at(at_rest, cut.speed)?;
        let left = holding::grip_at_speed(at_rest, loss, cut.speed)?;
        let for_cut = seat.grip_needed(&on)?;
        let needed = holding::grip_at_rest_needed(for_cut, taken, holder.safety)?;
        let over = |held: f64, acts: f64| (acts > 0.0).then(|| held / acts);
        Ok(Outcome {
            needed,
            left,
            highest: holding::highest_speed(at_rest, for_cut, loss, holder.safety)?,
            grip: over(at_rest.n(), needed.n()),
            slip: over(seat.slip_torque(left)?.nm(), on.torque.nm()),
            pull_out: over(seat.pull_out_force(left)?.n(), on.axial.n()),
            overturning: over(seat.overturning_moment(left, on.radial)?.nm(), on.overturning.nm()),
            loss: over(LARGEST_LOSS * at_rest.n(), taken.n()),
        })
    }

    fn size(&self, cut: &HeldCut) -> Result<(SizeError, Option<Margin>), BadFigure> {
        let form = |end: End| {
            let compliance =
                Compliance { radial: end.of(self.holder.radial), tilt: end.of(self.holder.tilt) };
            let part = Cantilever::new(self.steps, self.modulus, compliance)?;
            let cut = cut.at(end);
            Ok::<_, BadFigure>((part.form(&cut)?, part, cut))
        };
        let (low, nominal, high) = (form(End::Low)?, form(End::Nominal)?, form(End::High)?);
        let at = nominal.0.worst.0;
        let place = Length::nearest_mm(at);
        let worst = Spread {
            low: low.1.error_at(&low.2, place)?,
            nominal: nominal.0.worst.1,
            high: high.1.error_at(&high.2, place)?,
        };
        let taper = [&low.0, &nominal.0, &high.0].map(|form| form.taper.um());
        let size = SizeError {
            worst,
            at,
            taper: around(taper).map(Deflection::from_um),
            broken: cut.allowed.map(|allowed| nominal.0.broken(allowed)).transpose()?.flatten(),
        };
        let most = around([&low.0, &nominal.0, &high.0].map(|form| form.worst.1.um().abs()));
        let margin = cut.allowed.filter(|_| most.low > 0.0).map(|allowed| Margin {
            ratio: Spread {
                low: allowed.um() / most.high,
                nominal: allowed.um() / most.nominal,
                high: allowed.um() / most.low,
            },
            least: 1.0,
        });
        Ok((size, margin))
    }
}

/// The range of three figures of which the second is nominal.
fn around([one, nominal, other]: [f64; 3]) -> Spread<f64> {
    Spread { low: one.min(nominal).min(other), nominal, high: one.max(nominal).max(other) }
}

/// One ratio of the worst, the nominal and the best end. At an end where nothing acts there is no
/// ratio; as a range it is then told up to the nominal only.
fn ratios(
    [low, nominal, high]: &[Outcome; 3],
    of: fn(&Outcome) -> Option<f64>,
    least: f64,
) -> Option<Margin> {
    let low = of(low)?;
    let nominal = of(nominal).unwrap_or(low);
    let ratio = Spread { low, nominal, high: of(high).unwrap_or(nominal) };
    Some(Margin { ratio, least })
}

impl Holder {
    fn check(&self) -> Result<(), BadFigure> {
        not_negative_range(self.at_rest.map(Force::n), "grip at rest")?;
        not_negative_range(self.friction.map(|it| it.around), "friction around the bar")?;
        not_negative_range(self.friction.map(|it| it.along), "friction along the bar")?;
        let radial = self.radial.map(RadialCompliance::um_per_kn);
        not_negative_range(radial, "radial compliance of the chuck")?;
        let tilt = self.tilt.map(TiltCompliance::urad_per_nm);
        not_negative_range(tilt, "tilt compliance of the chuck")?;
        positive(self.jaw_length.mm(), "length of the jaws").map(drop)
    }
}

impl HeldCut {
    fn check(&self) -> Result<(), BadFigure> {
        not_negative_range(self.cutting.map(Force::n), "cutting force")?;
        not_negative_range(self.passive.map(Force::n), "passive force")?;
        not_negative_range(self.feed.map(Force::n), "feed force")?;
        not_negative_range(self.torque.map(Torque::nm), "torque of the cut")?;
        positive(self.diameter.mm(), "diameter of a cut")?;
        if let Some(allowed) = self.allowed {
            not_negative(allowed.um(), "allowed error of the diameter")?;
        }
        Ok(())
    }

    /// What it does to the bar in the jaws.
    fn reaction(&self, end: End, gripped: Length) -> Reaction {
        let [cutting, passive, feed] =
            [self.cutting, self.passive, self.feed].map(|force| end.of(force).n());
        let radius = self.diameter.m() / 2.0;
        let lever = self.from.max(self.to).m() + gripped.m() / 2.0;
        // The feed force presses the side of the tool: it bends against the passive force where it
        // points toward the chuck, and is not counted on where that would help.
        let turned = if self.toward_chuck { -feed } else { feed } * radius;
        let straight = passive * lever;
        let in_plane = (straight + turned).abs().max(straight);
        Reaction {
            torque: Torque::from_nm(cutting * radius + end.of(self.torque).nm()),
            axial: Force::from_n(feed),
            radial: Force::from_n(libm::hypot(passive, cutting)),
            overturning: Torque::from_nm(libm::hypot(in_plane, cutting * lever)),
        }
    }

    /// The cut as bending sees it. A feed force toward the chuck bends the part back, so that the
    /// largest error comes with the smallest of it.
    fn at(&self, end: End) -> Cut {
        let feed =
            if self.toward_chuck { -end.other().of(self.feed).n() } else { end.of(self.feed).n() };
        Cut {
            from: self.from,
            to: self.to,
            diameter: self.diameter,
            passive: end.of(self.passive),
            cutting: end.of(self.cutting),
            feed: Force::from_n(-feed),
        }
    }
}

impl Margins {
    /// The limit that is nearest or passed farthest, and how much of it is used at the worst end:
    /// 1 is at the limit. None where nothing acts.
    pub fn nearest(&self) -> Option<(Limit, f64)> {
        let used = |margin: &Option<Margin>| margin.map(|it| it.least / it.ratio.low);
        let all = [
            (Limit::Grip, used(&self.grip)),
            (Limit::Slip, used(&self.slip)),
            (Limit::PullOut, used(&self.pull_out)),
            (Limit::Overturning, used(&self.overturning)),
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
