//! The part: features from the front face back.

mod reading;

pub(super) use reading::keys;

use super::JobFile;
use crate::Length;
use crate::choices;
use crate::files::keys::Keys;
use crate::quantity::Roughness;

choices! {
    /// What a feature is.
    FeatureKind {
        Chamfer = "chamfer": "breaks the front edge of the diameter that follows, at 45°",
        Corner = "corner": "rounds the front edge of the diameter that follows",
        Diameter = "diameter": "a cylinder from where the feature before it ends",
        Taper = "taper": "a cone from where the feature before it ends",
        Arc = "arc": "a round profile from where the feature before it ends",
        Groove = "groove": "a rectangular groove in the outside",
        Bore = "bore": "a cylinder or, with `start`, a cone inside, from where the bore before it ends",
        Hole = "hole": "a drilled hole from the front face, with the cone of the drill's point",
        Thread = "thread": "a thread on features that stand in the list too",
    }
}

/// One feature as the file has it. What a kind does not have is zero, false or none.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// What it is.
    pub kind: FeatureKind,
    /// Nominal diameter of a cylinder, a hole or a thread, of a groove's ground, or at the end of a
    /// taper or arc.
    pub diameter: Length,
    /// Diameter at which a taper, an arc or a bore starts; none where that in front of it ends.
    pub start: Option<Length>,
    /// Largest and smallest deviation from the nominal diameter; both zero where the drawing has
    /// none.
    pub deviations: (Length, Length),
    /// Distance from the front face at which it ends.
    pub to: Length,
    /// Leg of a chamfer.
    pub size: Length,
    /// Radius of a corner or an arc.
    pub radius: Length,
    /// Whether an arc is hollow.
    pub hollow: bool,
    /// Width of a groove.
    pub width: Length,
    /// Mean roughness that a cylinder may have, where the drawing says so.
    pub ra: Option<Roughness>,
    /// Pitch of a thread.
    pub pitch: Length,
    /// Depth of a thread's groove; none for that of the 60° profile.
    pub depth: Option<Length>,
    /// Starts of a thread.
    pub starts: u32,
    /// Distance from the front face at which a thread begins.
    pub from: Length,
    /// Whether a chamfer, a corner, an arc or a thread is in the bore.
    pub inside: bool,
    /// Angle of the point of a hole, in degrees.
    pub point_angle: f64,
    /// Whether another operation cuts it.
    pub later: bool,
}

impl Feature {
    /// A feature of this kind with nothing of its own yet.
    pub const fn of(kind: FeatureKind) -> Feature {
        Feature {
            kind,
            diameter: Length::ZERO,
            start: None,
            deviations: (Length::ZERO, Length::ZERO),
            to: Length::ZERO,
            size: Length::ZERO,
            radius: Length::ZERO,
            hollow: false,
            width: Length::ZERO,
            ra: None,
            pitch: Length::ZERO,
            depth: None,
            starts: 1,
            from: Length::ZERO,
            inside: false,
            point_angle: 118.0,
            later: false,
        }
    }

    /// The diameter to cut: nominal plus the middle of its deviations.
    pub fn cut(&self) -> Length {
        let (upper, lower) = self.deviations;
        self.diameter + (upper + lower).half()
    }

    /// Whether it is a stretch of the outside.
    pub fn on_outside(&self) -> bool {
        let stretch =
            matches!(self.kind, FeatureKind::Diameter | FeatureKind::Taper | FeatureKind::Arc);
        stretch && !self.inside
    }
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
        let here = |feature: &&Feature| !feature.later && !feature.inside;
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

    /// The first feature that the planner of this version does not cut, by its place in the list:
    /// it cuts cylinders that never get smaller toward the chuck, and chamfers.
    pub fn not_planned(&self) -> Option<usize> {
        let mut before = Length::ZERO;
        self.features.iter().position(|feature| {
            if feature.later {
                return false;
            }
            let outside = matches!(feature.kind, FeatureKind::Chamfer | FeatureKind::Diameter);
            let smaller = feature.kind == FeatureKind::Diameter
                && feature.diameter < std::mem::replace(&mut before, feature.diameter);
            !outside || feature.inside || smaller
        })
    }
}

/// No cylinder is larger than the bar.
pub(super) fn fits_bar(keys: &Keys<'_>, job: &JobFile) {
    if !keys.sound("bar.size") || !keys.sound("part.feature") {
        return;
    }
    for (index, feature) in job.part.features.iter().enumerate() {
        let cut = feature.cut();
        if feature.on_outside() && cut > job.bar.size {
            let path = format!("part.feature[{index}].diameter");
            let (part, bar) = (cut.shown(job.units), job.bar.size.shown(job.units));
            let message = format!("{part} is to be cut here, but the bar is {bar}");
            keys.trouble(&path, message, "take a larger bar, or mend the diameter");
        }
    }
}
