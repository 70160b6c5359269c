//! Gathers findings and what is unproven, each once.

use crate::event::{EndedBy, Moment, Spot, What};
use crate::setup::Setup;
use model::finding::Place;
use model::{Finding, Level, Source, Span, Unproven};
use std::collections::{BTreeMap, BTreeSet};

/// What the checks have said so far.
#[derive(Debug)]
pub struct Report {
    sources: Vec<Source>,
    found: BTreeMap<(&'static str, Spot), Found>,
    unproven: BTreeSet<Unproven>,
}

/// What the checks have said, without how often and in which words.
#[derive(Debug, PartialEq)]
pub(crate) struct Said {
    findings: Vec<(&'static str, Spot, Level)>,
    unproven: BTreeSet<Unproven>,
}

#[derive(Debug)]
struct Found {
    finding: Finding,
    /// Times it was seen before the present pass of a loop, and in the last one.
    times_before: u32,
    times_in_pass: u32,
    last_cycle: u32,
    order: usize,
}

impl Report {
    /// An empty report about these files.
    pub fn new(sources: Vec<Source>) -> Report {
        Report { sources, found: BTreeMap::new(), unproven: BTreeSet::new() }
    }

    /// The report as one check sees it at one moment.
    pub(crate) fn at<'r>(
        &'r mut self,
        id: &'static str,
        level: Level,
        moment: &'r Moment<'r>,
    ) -> Out<'r> {
        Out { report: self, id, level, moment }
    }

    /// Files something that is not checked.
    pub fn unproven(&mut self, what: impl Into<String>, why: impl Into<String>) {
        self.unproven.insert(Unproven { what: what.into(), why: why.into() });
    }

    /// Whether anything else is said, and how strongly.
    pub(crate) fn said(self) -> Said {
        let findings = self.found.into_iter();
        let findings = findings.map(|((id, spot), found)| (id, spot, found.finding.level));
        Said { findings: findings.collect(), unproven: self.unproven }
    }

    /// A pass of a loop is over.
    pub(crate) fn pass_is_over(&mut self) {
        for found in self.found.values_mut() {
            found.times_in_pass = found.finding.times - found.times_before;
            found.times_before = found.finding.times;
        }
    }

    /// Takes all that was seen in the last pass as seen again so many times; `advances` lie in
    /// between.
    pub(crate) fn passes_left_out(&mut self, passes: u32, advances: u32) {
        for found in self.found.values_mut().filter(|found| found.times_in_pass > 0) {
            found.finding.times += found.times_in_pass.saturating_mul(passes);
            found.times_before = found.finding.times;
            found.last_cycle += advances;
        }
    }

    /// Everything said: findings in the order in which they were first seen, and what is unproven.
    pub fn finish(self) -> (Vec<Finding>, Vec<Unproven>) {
        let mut found: Vec<Found> = self.found.into_values().collect();
        found.sort_by_key(|found| found.order);
        let findings = found.into_iter().map(|found| found.finding).collect();
        (findings, self.unproven.into_iter().collect())
    }
}

/// Where one check puts what it has to say about one moment.
pub struct Out<'r> {
    report: &'r mut Report,
    id: &'static str,
    level: Level,
    moment: &'r Moment<'r>,
}

impl Out<'_> {
    /// A finding at the word that made the moment.
    pub fn found(&mut self, message: impl Into<String>, remedy: impl Into<String>) {
        self.found_at(self.moment.spot, message, remedy);
    }

    /// A finding at another word.
    pub fn found_at(&mut self, spot: Spot, message: impl Into<String>, remedy: impl Into<String>) {
        self.put(self.level, spot, message.into(), remedy.into());
    }

    /// A finding of a lesser level than the check's own.
    pub fn lesser(&mut self, level: Level, message: impl Into<String>, remedy: impl Into<String>) {
        self.put(level.min(self.level), self.moment.spot, message.into(), remedy.into());
    }

    /// A finding of a lesser level than the check's own at another word.
    pub fn lesser_at(
        &mut self,
        level: Level,
        spot: Spot,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        self.put(level.min(self.level), spot, message.into(), remedy.into());
    }

    /// A finding at a key of an input file.
    pub fn found_in(
        &mut self,
        place: Place,
        message: impl Into<String>,
        remedy: impl Into<String>,
    ) {
        let spot = Spot { tree: u32::MAX, block: 0, span: place.span };
        self.insert(self.level, spot, place, message.into(), remedy.into());
    }

    /// Files something that this check could not check.
    pub fn unproven(&mut self, what: impl Into<String>, why: impl Into<String>) {
        self.report.unproven(what, why);
    }

    /// The text of the word that made the moment.
    pub fn written(&self) -> String {
        self.text(self.moment.spot.span)
    }

    /// The characters right before and right behind that word; none at an end of the file.
    pub fn beside(&self) -> [Option<char>; 2] {
        let Span { start, end } = self.moment.spot.span;
        let one = |start: u32| self.text(Span { start, end: start + 1 }).chars().next();
        [start.checked_sub(1).and_then(one), one(end)]
    }

    fn text(&self, span: Span) -> String {
        let source = self.report.sources.get(self.moment.spot.tree as usize);
        source.map(|source| source.text_of(span).into_owned()).unwrap_or_default()
    }

    /// The value, or *unproven* for want of the thing that would hold it.
    pub fn known<T>(&mut self, value: Option<T>, what: &str, lacking: &str) -> Option<T> {
        if value.is_none() {
            self.unproven(what, format!("{lacking} is not given"));
        }
        value
    }

    fn put(&mut self, level: Level, spot: Spot, message: String, remedy: String) {
        let Some(source) = self.report.sources.get(spot.tree as usize) else { return };
        let place = Place::new(source, spot.span);
        self.insert(level, spot, place, message, remedy);
    }

    fn insert(&mut self, level: Level, spot: Spot, place: Place, message: String, remedy: String) {
        let cycle = self.moment.before.cycle();
        let order = self.report.found.len();
        let at_start = self.moment.what.is_text_alone();
        let ended = matches!(self.moment.what, What::Ended(_));
        let judged = matches!(self.moment.what, What::Ended(EndedBy::Count));
        let finding = Finding {
            id: self.id,
            level,
            place,
            cycle: (!at_start && !ended).then_some(cycle),
            at_s: (!at_start && !judged).then_some(self.moment.before.now.s()),
            times: 0,
            message,
            remedy,
        };
        let found = self.report.found.entry((self.id, spot)).or_insert_with(|| Found {
            finding: finding.clone(),
            times_before: 0,
            times_in_pass: 0,
            last_cycle: 0,
            order,
        });
        // What is worse is told in its own words.
        if finding.level > found.finding.level {
            found.finding = Finding { times: found.finding.times, ..finding };
        }
        if found.last_cycle != cycle {
            found.last_cycle = cycle;
            found.finding.times += 1;
        }
    }
}

/// A length as the program's person reads it.
pub fn shown(setup: &Setup, length: model::Length) -> String {
    length.shown(setup.units)
}
