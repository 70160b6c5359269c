//! One cut with all that follows from it, for those who lay out or prove a program.

mod limits;

pub use limits::{Limit, Limits, Loaded};
pub use model::files::tools::EdgeMaterial;

use crate::cutting::{self, Chip, Squeeze, Thrust, Wear, drilling, unit_power};
use crate::life::{Life, edge_life};
use crate::spread::Spread;
use crate::{OutOfRange, chips, finish, motion};
use model::Length;
use model::files::Material;
use model::quantity::{
    Angle, FeedPerRev, Force, Power, RemovalRate, Roughness, SpindleSpeed, SurfaceSpeed, Torque,
};
use std::fmt;

/// What cuts, and how its edge stands to the feed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Edge {
    /// An edge with a round nose that is fed along the axis: turning and boring. The depth follows
    /// from the diameters.
    Nose {
        /// Angle between edge and feed.
        edge: Angle,
        /// Radius of the nose; zero for a sharp corner.
        nose: Length,
        /// Whether it cuts in a hole.
        inside: bool,
    },
    /// The same, fed across the axis from one diameter to the other: facing.
    Face {
        /// Angle between edge and feed.
        edge: Angle,
        /// Radius of the nose; zero for a sharp corner.
        nose: Length,
        /// Depth along the axis.
        depth: Length,
    },
    /// A parting or grooving blade that is fed across the axis.
    Blade {
        /// Its width.
        width: Length,
    },
    /// A twist drill into solid; the cut goes from zero to its diameter.
    Drill {
        /// Angle of its point.
        point: Angle,
    },
    /// One pass of a thread with both flanks; the feed is its lead, the cut goes from the diameter
    /// that the pass before left to the one that this pass leaves.
    Thread {
        /// Diameter before the first pass.
        blank: Length,
        /// Flat at the tip of the profile.
        flat: Length,
        /// Angle of the thread.
        angle: Angle,
    },
}

/// One cut: all that is needed to say what it asks of lathe, bar and edge.
#[derive(Debug, Clone, Copy)]
pub struct Cut<'m> {
    /// Diameter before the cut.
    pub from: Length,
    /// Diameter after it.
    pub to: Length,
    /// Feed per revolution.
    pub feed: FeedPerRev,
    /// Surface speed at the larger diameter; infinite where the spindle speed alone is known.
    pub speed: SurfaceSpeed,
    /// Highest spindle speed, or the one that is commanded.
    pub clamp: SpindleSpeed,
    /// What cuts.
    pub edge: Edge,
    /// Its rake angle, where known; else that of the material's figures.
    pub rake: Option<Angle>,
    /// What it is made of; without it nothing is said of its life.
    pub made_of: Option<EdgeMaterial>,
    /// How far it is worn.
    pub wear: Wear,
    /// The bar's material.
    pub material: &'m Material,
}

/// What one cut asks and leaves. Ranges hold the scatter of the material's figures and the wear.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    /// Spindle speed.
    pub spindle: SpindleSpeed,
    /// Surface speed at the larger diameter.
    pub speed: SurfaceSpeed,
    /// Depth at right angles to the feed; of a blade and a thread, how far it goes in on the radius.
    pub depth: Length,
    /// The uncut chip; of a drill, at each lip.
    pub chip: Chip,
    /// Force along the speed; of a drill, at each of both lips.
    pub force: Spread<Force>,
    /// Forces against the feed and across it; of a drill the thrust and nothing, since its lips
    /// balance.
    pub thrust: Thrust,
    /// Force across the axis, which bends the bar away from the tool.
    pub radial: Spread<Force>,
    /// Force along the axis, which pushes the bar into the chuck.
    pub axial: Spread<Force>,
    /// Torque on the spindle.
    pub torque: Spread<Torque>,
    /// Power at the cut.
    pub power: Spread<Power>,
    /// Power by the handbook's unit power, with a sharp edge's figure and the same wear, where the
    /// material has one and it applies.
    pub unit_power: Option<Spread<Power>>,
    /// The larger of both opinions over the smaller, where they are further apart than
    /// [`unit_power::SHOWN_ABOVE`]: then both belong before the person.
    pub opinions_apart: Option<f64>,
    /// Volume cut in a time.
    pub rate: RemovalRate,
    /// Heat that goes off with the chips.
    pub heat_in_chips: Spread<Power>,
    /// Cutting time of an edge, where the material has figures for it.
    pub life: Option<Life>,
    /// Mean roughness to expect, where a nose makes the surface and the feed is at most twice its
    /// radius.
    pub ra: Option<Spread<Roughness>>,
}

/// Why nothing can be said about a cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CutError {
    /// The material has no figures of force.
    NoForce {
        /// The material's name.
        material: String,
    },
    /// A figure lies outside of what the formulas hold for.
    Figure(&'static str),
}

impl fmt::Display for CutError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CutError::NoForce { material } => {
                write!(f, "the material file of {material} has no table `[force]`")
            }
            CutError::Figure(which) => write!(f, "{which} is outside the range of the formulas"),
        }
    }
}

impl std::error::Error for CutError {}

/// Names the figure that a formula refused.
fn named<T>(which: &'static str) -> impl FnOnce(OutOfRange) -> Result<T, CutError> {
    move |OutOfRange| Err(CutError::Figure(which))
}

impl Cut<'_> {
    /// All that follows from the cut.
    ///
    /// The formulas are those of [`crate::cutting`], [`crate::life`] and [`crate::finish`]. The
    /// chip of a round nose is taken with its effective edge angle. A thread's unit power and
    /// life are left out: the handbook's figures are not for it.
    ///
    /// # Errors
    /// A material without figures of force, or a figure out of range, named.
    pub fn outcome(&self) -> Result<Outcome, CutError> {
        let known = self.material.force.as_ref();
        let known =
            known.ok_or_else(|| CutError::NoForce { material: self.material.name.clone() })?;
        let (spindle, speed) = self.speeds()?;
        let depth = self.depth()?;
        let factors = self.factors(speed, known.rake)?;
        let (chip, angle) = self.chip(depth)?;
        let mut force =
            cutting::force(known, chip, factors).or_else(named("the feed or the depth"))?;
        let mut torque = force
            .try_map(|force| cutting::torque(force, self.larger()))
            .or_else(named("the force"))?;
        let mut power =
            force.try_map(|force| cutting::power(force, speed)).or_else(named("the speed"))?;
        let mut thrust =
            cutting::thrust(force, angle, self.wear).or_else(named("the edge angle"))?;
        if let Edge::Drill { point } = self.edge {
            let drill = drilling::drilling(known, self.to, self.feed, point, factors)
                .or_else(named("the drill"))?;
            torque = drill.torque;
            let radians = core::f64::consts::PI / 30.0 * spindle.rpm();
            power = torque.map(|torque| Power::from_w(torque.nm() * radians));
            // Both lips cut at half the radius on average: M = 2·F·d/4.
            let lever = self.to.mm() / 2000.0;
            force = torque.map(|torque| Force::from_n(torque.nm() / lever));
            thrust = Thrust { feed: drill.thrust, passive: Spread::exact(Force::default()) };
        }
        let (radial, axial) = match self.edge {
            Edge::Face { .. } | Edge::Blade { .. } => (thrust.feed, thrust.passive),
            Edge::Nose { .. } | Edge::Drill { .. } | Edge::Thread { .. } => {
                (thrust.passive, thrust.feed)
            }
        };
        let rate = self.rate(speed, spindle, chip)?;
        let unit_power = self.unit_power(rate)?;
        Ok(Outcome {
            spindle,
            speed,
            depth,
            chip,
            force,
            thrust,
            radial,
            axial,
            torque,
            power,
            opinions_apart: unit_power
                .and_then(|other| unit_power::apart(power.nominal, other.nominal).ok())
                .filter(|apart| *apart > unit_power::SHOWN_ABOVE),
            unit_power,
            rate,
            heat_in_chips: Spread {
                low: heat(power.low)?.low,
                nominal: heat(power.nominal)?.nominal,
                high: heat(power.high)?.high,
            },
            life: self.life(speed, depth)?,
            ra: match self.edge {
                Edge::Nose { nose, .. } | Edge::Face { nose, .. } => {
                    finish::expected_ra(self.feed, nose).ok()
                }
                Edge::Blade { .. } | Edge::Drill { .. } | Edge::Thread { .. } => None,
            },
        })
    }

    /// The larger of the diameters before and after.
    fn larger(&self) -> Length {
        self.from.max(self.to)
    }

    fn speeds(&self) -> Result<(SpindleSpeed, SurfaceSpeed), CutError> {
        if self.from.is_negative() || self.to.is_negative() || self.larger() == Length::ZERO {
            return Err(CutError::Figure("the diameter"));
        }
        let spindle = motion::spindle_speed(self.speed, self.larger(), self.clamp);
        if !(spindle.rpm() > 0.0 && spindle.rpm().is_finite()) {
            return Err(CutError::Figure("the speed"));
        }
        let speed = cutting::surface_speed(self.larger(), spindle).or_else(named("the speed"))?;
        Ok((spindle, speed))
    }

    fn depth(&self) -> Result<Length, CutError> {
        let depth = match self.edge {
            Edge::Face { depth, .. } => depth,
            _ => Length::nearest_mm((self.from - self.to).abs().mm() / 2.0),
        };
        if matches!(self.edge, Edge::Drill { .. }) && self.from != Length::ZERO {
            return Err(CutError::Figure("the diameter before a drill into solid"));
        }
        if depth > Length::ZERO { Ok(depth) } else { Err(CutError::Figure("the depth")) }
    }

    fn factors(&self, speed: SurfaceSpeed, table: Angle) -> Result<Spread<f64>, CutError> {
        let squeeze = match self.edge {
            Edge::Nose { inside: false, .. } | Edge::Face { .. } => Squeeze::Outside,
            Edge::Nose { .. } | Edge::Drill { .. } => Squeeze::Inside,
            Edge::Blade { .. } | Edge::Thread { .. } => Squeeze::Slot,
        };
        let rake = cutting::rake_factor(self.rake.unwrap_or(table), table)
            .or_else(named("the rake angle"))?;
        let speed = cutting::speed_factor(speed).or_else(named("the speed"))?;
        let known = rake * speed * cutting::squeeze_factor(squeeze);
        Ok(cutting::wear_factor(self.wear).map(|wear| wear * known))
    }

    /// The chip, and the angle between its edge and the feed.
    fn chip(&self, depth: Length) -> Result<(Chip, Angle), CutError> {
        let across = Angle::from_deg(90.0);
        match self.edge {
            Edge::Nose { edge, nose, .. } | Edge::Face { edge, nose, .. } => {
                let angle = cutting::effective_edge_angle(depth, nose, edge)
                    .or_else(named("the edge angle or the nose radius"))?;
                let chip = cutting::chip(self.feed, depth, angle).or_else(named("the feed"))?;
                Ok((chip, angle))
            }
            Edge::Blade { width } => {
                let chip = cutting::blade_chip(self.feed, width);
                Ok((chip.or_else(named("the feed or the width of the blade"))?, across))
            }
            Edge::Drill { point } => {
                let lip = FeedPerRev::from_mm(self.feed.mm() / 2.0);
                let half = Angle::from_deg(point.deg() / 2.0);
                let chip = cutting::chip(lip, depth, half);
                Ok((chip.or_else(named("the feed or the point angle"))?, half))
            }
            Edge::Thread { blank, flat, angle } => {
                let depth_at =
                    |diameter: Length| Length::nearest_mm((blank - diameter).abs().mm() / 2.0);
                let chip =
                    cutting::thread_chip(depth_at(self.from), depth_at(self.to), flat, angle);
                // The profile pushes out of the thread, across the axis: the edge lies along it.
                Ok((chip.or_else(named("the pass of the thread"))?, Angle::from_deg(5.0)))
            }
        }
    }

    fn rate(
        &self,
        speed: SurfaceSpeed,
        spindle: SpindleSpeed,
        chip: Chip,
    ) -> Result<RemovalRate, CutError> {
        let rate = match self.edge {
            Edge::Nose { .. } | Edge::Drill { .. } => {
                cutting::turned_rate(self.from, self.to, self.feed, spindle)
            }
            Edge::Face { .. } | Edge::Blade { .. } | Edge::Thread { .. } => cutting::removal_rate(
                speed,
                FeedPerRev::from_mm(chip.thickness_mm),
                Length::nearest_mm(chip.width_mm),
            ),
        };
        rate.or_else(named("the feed, the depth or the speed"))
    }

    fn unit_power(&self, rate: RemovalRate) -> Result<Option<Spread<Power>>, CutError> {
        let Some(known) = &self.material.unit_power else { return Ok(None) };
        let feed = match self.edge {
            Edge::Thread { .. } => return Ok(None),
            Edge::Drill { .. } => FeedPerRev::from_mm(self.feed.mm() / 2.0),
            Edge::Nose { .. } | Edge::Face { .. } | Edge::Blade { .. } => self.feed,
        };
        // A feed that the handbook's table does not reach leaves one opinion only.
        let Ok(factor) = unit_power::feed_factor(feed) else { return Ok(None) };
        let wear = cutting::wear_factor(self.wear);
        let power = |wear| {
            unit_power::power(known.sharp, rate, factor, wear).or_else(named("the removal rate"))
        };
        Ok(Some(Spread {
            low: power(wear.low)?,
            nominal: power(wear.nominal)?,
            high: power(wear.high)?,
        }))
    }

    fn life(&self, speed: SurfaceSpeed, depth: Length) -> Result<Option<Life>, CutError> {
        let known = match self.made_of {
            Some(EdgeMaterial::Carbide) => self.material.carbide.as_ref(),
            Some(EdgeMaterial::HighSpeedSteel) => self.material.hss.as_ref(),
            None => None,
        };
        let depth = match self.edge {
            Edge::Nose { .. } | Edge::Face { .. } => depth,
            Edge::Blade { width } => width,
            // The known figures are of turning; those of drills and threads are others.
            Edge::Drill { .. } | Edge::Thread { .. } => return Ok(None),
        };
        known
            .map(|known| edge_life(known, speed, self.feed, depth).or_else(named("the speed")))
            .transpose()
    }
}

fn heat(power: Power) -> Result<Spread<Power>, CutError> {
    chips::heat_in_chips(power).or_else(named("the power"))
}
