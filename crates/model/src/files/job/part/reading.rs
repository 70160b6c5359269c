//! How the features of a part are read, and whether they go on from one another.

use super::{Feature, FeatureKind, Part};
use crate::files::keys::{Choice as _, Keys};
use crate::quantity::Roughness;
use crate::{Length, Units};

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
    let features = keys.list("feature", "one feature, from the front face back", feature);
    let part = Part { length, length_deviations, inside_corner, features };
    goes_on(keys, &part);
    part
}

/// The largest and the smallest deviation.
fn deviations(keys: &Keys<'_>, from: &str) -> (Length, Length) {
    let range = Length::from_mm(-5)..=Length::from_mm(5);
    let meaning = match from {
        "the length" => ["largest deviation from the length", "smallest deviation from the length"],
        _ => ["largest deviation from the diameter", "smallest deviation from the diameter"],
    };
    let upper = keys.length("upper", meaning[0], range.clone()).or(Length::ZERO);
    let lower = keys.length("lower", meaning[1], range).or(Length::ZERO);
    if upper < lower && keys.sound("upper") && keys.sound("lower") {
        let message =
            format!("the largest deviation is below the smallest, {}", lower.shown(keys.units()));
        keys.trouble("upper", message, "write the larger one in `upper`, the smaller in `lower`");
    }
    (upper, lower)
}

fn feature(keys: &Keys<'_>) -> Feature {
    let kind = keys.choice("kind", "what it is").required();
    let size = Length::from_um(10)..=Length::from_mm(2000);
    let from_zero = Length::ZERO..=Length::from_mm(2000);
    let or_zero = Option::unwrap_or_default;
    let feature = Feature {
        kind,
        diameter: or_zero(
            keys.length(
                "diameter",
                "diameter of a cylinder, hole or thread, of a groove's ground, or where a taper or arc ends",
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
        size: or_zero(keys.length("size", "leg of a chamfer", size.clone()).optional()),
        radius: or_zero(
            keys.length("radius", "radius of a corner or an arc", size.clone()).optional(),
        ),
        hollow: keys.flag("hollow", "whether the center of an arc lies away from the axis, as that of a fillet outside does").or(false),
        width: or_zero(keys.length("width", "width of a groove", size.clone()).optional()),
        pitch: or_zero(keys.length("pitch", "pitch of a thread", size.clone()).optional()),
        depth: keys
            .length("depth", "depth of a thread's groove; left out, that of the 60° profile", size)
            .optional(),
        starts: keys.count("starts", "starts of a thread", 1..=99).or(1) as u32,
        from: keys
            .length("from", "distance from the front face at which a thread begins", from_zero)
            .or(Length::ZERO),
        inside: keys
            .flag("inside", "whether a chamfer, corner, arc or thread is in the bore")
            .or(false),
        point_angle: keys
            .number("point_angle", "angle of the point of a hole", "degrees", 30.0..=180.0)
            .or(118.0),
        ra: roughness(keys),
        later: keys.flag("later", "whether another operation cuts it").or(false),
        ..Feature::of(kind)
    };
    if keys.sound("kind") {
        has_its_keys(keys, kind);
    }
    feature
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

/// The keys that not every kind has.
const OWN_KEYS: [&str; 16] = [
    "diameter",
    "start",
    "upper",
    "lower",
    "to",
    "size",
    "radius",
    "hollow",
    "width",
    "pitch",
    "depth",
    "starts",
    "from",
    "inside",
    "point_angle",
    "ra",
];

/// The keys that a kind must have, and those that it may.
const fn keys_of(kind: FeatureKind) -> (&'static [&'static str], &'static [&'static str]) {
    match kind {
        FeatureKind::Chamfer => (&["size"], &["inside"]),
        FeatureKind::Corner => (&["radius"], &["inside"]),
        FeatureKind::Diameter => (&["diameter", "to"], &["upper", "lower", "ra"]),
        FeatureKind::Taper | FeatureKind::Bore => {
            (&["diameter", "to"], &["start", "upper", "lower"])
        }
        FeatureKind::Arc => {
            (&["diameter", "to", "radius"], &["start", "upper", "lower", "hollow", "inside"])
        }
        FeatureKind::Groove => (&["diameter", "to", "width"], &["upper", "lower"]),
        FeatureKind::Hole => (&["diameter", "to"], &["upper", "lower", "point_angle"]),
        FeatureKind::Thread => {
            (&["diameter", "to", "pitch"], &["from", "starts", "depth", "inside"])
        }
        FeatureKind::Undercut | FeatureKind::Knurl => (&[], &[]),
    }
}

/// Each kind has all of its own keys and none of another's.
fn has_its_keys(keys: &Keys<'_>, kind: FeatureKind) {
    let (needed, allowed) = keys_of(kind);
    let who = format!("a feature of kind \"{}\"", kind.word());
    let missing: Vec<_> = needed.iter().copied().filter(|key| !keys.has(key)).collect();
    keys.needs("kind", &who, &missing);
    for key in OWN_KEYS {
        if keys.stands(key) && !needed.contains(&key) && !allowed.contains(&key) {
            let message = format!("{who} has no `{key}`");
            keys.trouble(key, message, "take this line out, or give the feature its right kind");
        }
    }
}

/// The stretches of outside and bore follow one another, the outside to the back face.
fn goes_on(keys: &Keys<'_>, part: &Part) {
    if !keys.sound("feature") {
        return;
    }
    if !part.features.iter().any(Feature::on_outside) {
        let help = "add a `[[part.feature]]` with `kind = \"diameter\"`";
        keys.trouble("length", "the part has no cylinder", help);
        return;
    }
    let side = || Side { front: Some(Length::ZERO), before: Length::ZERO, edge: None };
    let mut walk = Walk { keys, outside: side(), bore: side() };
    for (index, feature) in part.features.iter().enumerate() {
        match feature.kind {
            FeatureKind::Chamfer | FeatureKind::Corner => walk.edge(index, feature),
            FeatureKind::Groove => walk.groove(index, feature, part.length),
            FeatureKind::Thread => walk.thread(index, feature),
            FeatureKind::Hole | FeatureKind::Undercut | FeatureKind::Knurl => {}
            _ => walk.stretch(index, feature),
        }
    }
    walk.lonely_edge(&walk.outside);
    walk.lonely_edge(&walk.bore);
    walk.ends(part.length);
}

/// How far a walk has come on the outside, or in the bore.
struct Side {
    /// Where the next stretch starts; none where one of them is wrong.
    front: Option<Length>,
    /// The diameter at the end of the one before; zero at the front face.
    before: Length,
    /// A chamfer or corner that waits for its cylinder, with its index.
    edge: Option<(usize, FeatureKind, Length)>,
}

/// A walk along the features from the front face back.
struct Walk<'k, 'p> {
    keys: &'k Keys<'p>,
    outside: Side,
    bore: Side,
}

impl Walk<'_, '_> {
    fn say(&self, index: usize, key: &str, message: &str, help: &str) {
        self.keys.trouble(&format!("feature[{index}].{key}"), message, help);
    }

    fn shown(&self, length: Length) -> String {
        length.shown(self.keys.units())
    }

    const fn side(&mut self, inside: bool) -> &mut Side {
        if inside { &mut self.bore } else { &mut self.outside }
    }

    fn edge(&mut self, index: usize, feature: &Feature) {
        self.lonely_edge(if feature.inside { &self.bore } else { &self.outside });
        let size = feature.size.max(feature.radius);
        self.side(feature.inside).edge = Some((index, feature.kind, size));
    }

    /// A chamfer or corner that no cylinder follows.
    fn lonely_edge(&self, side: &Side) {
        if let Some((index, kind, _)) = side.edge {
            let message = format!("no cylinder follows this {}", kind.word());
            let help = "put it right before the cylinder whose edge it breaks";
            self.say(index, "kind", &message, help);
        }
    }

    fn groove(&self, index: usize, feature: &Feature, length: Length) {
        if feature.to > length || feature.width > feature.to {
            let message = "this groove lies outside the part";
            self.say(index, "to", message, "write where it ends, counted from the front face");
        }
    }

    fn thread(&self, index: usize, feature: &Feature) {
        if feature.to <= feature.from {
            let message = "this thread ends before it begins";
            self.say(index, "to", message, "count `from` and `to` from the front face");
        }
    }

    fn stretch(&mut self, index: usize, feature: &Feature) {
        if !(feature.diameter + feature.deviations.1).is_positive()
            && feature.kind != FeatureKind::Arc
            && feature.kind != FeatureKind::Taper
        {
            let message = "with its smallest deviation nothing is left of this diameter";
            self.say(index, "lower", message, "write the tolerance of the drawing");
        }
        let inside = feature.inside || feature.kind == FeatureKind::Bore;
        let side = self.side(inside);
        let (front, before, edge) = (side.front, side.before, side.edge.take());
        if let Some(front) = front.filter(|front| feature.to > *front) {
            let step = (feature.diameter - before).abs().half();
            self.edge_fits(edge.filter(|_| !inside), step, feature.to - front);
        }
        if let Some(front) = front.filter(|front| feature.to <= *front) {
            let message = format!("this cylinder ends before it starts, at {}", self.shown(front));
            self.say(index, "to", &message, "count every `to` from the front face");
        }
        self.arc_spans(index, feature, front, before);
        let side = self.side(inside);
        side.front = front.filter(|front| feature.to > *front).map(|_| feature.to);
        side.before = feature.diameter;
    }

    /// Whether an arc of this radius goes from its start to its end.
    fn arc_spans(&self, index: usize, feature: &Feature, front: Option<Length>, before: Length) {
        let (FeatureKind::Arc, Some(front)) = (feature.kind, front) else { return };
        let rise = (feature.diameter - feature.start.unwrap_or(before)).half().mm();
        let chord = libm::hypot(rise, (feature.to - front).mm());
        if chord > 2.0 * feature.radius.mm() + 1e-3 {
            let message = "an arc of this radius does not reach from its start to its end";
            let least = self.shown(Length::nearest_mm(chord / 2.0));
            self.say(index, "radius", message, &format!("write at least {least}"));
        }
    }

    fn edge_fits(&self, edge: Option<(usize, FeatureKind, Length)>, step: Length, length: Length) {
        let Some((index, kind, size)) = edge else { return };
        if size > step.min(length) {
            let (word, key) = match kind {
                FeatureKind::Corner => ("corner", "radius"),
                _ => ("chamfer", "size"),
            };
            let message = format!(
                "this {word} does not fit: the step is {} high and {} long",
                self.shown(step),
                self.shown(length)
            );
            let help = format!("write at most {}", self.shown(step.min(length)));
            let out = format!("take this {word} out");
            let help = if step.is_positive() { &help } else { &out };
            self.say(index, key, &message, help);
        }
    }

    fn ends(&self, length: Length) {
        let end = self.outside.front;
        let end = end.filter(|front| self.keys.sound("length") && *front != length);
        if let Some(end) = end {
            let (length, end) = (self.shown(length), self.shown(end));
            let message = format!("the part is {length} long, but its last cylinder ends at {end}");
            self.keys.trouble("length", message, "make the last `to` equal to the length");
        }
    }
}
