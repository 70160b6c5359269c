//! How the features of a part are read.

use super::placed;
use super::walk::goes_on;
use super::words;
use super::{Feature, FeatureKind, Part};
use crate::files::keys::Keys;
use crate::quantity::Roughness;
use crate::standards::undercut::UndercutForm;
use crate::{Length, Units};

/// A feature as read, and the form of an undercut behind a thread, whose sizes follow from the pitch
/// of a thread elsewhere in the list.
struct Read {
    feature: Feature,
    behind_thread: Option<UndercutForm>,
}

/// Every key of `[part]`.
pub(in super::super) fn keys(keys: &Keys<'_>) -> Part {
    let length = keys
        .length("length", "front face to back face", Length::from_um(500)..=Length::from_mm(2000))
        .required();
    let length_deviations = deviations(keys, "the length");
    let inside_corner = keys
        .length(
            "inside_corner",
            "largest radius in inside corners that have none of their own",
            Length::ZERO..=Length::from_mm(50),
        )
        .optional();
    let read = keys.list("feature", "one feature, from the front face back", feature);
    let behind_threads: Vec<_> = read.iter().map(|read| read.behind_thread).collect();
    let mut features: Vec<_> = read.into_iter().map(|read| read.feature).collect();
    for feature in features.iter_mut().filter(|feature| feature.through) {
        feature.to = length;
    }
    let mut part = Part { length, length_deviations, inside_corner, features };
    if goes_on(keys, &part) {
        placed::resolve(keys, &mut part, &behind_threads);
    }
    part
}

/// The largest and the smallest deviation.
fn deviations(keys: &Keys<'_>, from: &str) -> (Length, Length) {
    let range = Length::from_mm(-5)..=Length::from_mm(5);
    let [upper_key, lower_key] = match from {
        "the width" => ["width_upper", "width_lower"],
        _ => ["upper", "lower"],
    };
    let meaning = match from {
        "the length" => ["largest deviation from the length", "smallest deviation from the length"],
        "the width" => {
            ["largest deviation from a groove's width", "smallest deviation from a groove's width"]
        }
        _ => ["largest deviation from the diameter", "smallest deviation from the diameter"],
    };
    let upper = keys.length(upper_key, meaning[0], range.clone()).or(Length::ZERO);
    let lower = keys.length(lower_key, meaning[1], range).or(Length::ZERO);
    if upper < lower && keys.sound(upper_key) && keys.sound(lower_key) {
        let message =
            format!("the largest deviation is below the smallest, {}", lower.shown(keys.units()));
        let help = format!("write the larger one in `{upper_key}`, the smaller in `{lower_key}`");
        keys.trouble(upper_key, message, help);
    }
    (upper, lower)
}

fn feature(keys: &Keys<'_>) -> Read {
    let kind = keys.choice("kind", "what it is").required();
    let mut feature = places(keys, kind);
    let words = words::read(keys);
    feature.note = keys.text("note", "what the drawing says beside it").optional();
    feature.later = keys.flag("later", "whether another operation cuts it").or(false);
    let mut behind_thread = None;
    if keys.sound("kind") {
        super::kinds::has_its_keys(keys, kind);
        behind_thread = words.fill_in(keys, &mut feature);
    }
    Read { feature, behind_thread }
}

/// The keys that say how large something is and where.
fn places(keys: &Keys<'_>, kind: FeatureKind) -> Feature {
    let size = Length::from_um(10)..=Length::from_mm(2000);
    let from_zero = Length::ZERO..=Length::from_mm(2000);
    let or_zero = Option::unwrap_or_default;
    Feature {
        diameter: or_zero(
            keys.length(
                "diameter",
                "diameter of a cylinder, hole or odd thread, of a groove's ground (of a face groove's outer wall), or where a taper or arc ends",
                from_zero.clone(),
            )
            .optional(),
        ),
        start: keys
            .length(
                "start",
                "diameter at which a taper, arc or bore starts; left out, where the one in front ends",
                from_zero.clone(),
            )
            .optional(),
        deviations: deviations(keys, "the diameter"),
        to: or_zero(
            keys.length("to", "distance from the front face at which it ends", size.clone())
                .optional(),
        ),
        through: keys
            .flag("through", "whether a hole or bore goes through to the back face; then it has no `to`")
            .or(false),
        size: or_zero(keys.length("size", "leg of a chamfer", size.clone()).optional()),
        radius: or_zero(
            keys.length("radius", "radius of a corner or an arc", size.clone()).optional(),
        ),
        hollow: keys.flag("hollow", "whether the center of an arc lies away from the axis, as that of a fillet outside does").or(false),
        width: or_zero(
            keys.length("width", "width of a groove; of a face groove on the radius", size.clone())
                .optional(),
        ),
        width_deviations: deviations(keys, "the width"),
        pitch: or_zero(keys.length("pitch", "pitch of an odd thread", size.clone()).optional()),
        depth: keys
            .length("depth", "depth of an odd thread's groove; left out, that of the 60° profile", size)
            .optional(),
        starts: keys.count("starts", "starts of an odd thread", 1..=99).or(1) as u32,
        from: keys
            .length("from", "distance from the front face at which a thread or knurl begins", from_zero)
            .or(Length::ZERO),
        inside: keys
            .flag("inside", "whether a chamfer, corner, arc, groove, undercut or thread is in the bore")
            .or(false),
        back: keys
            .flag("back", "whether a chamfer or corner breaks the rear edge of the stretch before it")
            .or(false),
        face: keys.flag("face", "whether a groove is in the front face").or(false),
        reamed: keys.flag("reamed", "whether a hole is reamed after drilling").or(false),
        point_angle: keys
            .number("point_angle", "angle of the point of a hole", "degrees", 30.0..=180.0)
            .or(118.0),
        ra: roughness(keys),
        ..Feature::of(kind)
    }
}

/// Roughness stands in µm in millimeter files and in µin in inch files, as drawings say it.
fn roughness(keys: &Keys<'_>) -> Option<Roughness> {
    let (unit, um) = match keys.units() {
        Units::Mm => ("µm", 1.0),
        Units::Inch => ("µin", 0.025_4),
    };
    let meaning = "mean roughness Ra that it may have (µm, or µin in an inch file)";
    let ra = keys.number("ra", meaning, unit, 0.01..=10_000.0).optional();
    ra.map(|ra| Roughness::from_um(um * ra))
}
