//! Force, torque and power of a cut.
//!
//! The force on each mm² of chip scatters by a fifth and more between bars of one grade, so every
//! force here is a range.

pub mod drilling;
pub mod drive;
pub mod unit_power;

use crate::OutOfRange;
use crate::spread::Spread;
use core::f64::consts::PI;
use model::Length;
use model::files::material::CuttingForce;
use model::quantity::{
    Angle, FeedPerRev, Force, Power, RemovalRate, SpecificForce, SpindleSpeed, SurfaceSpeed, Torque,
};

/// The section of the uncut chip.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Chip {
    /// Thickness in mm, at right angles to the edge.
    pub thickness_mm: f64,
    /// Width in mm, along the edge.
    pub width_mm: f64,
}

impl Chip {
    /// The chip, where both figures are above zero.
    ///
    /// # Errors
    /// A thickness or width that is not above zero, or not finite.
    pub fn new(thickness_mm: f64, width_mm: f64) -> Result<Chip, OutOfRange> {
        Ok(Chip { thickness_mm: above_zero(thickness_mm)?, width_mm: above_zero(width_mm)? })
    }
}

/// A figure above zero and finite.
pub(crate) fn above_zero(figure: f64) -> Result<f64, OutOfRange> {
    if figure > 0.0 && figure.is_finite() { Ok(figure) } else { Err(OutOfRange) }
}

/// A result that is a number and finite.
pub(crate) fn finite(figure: f64) -> Result<f64, OutOfRange> {
    if figure.is_finite() { Ok(figure) } else { Err(OutOfRange) }
}

fn radians(angle: Angle) -> f64 {
    angle.deg() * PI / 180.0
}

/// Chip of a straight edge.
///
/// `h = f·sin κ`, `b = ap/sin κ`: f feed per revolution in mm, ap depth on the radius in mm, κ the
/// angle between the edge and the feed.
/// Valid: feed and depth above zero, `0 < κ < 180°`; sharp corner, so ap well above the nose radius.
/// Source: plane geometry; DIN 6580 and Dietrich/Tschätsch, from memory.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn chip(feed: FeedPerRev, depth: Length, edge: Angle) -> Result<Chip, OutOfRange> {
    let sine = above_zero(libm::sin(radians(edge)))?;
    if !(edge.deg() > 0.0 && edge.deg() < 180.0) {
        return Err(OutOfRange);
    }
    Chip::new(feed.mm() * sine, depth.mm() / sine)
}

/// Angle of an edge with a round nose, as the chord of what it cuts.
///
/// `tan κ' = ap/x`, where x is how far along the feed the cut reaches at depth ap: on the nose
/// `√(r² − (r − ap)²)`, beyond it `r·sin κ + (ap − r·(1 − cos κ))/tan κ`.
/// Without a nose κ' is κ. A shallow cut with a large nose has a small κ': a thin chip, and more
/// force across the axis.
/// Valid: depth above zero, radius not negative, `0 < κ < 180°`.
/// Source: the chord rule for the flow of chips, Colwell 1954, from memory.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn effective_edge_angle(depth: Length, nose: Length, edge: Angle) -> Result<Angle, OutOfRange> {
    let (depth, nose, angle) = (above_zero(depth.mm())?, nose.mm(), radians(edge));
    if !(edge.deg() > 0.0 && edge.deg() < 180.0 && nose >= 0.0) {
        return Err(OutOfRange);
    }
    let (sine, cosine) = (libm::sin(angle), libm::cos(angle));
    let nose_depth = nose * (1.0 - cosine);
    let along = if depth < nose_depth {
        libm::sqrt((depth * (2.0 * nose - depth)).max(0.0))
    } else {
        nose * sine + (depth - nose_depth) * cosine / sine
    };
    Ok(Angle::from_deg(finite(libm::atan2(depth, along) * 180.0 / PI)?))
}

/// Chip of a parting or grooving blade.
///
/// `h = f`, `b` the width of the blade: the edge lies along the axis and feeds across it.
/// Valid: feed and width above zero.
/// Source: plane geometry.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A feed or width that is not above zero.
pub fn blade_chip(feed: FeedPerRev, width: Length) -> Result<Chip, OutOfRange> {
    Chip::new(feed.mm(), width.mm())
}

/// Chip of one pass of a thread with both flanks, fed straight in.
///
/// Area `A = w·(t − s) + (t² − s²)·tan(α/2)`, `b = w + 2·t/cos(α/2)`, `h = A/b`: s and t the depths
/// before and after the pass, w the flat at the tip of the profile, α the angle of the thread.
/// Valid: `0 ≤ s < t`, flat not negative, `0 < α < 180°`.
/// Source: plane geometry, worked out for this code.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn thread_chip(
    before: Length,
    after: Length,
    flat: Length,
    angle: Angle,
) -> Result<Chip, OutOfRange> {
    let in_range = angle.deg() > 0.0 && angle.deg() < 180.0;
    if before.is_negative() || after <= before || flat.is_negative() || !in_range {
        return Err(OutOfRange);
    }
    let (before, after, flat, half) = (before.mm(), after.mm(), flat.mm(), radians(angle) / 2.0);
    let area = flat * (after - before) + (after - before) * (after + before) * libm::tan(half);
    let width = above_zero(flat + 2.0 * after / libm::cos(half))?;
    Chip::new(area / width, width)
}

/// Force on each mm² of a chip.
///
/// `kc = kc1.1 / h^mc`, h the chip's thickness in mm.
/// Valid: `0.05 ≤ h ≤ 2.5` mm or so; a thinner chip takes still more. Figures above zero.
/// Source: Kienzle 1952; Dietrich/Tschätsch, Praxis der Zerspantechnik.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure that is not above zero, an mc outside of 0 to 0.9.
pub fn specific_force(
    kc11: SpecificForce,
    mc: f64,
    thickness_mm: f64,
) -> Result<SpecificForce, OutOfRange> {
    let (kc11, thickness) = (above_zero(kc11.n_per_mm2())?, above_zero(thickness_mm)?);
    if !(0.0..=0.9).contains(&mc) {
        return Err(OutOfRange);
    }
    Ok(SpecificForce::from_n_per_mm2(finite(kc11 / libm::pow(thickness, mc))?))
}

/// What a rake angle other than that of the table does to the force.
///
/// `1 − (γ − γ0)/100`, angles in degrees: one percent a degree.
/// Valid: `|γ − γ0| ≤ 40°`. Usual γ0: 6° steel, 2° cast iron, 0° aluminum.
/// Source: Dietrich/Tschätsch, Praxis der Zerspantechnik, 11th ed., quoted by a public script.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// Angles further apart.
pub fn rake_factor(rake: Angle, table: Angle) -> Result<f64, OutOfRange> {
    let change = rake.deg() - table.deg();
    if change.abs() <= 40.0 { Ok(1.0 - change / 100.0) } else { Err(OutOfRange) }
}

/// What the surface speed does to the force.
///
/// `2.023/v^0.153` from 20 to 100 m/min, `1.380/v^0.07` above, v in m/min: 1 at 100 m/min. Below
/// 20 and above 600 m/min the value there is kept.
/// Valid: speeds above zero.
/// Source: Dietrich/Tschätsch, Praxis der Zerspantechnik, from memory.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A speed that is not above zero.
pub fn speed_factor(speed: SurfaceSpeed) -> Result<f64, OutOfRange> {
    let speed = above_zero(speed.m_per_min())?.clamp(20.0, 600.0);
    Ok(if speed <= 100.0 {
        2.023 / libm::pow(speed, 0.153)
    } else {
        1.380 / libm::pow(speed, 0.07)
    })
}

/// How far an edge is worn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Wear {
    /// Just changed.
    Sharp,
    /// At the end of its life: a wear land of about 0.3 mm.
    Worn,
    /// Anywhere between, as after some parts: the range spans both.
    Any,
}

/// What wear does to the cutting force.
///
/// 1 for a sharp edge, 1.3 at the end of its life.
/// Source: Dietrich/Tschätsch, Praxis der Zerspantechnik, 11th ed., quoted by a public script.
/// Held to: `handbook/cutting.toml`.
pub const fn wear_factor(wear: Wear) -> Spread<f64> {
    match wear {
        Wear::Sharp => Spread::exact(1.0),
        Wear::Worn => Spread::exact(1.3),
        Wear::Any => Spread { low: 1.0, nominal: 1.15, high: 1.3 },
    }
}

/// What the kind of work does to the force, since the chip is squeezed in a hole or slot.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Squeeze {
    /// Turning and facing the outside.
    Outside,
    /// Boring and drilling.
    Inside,
    /// Parting, grooving and threading.
    Slot,
}

/// What the kind of work does to the force.
///
/// 1.0 outside, 1.2 in a hole, 1.3 in a slot.
/// Source: Dietrich/Tschätsch, Praxis der Zerspantechnik, from memory.
/// Held to: `handbook/cutting.toml`.
pub const fn squeeze_factor(work: Squeeze) -> f64 {
    match work {
        Squeeze::Outside => 1.0,
        Squeeze::Inside => 1.2,
        Squeeze::Slot => 1.3,
    }
}

/// Cutting force on a chip, along the speed, in the range of the material's spread.
///
/// `Fc = kc·b·h·K`, K the product of the factors for rake, speed, wear and kind of work.
/// Valid: as [`specific_force`]; factors above zero.
/// Source: Kienzle 1952; Dietrich/Tschätsch, Praxis der Zerspantechnik.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A figure outside of that.
pub fn force(
    material: &CuttingForce,
    chip: Chip,
    factors: Spread<f64>,
) -> Result<Spread<Force>, OutOfRange> {
    let kc = specific_force(material.kc11, material.mc, chip.thickness_mm)?;
    let area = above_zero(chip.thickness_mm * chip.width_mm)?;
    above_zero(factors.low)?;
    let scatter = Spread::either_side(above_zero(kc.n_per_mm2() * area)?, material.spread);
    let force = scatter.times(factors);
    finite(force.high)?;
    Ok(force.map(Force::from_n))
}

/// The two forces at right angles to the cutting force.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thrust {
    /// Against the feed.
    pub feed: Spread<Force>,
    /// At right angles to feed and speed: it bends a bar away from the tool in turning.
    pub passive: Spread<Force>,
}

/// Feed and passive force from the cutting force and the edge angle.
///
/// The push at right angles to the edge is a share of Fc: 0.3 to 0.7, mostly 0.5, with a sharp
/// edge; 0.4 to 0.9, mostly 0.6, with a worn one. It splits by the (effective) edge angle κ':
/// `Ff = F·sin κ'`, `Fp = F·|cos κ'|`. The range takes κ' as uncertain by 5° either way.
/// Valid: `0 < κ' < 180°`.
/// Source: common practice; textbooks say Fc : Ff : Fp about 5 : 2 : 1 at usual angles, from memory.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// An angle outside of that.
pub fn thrust(cutting: Spread<Force>, edge: Angle, wear: Wear) -> Result<Thrust, OutOfRange> {
    if !(edge.deg() > 0.0 && edge.deg() < 180.0) {
        return Err(OutOfRange);
    }
    let share = match wear {
        Wear::Sharp => Spread { low: 0.3, nominal: 0.5, high: 0.7 },
        Wear::Worn => Spread { low: 0.4, nominal: 0.6, high: 0.9 },
        Wear::Any => Spread { low: 0.3, nominal: 0.55, high: 0.9 },
    };
    let push = cutting.map(Force::n).times(share);
    finite(push.high)?;
    let off = PI / 36.0;
    let angle = radians(edge);
    // From the feed's direction; the sine is largest at 90°, the cosine at 0 and 180°.
    let to_right_angle = (angle - PI / 2.0).abs();
    let along = Spread {
        low: libm::cos(to_right_angle + off).max(0.0),
        nominal: libm::cos(to_right_angle),
        high: libm::cos((to_right_angle - off).max(0.0)),
    };
    let across = Spread {
        low: libm::sin((to_right_angle - off).max(0.0)),
        nominal: libm::sin(to_right_angle),
        high: libm::sin((to_right_angle + off).min(PI / 2.0)),
    };
    Ok(Thrust {
        feed: push.times(along).map(Force::from_n),
        passive: push.times(across).map(Force::from_n),
    })
}

/// Torque of a cutting force on the spindle.
///
/// `M = F·d/2`, d the diameter being cut.
/// Valid: any finite figures; the sign of the diameter is left out.
/// Source: the definition of torque.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A force that is not finite.
pub fn torque(force: Force, diameter: Length) -> Result<Torque, OutOfRange> {
    Ok(Torque::from_nm(finite(force.n() * (diameter.abs().mm() / 2000.0))?))
}

/// Power of a cutting force at the cut.
///
/// `P = F·v`; F in N and v in m/min give `F·v/60` W.
/// Valid: any finite figures.
/// Source: the definition of power.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// Figures that are not finite, or too large together.
pub fn power(force: Force, speed: SurfaceSpeed) -> Result<Power, OutOfRange> {
    Ok(Power::from_w(finite(force.n() * speed.m_per_min() / 60.0)?))
}

/// Surface speed of a diameter at a spindle speed.
///
/// `v = π·d·n`.
/// Valid: any finite figures; the sign of the diameter is left out.
/// Source: plane geometry.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A speed that is not finite, or too large.
pub fn surface_speed(diameter: Length, speed: SpindleSpeed) -> Result<SurfaceSpeed, OutOfRange> {
    let around = PI * diameter.abs().mm() / 1000.0;
    Ok(SurfaceSpeed::from_m_per_min(finite(around * speed.rpm())?))
}

/// Volume cut in a time, by the shop's product.
///
/// `Q = v·f·ap`; m/min, mm and mm give cm³/min. With v at the outside it is high by `ap/d`.
/// Valid: figures at or above zero.
/// Source: the definition of a removal rate.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A negative figure, or one that is not finite.
pub fn removal_rate(
    speed: SurfaceSpeed,
    feed: FeedPerRev,
    depth: Length,
) -> Result<RemovalRate, OutOfRange> {
    let (speed, feed, depth) = (speed.m_per_min(), feed.mm(), depth.mm());
    if speed >= 0.0 && feed >= 0.0 && depth >= 0.0 {
        Ok(RemovalRate::from_cm3_per_min(finite(speed * feed * depth)?))
    } else {
        Err(OutOfRange)
    }
}

/// Volume cut in a time between two diameters, exactly.
///
/// `Q = π/4·|D² − d²|·f·n`, which is v at the mean diameter times feed and depth.
/// Valid: figures at or above zero.
/// Source: solid geometry.
/// Held to: `handbook/cutting.toml`.
///
/// # Errors
/// A negative figure, or one that is not finite.
pub fn turned_rate(
    from: Length,
    to: Length,
    feed: FeedPerRev,
    speed: SpindleSpeed,
) -> Result<RemovalRate, OutOfRange> {
    let (feed, speed) = (feed.mm(), speed.rpm());
    if from.is_negative() || to.is_negative() || !(feed >= 0.0 && speed >= 0.0) {
        return Err(OutOfRange);
    }
    let (from, to) = (from.mm(), to.mm());
    let ring = PI / 4.0 * ((from - to) * (from + to)).abs();
    Ok(RemovalRate::from_cm3_per_min(finite(ring * feed * speed / 1000.0)?))
}
