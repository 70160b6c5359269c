//! The sizes of each feature with the numbers of their parts, and what happened to its tool between them.

use calc::figure::BadFigure;
use calc::sizes::faults::{FaultReview, Judged, fault_review};
use calc::sizes::review::{Gauged, Review, review};
use calc::sizes::{Band, Moved, Reading};
use model::quantity::Probability;
use model::record::event::{self, Event, OffsetAxis, What};
use model::record::{Corrections, Name, Recorded};
use model::{Length, Units};
use std::collections::{BTreeMap, BTreeSet};
use view::pictures::size_chart::SizeChart;

/// Confidence of every range.
pub(crate) const CONFIDENCE: Probability = Probability::from_ratio(0.95);
/// Risk that any part is outside before the next is gauged.
pub(crate) const RISK: Probability = Probability::from_ratio(0.05);
/// Most parts between two that are gauged.
const MOST: u32 = 200;
/// Fewest readings of an edge that anything is said about.
pub(crate) const FEWEST: usize = 4;
/// Readings from which on sigma is sound, and groups from which on their limits are: common practice.
pub(crate) const SOUND: usize = 20;

/// How series are gathered and judged.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Judging {
    /// The station whose edge and offset count, where it was said.
    pub(crate) station: Option<u32>,
    /// Readings in a point of the chart: 1, or groups of 2 to 25.
    pub(crate) group: u32,
    /// Units of the words.
    pub(crate) units: Units,
}

/// The sizes of one feature that one lathe made since its last set-up.
#[derive(Debug, Clone)]
pub(crate) struct Series {
    pub(crate) feature: Name,
    pub(crate) lathe: Name,
    /// The station whose edge and offset they are judged by, where there is one.
    pub(crate) station: Option<u32>,
    /// Stations with a new edge or offset, of which nobody said which turns the feature.
    pub(crate) unclear: BTreeSet<u32>,
    pub(crate) edge_from: u32,
    pub(crate) readings: Vec<Reading>,
    pub(crate) moves: Vec<Moved>,
    /// Moves along the bar, which say nothing of a diameter.
    pub(crate) along: u32,
    pub(crate) band: Option<Band>,
    /// Readings in whose place a newer one of the same part stands.
    pub(crate) again: u32,
    /// Readings of which nobody knows the part.
    pub(crate) left_out: u32,
    /// Parts that a gauge without a scale judged.
    pub(crate) judged: Vec<Judged>,
    /// Readings in a point of the chart, as far as there are enough.
    pub(crate) group: u32,
    units: Units,
}

impl Series {
    pub(crate) fn gauged(&self) -> Gauged<'_> {
        let step = match self.units {
            Units::Mm => Length::from_um(1),
            Units::Inch => Length::from_nm(2540),
        };
        Gauged {
            readings: &self.readings,
            moves: &self.moves,
            group: self.group,
            edge_from: self.edge_from,
            band: self.band,
            gauge_step: step,
            offset_step: step,
            least_move: step * 2,
            confidence: CONFIDENCE,
            risk: RISK,
            most: MOST,
        }
    }

    /// What the sizes say; nothing where they are too few, or their tool is not known.
    pub(crate) fn review(&self) -> Result<Option<Review>, BadFigure> {
        if self.readings.len() < FEWEST || !self.unclear.is_empty() {
            return Ok(None);
        }
        review(&self.gauged()).map(Some)
    }

    /// What good and bad parts say; nothing where no gauge without a scale was used, or where it is not known which
    /// edge they are of.
    pub(crate) fn faults(&self) -> Result<Option<FaultReview>, BadFigure> {
        if self.judged.is_empty() || !self.unclear.is_empty() {
            return Ok(None);
        }
        fault_review(&self.judged, CONFIDENCE, RISK).map(Some)
    }

    /// Its chart.
    pub(crate) fn chart<'a>(&'a self, name: &'a str, review: &'a Review) -> SizeChart<'a> {
        let mut shown = SizeChart::of(name, &self.gauged(), review, self.units);
        // What comes after a move that no part has been gauged since cannot be drawn from these sizes.
        let gauged = self.moves.partition_point(|it| it.before <= self.last());
        if gauged < self.moves.len() {
            shown.moves = &self.moves[..gauged];
            shown.ahead = None;
        }
        shown
    }

    /// The part that was gauged last.
    pub(crate) fn last(&self) -> u32 {
        self.readings.last().map_or(0, |it| it.part)
    }
}

/// What is known of a feature while the log is gone through.
#[derive(Default)]
struct Found {
    sizes: BTreeMap<u32, Length>,
    judged: BTreeMap<u32, bool>,
    limits: (Option<Length>, Option<Length>),
    again: u32,
    left_out: u32,
}

/// A lathe while the log is gone through. Parts count from its last set-up for the job.
#[derive(Default)]
struct Lathe {
    job: Option<Name>,
    /// Set up for another job: what was seen of this one stands.
    away: bool,
    before_bar: u32,
    of_bar: u32,
    moves: Vec<(u32, OffsetAxis, Moved)>,
    /// The first part of the present edge of each station.
    edges: BTreeMap<u32, u32>,
    found: BTreeMap<Name, Found>,
}

impl Lathe {
    fn made(&self) -> u32 {
        self.before_bar.saturating_add(self.of_bar)
    }

    fn take(&mut self, event: &Event, job: &Name) {
        let next = self.made().saturating_add(1);
        match &event.what {
            What::SetUpDone(_) if event.job.as_ref() == Some(job) => {
                *self = Lathe { job: event.job.clone(), ..Lathe::default() };
            }
            What::SetUpDone(_) => self.away = true,
            _ if self.away => {}
            What::BarLoaded(_) | What::BarEnded { .. } => {
                self.before_bar = self.made();
                self.of_bar = 0;
            }
            What::PartsMade { parts } => self.of_bar = self.of_bar.saturating_add(*parts),
            What::CountRead { parts } => self.of_bar = *parts,
            What::EdgeChanged { station, .. } => {
                self.edges.insert(*station, next);
            }
            What::OffsetMoved { station, axis, by } => {
                self.moves.push((*station, *axis, Moved { before: next, by: *by }));
            }
            What::SizeMeasured(measured)
                if event.job.as_ref().or(self.job.as_ref()) == Some(job) =>
            {
                self.measure(measured);
            }
            _ => {}
        }
    }

    fn measure(&mut self, measured: &event::Measured) {
        let part = measured.part.map_or(self.made(), |part| self.before_bar.saturating_add(part));
        let found = self.found.entry(measured.feature.clone()).or_default();
        if measured.low.is_some() || measured.high.is_some() {
            found.limits = (measured.low, measured.high);
        }
        match measured.reading {
            event::Reading::Size(size) if part > 0 => {
                found.again += u32::from(found.sizes.insert(part, size).is_some());
            }
            event::Reading::Good | event::Reading::Bad if part > 0 => {
                let good = measured.reading == event::Reading::Good;
                found.again += u32::from(found.judged.insert(part, good).is_some());
            }
            _ => found.left_out += 1,
        }
    }

    fn series(&self, lathe: &Name, by: Judging) -> Vec<Series> {
        let Judging { station, group, units } = by;
        let told: BTreeSet<u32> =
            self.moves.iter().map(|it| it.0).chain(self.edges.keys().copied()).collect();
        let only = told.first().copied().filter(|_| told.len() == 1);
        let unclear = if station.is_none() && only.is_none() { told } else { BTreeSet::new() };
        let station = station.or(only);
        let edge_from = station.and_then(|it| self.edges.get(&it)).copied().unwrap_or(1);
        let of = |axis: OffsetAxis| {
            let mine = self.moves.iter().filter(move |it| Some(it.0) == station && it.1 == axis);
            mine.map(|it| it.2).filter(move |it| it.before > edge_from)
        };
        let one = |(feature, found): (&Name, &Found)| Series {
            feature: feature.clone(),
            lathe: lathe.clone(),
            station,
            unclear: unclear.clone(),
            edge_from,
            readings: found
                .sizes
                .range(edge_from..)
                .map(|(part, size)| Reading { part: *part, size: *size })
                .collect(),
            judged: found
                .judged
                .range(edge_from..)
                .map(|(part, good)| Judged { part: *part, good: *good })
                .collect(),
            moves: of(OffsetAxis::X).collect(),
            along: of(OffsetAxis::Z).count() as u32,
            band: Band::new(found.limits.0, found.limits.1).ok(),
            again: found.again,
            left_out: found.left_out,
            group,
            units,
        };
        self.found.iter().map(one).collect()
    }
}

/// The sizes of a job, a series for each lathe and feature, from all events in their order.
pub(crate) fn gather(
    events: &[Recorded],
    corrections: &Corrections,
    job: &Name,
    by: Judging,
) -> Vec<Series> {
    let mut lathes: BTreeMap<Name, Lathe> = BTreeMap::new();
    for recorded in events {
        let Some(counts) = corrections.effective(recorded) else { continue };
        if let Some(name) = &counts.event.lathe {
            lathes.entry(name.clone()).or_default().take(&counts.event, job);
        }
    }
    lathes.iter().flat_map(|(name, lathe)| lathe.series(name, by)).collect()
}
