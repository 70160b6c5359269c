//! Grooves: plain ones, for retaining rings, outside, inside and in the face.

use super::super::{Feature, FeatureKind, GrooveSide, Part};
use super::On;
use crate::Length;
use crate::standards::ring::RingStandard;

impl On<'_, '_> {
    /// A groove gets the sizes of its ring and lies in metal.
    pub(super) fn groove(&self, part: &mut Part, index: usize) {
        if let Some(standard) = part.features[index].ring
            && !self.ring(part, index, standard)
        {
            return;
        }
        let feature = &part.features[index];
        if feature.face {
            return self.face_groove(part, index, feature);
        }
        if feature.to > part.length || feature.width > feature.to {
            let message = "this groove lies outside the part";
            return self.say(
                index,
                "to",
                message,
                "write where it ends, counted from the front face",
            );
        }
        let (from, to, ground) = (feature.to - feature.width, feature.to, feature.diameter);
        let outer = self.stretches.least_outside(from, to).unwrap_or_default();
        let inner = self.stretches.most_inside(from, to);
        let key = if feature.ring.is_some() { "ring" } else { "diameter" };
        let mend = "mend its `diameter`, which is that of its ground";
        if feature.inside && inner == Length::ZERO {
            let help = "add the bore that it is in, or take `inside` out";
            return self.say(index, "inside", "this groove inside has no bore or hole", help);
        }
        let (cut, wall, beyond) = if feature.inside {
            (ground > inner, ground < outer, (inner, outer))
        } else {
            (ground < outer, ground > inner, (outer, inner))
        };
        if !cut {
            let message = format!(
                "this groove cuts nothing: its ground is at {}, and the {} measures {} there",
                self.shown(ground),
                if feature.inside { "bore" } else { "part" },
                self.shown(beyond.0)
            );
            return self.say(index, key, message, mend);
        }
        if !wall {
            let message = format!(
                "this groove leaves no wall: its ground is at {}, and the {} measures {} there",
                self.shown(ground),
                if feature.inside { "outside" } else { "bore" },
                self.shown(beyond.1)
            );
            self.say(index, key, message, mend);
        }
    }

    /// The sizes of a retaining ring's groove, from the cylinder it is in.
    fn ring(&self, part: &mut Part, index: usize, standard: RingStandard) -> bool {
        let feature = &part.features[index];
        let inside = feature.inside;
        let almost = feature.to - Length::from_nm(1);
        let under = self.stretches.covering(inside, almost, feature.to);
        let Some(under) = under.filter(|span| span.plain) else {
            let where_to = if inside { "bore" } else { "cylinder outside" };
            let message = format!("there is no {where_to} where this ring's groove ends");
            self.say(
                index,
                "to",
                message,
                "count `to` from the front face, onto the ring's cylinder",
            );
            return false;
        };
        let groove = match standard.groove(under.ends.0) {
            Ok(groove) => groove,
            Err(refusal) => {
                self.refuse(index, "ring", refusal);
                return false;
            }
        };
        if feature.to - groove.width - groove.width_deviations.0 < under.from {
            let message = format!(
                "this ring's groove, {} wide, begins before its cylinder, which begins at {}",
                self.shown(groove.width),
                self.shown(under.from)
            );
            self.say(index, "to", message, "move it toward the chuck, or lengthen the cylinder");
            return false;
        }
        let feature = &mut part.features[index];
        (feature.diameter, feature.deviations) = (groove.diameter, groove.deviations);
        (feature.width, feature.width_deviations) = (groove.width, groove.width_deviations);
        true
    }

    fn face_groove(&self, part: &Part, index: usize, feature: &Feature) {
        let first = Length::from_nm(1);
        let outer = self.stretches.least_outside(Length::ZERO, feature.to).unwrap_or_default();
        let inner = self.stretches.most_inside(Length::ZERO, first);
        if feature.inside {
            let message = "a groove is in the face or inside, not both";
            return self.say(index, "inside", message, "take one of both lines out");
        }
        if feature.to >= part.length {
            let message = "this face groove is as deep as the part is long";
            return self.say(index, "to", message, "write its depth, counted from the front face");
        }
        let wall = feature.diameter - feature.width * 2;
        if feature.diameter >= outer || wall <= inner {
            let message = format!(
                "this face groove from {} to {} does not lie between {} and {}",
                self.shown(wall),
                self.shown(feature.diameter),
                self.shown(inner),
                self.shown(outer)
            );
            let help = "`diameter` is that of its outer wall, `width` is on the radius";
            self.say(index, "diameter", message, help);
        }
    }

    /// No two grooves, threads or knurls of one side cut into each other.
    pub(super) fn overlaps(&self, part: &Part) {
        for (index, feature) in part.features.iter().enumerate() {
            let before = part.features[..index].iter().enumerate();
            let other = before.rev().find(|(_, other)| cut_into(feature, other));
            if let Some((other, kind)) = other.map(|(at, other)| (at, other.kind)) {
                let (word, that) = (called(feature.kind), called(kind));
                let message = format!("this {word} lies over the {that} of feature {}", other + 1);
                self.say(index, "to", message, "mend where one of both lies");
            }
        }
    }
}

const fn called(kind: FeatureKind) -> &'static str {
    match kind {
        FeatureKind::Thread => "thread",
        FeatureKind::Knurl => "knurl",
        _ => "groove",
    }
}

/// Whether two features that take metal off the same surface do so in the same place. A groove may
/// lie in a thread or a knurl.
fn cut_into(one: &Feature, two: &Feature) -> bool {
    let lapped = |a: (Length, Length), b: (Length, Length)| a.0 < b.1 && b.0 < a.1;
    match (one.groove(), two.groove()) {
        (Some(a), Some(b)) if a.side == GrooveSide::Face && b.side == GrooveSide::Face => {
            let across = |it: super::super::Groove| (it.diameter - it.width * 2, it.diameter);
            lapped(across(a), across(b))
        }
        (Some(a), Some(b)) => a.side == b.side && lapped((a.from, a.to), (b.from, b.to)),
        (None, None) => {
            // Odd threads may cross each other, as oil grooves do.
            let turns = |it: &Feature| it.form.is_some() || it.kind == FeatureKind::Knurl;
            let same = one.inside == two.inside && turns(one) && turns(two);
            same && lapped((one.from, one.to), (two.from, two.to))
        }
        _ => false,
    }
}
