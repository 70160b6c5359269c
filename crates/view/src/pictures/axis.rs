//! Round steps of scales, in whole numbers.

/// The least of 1, 2 or 5 times a power of ten with which a span has at most so many steps; 1 at
/// least.
pub(super) fn step(span: i64, most: i64) -> i64 {
    let least = (span.max(1) - 1) / most.max(1) + 1;
    let mut unit = 1_i64;
    while unit.saturating_mul(10) <= least {
        unit *= 10;
    }
    let round = [1, 2, 5, 10].map(|figure| unit.saturating_mul(figure));
    round.into_iter().find(|step| *step >= least).unwrap_or(i64::MAX)
}

/// The multiples of a step from one number to another.
pub(super) fn ticks(from: i64, to: i64, step: i64) -> impl Iterator<Item = i64> {
    let first = from.div_euclid(step) + i64::from(from.rem_euclid(step) != 0);
    (first..=to.div_euclid(step)).map(move |count| count * step)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_are_round_and_few() {
        for (span, most, expected) in [(0, 5, 1), (5, 5, 1), (6, 5, 2), (40, 6, 10), (1234, 8, 200)]
        {
            assert_eq!(step(span, most), expected);
        }
        assert!(step(i64::MAX, 5) >= i64::MAX / 5);
        assert_eq!(ticks(-7, 12, 5).collect::<Vec<_>>(), [-5, 0, 5, 10]);
    }
}
