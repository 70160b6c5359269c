//! How the lathe's state grows from one pass of a loop to the next.

use super::State;
use crate::recurrence::{Whole, whole};
use model::Length;

/// What one pass of a loop adds to a lathe that is otherwise as it was.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct StateGrowth {
    now: i64,
    chuck: i64,
    spindle: i64,
    rear: Length,
    drawn: Length,
    counter: Whole,
    parts: u32,
    partings: u32,
    advances: u32,
}

impl State {
    /// What was added since `before`; none where something else is different.
    pub(crate) fn growth_since(&self, before: &State) -> Option<StateGrowth> {
        let rear = self.bar.rear.zip(before.bar.rear).map(|(now, then)| now - then);
        let growth = StateGrowth {
            now: self.now.nanoseconds_after(before.now),
            chuck: self.chuck.done_at.nanoseconds_after(before.chuck.done_at),
            spindle: self.spindle.since.nanoseconds_after(before.spindle.since),
            rear: rear.unwrap_or_default(),
            drawn: self.bar.drawn - before.bar.drawn,
            counter: whole(Some(before.counter), Some(self.counter))?,
            parts: self.parts.checked_sub(before.parts)?,
            partings: self.partings.checked_sub(before.partings)?,
            advances: self.advances.checked_sub(before.advances)?,
        };
        (before.grown(&growth, 1) == *self).then_some(growth)
    }

    /// The state with what so many passes add.
    pub(crate) fn grown(&self, growth: &StateGrowth, passes: u32) -> State {
        let times = i64::from(passes);
        let mut state = *self;
        state.now = state.now.later(growth.now, times);
        state.chuck.done_at = state.chuck.done_at.later(growth.chuck, times);
        state.spindle.since = state.spindle.since.later(growth.spindle, times);
        state.bar.rear = state.bar.rear.map(|rear| rear + growth.rear * times);
        state.bar.drawn += growth.drawn * times;
        state.counter += growth.counter.value() * f64::from(passes);
        state.parts = state.parts.saturating_add(growth.parts.saturating_mul(passes));
        state.partings = state.partings.saturating_add(growth.partings.saturating_mul(passes));
        state.advances = state.advances.saturating_add(growth.advances.saturating_mul(passes));
        state
    }

    /// How many passes lie before the rear end of the bar is drawn past its front, before a part
    /// too many has fallen, or before the counter has no more digits.
    pub(crate) fn most_passes(&self, growth: &StateGrowth, most_parts: u32) -> u32 {
        let parts = most_parts.saturating_sub(self.parts).checked_div(growth.parts);
        let bar = self.bar.front.zip(self.bar.rear).map(|(front, rear)| (front - rear).nm());
        let bar = bar.filter(|_| growth.rear.is_positive()).map(|nm| nm / growth.rear.nm());
        let bar = bar.map(|passes| u32::try_from(passes.max(0)).unwrap_or(u32::MAX));
        let counter = growth.counter.passes_within(self.counter, None);
        [parts, bar].into_iter().flatten().fold(counter, u32::min)
    }
}

impl StateGrowth {
    /// Parts that fall in each pass.
    pub(crate) const fn parts(&self) -> u32 {
        self.parts
    }

    /// Advances of each pass.
    pub(crate) const fn advances(&self) -> u32 {
        self.advances
    }

    /// Nanoseconds of each pass.
    pub(crate) const fn time(&self) -> i64 {
        self.now
    }
}
