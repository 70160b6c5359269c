//! The part: features from the front face back.

use super::JobFile;
use crate::Length;
use crate::choices;
use crate::files::keys::{Choice as _, Keys};

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
    /// Whether another operation cuts it.
    pub later: bool,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Step {
    /// Distance from the front face at which it starts.
    pub from: Length,
    /// Distance from the front face at which it ends.
    pub to: Length,
    /// The diameter to cut: nominal plus the middle of its deviations.
    pub diameter: Length,
    /// Leg of the chamfer on its front edge; zero for none.
    pub chamfer: Length,
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
                    let (upper, lower) = feature.deviations;
                    let diameter = feature.diameter + (upper + lower).half();
                    steps.push(Step { from, to: feature.to, diameter, chamfer });
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
    let later = keys.flag("later", "whether another operation cuts it").or(false);
    if upper < lower {
        keys.trouble(
            "upper",
            "the largest deviation is below the smallest",
            "exchange `upper` and `lower`",
        );
    }
    let wanted: &[(&str, bool)] = match kind {
        FeatureKind::Chamfer => &[("size", leg.is_some())],
        FeatureKind::Diameter => &[("diameter", diameter.is_some()), ("to", to.is_some())],
        FeatureKind::Groove => {
            &[("diameter", diameter.is_some()), ("to", to.is_some()), ("width", width.is_some())]
        }
    };
    for (key, _) in wanted.iter().filter(|(key, there)| !there && !keys.has(key)) {
        let message = format!("a {} needs the key `{key}`", kind.word());
        keys.trouble("kind", message, format!("add `{key} = …` to this feature"));
    }
    if kind == FeatureKind::Groove && !later {
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
        later,
    }
}

/// Cylinders follow one another to the back face, never smaller toward the chuck.
fn goes_on(keys: &Keys<'_>, part: &Part) {
    let units = keys.units();
    let shown = |length: Length| length.shown(units);
    let mut end = Length::ZERO;
    let mut before = Length::ZERO;
    let mut chamfer = Length::ZERO;
    for (index, feature) in part.features.iter().enumerate() {
        let at = |key: &str| format!("feature[{index}].{key}");
        match feature.kind {
            FeatureKind::Chamfer => chamfer = feature.size,
            FeatureKind::Groove => {
                if feature.to > part.length || feature.width > feature.to {
                    keys.trouble(
                        &at("to"),
                        "this groove lies outside the part",
                        "count from the front face",
                    );
                }
            }
            FeatureKind::Diameter => {
                if feature.to <= end && keys.has("feature") {
                    let message = format!("this cylinder ends before it starts, at {}", shown(end));
                    keys.trouble(&at("to"), message, "count every `to` from the front face");
                }
                if feature.diameter < before {
                    let message = format!(
                        "this diameter is smaller than the one in front of it, {}",
                        shown(before)
                    );
                    let help = "this version cuts parts that never get smaller toward the chuck";
                    keys.trouble(&at("diameter"), message, help);
                }
                let room = (feature.diameter - before).half();
                if chamfer > feature.to - end
                    || (before.is_positive() && chamfer > room)
                    || chamfer > feature.diameter.half()
                {
                    let message = format!(
                        "the chamfer of {} in front of this does not fit on it",
                        shown(chamfer)
                    );
                    keys.trouble(
                        &at("diameter"),
                        message,
                        "make the chamfer smaller than the step and the length",
                    );
                }
                (end, before, chamfer) = (feature.to, feature.diameter, Length::ZERO);
            }
        }
    }
    let any = part.features.iter().any(|feature| feature.kind == FeatureKind::Diameter);
    if any && end != part.length && keys.has("length") {
        let message = format!(
            "the part is {} long, but its last cylinder ends at {}",
            shown(part.length),
            shown(end)
        );
        keys.trouble("length", message, "make the last `to` equal to the length");
    }
    if !any && keys.has("length") {
        keys.trouble(
            "length",
            "the part has no cylinder",
            "add a `[[part.feature]]` of kind \"diameter\"",
        );
    }
}

/// No cylinder is larger than the bar.
pub(super) fn fits_bar(keys: &Keys<'_>, job: &JobFile) {
    for (index, feature) in job.part.features.iter().enumerate() {
        if feature.kind == FeatureKind::Diameter && feature.diameter > job.bar.size {
            let path = format!("part.feature[{index}].diameter");
            let (part, bar) = (feature.diameter.shown(job.units), job.bar.size.shown(job.units));
            let message = format!("this diameter of {part} is larger than the bar of {bar}");
            keys.trouble(&path, message, "take a larger bar, or mend the diameter");
        }
    }
}
