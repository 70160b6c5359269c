//! The JSON of an outline that was read from a drawing.

use super::prove::mm;
use model::files::job::{Feature, FeatureKind};
use model::files::keys::Choice as _;
use outline::Outline;
use serde_json::{Map, Value, json};

/// An outline: lengths in mm, the features from the front face back.
pub fn outline(outline: &Outline) -> Value {
    json!({
        "length_mm": mm(outline.length),
        "largest_diameter_mm": mm(outline.largest),
        "features": outline.features.iter().map(feature).collect::<Vec<_>>(),
        "notes": outline.notes,
    })
}

/// A feature with the keys of its kind.
fn feature(feature: &Feature) -> Value {
    let mut keys = Map::new();
    keys.insert("kind".into(), json!(feature.kind.word()));
    let lengths = [
        ("start_mm", feature.start.unwrap_or_default()),
        ("diameter_mm", feature.diameter),
        ("to_mm", feature.to),
        ("width_mm", feature.width),
        ("size_mm", feature.size),
        ("radius_mm", feature.radius),
    ];
    for (key, length) in lengths {
        let pointed = key == "diameter_mm" && feature.to.is_positive();
        if length.is_positive() || pointed {
            keys.insert(key.into(), mm(length).into());
        }
    }
    if feature.kind == FeatureKind::Hole {
        keys.insert("point_angle_deg".into(), json!(feature.point_angle));
    }
    for (key, is) in [("hollow", feature.hollow), ("inside", feature.inside)] {
        if is {
            keys.insert(key.into(), json!(true));
        }
    }
    Value::Object(keys)
}
