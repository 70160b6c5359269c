//! What stands on one lathe.

use super::event::{Fills, Loaded, SetUp, Stopped};
use super::name::Name;
use super::stamp::Stamp;
use std::collections::BTreeMap;

/// The bar in the spindle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct BarNow {
    /// What was recorded of it; nothing where parts came of a bar that nobody recorded.
    pub loaded: Loaded,
    /// When it went in, or its first part was recorded.
    pub since: Stamp,
    /// Parts made of it.
    pub made: u32,
}

/// Whether a lathe runs.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Runs {
    /// Nobody recorded it.
    #[default]
    NotKnown,
    /// It runs.
    Since(Stamp),
    /// It stands.
    Stopped(Stamp, Stopped),
}

/// What stands on one lathe now.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct LatheNow {
    /// The job it is set up for.
    pub job: Option<Name>,
    /// Since when.
    pub since: Option<Stamp>,
    /// How it is set up.
    pub set_up: SetUp,
    /// The bar in its spindle.
    pub bar: Option<BarNow>,
    /// Whether it runs.
    pub runs: Runs,
    /// Parts made with the edge of each station since it was changed, or since the set-up.
    pub edges: BTreeMap<u32, u32>,
    /// Parts since the edge of each station was changed or its offset moved, or since the set-up.
    pub drifted: BTreeMap<u32, u32>,
    /// Parts since each thing that fills was emptied, or since the set-up.
    pub fills: BTreeMap<Fills, u32>,
    /// Parts since the last was gauged, or since the set-up.
    pub not_gauged: u32,
    /// When someone last loaded, started, gauged, changed or emptied something.
    pub attended: Option<Stamp>,
    /// The last part.
    pub last_part: Option<Stamp>,
}

impl LatheNow {
    /// Parts that the bar in the spindle still gives; none where that is not known.
    pub fn left_in_bar(&self) -> Option<u32> {
        let bar = self.bar.as_ref()?;
        let gives = bar.loaded.gives.or(self.set_up.parts_per_bar)?;
        Some(gives.saturating_sub(bar.made))
    }

    /// Takes in parts that were made, or takes them back where the number is negative.
    pub(super) fn step(&mut self, parts: i64) {
        let step = |count: &mut u32| *count = stepped(*count, parts);
        self.set_up.edges.keys().for_each(|station| {
            self.edges.entry(*station).or_default();
        });
        self.edges.values_mut().for_each(step);
        self.set_up.sizes.keys().for_each(|station| {
            self.drifted.entry(*station).or_default();
        });
        self.drifted.values_mut().for_each(step);
        self.set_up.fills.keys().for_each(|what| {
            self.fills.entry(*what).or_default();
        });
        self.fills.values_mut().for_each(step);
        step(&mut self.not_gauged);
    }
}

/// A count that takes in parts; it stays at its ends.
pub(super) fn stepped(count: u32, parts: i64) -> u32 {
    u32::try_from(i64::from(count).saturating_add(parts).max(0)).unwrap_or(u32::MAX)
}
