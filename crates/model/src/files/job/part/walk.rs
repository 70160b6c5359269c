//! Whether the stretches of outside and bore go on from one another, and their edges fit.

use super::{Feature, FeatureKind, Part};
use crate::Length;
use crate::files::keys::{Choice as _, Keys};

/// The stretches of outside and bore follow one another, the outside to the back face. Gives whether
/// they do, so that what lies on them may be judged.
pub(super) fn goes_on(keys: &Keys<'_>, part: &Part) -> bool {
    if !keys.sound("feature") {
        return false;
    }
    if !part.features.iter().any(Feature::on_outside) {
        let help = "add a `[[part.feature]]` with `kind = \"diameter\"`";
        keys.trouble("length", "the part has no cylinder", help);
        return false;
    }
    let side = || Side { front: Some(Length::ZERO), ..Side::default() };
    let mut walk = Walk { keys, length: part.length, outside: side(), bore: side(), right: true };
    for (index, feature) in part.features.iter().enumerate() {
        match feature.kind {
            FeatureKind::Chamfer | FeatureKind::Corner if feature.back => walk.rear(index, feature),
            FeatureKind::Chamfer | FeatureKind::Corner => walk.edge(index, feature),
            FeatureKind::Diameter | FeatureKind::Taper | FeatureKind::Arc | FeatureKind::Bore => {
                walk.stretch(index, feature);
            }
            FeatureKind::Groove
            | FeatureKind::Undercut
            | FeatureKind::Thread
            | FeatureKind::Knurl
            | FeatureKind::Hole => {}
        }
    }
    walk.lonely_edge(false);
    walk.lonely_edge(true);
    walk.ends(part);
    walk.right && keys.sound("length")
}

/// A chamfer or corner: its place in the list, its kind, its size.
type Broken = (usize, FeatureKind, Length);

/// How far a walk has come on the outside, or in the bore.
#[derive(Default)]
struct Side {
    /// Where the next stretch starts; none where one of them is wrong.
    front: Option<Length>,
    /// The diameter at the end of the one before; zero at the front face.
    before: Length,
    /// Length of the one before; none where there is none yet.
    long: Option<Length>,
    /// How much of that its front edge takes.
    taken: Length,
    /// A chamfer or corner that waits for its cylinder.
    edge: Option<Broken>,
    /// One on the rear edge of the stretch before.
    rear: Option<Broken>,
}

/// A walk along the features from the front face back.
struct Walk<'k, 'p> {
    keys: &'k Keys<'p>,
    length: Length,
    outside: Side,
    bore: Side,
    right: bool,
}

/// How a message calls an edge, and the key of its size.
const fn called(kind: FeatureKind) -> (&'static str, &'static str) {
    match kind {
        FeatureKind::Corner => ("corner", "radius"),
        _ => ("chamfer", "size"),
    }
}

impl Walk<'_, '_> {
    fn say(&mut self, index: usize, key: &str, message: &str, help: &str) {
        self.right = false;
        self.keys.trouble(&format!("feature[{index}].{key}"), message, help);
    }

    fn shown(&self, length: Length) -> String {
        length.shown(self.keys.units())
    }

    const fn side(&mut self, inside: bool) -> &mut Side {
        if inside { &mut self.bore } else { &mut self.outside }
    }

    fn edge(&mut self, index: usize, feature: &Feature) {
        self.lonely_edge(feature.inside);
        let size = feature.size.max(feature.radius);
        self.side(feature.inside).edge = Some((index, feature.kind, size));
    }

    /// A chamfer or corner behind the stretch whose rear edge it breaks.
    fn rear(&mut self, index: usize, feature: &Feature) {
        let leg = feature.size.max(feature.radius);
        let side = self.side(feature.inside);
        let (long, taken, twice) = (side.long, side.taken, side.rear.is_some());
        let (word, key) = called(feature.kind);
        let Some(long) = long else {
            let message = format!("no cylinder stands before this {word}");
            let help = "put it right behind the cylinder whose rear edge it breaks";
            return self.say(index, "back", &message, help);
        };
        if twice {
            let message = "this rear edge is broken twice";
            return self.say(index, "back", message, "take one of both out");
        }
        if leg + taken > long {
            let message = format!(
                "this {word} does not fit: the cylinder is {} long, of which its front edge takes {}",
                self.shown(long),
                self.shown(taken)
            );
            let help = format!("write at most {}", self.shown((long - taken).max(Length::ZERO)));
            return self.say(index, key, &message, &help);
        }
        self.side(feature.inside).rear = Some((index, feature.kind, leg));
    }

    /// A rear edge before a stretch that starts at this diameter.
    fn rear_fits(&mut self, inside: bool, start: Length) {
        let side = self.side(inside);
        let before = side.before;
        let Some((index, kind, leg)) = side.rear.take() else { return };
        let (word, key) = called(kind);
        // Outside the edge stands out, inside it is where the bore gets wider.
        let step = if inside { start - before } else { before - start }.half();
        if !step.is_positive() {
            let message =
                format!("this {word} has no edge to break: no shoulder faces the chuck here");
            let help = "take `back` out and put it before the larger cylinder";
            return self.say(index, "back", &message, help);
        }
        if leg > step {
            let message =
                format!("this {word} does not fit: the step is {} high", self.shown(step));
            let help = format!("write at most {}", self.shown(step));
            self.say(index, key, &message, &help);
        }
    }

    /// A chamfer or corner that no cylinder follows.
    fn lonely_edge(&mut self, inside: bool) {
        if let Some((index, kind, _)) = self.side(inside).edge {
            let message = format!("no cylinder follows this {}", kind.word());
            let help = "put it right before the cylinder whose edge it breaks, or add `back = true` \
                        for the rear edge of the one before";
            self.say(index, "kind", &message, help);
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
        let start = feature.start.unwrap_or(feature.diameter);
        self.rear_fits(inside, start);
        if let Some(front) = front.filter(|front| feature.to > *front) {
            self.edge_fits(edge, (before, start), feature.to - front, inside);
        }
        if let Some(front) = front.filter(|front| feature.to <= *front) {
            let message = format!("this cylinder ends before it starts, at {}", self.shown(front));
            let key = if feature.through { "through" } else { "to" };
            self.say(index, key, &message, "count every `to` from the front face");
        }
        self.arc_spans(index, feature, front, before);
        let side = self.side(inside);
        side.front = front.filter(|front| feature.to > *front).map(|_| feature.to);
        side.before = feature.diameter;
        side.long = front.map(|front| feature.to - front);
        side.taken = edge.map_or(Length::ZERO, |(_, _, size)| size);
    }

    /// Whether an arc of this radius goes from its start to its end.
    fn arc_spans(
        &mut self,
        index: usize,
        feature: &Feature,
        front: Option<Length>,
        before: Length,
    ) {
        let (FeatureKind::Arc, Some(front)) = (feature.kind, front) else { return };
        let rise = (feature.diameter - feature.start.unwrap_or(before)).half().mm();
        let chord = libm::hypot(rise, (feature.to - front).mm());
        if chord > 2.0 * feature.radius.mm() + 1e-3 {
            let message = "an arc of this radius does not reach from its start to its end";
            let least = self.shown(Length::nearest_mm(chord / 2.0));
            self.say(index, "radius", message, &format!("write at least {least}"));
        }
    }

    fn edge_fits(
        &mut self,
        edge: Option<Broken>,
        (before, start): (Length, Length),
        length: Length,
        inside: bool,
    ) {
        let Some((index, kind, size)) = edge else { return };
        let (word, key) = called(kind);
        // At the front face an edge inside opens as far as the metal goes: that is judged elsewhere.
        if inside && before == Length::ZERO {
            return;
        }
        let stands_out = if inside { start < before } else { start > before };
        if !stands_out && start != before {
            let message =
                format!("this {word} has no edge to break: the step falls toward the chuck here");
            let help = "put it right behind the cylinder before, with `back = true`";
            return self.say(index, "kind", &message, help);
        }
        let step = (start - before).abs().half();
        if size > step.min(length) {
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

    fn ends(&mut self, part: &Part) {
        let end = self.outside.front;
        let length = self.length;
        let end = end.filter(|front| self.keys.sound("length") && *front != length);
        if let Some(end) = end {
            self.right = false;
            let (length, end) = (self.shown(length), self.shown(end));
            let message = format!("the part is {length} long, but its last cylinder ends at {end}");
            self.keys.trouble("length", message, "make the last `to` equal to the length");
        }
        // The rear edges at the back face: outside down to what is hollow there, inside up to the
        // outside.
        let through = |feature: &&Feature| {
            matches!(feature.kind, FeatureKind::Bore | FeatureKind::Hole) && feature.to >= length
        };
        let hollow = part.features.iter().filter(through).map(|it| it.diameter).max();
        self.rear_fits(false, hollow.unwrap_or_default());
        let outside = self.outside.before;
        if let (Some((index, kind, _)), true) =
            (self.bore.rear, self.bore.front.is_some_and(|front| front < length))
        {
            let (word, _) = called(kind);
            let message = format!("this {word} has no edge to break: the bore ends in metal");
            return self.say(index, "back", &message, "take it out, or let the bore go through");
        }
        self.rear_fits(true, outside);
    }
}
