//! Features as the text of a job file.

use crate::Outline;
use model::files::job::{Feature, FeatureKind};
use model::files::keys::Choice as _;
use model::{Length, Units};
use std::fmt::Write as _;

/// The table `[part]` of a job file whose units are those of the drawing.
pub fn part(outline: &Outline) -> String {
    let mut text = format!("[part]\nlength = {}\n", figure(outline.length, outline.units));
    for feature in &outline.features {
        text.push('\n');
        text += &self::feature(feature, outline.units);
    }
    text
}

fn figure(length: Length, units: Units) -> String {
    length.shortest(units)
}

/// One `[[part.feature]]` with the keys of its kind.
fn feature(feature: &Feature, units: Units) -> String {
    let mut text = format!("[[part.feature]]\nkind = \"{}\"\n", feature.kind.word());
    let mut length = |key: &str, length: Length| {
        let _ = writeln!(text, "{key} = {}", figure(length, units));
    };
    let start = |length: &mut dyn FnMut(&str, Length)| {
        if let Some(start) = feature.start {
            length("start", start);
        }
    };
    match feature.kind {
        FeatureKind::Chamfer => length("size", feature.size),
        FeatureKind::Corner => length("radius", feature.radius),
        FeatureKind::Groove => {
            length("diameter", feature.diameter);
            length("width", feature.width);
            length("to", feature.to);
        }
        _ => {
            start(&mut length);
            length("diameter", feature.diameter);
            length("to", feature.to);
        }
    }
    if feature.kind == FeatureKind::Arc {
        length("radius", feature.radius);
    }
    if feature.kind == FeatureKind::Arc && feature.hollow {
        text += "hollow = true\n";
    }
    if feature.inside {
        text += "inside = true\n";
    }
    if feature.kind == FeatureKind::Hole {
        let _ = writeln!(text, "point_angle = {}", feature.point_angle);
    }
    text
}
