//! What a pass of a loop goes by, to tell that the passes to come are like it.
//!
//! A pass that is read by the same values gives the same words. Values that grow by whole numbers
//! from pass to pass, such as a count of parts, may be added up and compared, no more; then the
//! comparisons alone say how many passes more go the same way. Everything else must be as it was.

use crate::action::Action;

/// Numbers from here on are no longer exact to one.
const EXACT: f64 = 9_007_199_254_740_992.0;

/// The values that one pass was read by, and what it asked of the lathe.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct Trail {
    bent: Vec<Option<f64>>,
    compared: Vec<(Option<f64>, Option<f64>)>,
    actions: Vec<Action>,
}

impl Trail {
    /// Keeps a value from which something else than a sum was made.
    pub(crate) fn bent(&mut self, value: Option<f64>) {
        self.bent.push(value);
    }

    /// Keeps both sides of a comparison.
    pub(crate) fn compared(&mut self, one: Option<f64>, other: Option<f64>) {
        self.compared.push((one, other));
    }

    /// Keeps what a block asked for.
    pub(crate) fn asked(&mut self, actions: &[Action]) {
        self.actions.extend_from_slice(actions);
    }

    pub(crate) fn clear(&mut self) {
        self.bent.clear();
        self.compared.clear();
        self.actions.clear();
    }

    /// How many passes behind this one have comparisons that come out as in it, seen from the pass
    /// before; none where the two passes are not alike.
    pub(crate) fn passes_alike(&self, before: &Trail) -> Option<u32> {
        let alike = self.bent == before.bent
            && self.actions == before.actions
            && self.compared.len() == before.compared.len();
        if !alike {
            return None;
        }
        let pairs = before.compared.iter().zip(&self.compared);
        let mut passes = pairs.map(|(then, now)| {
            let one = whole(then.0, now.0)?;
            let other = whole(then.1, now.1)?;
            let (step, far) = (one.0 - other.0, now.0.unwrap_or(0.0) - now.1.unwrap_or(0.0));
            Some(passes_before_crossing(far, step))
        });
        passes.try_fold(u32::MAX, |least, passes| Some(least.min(passes?)))
    }
}

/// How often a step may be added before a difference changes its sign or reaches zero.
fn passes_before_crossing(difference: f64, step: f64) -> u32 {
    if step == 0.0 {
        return u32::MAX;
    }
    if difference == 0.0 {
        return 0;
    }
    if (difference > 0.0) == (step > 0.0) {
        return u32::MAX;
    }
    // A cast saturates.
    ((difference / step).abs().ceil() - 1.0) as u32
}

/// A whole number that is exact, or a difference of two values that are the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Whole(f64);

impl Whole {
    pub(crate) const fn value(self) -> f64 {
        self.0
    }

    /// How often it may be added to a value before that has more digits than are kept.
    pub(crate) fn passes_within(self, value: f64, digits: Option<u32>) -> u32 {
        if self.0 == 0.0 {
            return u32::MAX;
        }
        let most = digits.map_or(EXACT, |digits| libm::exp10(f64::from(digits.min(15))));
        ((most - value.abs()) / self.0.abs()) as u32
    }
}

/// What must be added to a value to get another; none where that is not exact for all that follow.
pub(crate) fn whole(before: Option<f64>, after: Option<f64>) -> Option<Whole> {
    let (Some(before), Some(after)) = (before, after) else {
        return (before.is_none() && after.is_none()).then_some(Whole(0.0));
    };
    if before.to_bits() == after.to_bits() {
        return Some(Whole(0.0));
    }
    let exact = |value: f64| value.fract() == 0.0 && value.abs() < EXACT;
    (exact(before) && exact(after)).then_some(Whole(after - before))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_comparison_holds_until_its_sides_meet() {
        // 3 of 44 made, one more each pass: 40 more passes leave 43.
        assert_eq!(passes_before_crossing(3.0 - 44.0, 1.0), 40);
        assert_eq!(passes_before_crossing(-1.0, 1.0), 0);
        assert_eq!(passes_before_crossing(0.0, 1.0), 0);
        // Two at a time, from an odd distance.
        assert_eq!(passes_before_crossing(-5.0, 2.0), 2);
        // They part from each other.
        assert_eq!(passes_before_crossing(1.0, 1.0), u32::MAX);
        assert_eq!(passes_before_crossing(0.0, 0.0), u32::MAX);
    }

    #[test]
    fn only_what_stays_exact_may_grow() {
        assert_eq!(whole(Some(2.0), Some(3.0)), Some(Whole(1.0)));
        assert_eq!(whole(Some(0.1), Some(0.1)), Some(Whole(0.0)));
        assert_eq!(whole(Some(0.1), Some(0.2)), None);
        assert_eq!(whole(None, Some(1.0)), None);
        assert_eq!(whole(Some(0.0), Some(-0.0)), Some(Whole(-0.0)));
        assert_eq!(Whole(1.0).passes_within(9_999_990.0, Some(7)), 10);
    }

    #[test]
    fn passes_read_by_other_values_are_not_alike() {
        let trail = |bent: f64, count: f64| Trail {
            bent: vec![Some(bent)],
            compared: vec![(Some(count), Some(10.0))],
            actions: Vec::new(),
        };
        assert_eq!(trail(0.5, 2.0).passes_alike(&trail(0.5, 1.0)), Some(7));
        assert_eq!(trail(0.6, 2.0).passes_alike(&trail(0.5, 1.0)), None);
        assert_eq!(trail(0.5, 2.5).passes_alike(&trail(0.5, 1.5)), None);
    }
}
