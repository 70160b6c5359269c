//! The part: features from the front face back.

mod kinds;
mod placed;
mod reading;
mod stretches;
mod walk;
mod words;

pub use kinds::{KindKeys, keys_of};
pub(super) use reading::keys;

use super::JobFile;
use crate::Length;
use crate::choices;
use crate::files::keys::Keys;
use crate::quantity::Roughness;
use crate::standards::fit::Class;
use crate::standards::knurl::Knurl;
use crate::standards::ring::RingStandard;
use crate::standards::thread::ThreadForm;
use crate::standards::undercut::{Leg, Place, Undercut};

choices! {
    /// What a feature is.
    FeatureKind {
        Chamfer = "chamfer": "breaks the front edge of the diameter that follows at 45°, or with `back` the rear edge of the one before",
        Corner = "corner": "rounds the front edge of the diameter that follows, or with `back` the rear edge of the one before",
        Diameter = "diameter": "a cylinder from where the feature before it ends",
        Taper = "taper": "a cone from where the feature before it ends",
        Arc = "arc": "a round profile from where the feature before it ends",
        Groove = "groove": "a rectangular groove in the outside, in the bore or in the front face",
        Undercut = "undercut": "a relief in the corner between the stretch before it and the one after",
        Bore = "bore": "a cylinder or, with `start`, a cone inside, from where the bore before it ends",
        Hole = "hole": "a drilled hole from the front face, with the cone of the drill's point",
        Thread = "thread": "a thread on features that stand in the list too",
        Knurl = "knurl": "a knurl on a cylinder that stands in the list too",
    }
}

/// One feature as the file has it, with what the short words of the drawing stand for filled in.
/// What a kind does not have is zero, false or none.
#[derive(Debug, Clone, PartialEq)]
#[expect(
    clippy::struct_excessive_bools,
    reason = "each is a flag of the file, independent of the others"
)]
pub struct Feature {
    /// What it is.
    pub kind: FeatureKind,
    /// Nominal diameter of a cylinder, a hole, a thread or a knurl, of a groove's ground (for a face
    /// groove its outer wall), at the end of a taper or arc, or of the cylinder an undercut is in.
    pub diameter: Length,
    /// Diameter at which a taper, an arc or a bore starts; none where that in front of it ends.
    pub start: Option<Length>,
    /// Largest and smallest deviation from the nominal diameter, from the limits or the tolerance
    /// class of the drawing; both zero where it has none.
    pub deviations: (Length, Length),
    /// The tolerance class, where the drawing has one; `deviations` are its.
    pub tolerance: Option<Class>,
    /// Distance from the front face at which it ends; for an undercut its shoulder's face; for a
    /// face groove its ground.
    pub to: Length,
    /// Leg of a chamfer.
    pub size: Length,
    /// Radius of a corner or an arc.
    pub radius: Length,
    /// Whether an arc is hollow.
    pub hollow: bool,
    /// Width of a groove; of a face groove on the radius.
    pub width: Length,
    /// Largest and smallest deviation of that width; both zero where the drawing has none.
    pub width_deviations: (Length, Length),
    /// The standard of the retaining ring that a groove is for; its sizes are in the other fields.
    pub ring: Option<RingStandard>,
    /// Mean roughness that it may have, where the drawing says so.
    pub ra: Option<Roughness>,
    /// Pitch of a thread.
    pub pitch: Length,
    /// Depth of a thread's groove; none for that of the 60° profile.
    pub depth: Option<Length>,
    /// Starts of a thread.
    pub starts: u32,
    /// Distance from the front face at which a thread begins.
    pub from: Length,
    /// A thread by its designation; [`Feature::thread`] gives it for odd threads too.
    pub form: Option<ThreadForm>,
    /// Whether a chamfer, a corner, an arc, a groove, an undercut or a thread is in the bore.
    pub inside: bool,
    /// Whether a chamfer or a corner breaks the rear edge of the stretch before it, and whether an
    /// undercut's shoulder faces the chuck.
    pub back: bool,
    /// Whether a groove is in the front face.
    pub face: bool,
    /// The sizes of an undercut.
    pub undercut: Option<Undercut>,
    /// The form and pitch of a knurl.
    pub knurl: Option<Knurl>,
    /// Angle of the point of a hole, in degrees.
    pub point_angle: f64,
    /// Whether a hole is reamed after drilling.
    pub reamed: bool,
    /// Whether a hole or a bore goes through the part; then it ends at the back face.
    pub through: bool,
    /// What the drawing says beside it.
    pub note: Option<String>,
    /// Whether another operation cuts it.
    pub later: bool,
}

/// Where a groove is cut.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum GrooveSide {
    /// In the outside, toward the axis.
    Outside,
    /// In the bore, away from the axis.
    Inside,
    /// In the front face.
    Face,
}

/// A groove by its walls.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Groove {
    /// Where it is cut.
    pub side: GrooveSide,
    /// Distances from the front face of its front wall and its rear wall; of a face groove zero and
    /// its ground.
    pub from: Length,
    /// See `from`.
    pub to: Length,
    /// Diameter of its ground, to cut; of a face groove that of its outer wall.
    pub diameter: Length,
    /// Its width to cut: nominal plus the middle of its deviations. It is what `to` less `from` is,
    /// but for a face groove, where it is on the radius.
    pub width: Length,
}

impl Feature {
    /// A feature of this kind with nothing of its own yet.
    pub const fn of(kind: FeatureKind) -> Feature {
        Feature {
            kind,
            diameter: Length::ZERO,
            start: None,
            deviations: (Length::ZERO, Length::ZERO),
            tolerance: None,
            to: Length::ZERO,
            size: Length::ZERO,
            radius: Length::ZERO,
            hollow: false,
            width: Length::ZERO,
            width_deviations: (Length::ZERO, Length::ZERO),
            ring: None,
            ra: None,
            pitch: Length::ZERO,
            depth: None,
            starts: 1,
            from: Length::ZERO,
            form: None,
            inside: false,
            back: false,
            face: false,
            undercut: None,
            knurl: None,
            point_angle: 118.0,
            reamed: false,
            through: false,
            note: None,
            later: false,
        }
    }

    /// The diameter to cut: nominal plus the middle of its deviations.
    pub fn cut(&self) -> Length {
        let (upper, lower) = self.deviations;
        self.diameter + (upper + lower).half()
    }

    /// The thread, by its designation or by the keys of an odd one; none for another kind.
    pub fn thread(&self) -> Option<ThreadForm> {
        if self.kind != FeatureKind::Thread {
            return None;
        }
        let odd = || {
            let size = (self.diameter, self.pitch, self.starts);
            ThreadForm::odd(size, self.depth, self.inside)
        };
        Some(self.form.clone().unwrap_or_else(odd))
    }

    /// The groove by its walls, for a retaining ring or plain; none for another kind. Where the width
    /// has deviations, the rear wall stands as drawn and the front wall gives way.
    pub fn groove(&self) -> Option<Groove> {
        if self.kind != FeatureKind::Groove {
            return None;
        }
        let (wider, narrower) = self.width_deviations;
        let width = self.width + (wider + narrower).half();
        let side = match (self.face, self.inside) {
            (true, _) => GrooveSide::Face,
            (_, true) => GrooveSide::Inside,
            _ => GrooveSide::Outside,
        };
        let from = if self.face { Length::ZERO } else { self.to - width };
        Some(Groove { side, from, to: self.to, diameter: self.cut(), width })
    }

    /// The sizes of an undercut; none for another kind. Its shoulder's face is at `to`, the cylinder
    /// it is in measures `diameter`, and it lies before the face, behind it where `back` holds.
    pub const fn undercut(&self) -> Option<&Undercut> {
        self.undercut.as_ref()
    }

    /// The outline of an undercut in the half-plane of the part: where it leaves the cylinder, and its
    /// legs to the shoulder's face, as distances from the front face and from the axis.
    pub fn undercut_outline(&self) -> Option<(Spot, Vec<UndercutLeg>)> {
        let (start, legs) = self.undercut?.outline();
        let spot = |place: Place| {
            let away = if self.back { place.ahead } else { -place.ahead };
            let deep = if self.inside { place.below } else { -place.below };
            Spot { behind: self.to + away, radius: self.diameter.half() + deep }
        };
        let leg = |leg: Leg| match leg {
            Leg::Line(to) => UndercutLeg::Line(spot(to)),
            Leg::Arc { to, center } => UndercutLeg::Arc { to: spot(to), center: spot(center) },
        };
        Some((spot(start), legs.into_iter().map(leg).collect()))
    }

    /// The diameter to turn before knurling, from the diameter over the points; none for another
    /// kind.
    pub fn before_knurling(&self) -> Option<Length> {
        self.knurl.map(|knurl| knurl.before(self.diameter))
    }

    /// Whether it is a stretch of the outside.
    pub fn on_outside(&self) -> bool {
        let stretch =
            matches!(self.kind, FeatureKind::Diameter | FeatureKind::Taper | FeatureKind::Arc);
        stretch && !self.inside
    }

    /// The largest nominal diameter of a stretch of the outside that starts here, behind one that ends
    /// with `before`: at one of its ends, or at the crest of an arc that bulges.
    pub fn largest(&self, from: Length, before: Length) -> Length {
        if self.kind == FeatureKind::Diameter {
            return self.diameter;
        }
        let start = self.start.unwrap_or(before);
        let ends = start.max(self.diameter);
        if self.kind != FeatureKind::Arc || self.hollow {
            return ends;
        }
        // Its center lies toward the axis from the middle of its chord.
        let (run, rise) = ((self.to - from).mm(), (self.diameter - start).half().mm());
        let (chord, radius) = (libm::hypot(run, rise), self.radius.mm());
        if chord > 2.0 * radius {
            return ends;
        }
        let deep = libm::sqrt(radius * radius - chord * chord / 4.0);
        let along = run / 2.0 + deep * rise / chord;
        let top = (start + self.diameter).mm() / 4.0 - deep * run / chord + radius;
        if (0.0..=run).contains(&along) { ends.max(Length::nearest_mm(2.0 * top)) } else { ends }
    }
}

/// A place on the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot {
    /// Distance behind the front face.
    pub behind: Length,
    /// Distance from the axis.
    pub radius: Length,
}

/// One stretch of an undercut's outline on the part.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum UndercutLeg {
    /// Straight to here.
    Line(Spot),
    /// By a hollow arc about this center to here.
    Arc {
        /// Its end.
        to: Spot,
        /// Its center.
        center: Spot,
    },
}

/// The finished part.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Front face to back face.
    pub length: Length,
    /// Largest and smallest deviation from the length; both zero where the drawing has none.
    pub length_deviations: (Length, Length),
    /// Largest radius in inside corners that have none of their own; none where the drawing says
    /// nothing of it.
    pub inside_corner: Option<Length>,
    /// Its features from the front face back.
    pub features: Vec<Feature>,
}

/// One cylinder of the part with the chamfer on its front edge.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Distance from the front face at which it starts.
    pub from: Length,
    /// Distance from the front face at which it ends.
    pub to: Length,
    /// The diameter to cut: nominal plus the middle of its deviations.
    pub diameter: Length,
    /// Leg of the chamfer on its front edge; zero for none.
    pub chamfer: Length,
    /// Error of its diameter to either side that the drawing allows; none without a tolerance.
    pub allowed: Option<Length>,
    /// Mean roughness that it may have, where the drawing says so.
    pub ra: Option<Roughness>,
}

impl Part {
    /// The cylinders from the front face back.
    pub fn steps(&self) -> Vec<Step> {
        let mut steps: Vec<Step> = Vec::new();
        let mut chamfer = Length::ZERO;
        let here = |feature: &&Feature| !feature.later && !feature.inside && !feature.back;
        for feature in self.features.iter().filter(here) {
            match feature.kind {
                FeatureKind::Chamfer => chamfer = feature.size,
                FeatureKind::Diameter => {
                    let from = steps.last().map_or(Length::ZERO, |step| step.to);
                    let diameter = feature.cut();
                    let (upper, lower) = feature.deviations;
                    let allowed = Some((upper - lower).half()).filter(|it| it.is_positive());
                    let ra = feature.ra;
                    steps.push(Step { from, to: feature.to, diameter, chamfer, allowed, ra });
                    chamfer = Length::ZERO;
                }
                _ => {}
            }
        }
        steps
    }
}

/// No cylinder, and no arc at its crest, is larger than the bar.
pub(super) fn fits_bar(keys: &Keys<'_>, job: &JobFile) {
    if !keys.sound("bar.size") || !keys.sound("part.feature") {
        return;
    }
    let (mut from, mut before) = (Length::ZERO, Length::ZERO);
    let outside = job.part.features.iter().enumerate().filter(|(_, it)| it.on_outside());
    for (index, feature) in outside {
        let cut = feature.largest(from, before) + feature.cut() - feature.diameter;
        (from, before) = (feature.to, feature.diameter);
        if cut > job.bar.size {
            let path = format!("part.feature[{index}].diameter");
            let (part, bar) = (cut.shown(job.units), job.bar.size.shown(job.units));
            let message = format!("{part} is to be cut here, but the bar is {bar}");
            keys.trouble(&path, message, "take a larger bar, or mend the diameter");
        }
    }
}
