//! Which keys each kind of feature has.

use super::FeatureKind;
use crate::files::keys::{Choice as _, Keys};

/// The keys that not every kind has.
const OWN_KEYS: [&str; 28] = [
    "diameter",
    "start",
    "upper",
    "lower",
    "tolerance",
    "to",
    "through",
    "size",
    "radius",
    "hollow",
    "width",
    "width_upper",
    "width_lower",
    "ring",
    "thread",
    "pitch",
    "depth",
    "starts",
    "from",
    "inside",
    "back",
    "face",
    "undercut",
    "knurl",
    "drill",
    "reamed",
    "point_angle",
    "ra",
];

/// A key that stands in place of others: where it is written they are not, else they must be.
type Instead = (&'static str, &'static [&'static str]);

/// The keys that a kind of feature has, but for `note` and `later`, which every kind has.
#[derive(Debug, Clone, Copy)]
pub struct KindKeys {
    /// These must stand.
    pub must: &'static [&'static str],
    /// The first stands in place of the others; without it they must stand.
    pub instead: &'static [Instead],
    /// These may stand.
    pub may: &'static [&'static str],
}

/// The keys of a kind.
pub const fn keys_of(kind: FeatureKind) -> KindKeys {
    let (must, instead, may): (&[&str], &[Instead], &[&str]) = match kind {
        FeatureKind::Chamfer => (&["size"], &[], &["inside", "back"]),
        FeatureKind::Corner => (&["radius"], &[], &["inside", "back"]),
        FeatureKind::Diameter => (&["diameter", "to"], &[], &["upper", "lower", "tolerance", "ra"]),
        FeatureKind::Taper => (&["diameter", "to"], &[], &["start", "upper", "lower", "ra"]),
        FeatureKind::Bore => (
            &["diameter"],
            &[("through", &["to"])],
            &["start", "upper", "lower", "tolerance", "ra"],
        ),
        FeatureKind::Arc => (
            &["diameter", "to", "radius"],
            &[],
            &["start", "upper", "lower", "hollow", "inside", "ra"],
        ),
        FeatureKind::Groove => (
            &["to"],
            &[("ring", &["diameter", "width"])],
            &["upper", "lower", "tolerance", "width_upper", "width_lower", "inside", "face", "ra"],
        ),
        FeatureKind::Undercut => (&["undercut"], &[], &["inside", "ra"]),
        FeatureKind::Hole => (
            &[],
            &[("drill", &["diameter"]), ("through", &["to"])],
            &["upper", "lower", "tolerance", "point_angle", "reamed", "ra"],
        ),
        FeatureKind::Thread => {
            (&["to"], &[("thread", &["diameter", "pitch"])], &["from", "starts", "depth", "inside"])
        }
        FeatureKind::Knurl => (&["knurl", "to"], &[], &["from"]),
    };
    KindKeys { must, instead, may }
}

/// Keys that go with the keys that a word stands in place of, and not with the word.
const NOT_WITH: [Instead; 2] = [
    ("ring", &["upper", "lower", "tolerance", "width_upper", "width_lower", "face"]),
    ("thread", &["starts", "depth"]),
];

/// Each kind has all of its own keys and none of another's.
pub(super) fn has_its_keys(keys: &Keys<'_>, kind: FeatureKind) {
    let KindKeys { must, instead, may } = keys_of(kind);
    let who = format!("a feature of kind \"{}\"", kind.word());
    let mut missing: Vec<_> = must.iter().copied().filter(|key| !keys.has(key)).collect();
    for (word, others) in instead {
        if !keys.stands(word) {
            missing.extend(others.iter().copied().filter(|key| !keys.has(key)));
        }
    }
    keys.needs("kind", &who, &missing);
    let known = |key: &&str| {
        let by_word = instead.iter().any(|(word, others)| word == key || others.contains(key));
        by_word || must.contains(key) || may.contains(key)
    };
    for key in OWN_KEYS.iter().filter(|key| keys.stands(key) && !known(key)) {
        let message = format!("{who} has no `{key}`");
        keys.trouble(key, message, "take this line out, or give the feature its right kind");
    }
    for (word, others) in instead.iter().chain(&NOT_WITH).filter(|(word, _)| keys.stands(word)) {
        for key in others.iter().filter(|key| keys.stands(key)) {
            let message = format!("`{key}` stands beside `{word}`, which says it already");
            keys.trouble(key, message, "take one of both lines out");
            keys.spoil(key);
        }
    }
    if keys.stands("reamed") && !["tolerance", "upper", "lower"].iter().any(|key| keys.stands(key))
    {
        let message = "a reamed hole has a tolerance, and this one has none";
        keys.trouble("reamed", message, "add `tolerance = \"H7\"`, or the class of the drawing");
    }
}
