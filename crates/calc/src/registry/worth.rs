//! Calculations of what money is worth over years. Money has no unit here: any coin.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::OutOfRange;
use crate::worth::{self, Line};
use model::Money;

type Result<T> = std::result::Result<T, CaseError>;

/// Present worth, capital by the year, payback, rate of return, break-even, margin.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "worth.present", unit: "", run: present },
    Calculation { name: "worth.recovery", unit: "", run: recovery },
    Calculation { name: "worth.yearly_capital", unit: "", run: yearly_capital },
    Calculation { name: "worth.payback", unit: "years", run: payback },
    Calculation { name: "worth.rate_of_return", unit: "", run: rate_of_return },
    Calculation { name: "worth.break_even", unit: "", run: break_even },
    Calculation { name: "worth.price_for_margin", unit: "", run: price_for_margin },
];

/// Largest amount of a case.
const MOST: f64 = 1e12;

fn coin(amount: f64) -> Result<Money> {
    if amount.abs() <= MOST { Ok(Money::nearest(amount)) } else { Err(CaseError::OutOfRange) }
}

fn money(given: &Figures<'_>, key: &str) -> Result<Money> {
    coin(given.number(key)?)
}

fn years(given: &Figures<'_>) -> Result<u32> {
    given.count("years")
}

/// Amounts of each year, as `"-40000 5000 8000"`; the first falls due now.
fn flows(given: &Figures<'_>) -> Result<Vec<Money>> {
    let read = |word: &str| coin(word.parse().map_err(|_| CaseError::Key("flows".to_owned()))?);
    given.text("flows")?.split_whitespace().map(read).collect()
}

fn present(given: &Figures<'_>) -> Result<f64> {
    Ok(worth::present_worth(&flows(given)?, given.number("rate")?)?.amount())
}

fn recovery(given: &Figures<'_>) -> Result<f64> {
    Ok(worth::recovery(given.number("rate")?, years(given)?)?)
}

fn yearly_capital(given: &Figures<'_>) -> Result<f64> {
    let (capital, resale) = (money(given, "capital")?, coin(given.number_or("resale", 0.0)?)?);
    let yearly = worth::yearly_capital(capital, resale, given.number("rate")?, years(given)?)?;
    Ok(yearly.amount())
}

fn payback(given: &Figures<'_>) -> Result<f64> {
    let years = worth::payback(money(given, "capital")?, money(given, "saved_a_year")?);
    Ok(years.ok_or(OutOfRange)?)
}

fn rate_of_return(given: &Figures<'_>) -> Result<f64> {
    Ok(worth::rate_of_return(&flows(given)?).ok_or(OutOfRange)?)
}

fn break_even(given: &Figures<'_>) -> Result<f64> {
    let one = Line { fixed: money(given, "fixed")?, each: given.number("each")? };
    let other = Line { fixed: money(given, "other_fixed")?, each: given.number("other_each")? };
    Ok(worth::break_even(one, other).ok_or(OutOfRange)?)
}

fn price_for_margin(given: &Figures<'_>) -> Result<f64> {
    Ok(worth::price_for_margin(money(given, "cost")?, given.number("margin")?)?.amount())
}
