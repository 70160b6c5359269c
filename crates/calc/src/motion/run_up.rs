//! How long a spindle needs to gain speed, from its inertia and its drive.

use crate::figure::{BadFigure, not_negative, positive, within_floats};
use core::f64::consts::PI;
use model::Length;
use model::quantity::{Inertia, Mass, Power, Seconds, SpindleSpeed, Torque};

/// Inertia of a bar that turns about its own axis.
///
/// `J = m·(D² + d²)/8`, with the bore `d` zero for solid: `½·m·r²`.
/// Valid: mass and diameter above zero, bore not negative and smaller than the diameter.
/// Source: any text on mechanics.
/// Held to: `handbook/motion.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn inertia_of_bar(mass: Mass, diameter: Length, bore: Length) -> Result<Inertia, BadFigure> {
    let mass = positive(mass.kg(), "mass of the bar")?;
    let outer = positive(diameter.m(), "diameter of the bar")?;
    let inner = not_negative(bore.m(), "bore of the bar")?;
    if inner >= outer {
        return Err(BadFigure { what: "bore of the bar", must: "smaller than its diameter" });
    }
    let inertia = mass * (outer * outer + inner * inner) / 8.0;
    within_floats(inertia, "inertia of the bar").map(Inertia::from_kg_m2)
}

/// Time to a speed from rest at a steady torque.
///
/// `t = J·ω/T`.
/// Valid: inertia and torque above zero, speed not negative. Torque that bearings and belts take is
/// left out.
/// Source: Newton's law for rotation.
/// Held to: `handbook/motion.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn at_torque(inertia: Inertia, torque: Torque, to: SpindleSpeed) -> Result<Seconds, BadFigure> {
    let inertia = positive(inertia.kg_m2(), "inertia of the spindle")?;
    let torque = positive(torque.nm(), "torque of the drive")?;
    let omega = PI / 30.0 * not_negative(to.rpm(), "spindle speed")?;
    within_floats(inertia * omega / torque, "time to the speed").map(Seconds::from_s)
}

/// Time to a speed from rest with a drive of steady torque up to its base speed and of steady
/// power above it.
///
/// `t = J·ω_b/T + J·(ω² − ω_b²)/(2·P)` above the base speed `ω_b`, with `T = P/ω_b`; `J·ω/T` below.
/// Valid: inertia, power and base speed above zero, speed not negative.
/// Source: work done is energy gained.
/// Held to: `handbook/motion.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn at_power(
    inertia: Inertia,
    power: Power,
    base: SpindleSpeed,
    to: SpindleSpeed,
) -> Result<Seconds, BadFigure> {
    let power = positive(power.w(), "power of the drive")?;
    let base_omega = PI / 30.0 * positive(base.rpm(), "base speed of the drive")?;
    let omega = PI / 30.0 * not_negative(to.rpm(), "spindle speed")?;
    let below = SpindleSpeed::from_rpm(to.rpm().min(base.rpm()));
    let below = at_torque(inertia, Torque::from_nm(power / base_omega), below)?;
    let above = (omega - base_omega).max(0.0) * (omega + base_omega);
    let time = below.s() + inertia.kg_m2() * above / (2.0 * power);
    within_floats(time, "time to the speed").map(Seconds::from_s)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a figure that is not there fails")]

    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn it_is_the_sum_of_many_small_steps(
            (inertia, power) in (0.01_f64..2.0, 500.0_f64..30_000.0),
            (base, to) in (300.0_f64..3000.0, 10.0_f64..6000.0),
        ) {
            let (base_omega, omega) = (base * PI / 30.0, to * PI / 30.0);
            let steps = 4000;
            let step = omega / f64::from(steps);
            let by_steps: f64 = (0..steps)
                .map(|index| {
                    let at = step * (f64::from(index) + 0.5);
                    inertia * step / (power / at.max(base_omega))
                })
                .sum();
            let ours = at_power(
                Inertia::from_kg_m2(inertia),
                Power::from_w(power),
                SpindleSpeed::from_rpm(base),
                SpindleSpeed::from_rpm(to),
            );
            prop_assert!((ours.unwrap().s() / by_steps - 1.0).abs() < 1e-5);
        }

        #[test]
        fn nothing_is_not_a_number(a in odd_number(), b in odd_number(), c in odd_number(),
            d in odd_number(), x in any::<i64>(), y in any::<i64>()) {
            let (inertia, speed) = (Inertia::from_kg_m2(a), SpindleSpeed::from_rpm(c));
            let results = [
                at_torque(inertia, Torque::from_nm(b), speed),
                at_power(inertia, Power::from_w(b), SpindleSpeed::from_rpm(d), speed),
            ];
            for time in results.into_iter().flatten() {
                prop_assert!(time.s() >= 0.0 && time.s().is_finite());
            }
            if let Ok(of_bar) =
                inertia_of_bar(Mass::from_kg(a), Length::from_nm(x), Length::from_nm(y)) {
                prop_assert!(of_bar.kg_m2() >= 0.0 && of_bar.kg_m2().is_finite());
            }
        }
    }

    fn odd_number() -> impl Strategy<Value = f64> {
        prop_oneof![
            8 => -1e4_f64..1e4,
            1 => Just(0.0),
            1 => Just(f64::NAN),
            1 => Just(f64::INFINITY),
            1 => Just(f64::MIN_POSITIVE),
            1 => Just(f64::MAX),
        ]
    }

    #[test]
    fn what_cannot_be_is_named() {
        let what = |error: BadFigure| error.what;
        let (kg, one) = (Mass::from_kg(1.0), Length::from_mm(1));
        assert_eq!(inertia_of_bar(kg, one, one).map_err(what), Err("bore of the bar"));
        assert_eq!(inertia_of_bar(kg, Length::ZERO, one).map_err(what), Err("diameter of the bar"));
        let fast = SpindleSpeed::from_rpm(100.0);
        let torque = Torque::from_nm(0.0);
        let time = at_torque(Inertia::from_kg_m2(1.0), torque, fast);
        assert_eq!(time.map_err(what), Err("torque of the drive"));
    }
}
