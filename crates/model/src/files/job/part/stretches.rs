//! The outside and the bore as stretches with their diameters, to lay other features on.

use super::{Feature, FeatureKind, Part};
use crate::Length;

/// A stretch of the outside or of what is hollow.
#[derive(Debug, Clone, Copy)]
pub(super) struct Span {
    /// Its feature, by its place in the list.
    pub(super) index: usize,
    pub(super) from: Length,
    pub(super) to: Length,
    /// Nominal diameters at both ends.
    pub(super) ends: (Length, Length),
    /// Whether it is a cylinder.
    pub(super) plain: bool,
    /// Largest and smallest deviation.
    pub(super) deviations: (Length, Length),
}

impl Span {
    /// The nominal diameter at a distance from the front face; an arc counts as its chord.
    fn at(&self, behind: Length) -> Length {
        let (start, end) = self.ends;
        let long = i128::from((self.to - self.from).nm().max(1));
        let along = i128::from((behind - self.from).nm().clamp(0, long as i64));
        start + Length::from_nm((i128::from((end - start).nm()) * along / long) as i64)
    }

    /// The smallest and the largest nominal diameter between two places; none where it lies elsewhere.
    pub(super) fn between(&self, from: Length, to: Length) -> Option<(Length, Length)> {
        let (from, to) = (from.max(self.from), to.min(self.to));
        (from < to).then(|| {
            let (a, b) = (self.at(from), self.at(to));
            (a.min(b), a.max(b))
        })
    }

    /// Whether it reaches over all of this.
    pub(super) fn covers(&self, from: Length, to: Length) -> bool {
        self.from <= from && to <= self.to
    }
}

/// The stretches of a part.
pub(super) struct Stretches {
    pub(super) outside: Vec<Span>,
    pub(super) bore: Vec<Span>,
    /// The cylinders of drilled holes.
    pub(super) holes: Vec<Span>,
}

impl Stretches {
    pub(super) fn of(part: &Part) -> Stretches {
        let mut all = Stretches { outside: Vec::new(), bore: Vec::new(), holes: Vec::new() };
        for (index, feature) in part.features.iter().enumerate() {
            let inside = feature.inside || feature.kind == FeatureKind::Bore;
            let list = match feature.kind {
                FeatureKind::Diameter | FeatureKind::Taper | FeatureKind::Arc if !inside => {
                    &mut all.outside
                }
                FeatureKind::Bore | FeatureKind::Arc => &mut all.bore,
                FeatureKind::Hole => &mut all.holes,
                _ => continue,
            };
            let span = span(index, feature, list.last());
            list.push(span);
        }
        all
    }

    /// The stretches of one side.
    pub(super) fn side(&self, inside: bool) -> &[Span] {
        if inside { &self.bore } else { &self.outside }
    }

    /// The cylinder of one side that reaches over all of this, inside a drilled hole where no bore
    /// does.
    pub(super) fn covering(&self, inside: bool, from: Length, to: Length) -> Option<&Span> {
        let covers = |span: &&Span| span.covers(from, to);
        let hole = || self.holes.iter().find(|span| inside && covers(span));
        self.side(inside).iter().find(covers).or_else(hole)
    }

    /// The cylinder that a thread of this diameter lies on: what covers it, or what covers it behind
    /// tapers, arcs and cylinders that lead up to it without reaching it.
    pub(super) fn carrying(
        &self,
        inside: bool,
        (from, to): (Length, Length),
        (nominal, off): (Length, Length),
    ) -> Option<&Span> {
        let clears = |it: &Span, last: &Span| {
            if inside { it.ends.1 > last.ends.0 } else { it.ends.1 < last.ends.0 }
        };
        let led_up = || {
            let ends = |span: &&Span| span.plain && span.from < to && to <= span.to;
            let last = self.side(inside).iter().find(ends)?;
            let fits = (last.ends.0 - nominal).abs() <= off;
            let mut ahead =
                self.side(inside).iter().filter(|it| it.from < last.from && from < it.to);
            (fits && ahead.all(|it| !it.plain || clears(it, last))).then_some(last)
        };
        self.covering(inside, from, to).or_else(led_up)
    }

    /// The smallest diameter of the outside between two places.
    pub(super) fn least_outside(&self, from: Length, to: Length) -> Option<Length> {
        self.outside.iter().filter_map(|span| span.between(from, to)).map(|it| it.0).min()
    }

    /// The largest diameter of what is hollow between two places; zero where nothing is.
    pub(super) fn most_inside(&self, from: Length, to: Length) -> Length {
        let hollow = self.bore.iter().chain(&self.holes);
        let widest = hollow.filter_map(|span| span.between(from, to)).map(|it| it.1).max();
        widest.unwrap_or_default()
    }
}

fn span(index: usize, feature: &Feature, before: Option<&Span>) -> Span {
    let hole = feature.kind == FeatureKind::Hole;
    let from = before.filter(|_| !hole).map_or(Length::ZERO, |span| span.to);
    let goes_on = matches!(feature.kind, FeatureKind::Taper | FeatureKind::Arc);
    let start = match feature.start {
        Some(start) => start,
        None if goes_on => before.map_or(Length::ZERO, |span| span.ends.1),
        None => feature.diameter,
    };
    let straight = matches!(feature.kind, FeatureKind::Diameter | FeatureKind::Bore) || hole;
    Span {
        index,
        from,
        to: feature.to,
        ends: (start, feature.diameter),
        plain: straight && start == feature.diameter,
        deviations: feature.deviations,
    }
}
