//! The room of a thread edge: what stands in front of a thread, behind it and beside it.

use super::{Edge, Thread};
use crate::process::contour::Contour;
use crate::process::drawing::{self, Side};
use crate::process::{Cutting, Missing, holes};
use model::Length;
use model::files::job::FeatureKind;

/// The room behind the end of a thread.
pub(super) struct Room {
    /// From the end of the full thread to what stands in the way.
    pub(super) length: Length,
    /// What the flank of the edge takes of it.
    pub(super) edge: Length,
    /// Length of the slanting way out in tenths of the lead.
    pub(super) pull_out: u32,
    /// How far the edge goes on at least, to come into an undercut.
    pub(super) least: Length,
}

/// Radii nearer than this are the same.
const NEAR: Length = Length::from_um(10);
/// The outside is looked at in steps of this.
const STEP: Length = Length::from_um(50);
/// Pitches behind the end over which a thread may run out; common practice, as the proof has it.
const RUN_OUT: i64 = 3;

impl Room {
    pub(super) fn behind(cutting: &Cutting<'_>, thread: &Thread<'_>, edge: &Edge<'_>) -> Room {
        let end = thread.feature.to;
        // The flank reaches beyond the tip by as much as the edge is still in the metal.
        let run_out = |tenths: u32| {
            let still = edge.height - super::tenths_of(thread.form.lead(), tenths);
            thread.form.pitch * RUN_OUT - edge.flank(still) - STEP
        };
        if edge.inside {
            let behind = edge.behind(cutting);
            let pull_out = edge.pull_out(cutting, thread, false);
            return Room {
                length: (open_to(cutting, thread) - end).min(run_out(pull_out) + behind),
                edge: behind,
                pull_out,
                least: Length::ZERO,
            };
        }
        let outside = Outside::of(cutting);
        let whole = cutting.division.finished;
        let places = || outside.places(end, whole);
        // The first that is higher than the crest stands in the way.
        let wall = places().find(|(_, r)| *r > edge.crest + NEAR);
        let (wall, high) = wall.unwrap_or((whole, cutting.job.file.bar.reach()));
        // How high it gets before the edge is clear of it.
        let high = outside.places(wall, whole).take(40).map(|(_, r)| r).fold(high, Length::max);
        let flank = edge.flank(high - edge.ground) + cutting.clear.half().half();
        let farthest = end + thread.form.pitch * RUN_OUT;
        let undercut = places()
            .take_while(|(z, _)| *z < wall)
            .find(|(z, r)| *r <= edge.ground + NEAR && *z <= farthest);
        let pull_out = edge.pull_out(cutting, thread, undercut.is_some());
        let length = (wall - end).min(run_out(pull_out) + flank);
        let least = undercut.map_or(Length::ZERO, |(begins, _)| begins - end + STEP);
        Room { length, edge: flank, pull_out, least }
    }
}

/// The outside as this job leaves it.
struct Outside {
    contour: Option<Contour>,
    grooves: Vec<Contour>,
    raw: Length,
}

impl Outside {
    fn of(cutting: &Cutting<'_>) -> Outside {
        let part = &cutting.job.file.part;
        let drawn = drawing::drawn(part, Side::Outside).map(|drawn| drawn.contour);
        let grooves = drawn
            .as_ref()
            .map(|contour| drawing::grooves(part, Side::Outside, contour))
            .unwrap_or_default();
        Outside {
            contour: drawn,
            grooves: grooves.into_iter().map(|(_, floor)| floor).collect(),
            raw: cutting.job.file.bar.reach(),
        }
    }

    /// Its radius so far behind the front face; where nothing is drawn, that of the bar.
    fn radius(&self, behind: Length) -> Length {
        let z = -behind.mm();
        let height = |contour: &Contour| drawing::height(contour, z).map(Length::nearest_mm);
        let drawn = self.contour.as_ref().and_then(height).unwrap_or(self.raw);
        let floors = self.grooves.iter().filter_map(height);
        floors.fold(drawn, Length::min)
    }

    /// Places from one distance behind the front face to another, with their radii.
    fn places(&self, from: Length, to: Length) -> impl Iterator<Item = (Length, Length)> {
        let count = ((to - from) / STEP).max(0);
        (0..count).map(move |index| {
            let z = from + STEP * index + STEP.half();
            (z, self.radius(z))
        })
    }
}

/// How deep the bore is open for an inside thread as a full cylinder: to the end of the hole that
/// carries it, a hole through the part to a little behind it.
pub(in crate::process) fn open_to(cutting: &Cutting<'_>, thread: &Thread<'_>) -> Length {
    let part = &cutting.job.file.part;
    let carries = |it: &&model::files::job::Feature| {
        let opens = matches!(it.kind, FeatureKind::Hole | FeatureKind::Bore);
        opens && !it.later && it.to >= thread.feature.to && it.diameter < thread.form.nominal
    };
    let holes_of_it = || part.features.iter().filter(carries);
    let deepest = holes_of_it().map(|it| it.to).max().unwrap_or_default();
    if !holes_of_it().any(|it| it.through) && deepest < part.length {
        return deepest;
    }
    // The hole is drilled as deep as its thread needs it.
    let needed = super::deepest(cutting, thread).unwrap_or_default();
    holes::behind_the_back(cutting).max(needed)
}

/// Radius beside the thread at which the edge goes back: clear of all that stands in front of its end.
pub(super) fn beside(
    cutting: &Cutting<'_>,
    thread: &Thread<'_>,
    edge: &Edge<'_>,
    (run_in, overrun): (Length, Length),
) -> Length {
    let clear = cutting.clear.half();
    if edge.inside {
        return edge.crest - clear;
    }
    let from = (thread.feature.from - run_in).max(Length::ZERO);
    let outside = Outside::of(cutting);
    let passed = outside.places(from, thread.feature.to + overrun).map(|(_, r)| r);
    passed.fold(edge.crest, Length::max) + clear
}

/// Whether nothing stands where the edge comes up to its lead.
pub(super) fn starts_free(
    cutting: &Cutting<'_>,
    thread: &Thread<'_>,
    edge: &Edge<'_>,
    run_in: Length,
) -> Result<(), Missing> {
    let shown = |length: Length| length.shown(cutting.units);
    let begins = thread.feature.from;
    let in_the_way = if edge.inside {
        let shank = edge.station.shank.unwrap_or_default();
        // A bar one and a tenth of its diameter behind the tip, as the proof has it.
        let wide = Length::from_nm(shank.nm() / 10 * 11) + cutting.clear;
        (wide > edge.crest * 2)
            .then(|| format!("its shank of {} does not go into the bore", shown(shank)))
    } else {
        let outside = Outside::of(cutting);
        let from = (begins - run_in).max(Length::ZERO);
        let higher = outside.places(from, begins).any(|(_, r)| r > edge.ground + NEAR);
        higher.then(|| {
            let needed = shown(run_in);
            format!("the edge needs {needed} in front of the thread to come up to its lead")
        })
    };
    let Some(why) = in_the_way else { return Ok(()) };
    Err(Missing {
        feature: Some(thread.index),
        why: format!("The thread cannot be cut with station {}: {why}.", edge.station.number),
        mend: "A thread from the front face, an undercut in front of it, a smaller tool or a lower `speed` would do."
            .to_owned(),
    })
}
