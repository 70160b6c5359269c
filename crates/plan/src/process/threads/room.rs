//! The room of a thread edge: what stands in front of a thread, behind it and beside it.

use super::Edge;
use crate::process::Cutting;
use crate::process::missing::Missing;
use model::Length;
use model::files::job::{Feature, FeatureKind};

/// The room behind the end of a thread.
pub(super) struct Room {
    /// From the end of the full thread to what stands in the way.
    pub(super) length: Length,
    /// What the flank of the edge takes of it.
    pub(super) edge: Length,
    /// Length of the slanting way out; nothing where an undercut lets the edge out.
    pub(super) pull_out: Length,
}

impl Room {
    pub(super) fn behind(cutting: &Cutting<'_>, feature: &Feature, edge: &Edge<'_>) -> Room {
        let whole = cutting.job.file.part.length;
        if edge.inside {
            let length = open_to(cutting, feature, cutting.division.part_off) - feature.to;
            return Room {
                length: length.min(feature.pitch * 3 + edge.behind(cutting)),
                edge: edge.behind(cutting),
                pull_out: edge.pull_out(feature),
            };
        }
        let outside = outside(cutting);
        let behind = |z: Length| outside.iter().filter(move |it| it.to > z);
        // The first that is higher than the crest stands in the way.
        let wall = behind(feature.to).find(|it| it.most > edge.crest + NEAR);
        let end = wall.map_or(whole, |wall| wall.from.max(feature.to));
        let height = wall.map_or(cutting.job.file.bar.reach(), |wall| wall.most) - edge.ground;
        let mut between = behind(feature.to).filter(|it| it.from < end);
        let undercut = end > feature.to && between.all(|it| it.most <= edge.ground + NEAR);
        let pull_out = if undercut { Length::ZERO } else { edge.pull_out(feature) };
        let flank = edge.flank(height) + cutting.clear.half().half();
        // The drawing lets a thread run out over three pitches.
        let length = (end - feature.to).min(feature.pitch * 3 + flank);
        Room { length, edge: flank, pull_out }
    }
}

/// Diameters nearer than this are the same.
const NEAR: Length = Length::from_um(10);

/// One stretch of the outside or of the bore between two distances from the front face; radii.
struct Stretch {
    from: Length,
    to: Length,
    least: Length,
    most: Length,
}

/// The outside as this job leaves it, cut up where grooves are.
fn outside(cutting: &Cutting<'_>) -> Vec<Stretch> {
    let features = &cutting.job.file.part.features;
    let mut stretches = Vec::new();
    let (mut from, mut before) = (Length::ZERO, Length::ZERO);
    for feature in features.iter().filter(|it| it.on_outside()) {
        let start = feature.start.unwrap_or(match feature.kind {
            FeatureKind::Diameter => feature.diameter,
            _ => before,
        });
        let (one, other) = (start.half(), feature.diameter.half());
        // An arc may stand out farther than both its ends.
        let bulge = if feature.kind == FeatureKind::Arc { feature.radius } else { Length::ZERO };
        let raw = if feature.later { cutting.job.file.bar.reach() } else { Length::ZERO };
        let most = (one.max(other) + bulge).max(raw);
        stretches.push(Stretch { from, to: feature.to, least: one.min(other), most });
        (from, before) = (feature.to, feature.diameter);
    }
    let grooves =
        features.iter().filter(|it| it.kind == FeatureKind::Groove && !it.later && !it.inside);
    for groove in grooves {
        let (from, to) = (groove.to - groove.width, groove.to);
        let ground = groove.diameter.half();
        stretches = stretches.into_iter().flat_map(|it| it.grooved(from, to, ground)).collect();
    }
    stretches
}

impl Stretch {
    /// The stretch in front of a groove, in it, and behind it.
    fn grooved(self, from: Length, to: Length, ground: Length) -> Vec<Stretch> {
        let (low, high) = (from.clamp(self.from, self.to), to.clamp(self.from, self.to));
        let part = |from, to, least: Length, most: Length| Stretch { from, to, least, most };
        let (least, most) = (self.least, self.most);
        [
            part(self.from, low, least, most),
            part(low, high, least.min(ground), most.min(ground)),
            part(high, self.to, least, most),
        ]
        .into_iter()
        .filter(|it| it.to > it.from)
        .collect()
    }
}

/// How deep the bore is open for an inside thread as a full cylinder: to the end of the hole that
/// carries it, a hole through the part to a little behind it.
pub(in crate::process) fn open_to(
    cutting: &Cutting<'_>,
    thread: &Feature,
    part_off: Length,
) -> Length {
    let part = &cutting.job.file.part;
    let carries = |it: &&Feature| {
        let opens = matches!(it.kind, FeatureKind::Hole | FeatureKind::Bore);
        opens && !it.later && it.to >= thread.to
    };
    let opened = part.features.iter().filter(carries).map(|it| it.to).max().unwrap_or_default();
    if opened < part.length {
        return opened;
    }
    // The hole is drilled as deep as its thread needs it.
    let features = part.features.iter().enumerate();
    let index = features.into_iter().find(|(_, it)| *it == thread).map_or(0, |(index, _)| index);
    let needed = super::deepest(cutting, index, thread).unwrap_or_default();
    (part.length + cutting.clear.min(part_off)).max(needed)
}

/// Radius beside the thread at which the edge goes back: clear of all that stands in front of its end.
pub(super) fn beside(
    cutting: &Cutting<'_>,
    feature: &Feature,
    edge: &Edge<'_>,
    run_in: Length,
    overrun: Length,
) -> Length {
    let clear = cutting.clear.half();
    if edge.inside {
        return edge.crest - clear;
    }
    let (from, to) = (feature.from - run_in, feature.to + overrun);
    let outside = outside(cutting);
    let passed = outside.iter().filter(|it| it.from < to && it.to > from.min(Length::ZERO));
    passed.map(|it| it.most).max().unwrap_or_default().max(edge.crest) + clear
}

/// Whether nothing stands where the edge comes up to its lead.
pub(super) fn starts_free(
    cutting: &Cutting<'_>,
    index: usize,
    feature: &Feature,
    edge: &Edge<'_>,
    run_in: Length,
) -> Result<(), Missing> {
    let shown = |length: Length| length.shown(cutting.units);
    let start = feature.from - run_in;
    let in_the_way = if edge.inside {
        let shank = edge.station.shank.unwrap_or_default();
        // A bar one and a tenth of its diameter behind the tip, as the proof has it.
        let wide = Length::from_nm(shank.nm() / 10 * 11) + cutting.clear;
        (wide > edge.crest * 2)
            .then(|| format!("its shank of {} does not go into the bore", shown(shank)))
    } else {
        let higher = outside(cutting)
            .into_iter()
            .find(|it| it.from < feature.from && it.to > start && it.most > edge.ground + NEAR);
        higher.filter(|_| feature.from.is_positive()).map(|_| {
            format!(
                "the edge needs {} in front of the thread to come up to its lead",
                shown(run_in)
            )
        })
    };
    let Some(why) = in_the_way else { return Ok(()) };
    Err(Missing {
        feature: index,
        why: format!("The thread cannot be cut with station {}: {why}.", edge.station.number),
        remedy: "Draw the thread from the front face, or an undercut in front of it; or take a smaller tool or a lower `speed`."
            .to_owned(),
    })
}
