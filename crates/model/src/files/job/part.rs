//! The part: features from the front face back.

use super::JobFile;
use crate::Length;
use crate::Units;
use crate::choices;
use crate::files::keys::{Choice as _, Keys};
use crate::quantity::Roughness;

choices! {
    /// What a feature is.
    FeatureKind {
        Chamfer = "chamfer": "breaks the front edge of the diameter that follows, at 45°",
        Diameter = "diameter": "a cylinder from where the feature before it ends",
        Groove = "groove": "a rectangular groove in the outside",
    }
}

/// One feature as the file has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// What it is.
    pub kind: FeatureKind,
    /// Nominal diameter of a cylinder, or of a groove's ground.
    pub diameter: Length,
    /// Largest and smallest deviation from the nominal diameter.
    pub deviations: (Length, Length),
    /// Distance from the front face at which a cylinder or groove ends.
    pub to: Length,
    /// Leg of a chamfer.
    pub size: Length,
    /// Width of a groove.
    pub width: Length,
    /// Mean roughness that a cylinder may have, where the drawing says so.
    pub ra: Option<Roughness>,
    /// Whether another operation cuts it.
    pub later: bool,
}

impl Feature {
    /// The diameter to cut: nominal plus the middle of its deviations.
    pub fn cut(&self) -> Length {
        let (upper, lower) = self.deviations;
        self.diameter + (upper + lower).half()
    }
}

/// The finished part.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// Front face to back face.
    pub length: Length,
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
        for feature in self.features.iter().filter(|feature| !feature.later) {
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
                FeatureKind::Groove => {}
            }
        }
        steps
    }
}

/// Every key of `[part]`.
pub(super) fn keys(keys: &Keys<'_>) -> Part {
    let length = keys
        .length("length", "front face to back face", Length::from_um(500)..=Length::from_mm(2000))
        .required();
    let features = keys.list("feature", "one feature, from the front face back", feature);
    let part = Part { length, features };
    goes_on(keys, &part);
    part
}

fn feature(keys: &Keys<'_>) -> Feature {
    let kind = keys.choice("kind", "what it is").required();
    let size = Length::from_um(10)..=Length::from_mm(2000);
    let deviation = Length::from_mm(-5)..=Length::from_mm(5);
    let diameter = keys
        .length("diameter", "diameter of a cylinder, or of a groove's ground", size.clone())
        .optional();
    let upper = keys
        .length("upper", "largest deviation from the diameter", deviation.clone())
        .or(Length::ZERO);
    let lower =
        keys.length("lower", "smallest deviation from the diameter", deviation).or(Length::ZERO);
    let to =
        keys.length("to", "distance from the front face at which it ends", size.clone()).optional();
    let leg = keys.length("size", "leg of a chamfer", size.clone()).optional();
    let width = keys.length("width", "width of a groove", size).optional();
    let ra = roughness(keys);
    let later = keys.flag("later", "whether another operation cuts it").or(false);
    if upper < lower && keys.sound("upper") && keys.sound("lower") {
        let message =
            format!("the largest deviation is below the smallest, {}", lower.shown(keys.units()));
        keys.trouble("upper", message, "write the larger one in `upper`, the smaller in `lower`");
    }
    if keys.sound("kind") {
        has_its_keys(keys, kind);
    }
    if kind == FeatureKind::Groove && !later && keys.sound("later") {
        let message = "this version does not cut grooves";
        keys.trouble("kind", message, "add `later = true` if another operation cuts this groove");
    }
    let or_zero = Option::unwrap_or_default;
    Feature {
        kind,
        diameter: or_zero(diameter),
        deviations: (upper, lower),
        to: or_zero(to),
        size: or_zero(leg),
        width: or_zero(width),
        ra,
        later,
    }
}

/// Roughness stands in µm in millimeter files and in µin in inch files, as drawings say it.
fn roughness(keys: &Keys<'_>) -> Option<Roughness> {
    let (unit, um) = match keys.units() {
        Units::Mm => ("µm", 1.0),
        Units::Inch => ("µin", 0.025_4),
    };
    let meaning = "mean roughness Ra that a cylinder may have (µm, or µin in an inch file)";
    let ra = keys.number("ra", meaning, unit, 0.01..=10_000.0).optional();
    ra.map(|ra| Roughness::from_um(um * ra))
}

/// Each kind has all of its own keys and none of another's.
fn has_its_keys(keys: &Keys<'_>, kind: FeatureKind) {
    let (needed, allowed): (&[&str], &[&str]) = match kind {
        FeatureKind::Chamfer => (&["size"], &[]),
        FeatureKind::Diameter => (&["diameter", "to"], &["upper", "lower", "ra"]),
        FeatureKind::Groove => (&["diameter", "to", "width"], &["upper", "lower"]),
    };
    let who = format!("a feature of kind \"{}\"", kind.word());
    let missing: Vec<_> = needed.iter().copied().filter(|key| !keys.has(key)).collect();
    keys.needs("kind", &who, &missing);
    for key in ["diameter", "upper", "lower", "to", "size", "width", "ra"] {
        if keys.stands(key) && !needed.contains(&key) && !allowed.contains(&key) {
            let message = format!("{who} has no `{key}`");
            keys.trouble(key, message, "take this line out, or give the feature its right kind");
        }
    }
}

/// Cylinders follow one another to the back face, never smaller toward the chuck.
fn goes_on(keys: &Keys<'_>, part: &Part) {
    if !keys.sound("feature") {
        return;
    }
    if !part.features.iter().any(|feature| feature.kind == FeatureKind::Diameter) {
        let help = "add a `[[part.feature]]` with `kind = \"diameter\"`";
        keys.trouble("length", "the part has no cylinder", help);
        return;
    }
    let front = Some(Length::ZERO);
    let mut walk = Walk { keys, front, before: Length::ZERO, chamfer: None };
    for (index, feature) in part.features.iter().enumerate() {
        match feature.kind {
            FeatureKind::Chamfer => walk.chamfer(index, feature),
            FeatureKind::Groove => walk.groove(index, feature, part.length),
            FeatureKind::Diameter => walk.cylinder(index, feature),
        }
    }
    walk.lonely_chamfer();
    walk.ends(part.length);
}

/// A walk along the features from the front face back.
struct Walk<'k, 'p> {
    keys: &'k Keys<'p>,
    /// Where the next cylinder starts; none where one of them is wrong.
    front: Option<Length>,
    /// The diameter of the cylinder before; zero at the front face.
    before: Length,
    /// A chamfer that waits for its cylinder, with its index.
    chamfer: Option<(usize, Length)>,
}

impl Walk<'_, '_> {
    fn say(&self, index: usize, key: &str, message: &str, help: &str) {
        self.keys.trouble(&format!("feature[{index}].{key}"), message, help);
    }

    fn shown(&self, length: Length) -> String {
        length.shown(self.keys.units())
    }

    fn chamfer(&mut self, index: usize, feature: &Feature) {
        self.lonely_chamfer();
        self.chamfer = Some((index, feature.size));
    }

    /// A chamfer that no cylinder follows.
    fn lonely_chamfer(&self) {
        if let Some((index, _)) = self.chamfer {
            let message = "no cylinder follows this chamfer";
            self.say(
                index,
                "kind",
                message,
                "put it right before the cylinder whose edge it breaks",
            );
        }
    }

    fn groove(&self, index: usize, feature: &Feature, length: Length) {
        if feature.to > length || feature.width > feature.to {
            let message = "this groove lies outside the part";
            self.say(index, "to", message, "write where it ends, counted from the front face");
        }
    }

    fn cylinder(&mut self, index: usize, feature: &Feature) {
        if !(feature.diameter + feature.deviations.1).is_positive() {
            let message = "with its smallest deviation nothing is left of this diameter";
            self.say(index, "lower", message, "write the tolerance of the drawing");
        }
        if feature.diameter < self.before {
            let before = self.shown(self.before);
            let message = format!("this diameter is smaller than the one in front of it, {before}");
            let help = "this version cuts parts that never get smaller toward the chuck";
            self.say(index, "diameter", &message, help);
        } else if let Some(front) = self.front.filter(|front| feature.to > *front) {
            self.chamfer_fits((feature.diameter - self.before).half(), feature.to - front);
        }
        if let Some(front) = self.front.take_if(|front| feature.to <= *front) {
            let message = format!("this cylinder ends before it starts, at {}", self.shown(front));
            self.say(index, "to", &message, "count every `to` from the front face");
        }
        self.front = self.front.map(|_| feature.to);
        self.before = feature.diameter;
        self.chamfer = None;
    }

    fn chamfer_fits(&self, step: Length, length: Length) {
        let Some((index, size)) = self.chamfer else { return };
        if size > step.min(length) {
            let message = format!(
                "this chamfer does not fit: the step is {} high and {} long",
                self.shown(step),
                self.shown(length)
            );
            let help = format!("write at most {}", self.shown(step.min(length)));
            let help = if step.is_positive() { &help } else { "take this chamfer out" };
            self.say(index, "size", &message, help);
        }
    }

    fn ends(&self, length: Length) {
        let end = self.front.filter(|front| self.keys.sound("length") && *front != length);
        if let Some(end) = end {
            let (length, end) = (self.shown(length), self.shown(end));
            let message = format!("the part is {length} long, but its last cylinder ends at {end}");
            self.keys.trouble("length", message, "make the last `to` equal to the length");
        }
    }
}

/// No cylinder is larger than the bar.
pub(super) fn fits_bar(keys: &Keys<'_>, job: &JobFile) {
    if !keys.sound("bar.size") || !keys.sound("part.feature") {
        return;
    }
    for (index, feature) in job.part.features.iter().enumerate() {
        let cut = feature.cut();
        if feature.kind == FeatureKind::Diameter && cut > job.bar.size {
            let path = format!("part.feature[{index}].diameter");
            let (part, bar) = (cut.shown(job.units), job.bar.size.shown(job.units));
            let message = format!("{part} is to be cut here, but the bar is {bar}");
            keys.trouble(&path, message, "take a larger bar, or mend the diameter");
        }
    }
}
