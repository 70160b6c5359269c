//! Undercuts lie in the corner of a shoulder.

use super::super::stretches::Span;
use super::super::{Feature, FeatureKind, Part};
use super::On;
use crate::Length;
use crate::standards::undercut::{Undercut, UndercutForm};

/// The corner that an undercut lies in.
struct Corner<'s> {
    /// The stretch that it is cut into.
    under: &'s Span,
    /// The stretch whose face is the shoulder.
    shoulder: &'s Span,
    /// Diameter of that stretch.
    diameter: Length,
    /// Height of the shoulder on the radius.
    high: Length,
    /// Distance of the shoulder's face from the front face.
    behind: Length,
    /// Whether the shoulder faces the chuck.
    back: bool,
}

impl On<'_, '_> {
    /// An undercut gets its place, and its sizes where they follow from a thread, and fits there.
    pub(super) fn undercut(&self, part: &mut Part, index: usize, behind: Option<UndercutForm>) {
        let inside = part.features[index].inside;
        let Some(corner) = self.corner(index, inside) else { return };
        if !corner.under.plain {
            let message = "this undercut lies on a taper or an arc";
            return self.say(index, "undercut", message, "put it on a cylinder, in the list too");
        }
        let sizes = match (behind, part.features[index].undercut) {
            (Some(form), _) => self.behind_thread(part, index, form, &corner),
            (None, sizes) => sizes,
        };
        let Some(sizes) = sizes else { return };
        let feature = &mut part.features[index];
        feature.undercut = Some(sizes);
        (feature.to, feature.back) = (corner.behind, corner.back);
        feature.diameter = corner.diameter;
        self.undercut_fits(index, inside, &sizes, &corner);
    }

    /// The corner between the stretch before and the one behind, in the order of the list.
    fn corner(&self, index: usize, inside: bool) -> Option<Corner<'_>> {
        let spans = self.stretches.side(inside);
        let ahead = spans.iter().rfind(|span| span.index < index);
        let behind = spans.iter().find(|span| span.index > index);
        let (Some(ahead), Some(behind)) = (ahead, behind) else {
            let message = "this undercut has no shoulder: no stretch stands on one side of it";
            let help = "put it in the list between the two stretches whose corner it relieves";
            self.say(index, "undercut", message, help);
            return None;
        };
        let (front, back) = (ahead.ends.1, behind.ends.0);
        let high = (front - back).abs().half();
        if !high.is_positive() {
            let message = "this undercut has no shoulder: both stretches measure the same there";
            let help = "put it in the list between the two stretches whose corner it relieves";
            self.say(index, "undercut", message, help);
            return None;
        }
        // Outside the corner is on the smaller of both, inside on the larger.
        let in_ahead = (front < back) != inside;
        let (under, shoulder) = if in_ahead { (ahead, behind) } else { (behind, ahead) };
        let diameter = if in_ahead { front } else { back };
        Some(Corner { under, shoulder, diameter, high, behind: ahead.to, back: !in_ahead })
    }

    /// The sizes of an undercut of DIN 76 from the thread on its cylinder.
    fn behind_thread(
        &self,
        part: &Part,
        index: usize,
        form: UndercutForm,
        corner: &Corner<'_>,
    ) -> Option<Undercut> {
        let inside = part.features[index].inside;
        let runs_up = |feature: &&Feature| {
            feature.kind == FeatureKind::Thread
                && feature.inside == inside
                && feature.from < corner.under.to
                && corner.under.from < feature.to
        };
        let Some(thread) = part.features.iter().find(runs_up) else {
            let message = "no thread lies on the cylinder of this undercut";
            let help = "add the thread, or take an undercut of DIN 509";
            self.say(index, "undercut", message, help);
            return None;
        };
        let sizes = (thread.pitch, thread.diameter, corner.diameter);
        match Undercut::din_76(form, sizes, inside) {
            Ok(sizes) => Some(sizes),
            Err(refusal) => {
                self.refuse(index, "undercut", refusal);
                None
            }
        }
    }

    fn undercut_fits(&self, index: usize, inside: bool, sizes: &Undercut, corner: &Corner<'_>) {
        let up = sizes.face_height() - sizes.depth;
        if up > corner.high {
            let message = format!(
                "this undercut ends {} up the shoulder, which is {} high",
                self.shown(up),
                self.shown(corner.high)
            );
            let help = "take a smaller undercut or a higher shoulder";
            return self.say(index, "undercut", message, help);
        }
        let long = corner.under.to - corner.under.from;
        if sizes.width + sizes.width_more > long {
            let message = format!(
                "this undercut is {} wide, and its cylinder is {} long",
                self.shown(sizes.width),
                self.shown(long)
            );
            return self.say(
                index,
                "undercut",
                message,
                "take a smaller undercut or a longer cylinder",
            );
        }
        if sizes.face_depth >= corner.shoulder.to - corner.shoulder.from {
            let message = "this undercut goes through the shoulder";
            return self.say(index, "undercut", message, "take form E, or a longer shoulder");
        }
        let (from, to) = if corner.back {
            (corner.behind, corner.behind + sizes.width)
        } else {
            (corner.behind - sizes.width, corner.behind)
        };
        let deep = (sizes.depth + sizes.depth_more) * 2;
        let (ground, wall) = if inside {
            let ground = corner.diameter + deep;
            (ground, self.stretches.least_outside(from, to).is_some_and(|outer| ground < outer))
        } else {
            let ground = corner.diameter - deep;
            (ground, ground > self.stretches.most_inside(from, to))
        };
        if !wall {
            let message =
                format!("this undercut leaves no wall: its ground is at {}", self.shown(ground));
            self.say(index, "undercut", message, "take a smaller undercut, or mend the bore");
        }
    }
}
