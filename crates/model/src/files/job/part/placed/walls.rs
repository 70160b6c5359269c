//! What is hollow and what is around it.

use super::super::stretches::Span;
use super::super::{Feature, FeatureKind, Part};
use super::On;
use crate::Length;

impl On<'_, '_> {
    /// Every bore and hole ends in the part and leaves a wall.
    pub(super) fn walls(&self, part: &Part) {
        for span in self.stretches.bore.iter().chain(&self.stretches.holes) {
            let hole = part.features[span.index].kind == FeatureKind::Hole;
            let what = if hole { "hole" } else { "bore" };
            if span.to > part.length {
                let message = format!(
                    "this {what} ends at {}, but the part is {} long",
                    self.shown(span.to),
                    self.shown(part.length)
                );
                let help = "write `through = true` in place of `to`, or where it ends in the part";
                self.say(span.index, "to", message, help);
                continue;
            }
            let thin = self.stretches.outside.iter().find(|around| no_wall(around, span));
            if let Some(around) = thin {
                let (from, to) = (span.from.max(around.from), span.to.min(around.to));
                let inner = span.between(from, to).map_or(Length::ZERO, |it| it.1);
                let outer = around.between(from, to).map_or(Length::ZERO, |it| it.0);
                let message = format!(
                    "no wall is left around this {what}: it measures {} where the part measures {} outside",
                    self.shown(inner),
                    self.shown(outer)
                );
                self.say(span.index, "diameter", message, "mend one of both diameters");
            }
            if hole {
                self.point(part, span);
            }
        }
    }

    /// The edge at the front leaves a face around what is hollow there.
    pub(super) fn front_face(&self, part: &Part) {
        let edge = |it: &&Feature| matches!(it.kind, FeatureKind::Chamfer | FeatureKind::Corner);
        let size = |it: &Feature| it.size.max(it.radius);
        let first = |inside: bool| {
            let stretch = self.stretches.side(inside).first()?.index;
            let before = part.features[..stretch].iter().enumerate().rev();
            let mut edges = before.filter(|(_, it)| it.inside == inside && !it.back);
            edges.next().filter(|(_, it)| edge(it))
        };
        let Some((index, broken)) = first(false) else { return };
        let Some(outside) = self.stretches.outside.first() else { return };
        let hollows = self.stretches.bore.iter().chain(&self.stretches.holes);
        let open = hollows.filter(|span| span.from == Length::ZERO).map(|span| span.ends.0);
        let Some(open) = open.max() else { return };
        let open = open + first(true).map_or(Length::ZERO, |(_, it)| size(it) * 2);
        let left = outside.ends.0 - size(broken) * 2;
        if left <= open && outside.ends.0 > open {
            let key = if broken.kind == FeatureKind::Chamfer { "size" } else { "radius" };
            let message = format!(
                "no face is left at the front: this edge leaves {} across, and what is hollow measures {}",
                self.shown(left),
                self.shown(open)
            );
            let most = self.shown((outside.ends.0 - open).half());
            self.say(index, key, message, format!("write less than {most}"));
        }
    }

    /// The point of a drill that does not go through stays in the part.
    fn point(&self, part: &Part, span: &Span) {
        let feature = &part.features[span.index];
        if span.to >= part.length {
            return;
        }
        let half = (feature.point_angle / 2.0).to_radians();
        let deep = Length::nearest_mm(feature.diameter.half().mm() / libm::tan(half));
        if span.to + deep > part.length {
            let message = format!(
                "the point of this drill, {} long, comes out at the back face",
                self.shown(deep)
            );
            let most = self.shown(part.length - deep);
            let help = format!("end it before {most}, or write `through = true` in place of `to`");
            self.say(span.index, "to", message, help);
        }
    }

    /// Two cylinders with limits of their own keep their step whatever they measure.
    pub(super) fn crossing(&self, part: &Part) {
        let limited = |span: &Span| span.plain && span.deviations != (Length::ZERO, Length::ZERO);
        for pair in self.stretches.outside.windows(2).filter(|it| it.iter().all(limited)) {
            let (ahead, behind) = (&pair[0], &pair[1]);
            let (small, large) =
                if ahead.ends.1 < behind.ends.0 { (ahead, behind) } else { (behind, ahead) };
            let step = large.ends.0 - small.ends.0;
            if step.is_positive() && small.deviations.0 > step + large.deviations.1 {
                let message = format!(
                    "with its largest deviation this cylinder is larger than the one beside it, {}, with its smallest",
                    self.shown(large.ends.0)
                );
                let key = if part.features[small.index].tolerance.is_some() {
                    "tolerance"
                } else {
                    "upper"
                };
                self.say(small.index, key, message, "mend one of both tolerances or diameters");
            }
        }
    }
}

/// Whether a hollow touches the outside of a stretch around it, each at its limit.
fn no_wall(around: &Span, hollow: &Span) -> bool {
    let (from, to) = (hollow.from.max(around.from), hollow.to.min(around.to));
    let at_ends = |span: &Span| span.between(from, to);
    match (at_ends(around), at_ends(hollow)) {
        (Some((outer, _)), Some((_, inner))) => {
            inner + hollow.deviations.0 >= outer + around.deviations.1
        }
        _ => false,
    }
}
