//! One cut of a turret station as a program makes it: what it asks of drive, chuck, bar and edge,
//! and by how much each of them holds.
//!
//! A plan and a proof both call this, so that both mean the same physics. What the files do not say
//! is a [`Lack`] that names the key which would say it; nothing is taken in its place.

mod lack;
mod reckon;

pub use lack::Lack;

use crate::bending::Step;
use crate::cut::Outcome;
use crate::cutting::Wear;
use crate::held::Margins;
use crate::holding::friction::WorkSurface;
use crate::life::Life;
use crate::spread::Spread;
use model::Length;
use model::files::tools::Station;
use model::files::{Lathe, Material};
use model::quantity::{Deflection, FeedPerRev, Power, SpindleSpeed, SurfaceSpeed, Torque};

/// What is the same for every cut of a bar.
#[derive(Debug, Clone, Copy)]
pub struct Setting<'j> {
    /// The lathe: its drive and its grip, where its file has them.
    pub lathe: &'j Lathe,
    /// What the bar is made of.
    pub material: &'j Material,
    /// Diameter of the bar in the jaws; across the flats for a hexagon or square.
    pub bar: Length,
    /// How the bar is finished where the jaws hold it.
    pub surface: WorkSurface,
}

/// Which way a tool is fed, and what it takes off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Feeding {
    /// Along the axis, from one diameter before the cut to another after it. A drill goes from
    /// zero to its diameter.
    Along {
        /// Diameter before the cut.
        from: Length,
        /// Diameter after it.
        to: Length,
        /// Whether the tool is fed toward the chuck, and so pushes the bar into it.
        toward_chuck: bool,
    },
    /// One pass of an outside thread of 60°, both flanks cutting; the feed is its lead.
    Thread {
        /// Diameter before the first pass.
        blank: Length,
        /// Diameter at the ground of the thread before this pass.
        from: Length,
        /// Diameter at its ground behind it.
        to: Length,
        /// Whether the tool is fed toward the chuck.
        toward_chuck: bool,
    },
    /// Across the axis, as facing and parting.
    Across {
        /// Diameter at which the cut starts.
        from: Length,
        /// Diameter at which it ends; zero or less goes to the center.
        to: Length,
        /// Depth along the axis; a blade takes its own width.
        depth: Length,
    },
}

/// How the spindle is told to turn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Turning {
    /// At a surface speed, but never faster than a spindle speed.
    Surface(SurfaceSpeed, SpindleSpeed),
    /// At one spindle speed.
    Spindle(SpindleSpeed),
}

/// One cut.
#[derive(Debug, Clone, Copy)]
pub struct StationCut<'j> {
    /// What cuts.
    pub station: &'j Station,
    /// Which way it is fed, and what it takes off.
    pub feeding: Feeding,
    /// Feed per revolution.
    pub feed: FeedPerRev,
    /// How the spindle turns.
    pub turning: Turning,
    /// How far the edge is worn.
    pub wear: Wear,
    /// Distance of the tool from the jaw face at the start of the cut and at its end.
    pub place: (Length, Length),
    /// The bar in front of the jaws before the cut, from the jaw face outward: the stick-out.
    pub steps: &'j [Step],
    /// Length of bar in the jaws.
    pub gripped: Length,
    /// Error of the diameter to either side that the drawing allows; none for a cut of which no
    /// size is wanted.
    pub allowed: Option<Deflection>,
}

/// What a cut asks, over a range, and what there is at least.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Load<T> {
    /// What the cut asks.
    pub asked: Spread<T>,
    /// What there is for it.
    pub given: T,
}

/// Every load and margin of one cut. What is not known says which key is lacking.
#[derive(Debug, Clone, PartialEq)]
pub struct Loads {
    /// Forces, torque, power, chips and roughness at the largest diameter that is cut.
    pub outcome: Outcome,
    /// Power at the cut against what the drive gives at that speed, where the cut comes nearest
    /// to it.
    pub power: Result<Load<Power>, Lack>,
    /// Torque on the spindle against what the drive gives, likewise.
    pub torque: Result<Load<Torque>, Lack>,
    /// Every margin of holding and bending, at the worst place of the cut.
    pub held: Result<Margins, Lack>,
    /// Cutting time that an edge lasts.
    pub life: Result<Life, Lack>,
}

impl StationCut<'_> {
    /// Every load and margin of this cut.
    ///
    /// A cut across the axis is looked at where it starts, where its speed reaches the highest and
    /// where it ends (a hundredth of its largest diameter at least): the torque is largest at the
    /// first, the loss of grip at the last.
    ///
    /// Valid, source: as [`crate::cut::Cut::outcome`], [`crate::cutting::drive`] and
    /// [`crate::held::HeldPart::margins`]. A chip of a hexagon or square is taken as thick as at
    /// its corners.
    ///
    /// ```
    /// use calc::bending::Step;
    /// use calc::cutting::Wear;
    /// use calc::holding::friction::WorkSurface;
    /// use calc::station::{Feeding, Setting, StationCut, Turning};
    /// use model::files::{Lathe, Material, Tools};
    /// use model::quantity::{FeedPerRev, Force, SpindleSpeed, SurfaceSpeed};
    /// use model::{Length, Source};
    ///
    /// # let lathe = r#"
    /// # units = "mm"
    /// # name = "any"
    /// # travel = { x = 250, z = 320 }
    /// # rapid = { x = 12, z = 16 }
    /// # chuck = { open = 1, close = 1, jaw_length = 32, least_grip = 30, max_speed = 4000, start_when_open = "refused" }
    /// # turret = { stations = 8, step = 0.2, index_x = 120, index_z = 60 }
    /// # grip = { kind = "jaw", force = 30000, mass_radius = 0.12, surface = "fine" }
    /// # spindle = { max_speed = 4500, bore = 43, jaw_face_to_rear = 985, run_up = 3, run_down = 3 }
    /// # "#;
    /// # let tools = r#"
    /// # units = "mm"
    /// # [[station]]
    /// # number = 1
    /// # kind = "turning"
    /// # name = "outside"
    /// # nose_radius = 0.4
    /// # edge_angle = 95
    /// # speed = 180
    /// # feed = 0.18
    /// # depth = 1.5
    /// # "#;
    /// # let material = concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/materials/steel-1215.toml");
    /// # let material = std::fs::read(material).unwrap();
    /// // The files of a job, read as ever.
    /// let lathe = Lathe::read(&Source::new("lathe.toml", lathe)).value.unwrap();
    /// let tools = Tools::read(&Source::new("tools.toml", tools)).value.unwrap();
    /// let material = Material::read(&Source::new("material.toml", material)).value.unwrap();
    ///
    /// let mm = Length::from_mm;
    /// let setting = Setting {
    ///     lathe: &lathe,
    ///     material: &material,
    ///     bar: mm(12),
    ///     surface: WorkSurface::Turned,
    /// };
    /// let cut = StationCut {
    ///     station: &tools.stations[0],
    ///     feeding: Feeding::Along { from: mm(12), to: mm(10), toward_chuck: true },
    ///     feed: FeedPerRev::from_mm(0.18),
    ///     turning: Turning::Surface(
    ///         SurfaceSpeed::from_m_per_min(100.0),
    ///         SpindleSpeed::from_rpm(2800.0),
    ///     ),
    ///     wear: Wear::Any,
    ///     place: (mm(42), mm(14)),
    ///     steps: &[Step { length: mm(42), diameter: mm(12), bore: Length::ZERO }],
    ///     gripped: mm(32),
    ///     allowed: None,
    /// };
    /// let loads = cut.loads(&setting).unwrap();
    /// let force = loads.outcome.force;
    /// assert!(force.low < force.nominal && force.nominal < force.high);
    /// // Whether the bar may tip out of the jaws: what they hold over what acts, as a range.
    /// let tips = loads.held.unwrap().overturning.unwrap();
    /// assert!(tips.ratio.low > tips.least);
    /// // This lathe file says nothing of its drive: not clear, but lacking.
    /// assert_eq!(loads.power.unwrap_err().key, "spindle.drive");
    /// ```
    ///
    /// # Errors
    /// Without the force of the cut nothing follows: the material has no `[force]`, the station no
    /// edge angle or width, or a figure lies outside of the formulas, each named.
    pub fn loads(&self, setting: &Setting<'_>) -> Result<Loads, Lack> {
        let places = self.reckoned(setting)?;
        Ok(Loads {
            power: places.power(setting),
            torque: places.torque(setting),
            held: self.held(setting, &places),
            life: self.life(setting, &places),
            outcome: places.into_first(),
        })
    }

    /// Cutting time that an edge lasts in this cut, without its other loads.
    ///
    /// Valid, source: as [`crate::life::edge_life`].
    ///
    /// # Errors
    /// As [`StationCut::loads`], and where the material has no figures for the edge.
    pub fn edge_life(&self, setting: &Setting<'_>) -> Result<Life, Lack> {
        self.life(setting, &self.reckoned(setting)?)
    }

    /// Shortest length in the jaws with which the cut keeps its least margins even at the
    /// unfavorable ends; none where full jaws do not. For the last parts of a bar.
    ///
    /// Valid, source: as [`crate::held::HeldPart::shortest_grip`].
    ///
    /// # Errors
    /// As [`StationCut::loads`], and where the lathe file has no `[grip]` or the material no
    /// `[stiffness]`.
    pub fn shortest_grip(&self, setting: &Setting<'_>) -> Result<Option<Length>, Lack> {
        let places = self.reckoned(setting)?;
        self.shortest(setting, &places)
    }
}
