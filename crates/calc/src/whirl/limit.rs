//! The highest speed over a bar's life.
//!
//! As the bar is drawn its rear end moves forward: the tail behind the last support it still
//! reaches gets shorter and the speed rises, until it leaves that support and a longer tail swings
//! free.

use core::f64::consts::PI;
use model::Length;
use model::quantity::{BedStiffness, Density, Modulus, SpindleSpeed, Stiffness, TiltStiffness};

use super::beam::{Fineness, Mesh};
use super::bow::{Bent, bent, rate};
use super::modes::Pencil;
use super::way::{Between, Life, Taking};
use super::{Beam, Holds, Section, WhirlError};

/// The stretch of a bar that swings most; places count from the jaw face backward.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stretch {
    /// The bar in front of the jaws.
    Front {
        /// How much.
        length: Length,
    },
    /// Bar between two supports.
    Span {
        /// The nearer one.
        from: Length,
        /// The farther one.
        to: Length,
    },
    /// Bar behind the last support.
    Tail {
        /// The last support.
        from: Length,
        /// The bar's rear end.
        to: Length,
    },
}

/// What sets the highest speed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reason {
    /// The distance to be kept from a critical speed.
    Critical,
    /// The force of a bent bar on the spindle.
    SideForce,
}

/// How fast a bar may turn while one part is cut.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// The part, from 1.
    pub part: u32,
    /// Bar in front of the jaw face.
    pub stick_out: Length,
    /// Bar behind the jaw face.
    pub behind: Length,
    /// Lowest critical speed.
    pub critical: Between<SpindleSpeed>,
    /// Highest speed; what is to be kept to is the low end.
    pub allowed: Between<SpindleSpeed>,
    /// What swings most at the critical speed.
    pub weakest: Stretch,
    /// What sets the highest speed.
    pub reason: Reason,
    /// Highest speed if nothing that has play held the bar; none where nothing has. Above it
    /// the bar bends out until it touches.
    pub untouched: Option<SpindleSpeed>,
}

/// The highest speed over a bar's life.
#[derive(Debug, Clone, PartialEq)]
pub struct Curve {
    /// Each part's limit, or of a bar with very many parts, enough of them that nothing between
    /// is lower: see [`Life::curve`].
    pub limits: Vec<Limit>,
    /// Where in the list the lowest speed stands.
    pub worst: usize,
    /// How far the new bar hangs out behind the rear end: anything above zero is a stop.
    pub hangs_out: Length,
}

impl Curve {
    /// The limit with the lowest speed; none in a curve without parts.
    pub fn worst(&self) -> Option<&Limit> {
        self.limits.get(self.worst)
    }
}

/// With more parts than this a curve skips some.
const MOST_POINTS: u32 = 400;

impl Life {
    /// How fast the bar may turn while a part, from 1, is cut.
    ///
    /// `n = separation · n_critical`, with the critical speed of the bar on jaws and supports, both
    /// ends free. The range comes from the ranges of modulus and density and from what is known of
    /// the stiffness of springs; a stiffer bar or support, or a lighter bar, never lowers a
    /// natural frequency (Rayleigh), so that its ends belong to the ends of the figures. Shear
    /// and turning inertia, left out of the beam, lower the low end by [`left_out`]. Where a
    /// side force is given, the speed is also one at which the bent bar stays below it.
    ///
    /// The bar is the longest that its tolerance allows, or the shortest where that turns more
    /// slowly: it may have left a support that the longest still reaches.
    ///
    /// A support with play counts in full where it has at most [`Way::most_play`](super::Way), else
    /// not at all. The bar in front counts with its whole section; what is turned off it is not
    /// followed.
    ///
    /// Valid: `0 < separation < 1`; what [`modes`](super::modes()) holds for.
    /// Errors: 1e-5 of the speed from the elements, beside the range.
    /// Source: beam elements; the separation is common practice.
    /// Held to: `handbook/whirl.toml`.
    ///
    /// # Errors
    /// What of bar, way or division cannot be, and [`WhirlError::Parts`] where the bar does not
    /// reach the jaws any more.
    pub fn limit(&self, part: u32) -> Result<Limit, WhirlError> {
        let tolerance = self.stock.length_tolerance;
        if tolerance.is_negative() {
            return Err(WhirlError::Length);
        }
        if tolerance == Length::ZERO {
            return self.limit_as_long(part);
        }
        let longest = self.longer(tolerance).limit_as_long(part)?;
        if !self.rests_otherwise(part)? {
            return Ok(longest);
        }
        let shortest = self.longer(Length::ZERO - tolerance).limit_as_long(part)?;
        let lower = shortest.allowed.low < longest.allowed.low;
        Ok(if lower { shortest } else { longest })
    }

    /// The limit of a bar without tolerance.
    fn limit_as_long(&self, part: u32) -> Result<Limit, WhirlError> {
        if !(self.separation > 0.0 && self.separation < 1.0) {
            return Err(WhirlError::Separation);
        }
        let beam = self.beam(part, Taking::Guides)?;
        let front = self.stick_out(part)?;
        let mesh = beam.mesh(Fineness::CURVE)?;
        let (likely, shape) = first(&mesh)?;
        let critical = self.range(&beam, likely)?;
        let scaled = |speed: SpindleSpeed| SpindleSpeed::from_rpm(speed.rpm() * self.separation);
        let mut limit = Limit {
            part,
            stick_out: front,
            behind: self.behind(part)?,
            critical,
            allowed: Between {
                low: scaled(critical.low),
                likely: scaled(critical.likely),
                high: scaled(critical.high),
            },
            weakest: weakest(&beam, &mesh, &shape, front),
            reason: Reason::Critical,
            untouched: self.untouched(part, &beam)?.map(scaled),
        };
        self.hold_side_force(&mut limit)?;
        Ok(limit)
    }

    /// How fast the bar may turn while each of its parts is cut.
    ///
    /// A bar of more than 400 parts is reckoned at 400 parts spaced evenly, and at the first part
    /// after its rear end leaves a support, where the speed falls at once; between those it
    /// changes by little. The rest is as in [`Life::limit`].
    ///
    /// # Errors
    /// As [`Life::limit`].
    pub fn curve(&self, parts: u32) -> Result<Curve, WhirlError> {
        let hangs_out = self.hangs_out()?;
        let limits: Vec<Limit> = self
            .points(parts)?
            .into_iter()
            .map(|part| self.limit(part))
            .collect::<Result<_, _>>()?;
        let low = |limit: &Limit| limit.allowed.low.rpm();
        let worst = limits.iter().enumerate().min_by(|a, b| low(a.1).total_cmp(&low(b.1)));
        Ok(Curve { worst: worst.map_or(0, |(index, _)| index), hangs_out, limits })
    }

    /// How far the bar runs out at a speed while a part is cut; places count from its front end.
    /// Supports with play, and the bore, hold what touches them. See [`running`](super::running).
    ///
    /// # Errors
    /// As there, and as [`Life::limit`].
    pub fn running(&self, part: u32, speed: SpindleSpeed) -> Result<Bent, WhirlError> {
        let beam = self.beam(part, Taking::Stops)?;
        let mesh = beam.mesh(Fineness::CURVE)?;
        bent(&mesh, &beam, self.stock.bow.curvature()?, rate(speed)?)
    }

    /// The parts at which the curve is reckoned.
    fn points(&self, parts: u32) -> Result<Vec<u32>, WhirlError> {
        if parts == 0 {
            return Ok(Vec::new());
        }
        self.behind(parts)?;
        if parts <= MOST_POINTS {
            return Ok((1..=parts).collect());
        }
        let spread = |point: u32| {
            1 + (u64::from(point) * u64::from(parts - 1) / u64::from(MOST_POINTS - 1)) as u32
        };
        let mut points: Vec<u32> = (0..MOST_POINTS).map(spread).collect();
        let many = i64::from(self.division.parts_per_advance);
        for support in &self.way.supports {
            for tolerance in [self.stock.length_tolerance, Length::ZERO] {
                let over = self.behind(1)? - tolerance - support.at;
                if !over.is_negative() {
                    let advances = over / self.division.advance() + 1;
                    points
                        .extend(u32::try_from(advances * many + 1).ok().filter(|at| *at <= parts));
                }
            }
        }
        points.sort_unstable();
        points.dedup();
        Ok(points)
    }

    /// The critical speed with its range.
    fn range(&self, beam: &Beam, likely: f64) -> Result<Between<SpindleSpeed>, WhirlError> {
        let (modulus, density) = (&self.stock.modulus, &self.stock.density);
        let ordered = modulus.low <= modulus.likely && modulus.likely <= modulus.high;
        let heavier = density.low <= density.likely && density.likely <= density.high;
        if !(ordered && heavier && modulus.low.gpa() > 0.0 && density.low.kg_per_m3() > 0.0) {
            return Err(WhirlError::Material);
        }
        let ratio = |stiff: Modulus, heavy: f64| {
            let heavier = heavy / density.likely.kg_per_m3();
            libm::sqrt(stiff.gpa() / modulus.likely.gpa() / heavier)
        };
        let low = ratio(modulus.low, density.high.kg_per_m3());
        let high = ratio(modulus.high, density.low.kg_per_m3());
        let end = |speed: f64, stiffness: f64, modulus, density| {
            let yields = |holds: &Holds| matches!(holds, Holds::Spring { .. } | Holds::Bed { .. });
            if !beam.supports.iter().any(|support| yields(&support.holds)) {
                return Ok(likely * speed);
            }
            let supports = beam.supports.iter().map(|support| {
                let holds = stiffened(support.holds, stiffness);
                super::Support { holds, ..*support }
            });
            let beam = Beam { modulus, density, supports: supports.collect(), ..beam.clone() };
            Ok::<f64, WhirlError>(first(&beam.mesh(Fineness::CURVE)?)?.0)
        };
        let factor = self.way.stiffness_within;
        let low = end(low, 1.0 / factor, modulus.low, density.high)?;
        let high = end(high, factor, modulus.high, density.low)?;
        // Beds of other stiffness are cut into other elements, which differ by up to 1e-5.
        let (low, high) = (low.min(likely), high.max(likely));
        let slowed = SpindleSpeed::from_rpm(low * 30.0 / PI);
        let section = self.stock.section;
        let low = low * (1.0 - left_out(section, modulus.low, density.high, slowed)?);
        Ok(Between { low, likely, high }.map(|rate| SpindleSpeed::from_rpm(rate * 30.0 / PI)))
    }

    /// Critical speed on what has no play, where something of the beam has.
    fn untouched(&self, part: u32, beam: &Beam) -> Result<Option<SpindleSpeed>, WhirlError> {
        if !beam.supports.iter().any(super::Support::is_loose) {
            return Ok(None);
        }
        let mesh = self.beam(part, Taking::Tight)?.mesh(Fineness::CURVE)?;
        let rate = first(&mesh)?.0;
        Ok(Some(SpindleSpeed::from_rpm(rate * 30.0 / PI)))
    }

    /// Lowers the speeds until the bent bar's side force is borne.
    fn hold_side_force(&self, limit: &mut Limit) -> Result<(), WhirlError> {
        let Some(most) = self.most_side_force else { return Ok(()) };
        let beam = self.beam(limit.part, Taking::Stops)?;
        let mesh = beam.mesh(Fineness::CURVE)?;
        let curvature = self.stock.bow.curvature()?;
        let borne = |rpm: f64| {
            let bent = bent(&mesh, &beam, curvature, rpm * PI / 30.0);
            bent.is_ok_and(|bent| bent.side_force.n() <= most.n())
        };
        let (mut low, mut high) = (0.0, limit.allowed.high.rpm());
        if borne(high) {
            return Ok(());
        }
        while high - low > 1e-3 * high && high > 1e-3 {
            let middle = f64::midpoint(low, high);
            if borne(middle) { low = middle } else { high = middle }
        }
        let lower = |speed: SpindleSpeed| SpindleSpeed::from_rpm(speed.rpm().min(low));
        if low < limit.allowed.low.rpm() {
            limit.reason = Reason::SideForce;
        }
        limit.allowed = limit.allowed.map(lower);
        Ok(())
    }
}

/// By how much, at most, shear and turning inertia lower a natural frequency that the slender beam
/// has at this speed: a fraction of it, at most a half.
///
/// `2.1·ω·r/c` with `r = √(I/A)` and `c = √(E/ρ)`; for a tube, in which shear weighs more, `3.1·ω·r/c`.
/// The gyroscopic effect of a bar that whirls with the spindle gives some of it back and is not
/// counted.
/// Valid: to first order in `ω·r/c`; metals, with a Poisson's ratio up to 0.35.
/// Source: Timoshenko's beam on two pins, `½·(βr)²·(1 + E/κG)`, from memory; checked against his
/// exact frequencies in `tests/it/whirl_oracle.rs`.
/// Held to: `handbook/whirl.toml`.
///
/// # Errors
/// A section without metal, or a modulus, density or speed that is none.
pub fn left_out(
    section: Section,
    modulus: Modulus,
    density: Density,
    speed: SpindleSpeed,
) -> Result<f64, WhirlError> {
    let radius = libm::sqrt(section.second_moment()?.mm4() / section.area()?.mm2()) * 1e-3;
    let (modulus, density) = (modulus.gpa() * 1e9, density.kg_per_m3());
    if !(1e6..=2e12).contains(&modulus) || !(1.0..=1e5).contains(&density) {
        return Err(WhirlError::Material);
    }
    let factor = if matches!(section, Section::Tube { .. }) { 3.1 } else { 2.1 };
    let sound = libm::sqrt(modulus / density);
    Ok((factor * rate(speed)? * radius / sound).min(0.5))
}

impl<T: Copy> Between<T> {
    /// Each of the three figures turned into another.
    pub fn map<U>(self, turn: impl Fn(T) -> U) -> Between<U> {
        Between { low: turn(self.low), likely: turn(self.likely), high: turn(self.high) }
    }
}

/// Lowest rate in rad/s, and its shape.
fn first(mesh: &Mesh) -> Result<(f64, Vec<f64>), WhirlError> {
    let (stiffness, mass) = mesh.held(true);
    let (eigenvalue, shape) = Pencil::new(&stiffness, &mass)?.first()?;
    Ok((mesh.rate(eigenvalue), shape))
}

fn stiffened(holds: Holds, by: f64) -> Holds {
    match holds {
        Holds::Spring { lateral, tilt } => Holds::Spring {
            lateral: Stiffness::from_n_per_mm(lateral.n_per_mm() * by),
            tilt: TiltStiffness::from_nm_per_rad(tilt.nm_per_rad() * by),
        },
        Holds::Bed { to, stiffness } => {
            Holds::Bed { to, stiffness: BedStiffness::from_n_per_mm2(stiffness.n_per_mm2() * by) }
        }
        other => other,
    }
}

/// The stretch between supports with most of the mode's motion.
fn weakest(beam: &Beam, mesh: &Mesh, shape: &[f64], front: Length) -> Stretch {
    let mut ends: Vec<Length> =
        beam.supports.iter().flat_map(|support| [support.at, support.end()]).collect();
    ends.extend([Length::ZERO, beam.length]);
    ends.sort_unstable();
    ends.dedup();
    let motion = |from: Length, to: Length| -> f64 {
        let (first, last) = (mesh.node(from), mesh.node(to));
        let pieces = (first..last).map(|node| {
            let (near, far) = (shape[2 * node], shape[2 * node + 2]);
            (mesh.x[node + 1] - mesh.x[node]) * (near * near + far * far)
        });
        pieces.sum()
    };
    let most = ends
        .windows(2)
        .map(|end| (motion(end[0], end[1]), end[0], end[1]))
        .max_by(|a, b| a.0.total_cmp(&b.0));
    let (from, to) = most.map_or((Length::ZERO, beam.length), |(_, from, to)| (from, to));
    if from == Length::ZERO {
        Stretch::Front { length: to }
    } else if to == beam.length {
        Stretch::Tail { from: from - front, to: to - front }
    } else {
        Stretch::Span { from: from - front, to: to - front }
    }
}
