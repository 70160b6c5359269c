//! What money is worth over years: investments, and the quantity from which one way beats another.
//!
//! Amounts are whole cents; a result is rounded once, at its end. Rates are shares a year: 0.08 is 8 %.

use crate::OutOfRange;
use model::Money;

/// Largest amount that a result may have, in cents: floats still tell every cent there.
const MOST_CENTS: f64 = 1e15;

/// Present worth of amounts that fall due at the end of each year; the first falls due now.
///
/// `Σ f_t/(1 + i)^t`, t from 0.
/// Valid: `i > −1`, amounts and result within ten million million.
/// Source: the definition of compound interest; textbooks of engineering economy.
/// Held to: `handbook/worth.toml`.
///
/// ```
/// # use calc::worth::present_worth;
/// # use model::Money;
/// let flows = [-1000, 600, 600].map(|whole| Money::from_cents(100 * whole));
/// assert_eq!(present_worth(&flows, 0.10).unwrap().to_string(), "41.32");
/// ```
///
/// # Errors
/// Figures outside of that.
pub fn present_worth(flows: &[Money], rate: f64) -> Result<Money, OutOfRange> {
    if !(rate > -1.0 && rate.is_finite()) {
        return Err(OutOfRange);
    }
    rounded(worth(flows, 1.0 / (1.0 + rate)))
}

/// Present worth in cents, by Horner's rule, with what an amount of one is worth a year before.
fn worth(flows: &[Money], a_year_before: f64) -> f64 {
    flows.iter().rev().fold(0.0, |later, flow| later * a_year_before + flow.cents() as f64)
}

fn rounded(cents: f64) -> Result<Money, OutOfRange> {
    // Not a number is no amount either.
    if cents.abs() <= MOST_CENTS {
        Ok(Money::from_cents(cents.round() as i64))
    } else {
        Err(OutOfRange)
    }
}

/// Share of a capital that must come back at the end of each year, interest with it.
///
/// `i·(1 + i)^n/((1 + i)^n − 1)`; `1/n` without interest.
/// Valid: `0 ≤ i ≤ 10`, 1 to 200 years.
/// Source: textbooks of engineering economy (capital recovery factor, A/P).
/// Held to: `handbook/worth.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn recovery(rate: f64, years: u32) -> Result<f64, OutOfRange> {
    if !((0.0..=10.0).contains(&rate) && (1..=200).contains(&years)) {
        return Err(OutOfRange);
    }
    // 1 − (1 + i)^−n by expm1 keeps its digits where the interest is small.
    let left = -libm::expm1(-f64::from(years) * libm::log1p(rate));
    Ok(if left > 0.0 { rate / left } else { 1.0 / f64::from(years) })
}

/// What a capital costs at the end of each year, when a part of it comes back as resale at the end.
///
/// `(C − S)·(A/P) + S·i`.
/// Valid: as [`recovery`].
/// Source: textbooks of engineering economy (capital recovery with salvage value).
/// Held to: `handbook/worth.toml`.
///
/// # Errors
/// Figures outside of that.
pub fn yearly_capital(
    capital: Money,
    resale: Money,
    rate: f64,
    years: u32,
) -> Result<Money, OutOfRange> {
    let (capital, resale) = (capital.cents() as f64, resale.cents() as f64);
    rounded((capital - resale) * recovery(rate, years)? + resale * rate)
}

/// Years until savings have paid a capital back, without interest; none where nothing is saved.
///
/// `C/s`.
/// Valid: any amounts; a capital of zero or less is back at once.
/// Source: textbooks (simple payback).
/// Held to: `handbook/worth.toml`.
pub fn payback(capital: Money, saved_a_year: Money) -> Option<f64> {
    if capital <= Money::ZERO {
        return Some(0.0);
    }
    (saved_a_year > Money::ZERO).then(|| capital.cents() as f64 / saved_a_year.cents() as f64)
}

/// Rate at which the present worth is zero; none where amounts change their sign never or more than
/// once (there may be several such rates), or where it lies beyond −99 % or 100,000 % a year.
///
/// The root of [`present_worth`], by halving.
/// Valid: one change of sign, by which there is one root (Descartes' rule of signs).
/// Source: textbooks of engineering economy (internal rate of return).
/// Held to: `handbook/worth.toml`.
pub fn rate_of_return(flows: &[Money]) -> Option<f64> {
    let signs: Vec<bool> =
        flows.iter().filter(|flow| **flow != Money::ZERO).map(|flow| *flow > Money::ZERO).collect();
    if signs.windows(2).filter(|pair| pair[0] != pair[1]).count() != 1 {
        return None;
    }
    let first_is_paid = !signs[0];
    let too_low = |rate: f64| (worth(flows, 1.0 / (1.0 + rate)) > 0.0) == first_is_paid;
    let (mut low, mut high) = (-0.99, 1000.0);
    if !too_low(low) || too_low(high) {
        return None;
    }
    // Halved until floats tell no more.
    for _ in 0..200 {
        let middle = f64::midpoint(low, high);
        if too_low(middle) { low = middle } else { high = middle }
    }
    Some(f64::midpoint(low, high))
}

/// What something costs: so much once, and so much for each.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Once, or once a year.
    pub fixed: Money,
    /// For each part, in the coin; parts of a cent count.
    pub each: f64,
}

/// Quantity from which the way with more fixed cost is the cheaper one; none where it never is. Zero
/// where it always is.
///
/// `(F2 − F1)/(v1 − v2)`.
/// Valid: finite figures.
/// Source: textbooks (break-even quantity of two processes).
/// Held to: `handbook/worth.toml`.
pub fn break_even(one: Line, other: Line) -> Option<f64> {
    let (less, more) = if one.fixed <= other.fixed { (one, other) } else { (other, one) };
    let fixed = (more.fixed - less.fixed).amount();
    let saved = less.each - more.each;
    if fixed == 0.0 && saved >= 0.0 {
        return Some(0.0);
    }
    (saved > 0.0 && (fixed / saved).is_finite()).then(|| fixed / saved)
}

/// Price of which the margin is this share.
///
/// `cost/(1 − m)`.
/// Valid: `0 ≤ m < 1`.
/// Source: the meaning of a margin on the price.
/// Held to: `handbook/worth.toml`.
///
/// # Errors
/// A share outside of that, or a price beyond all measure.
pub fn price_for_margin(cost: Money, margin: f64) -> Result<Money, OutOfRange> {
    if !(0.0..1.0).contains(&margin) {
        return Err(OutOfRange);
    }
    rounded(cost.cents() as f64 / (1.0 - margin))
}
