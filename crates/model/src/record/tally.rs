//! What an order has used and given, beside what was planned for it.

use super::event::{Planned, StopWhy, Work};
use super::stamp::{Lapse, Stamp};
use crate::length::Length;
use std::collections::BTreeMap;

/// The quantities of one order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Tally {
    /// When it was opened; none where nobody recorded that.
    pub opened: Option<Stamp>,
    /// When it was closed.
    pub closed: Option<Stamp>,
    /// Parts wanted.
    pub quantity: Option<u32>,
    /// What they were to take.
    pub planned: Planned,
    /// Parts parted off, good or not.
    pub made: u32,
    /// Parts that are no good.
    pub scrapped: u32,
    /// Bars that went into a spindle.
    pub bars: u32,
    /// Their length together, as far as it was recorded.
    pub bar_length: Length,
    /// Bars of which nobody recorded the length.
    pub bars_without_length: u32,
    /// Length of the remnants that went back to the rack.
    pub racked: Length,
    /// Edges changed.
    pub edges: u32,
    /// How long lathes ran, from starts to stops; the present run is not in it.
    pub running: Lapse,
    /// Stops by their reason: how many, and how long until the lathe ran again.
    pub stops: BTreeMap<StopWhy, (u32, Lapse)>,
    /// Persons' time.
    pub spent: BTreeMap<Work, Lapse>,
    /// First and last part.
    pub parts_between: Option<(Stamp, Stamp)>,
}

impl Tally {
    /// Parts that are good as far as anybody knows.
    pub const fn good(&self) -> u32 {
        self.made.saturating_sub(self.scrapped)
    }

    /// Parts still to be made; none where no quantity was recorded.
    pub fn left(&self) -> Option<u32> {
        self.quantity.map(|quantity| quantity.saturating_sub(self.good()))
    }

    /// Time for which lathes stood.
    pub fn standing(&self) -> Lapse {
        self.stops.values().map(|(_, lapse)| *lapse).sum()
    }
}
