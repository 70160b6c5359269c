//! How the control's state grows from one pass of a loop to the next.

use super::Interpreter;
use super::variables::Variables;
use crate::recurrence::{Whole, whole};

/// What one pass of a loop adds to a control that is otherwise as it was.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct ControlGrowth {
    /// Variables by their places, and what is added to them.
    variables: Vec<(usize, Whole)>,
    /// What each open call has done of its repeats.
    repeats: Vec<u32>,
}

impl Interpreter<'_> {
    /// What was added since `before`; none where something else is different.
    pub(crate) fn growth_since(&self, before: &Interpreter<'_>) -> Option<ControlGrowth> {
        let calls = self.calls.iter().zip(&before.calls);
        let repeats = calls.map(|(now, then)| then.repeats_left.checked_sub(now.repeats_left));
        let growth = ControlGrowth {
            variables: differences(&before.variables, &self.variables)?,
            repeats: repeats.collect::<Option<_>>()?,
        };
        let mut grown = before.clone();
        grown.grow(&growth, 1);
        grown.same_state(self).then_some(growth)
    }

    /// Adds what so many passes add.
    pub(crate) fn grow(&mut self, growth: &ControlGrowth, passes: u32) {
        let mut places = self.variables.all_mut().enumerate();
        for (place, step) in &growth.variables {
            if let Some((_, Some(value))) = places.find(|(here, _)| here == place) {
                *value += step.value() * f64::from(passes);
            }
        }
        for (call, repeats) in self.calls.iter_mut().zip(&growth.repeats) {
            call.repeats_left = call.repeats_left.saturating_sub(repeats.saturating_mul(passes));
        }
    }

    /// How many passes the open calls and the digits of the variables are good for.
    pub(crate) fn most_passes(&self, growth: &ControlGrowth) -> u32 {
        let calls = self.calls.iter().zip(&growth.repeats);
        let calls = calls.filter_map(|(call, step)| call.repeats_left.checked_div(*step));
        let digits = self.setup.control.terms.significant_digits;
        let values: Vec<&Option<f64>> = self.variables.all().collect();
        let variables = growth.variables.iter().map(|(place, step)| {
            let value = values.get(*place).and_then(|value| **value).unwrap_or(0.0);
            step.passes_within(value, digits)
        });
        calls.chain(variables).min().unwrap_or(u32::MAX)
    }
}

/// What must be added to variables to get others; none where that is not whole.
fn differences(before: &Variables, after: &Variables) -> Option<Vec<(usize, Whole)>> {
    let pairs = before.all().zip(after.all()).enumerate();
    let changed = pairs.filter(|(_, (before, after))| before != after);
    changed.map(|(place, (before, after))| Some((place, whole(*before, *after)?))).collect()
}
