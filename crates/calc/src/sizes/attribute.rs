//! Go and no-go gauges: what so many parts that went, and so many that did not, say of the rest.

use crate::figure::BadFigure;
use crate::spread::Spread;
use model::quantity::Probability;
use statrs::function::beta::beta_reg;

use super::summary::tails;

/// Between which ends the share of bad parts lies, with this confidence, where of so many gauged so
/// many were bad.
///
/// The exact limits of the binomial distribution (Clopper and Pearson): with n gauged and k bad, the
/// ends are the shares at which k or more, and k or fewer, have half of the remaining chance. Where
/// none was bad the low end is 0 and the high end that of the one side, `1 − tail^(1/n)`.
/// Valid: parts gauged by chance, not picked; at least one, `k ≤ n`.
/// Source: Clopper and Pearson 1934, from memory.
/// Held to: `handbook/sizes.toml` (scipy and statsmodels).
///
/// # Errors
/// None gauged, more bad than gauged, a confidence that is none.
pub fn bad_share(
    bad: u32,
    gauged: u32,
    confidence: Probability,
) -> Result<Spread<Probability>, BadFigure> {
    if gauged == 0 || bad > gauged {
        return Err(BadFigure { what: "count of bad parts", must: "at most the count gauged" });
    }
    let tail = tails(confidence)?;
    let (k, n) = (f64::from(bad), f64::from(gauged));
    // P(K ≥ k | p) = I_p(k, n − k + 1), which grows with p.
    let low = if bad == 0 { 0.0 } else { quantile(k, n - k + 1.0, tail) };
    let high = if bad == gauged { 1.0 } else { 1.0 - quantile(n - k, k + 1.0, tail) };
    Ok(Spread { low, nominal: k / n, high }.map(Probability::from_ratio))
}

/// How many parts in a row must go, so that at most this share is bad, with this confidence.
///
/// The least n with `(1 − share)ⁿ ≤ 1 − confidence`.
/// Valid: as [`bad_share`]; share and confidence between 0 and 1. At most `u32::MAX`.
/// Source: the binomial distribution; for small shares at 95 % about 3 over the share.
/// Held to: `handbook/sizes.toml`.
///
/// # Errors
/// A share or confidence outside of that.
pub fn good_in_a_row(share: Probability, confidence: Probability) -> Result<u32, BadFigure> {
    let (share, rest) = (share.ratio(), 2.0 * tails(confidence)?);
    if !(share > 0.0 && share < 1.0) {
        return Err(BadFigure { what: "share of bad parts", must: "between 0 and 1" });
    }
    let needed = libm::log(rest) / libm::log1p(-share);
    // A hair is given for the rounding of the logarithms.
    Ok((needed - 1e-9).ceil().max(1.0) as u32)
}

/// The share of bad parts that is not exceeded, with this confidence of one side.
///
/// The upper end of [`bad_share`], with all of the remaining chance on its side.
/// Valid: as [`bad_share`].
/// Source: Clopper and Pearson 1934, from memory.
/// Held to: `handbook/sizes.toml` (scipy).
///
/// # Errors
/// As [`bad_share`].
pub fn bad_at_most(
    bad: u32,
    gauged: u32,
    confidence: Probability,
) -> Result<Probability, BadFigure> {
    if gauged == 0 || bad > gauged {
        return Err(BadFigure { what: "count of bad parts", must: "at most the count gauged" });
    }
    let rest = 2.0 * tails(confidence)?;
    let (k, n) = (f64::from(bad), f64::from(gauged));
    let high = if bad == gauged { 1.0 } else { 1.0 - quantile(n - k, k + 1.0, rest) };
    Ok(Probability::from_ratio(high))
}

/// How many parts must be gauged, so many of them bad, before it can be said that at most this share is bad.
///
/// The least n with `P(K ≤ bad) ≤ 1 − confidence`; without bad ones [`good_in_a_row`].
/// Valid: as [`good_in_a_row`].
/// Source: the binomial distribution.
/// Held to: `handbook/sizes.toml` (scipy).
///
/// # Errors
/// As [`good_in_a_row`].
pub fn gauged_for(bad: u32, share: Probability, confidence: Probability) -> Result<u32, BadFigure> {
    let none = good_in_a_row(share, confidence)?;
    if bad == 0 {
        return Ok(none);
    }
    let rest = 2.0 * tails(confidence)?;
    // P(K ≤ k | n) = I_(1−p)(n − k, k + 1), which falls with n.
    let left = |n: u32| beta_reg(f64::from(n - bad), f64::from(bad) + 1.0, 1.0 - share.ratio());
    let (mut low, mut high) = (bad, none.max(bad + 1));
    while left(high) > rest {
        if high == u32::MAX {
            return Ok(u32::MAX);
        }
        (low, high) = (high, high.saturating_mul(2));
    }
    while high - low > 1 {
        let middle = low + (high - low) / 2;
        if left(middle) > rest {
            low = middle;
        } else {
            high = middle;
        }
    }
    Ok(high)
}

/// How many parts may be made, each bad with this chance, so that any of them is bad with at most this risk.
///
/// The most m with `1 − (1 − share)^m ≤ risk`. Without any share it has no end: `u32::MAX`.
/// Valid: a risk between 0 and 1; parts that are bad independently of each other: not a broken edge.
/// Source: the binomial distribution.
/// Held to: `handbook/sizes.toml`.
///
/// # Errors
/// Another risk.
pub fn parts_within(share: Probability, risk: Probability) -> Result<u32, BadFigure> {
    let (share, risk) = (share.ratio(), risk.ratio());
    if !(risk > 0.0 && risk < 1.0) {
        return Err(BadFigure { what: "risk", must: "between 0 and 1" });
    }
    if share >= 1.0 {
        return Ok(0);
    }
    let parts = libm::log1p(-risk) / libm::log1p(-share.max(0.0));
    // A hair is given for the rounding of the logarithms.
    Ok((parts + 1e-9).floor() as u32)
}

/// Where the beta distribution of `a` and `b` has this much below it; halved until floats end.
fn quantile(a: f64, b: f64, below: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if beta_reg(a, b, middle) < below {
            low = middle;
        } else {
            high = middle;
        }
        if high - low <= f64::EPSILON * high {
            break;
        }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// P(K ≤ bad) by adding up the terms.
    fn at_most(bad: u32, gauged: u32, share: f64) -> f64 {
        let mut term = libm::pow(1.0 - share, f64::from(gauged));
        let mut sum = term;
        for k in 0..bad {
            term *= f64::from(gauged - k) / f64::from(k + 1) * share / (1.0 - share);
            sum += term;
        }
        sum
    }

    #[test]
    fn the_ends_leave_half_of_the_chance_each() {
        let sure = Probability::from_ratio(0.95);
        for (bad, gauged) in [(0, 1), (0, 60), (1, 30), (3, 125), (17, 40), (39, 40), (40, 40)] {
            let share = bad_share(bad, gauged, sure).unwrap().map(Probability::ratio);
            assert!(share.low <= share.nominal && share.nominal <= share.high);
            if bad > 0 {
                let below = 1.0 - at_most(bad - 1, gauged, share.low);
                assert!((below - 0.025).abs() < 1e-9, "{bad} of {gauged}: {below}");
            }
            if bad < gauged {
                let above = at_most(bad, gauged, share.high);
                assert!((above - 0.025).abs() < 1e-9, "{bad} of {gauged}: {above}");
            }
        }
    }

    #[test]
    fn one_part_fewer_in_a_row_would_not_do() {
        for (share, sure) in [(0.01, 0.95), (0.05, 0.95), (0.5, 0.5), (0.001, 0.9973)] {
            let [share, sure] = [share, sure].map(Probability::from_ratio);
            let needed = good_in_a_row(share, sure).unwrap();
            let left = |parts: u32| libm::pow(1.0 - share.ratio(), f64::from(parts));
            assert!(left(needed) <= (1.0 - sure.ratio()) * (1.0 + 1e-6));
            assert!(needed == 1 || left(needed - 1) > 1.0 - sure.ratio());
        }
        assert!(bad_share(2, 1, Probability::from_ratio(0.9)).is_err());
        assert!(good_in_a_row(Probability::from_ratio(0.0), Probability::from_ratio(0.9)).is_err());
    }
}
