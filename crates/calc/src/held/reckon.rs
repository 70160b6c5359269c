//! How the margins are reckoned: once with friction and grip at one end of their ranges and the
//! forces at the other, once the nominal way, once the other way round.

use super::{HeldCut, HeldPart, Holder, Margin, POISSON, SizeError};
use crate::bending::{Cantilever, Compliance, Cut};
use crate::figure::{BadFigure, not_negative, not_negative_range, positive};
use crate::holding::{self, LARGEST_LOSS, Loss, Reaction, Seat};
use crate::spread::Spread;
use model::Length;
use model::quantity::{Deflection, Force, RadialCompliance, SpindleSpeed, TiltCompliance, Torque};

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
pub(super) struct Outcome {
    pub(super) needed: Force,
    pub(super) left: Force,
    pub(super) highest: SpindleSpeed,
    pub(super) grip: Option<f64>,
    pub(super) slip: Option<f64>,
    pub(super) pull_out: Option<f64>,
    pub(super) overturning: Option<f64>,
    pub(super) lift: Option<f64>,
    pub(super) loss: Option<f64>,
}

impl HeldPart<'_> {
    /// The worst, the nominal and the best end.
    pub(super) fn outcomes(&self, cut: &HeldCut) -> Result<[Outcome; 3], BadFigure> {
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
            lift: over(left.n(), seat.grip_against_lift(&on)?.n()),
            loss: over(LARGEST_LOSS * at_rest.n(), taken.n()),
        })
    }

    pub(super) fn size(&self, cut: &HeldCut) -> Result<(SizeError, Option<Margin>), BadFigure> {
        let form = |end: End| {
            let compliance = Compliance {
                radial: self.holder.radial.map(|it| end.of(it)).unwrap_or_default(),
                tilt: self.holder.tilt.map(|it| end.of(it)).unwrap_or_default(),
            };
            let part = Cantilever::with_shear(self.steps, self.modulus, POISSON, compliance)?;
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
            chuck_known: self.holder.radial.is_some() && self.holder.tilt.is_some(),
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
pub(super) fn around([one, nominal, other]: [f64; 3]) -> Spread<f64> {
    Spread { low: one.min(nominal).min(other), nominal, high: one.max(nominal).max(other) }
}

/// One ratio of the worst, the nominal and the best end. At an end where nothing acts there is no
/// ratio; as a range it is then told up to the nominal only.
pub(super) fn ratios(
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
        if let Some(radial) = self.radial {
            let radial = radial.map(RadialCompliance::um_per_kn);
            not_negative_range(radial, "radial compliance of the chuck")?;
        }
        if let Some(tilt) = self.tilt {
            let tilt = tilt.map(TiltCompliance::urad_per_nm);
            not_negative_range(tilt, "tilt compliance of the chuck")?;
        }
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
        // The feed force presses the side of the part: toward the chuck it turns against the passive
        // force. It is not counted on where that would help, and may be the larger of the two at
        // the near end of the cut.
        let turned = if self.toward_chuck { -feed } else { feed } * radius;
        let at = |place: Length| {
            let lever = place.m() + gripped.m() / 2.0;
            let straight = passive * lever;
            let in_plane = (straight + turned).abs().max(straight);
            libm::hypot(in_plane, cutting * lever)
        };
        Reaction {
            torque: Torque::from_nm(cutting * radius + end.of(self.torque).nm()),
            axial: Force::from_n(feed),
            radial: Force::from_n(libm::hypot(passive, cutting)),
            overturning: Torque::from_nm(at(self.from).max(at(self.to))),
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
