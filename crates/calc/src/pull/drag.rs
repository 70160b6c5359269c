//! What holds a bar back when it is drawn, against what the gripper holds.
//!
//! Where the drag is more than the hold, the fingers slip and the pull falls short: it shows as a
//! short part, or as none.

use crate::figure::{BadFigure, not_negative, not_negative_range, positive, within_floats};
use crate::spread::Spread;
use core::f64::consts::PI;
use model::Length;
use model::files::gripper::Hold;
use model::quantity::{Acceleration, Force, Mass, Modulus};

/// 9.80665 m/s², the standard acceleration of free fall.
const FREE_FALL: f64 = 9.806_65;

/// What a bar slides in and how it is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Coefficient of friction between bar and liner.
    pub friction: f64,
    /// How quickly the pull gains speed.
    pub acceleration: Acceleration,
    /// What a bent bar presses against the liner with, all its touching places added.
    pub side_load: Force,
}

impl Way {
    fn checked(&self) -> Result<(f64, f64, f64), BadFigure> {
        Ok((
            not_negative(self.friction, "friction between bar and liner")?,
            not_negative(self.acceleration.m_per_s2(), "acceleration of the pull")?,
            not_negative(self.side_load.n(), "side load of a bent bar")?,
        ))
    }
}

/// Force that it takes to draw a bar.
///
/// `F = µ·(m·g + N) + m·a`.
/// Valid: mass above zero, the rest not negative. A bar that hangs on burrs or in a gap of the
/// liner takes more.
/// Source: Newton's law and friction.
/// Held to: `handbook/drag.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn drag(mass: Mass, way: &Way) -> Result<Force, BadFigure> {
    let mass = positive(mass.kg(), "mass of the bar")?;
    let (friction, acceleration, side_load) = way.checked()?;
    let force = friction * (mass * FREE_FALL + side_load) + mass * acceleration;
    within_floats(force, "drag of the bar").map(Force::from_n)
}

/// Heaviest bar that a gripper may draw with a safety factor.
///
/// `m = (F_hold/S − µ·N)/(µ·g + a)`; nothing where the side load alone is too much, infinite where
/// nothing holds a bar back.
/// Valid: hold not negative, factor 1 or more.
/// Source: [`drag`], solved for the mass.
/// Held to: `handbook/drag.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn heaviest_bar(hold: Force, way: &Way, factor: f64) -> Result<Mass, BadFigure> {
    let hold = not_negative(hold.n(), "hold of the gripper")?;
    let (friction, acceleration, side_load) = way.checked()?;
    if !(factor >= 1.0 && factor.is_finite()) {
        return Err(BadFigure { what: "safety factor", must: "1 or more" });
    }
    let spare = (hold / factor - friction * side_load).max(0.0);
    let per_mass = friction * FREE_FALL + acceleration;
    Ok(Mass::from_kg(if spare == 0.0 { 0.0 } else { spare / per_mass }))
}

/// How far a bar is bowed over a length, from its runout over a shorter base.
///
/// `h = (t/2)·(L/b)²`: an indicator shows twice the offset of a turning bar, and a bar that is bent
/// evenly is bowed with the square of the length.
/// Valid: runout not negative, lengths above zero.
/// Source: geometry of a flat arc.
/// Held to: `handbook/drag.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn bow_mm(runout: Length, base: Length, length: Length) -> Result<f64, BadFigure> {
    let runout = not_negative(runout.mm(), "runout of the bar")?;
    let ratio = positive(length.mm(), "length of the bar")? / positive(base.mm(), "base length")?;
    within_floats(runout / 2.0 * ratio * ratio, "bow of the bar")
}

/// What a bent round bar presses against a straight liner with, all its touching places added.
///
/// `N = 2·P`, `P = 48·E·I·(h − play)/L³`: the bar touches at both ends and in the middle, where it
/// is pressed flat by what its bow `h` is more than the play in the liner's bore; below that it
/// lies free. A bar bent more than once touches more often.
/// Valid: lengths, diameter and modulus above zero, bow not negative, play not negative.
/// Source: beam on two supports, `δ = P·L³/(48·E·I)`, any text on strength of materials.
/// Held to: `handbook/drag.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn side_load(
    diameter: Length,
    length: Length,
    modulus: Modulus,
    bow_mm: f64,
    play: Length,
) -> Result<Force, BadFigure> {
    let diameter = positive(diameter.mm(), "diameter of the bar")?;
    let length = positive(length.mm(), "length of the bar")?;
    let modulus = 1000.0 * positive(modulus.gpa(), "modulus of elasticity")?;
    let bow = not_negative(bow_mm, "bow of the bar")?;
    let pressed = (bow - not_negative(play.mm(), "play in the liner")?).max(0.0);
    let square = diameter * diameter;
    let stiffness = 48.0 * modulus * PI / 64.0 * square * square / (length * length * length);
    within_floats(2.0 * stiffness * pressed, "side load of a bent bar").map(Force::from_n)
}

/// What the fingers find on the stub. Clean, raw bar is none of these.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Stub {
    /// Turned or ground smooth where the fingers hold.
    pub turned: bool,
    /// With a burr from parting off, which keeps the fingers from lying on.
    pub burr: bool,
    /// Wet with oil.
    pub oil: bool,
}

/// Force along the axis at which the fingers slip on a stub.
///
/// Between the smallest and the largest stub the force grows in a straight line, as a spring does
/// with its way; what is found on the stub takes a share each.
/// Valid: diameter between the gripper's smallest and largest, forces and factors above zero.
/// Source: Hooke's law; the shares are the gripper file's, their defaults common practice (turned
/// from the friction of jaws on turned and raw steel, trade-checks I7).
/// Held to: `handbook/drag.toml`.
///
/// # Errors
/// Names the figure that is not valid.
pub fn hold(
    hold: &Hold,
    range: (Length, Length),
    diameter: Length,
    stub: Stub,
) -> Result<Force, BadFigure> {
    let (least, most) = (range.0.mm(), range.1.mm());
    let at = positive(diameter.mm(), "diameter of the stub")?;
    if !(least..=most).contains(&at) {
        return Err(BadFigure { what: "diameter of the stub", must: "what the gripper holds" });
    }
    let small = positive(hold.smallest.n(), "hold on the smallest stub")?;
    let large = positive(hold.largest.n(), "hold on the largest stub")?;
    let way = if most > least { (at - least) / (most - least) } else { 1.0 };
    let mut force = small + (large - small) * way;
    for (found, share, what) in [
        (stub.turned, hold.turned, "share of the hold on a turned stub"),
        (stub.burr, hold.burr, "share of the hold on a stub with a burr"),
        (stub.oil, hold.oil, "share of the hold on an oily stub"),
    ] {
        let share = positive(share, what)?;
        force *= if found { share } else { 1.0 };
    }
    within_floats(force, "hold of the gripper").map(Force::from_n)
}

/// Friction of a bar in its liner: 0.2, from 0.1 with oil to 0.35 dry on steel.
///
/// Common practice; no source.
pub const LINER_FRICTION: Spread<f64> = Spread { low: 0.1, nominal: 0.2, high: 0.35 };

/// How far a gripper's hold scatters to both sides: ±20 %, as the friction of jaws. Common
/// practice.
pub const HOLD_SCATTER: f64 = 0.2;

/// A pull: a bar in its liner against a gripper on its stub.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pull {
    /// The whole bar, as it is at its heaviest.
    pub mass: Mass,
    /// Friction between bar and liner.
    pub friction: Spread<f64>,
    /// How quickly the pull gains speed.
    pub acceleration: Acceleration,
    /// What a bent bar presses against the liner with.
    pub side_load: Force,
    /// What the gripper holds on this stub.
    pub hold: Spread<Force>,
    /// By how much the hold is to exceed the drag; 2 is common practice.
    pub factor: f64,
}

/// What comes of a pull.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulled {
    /// Force that it takes.
    pub drag: Spread<Force>,
    /// Hold over drag; below 1 the fingers slip. None where nothing holds the bar back.
    pub margin: Option<Spread<f64>>,
    /// Heaviest bar that may be drawn with the factor; infinite where nothing holds a bar back.
    pub heaviest: Spread<Mass>,
}

impl Pull {
    /// Drag, margin and heaviest bar, each as a range: the worst with the most friction and the
    /// least hold.
    ///
    /// Valid: as [`drag`] and [`heaviest_bar`].
    /// Source: those.
    ///
    /// # Errors
    /// Names the figure that is not valid.
    pub fn reckoned(&self) -> Result<Pulled, BadFigure> {
        not_negative_range(self.friction, "friction between bar and liner")?;
        not_negative_range(self.hold.map(Force::n), "hold of the gripper")?;
        let way =
            |friction| Way { friction, acceleration: self.acceleration, side_load: self.side_load };
        let drag_of = |friction| drag(self.mass, &way(friction));
        let heaviest = |hold, friction| heaviest_bar(hold, &way(friction), self.factor);
        let drag = Spread {
            low: drag_of(self.friction.low)?,
            nominal: drag_of(self.friction.nominal)?,
            high: drag_of(self.friction.high)?,
        };
        let over = |hold: Force, drag: Force| hold.n() / drag.n();
        let margin = (drag.low.n() > 0.0).then(|| Spread {
            low: over(self.hold.low, drag.high),
            nominal: over(self.hold.nominal, drag.nominal),
            high: over(self.hold.high, drag.low),
        });
        let heaviest = Spread {
            low: heaviest(self.hold.low, self.friction.high)?,
            nominal: heaviest(self.hold.nominal, self.friction.nominal)?,
            high: heaviest(self.hold.high, self.friction.low)?,
        };
        Ok(Pulled { drag, margin, heaviest })
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a figure that is not there fails")]

    use super::*;
    use proptest::prelude::*;

    const SPRING: Hold = Hold {
        smallest: Force::from_n(60.0),
        largest: Force::from_n(180.0),
        turned: 0.8,
        burr: 0.7,
        oil: 0.6,
    };
    const RANGE: (Length, Length) = (Length::from_mm(10), Length::from_mm(50));

    fn way(friction: f64, acceleration: f64, side_load: f64) -> Way {
        let acceleration = Acceleration::from_m_per_s2(acceleration);
        Way { friction, acceleration, side_load: Force::from_n(side_load) }
    }

    proptest! {
        #[test]
        fn the_heaviest_bar_is_just_held(
            (hold, factor) in (1.0_f64..500.0, 1.0_f64..4.0),
            (friction, acceleration, side) in (0.01_f64..0.6, 0.0_f64..5.0, 0.0_f64..100.0),
        ) {
            let way = way(friction, acceleration, side);
            let mass = heaviest_bar(Force::from_n(hold), &way, factor).unwrap();
            if mass.kg() > 0.0 {
                let force = drag(mass, &way).unwrap().n();
                prop_assert!((force * factor / hold - 1.0).abs() < 1e-9);
                let more = Mass::from_kg(mass.kg() * 1.01);
                prop_assert!(drag(more, &way).unwrap().n() > force);
            } else {
                prop_assert!(hold / factor <= friction * side);
            }
        }

        #[test]
        fn a_larger_stub_is_held_harder_and_a_worse_one_less(
            (one, other) in (10.0_f64..50.0, 10.0_f64..50.0),
            (turned, burr, oil) in (any::<bool>(), any::<bool>(), any::<bool>()),
        ) {
            let stub = Stub { turned, burr, oil };
            let held = |at: f64, stub| {
                hold(&SPRING, RANGE, Length::nearest_mm(at), stub).unwrap().n()
            };
            prop_assert!(held(one.min(other), stub) <= held(one.max(other), stub));
            prop_assert!(held(one, stub) <= held(one, Stub::default()));
        }

        #[test]
        fn nothing_is_not_a_number(
            (a, b, c, d) in (odd_number(), odd_number(), odd_number(), odd_number()),
            (x, y, z) in (any::<i64>(), any::<i64>(), any::<i64>()),
        ) {
            let way = way(a, b, c);
            let [x, y, z] = [x, y, z].map(Length::from_nm);
            let hold_of = Hold { smallest: Force::from_n(a), largest: Force::from_n(b), turned: c,
                burr: d, oil: a };
            let stub = Stub { turned: true, burr: true, oil: true };
            let results = [
                drag(Mass::from_kg(d), &way).map(Force::n),
                bow_mm(x, y, z),
                side_load(x, y, Modulus::from_gpa(a), b, z).map(Force::n),
                hold(&hold_of, (x, y), z, stub).map(Force::n),
            ];
            for result in results.into_iter().flatten() {
                prop_assert!(result.is_finite() && result >= 0.0, "{result}");
            }
            // Infinite where nothing holds a bar back.
            if let Ok(mass) = heaviest_bar(Force::from_n(a), &way, d) {
                prop_assert!(mass.kg() >= 0.0);
            }
        }
    }

    #[test]
    fn a_pull_by_hand() {
        let pull = Pull {
            mass: Mass::from_kg(4.84),
            friction: Spread { low: 0.1, nominal: 0.25, high: 0.4 },
            acceleration: Acceleration::from_m_per_s2(1.0),
            side_load: Force::default(),
            hold: Spread::either_side(50.0, 0.2).map(Force::from_n),
            factor: 2.0,
        };
        let pulled = pull.reckoned().unwrap();
        // 4.84·(9.80665·µ + 1): 9.586, 16.706 (trade-checks I8) and 23.826 N.
        let near = |ours: f64, other: f64| (ours / other - 1.0).abs() < 1e-3;
        assert!(near(pulled.drag.low.n(), 9.586) && near(pulled.drag.high.n(), 23.826));
        let margin = pulled.margin.unwrap();
        assert!(near(margin.low, 40.0 / 23.826) && near(margin.nominal, 50.0 / 16.706));
        assert!(near(margin.high, 60.0 / 9.586));
        // 20 N of hold at 4.9227 m/s², and 30 N at 1.9807 m/s².
        assert!(near(pulled.heaviest.low.kg(), 4.0628) && near(pulled.heaviest.high.kg(), 15.1465));
        let upside = Pull { friction: Spread { low: 0.3, nominal: 0.2, high: 0.4 }, ..pull };
        assert_eq!(upside.reckoned().unwrap_err().what, "friction between bar and liner");
        let free =
            Pull { friction: Spread::exact(0.0), acceleration: Acceleration::default(), ..pull };
        assert_eq!(free.reckoned().unwrap().margin, None);
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
        let one = Length::from_mm(1);
        let mass = Mass::from_kg;
        assert_eq!(drag(mass(0.0), &way(0.2, 0.0, 0.0)).map_err(what), Err("mass of the bar"));
        let named = |way: Way| drag(mass(1.0), &way).map_err(what);
        assert_eq!(named(way(-0.1, 0.0, 0.0)), Err("friction between bar and liner"));
        assert_eq!(named(way(0.1, -1.0, 0.0)), Err("acceleration of the pull"));
        assert_eq!(named(way(0.1, 0.0, f64::NAN)), Err("side load of a bent bar"));
        let heaviest = heaviest_bar(Force::from_n(1.0), &way(0.1, 0.0, 0.0), 0.5);
        assert_eq!(heaviest.map_err(what), Err("safety factor"));
        assert_eq!(bow_mm(one, Length::ZERO, one).map_err(what), Err("base length"));
        for at in [Length::from_um(9999), Length::from_um(50_001)] {
            let held = hold(&SPRING, RANGE, at, Stub::default()).map_err(what);
            assert_eq!(held, Err("diameter of the stub"));
        }
    }

    #[test]
    fn a_bar_that_nothing_holds_back_may_be_of_any_mass() {
        let heaviest = |way: Way| heaviest_bar(Force::from_n(10.0), &way, 2.0).unwrap().kg();
        assert!(heaviest(way(0.0, 0.0, 50.0)).is_infinite());
        assert!(heaviest(way(0.5, 1.0, 10.0)).abs() < 1e-12);
    }
}
