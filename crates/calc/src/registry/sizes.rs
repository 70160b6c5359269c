//! Calculations of gauged sizes. Several figures stand under one key, parted by blanks.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::sizes::capability::{Capability, capability};
use crate::sizes::chart::Chart;
use crate::sizes::range::Constants;
use crate::sizes::summary::{self, Summary};
use crate::sizes::trend::{Line, Trend};
use crate::sizes::{Band, Reading, attribute, outliers};
use crate::spread::Spread;
use model::Length;
use model::quantity::Probability;

type Result<T> = std::result::Result<T, CaseError>;

/// Summaries, charts, lines, capability and go/no-go gauges.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "sizes.mean", unit: "mm", run: |g| Ok(sizes(g)?.mean / 1e6) },
    Calculation { name: "sizes.deviation", unit: "mm", run: |g| Ok(sizes(g)?.deviation / 1e6) },
    Calculation { name: "sizes.hanging_together", unit: "", run: hanging_together },
    Calculation { name: "sizes.mean_least", unit: "mm", run: |g| Ok(mean_within(g)?.low) },
    Calculation { name: "sizes.mean_most", unit: "mm", run: |g| Ok(mean_within(g)?.high) },
    Calculation { name: "sizes.deviation_least", unit: "mm", run: |g| Ok(spread_within(g)?.low) },
    Calculation { name: "sizes.deviation_most", unit: "mm", run: |g| Ok(spread_within(g)?.high) },
    Calculation { name: "sizes.d2", unit: "", run: |g| Ok(constants(g)?.d2) },
    Calculation { name: "sizes.d3", unit: "", run: |g| Ok(constants(g)?.d3) },
    Calculation { name: "sizes.c4", unit: "", run: |g| Ok(constants(g)?.c4) },
    Calculation { name: "sizes.a2", unit: "", run: |g| Ok(constants(g)?.a2()) },
    Calculation { name: "sizes.e2", unit: "", run: |g| Ok(constants(g)?.e2()) },
    Calculation { name: "sizes.range_low", unit: "", run: |g| Ok(constants(g)?.range_low()) },
    Calculation { name: "sizes.range_high", unit: "", run: |g| Ok(constants(g)?.range_high()) },
    Calculation {
        name: "sizes.chart_center",
        unit: "mm",
        run: |g| Ok(chart(g)?.sizes.center.mm()),
    },
    Calculation { name: "sizes.chart_low", unit: "mm", run: |g| Ok(chart(g)?.sizes.low.mm()) },
    Calculation { name: "sizes.chart_high", unit: "mm", run: |g| Ok(chart(g)?.sizes.high.mm()) },
    Calculation { name: "sizes.chart_sigma", unit: "mm", run: |g| Ok(chart(g)?.sigma.mm()) },
    Calculation {
        name: "sizes.range_center",
        unit: "mm",
        run: |g| Ok(chart(g)?.ranges.center.mm()),
    },
    Calculation { name: "sizes.range_limit", unit: "mm", run: |g| Ok(chart(g)?.ranges.high.mm()) },
    Calculation { name: "sizes.slope", unit: "", run: |g| Ok(line(g)?.slope) },
    Calculation { name: "sizes.slope_error", unit: "", run: |g| Ok(line(g)?.slope_error) },
    Calculation { name: "sizes.intercept", unit: "", run: |g| Ok(line(g)?.intercept) },
    Calculation { name: "sizes.intercept_error", unit: "", run: |g| Ok(line(g)?.intercept_error) },
    Calculation { name: "sizes.line_deviation", unit: "", run: |g| Ok(line(g)?.deviation) },
    Calculation { name: "sizes.r_squared", unit: "", run: |g| Ok(line(g)?.r_squared) },
    Calculation { name: "sizes.size_least", unit: "mm", run: |g| Ok(size_of(g)?.low.mm()) },
    Calculation { name: "sizes.size_most", unit: "mm", run: |g| Ok(size_of(g)?.high.mm()) },
    Calculation { name: "sizes.chance_outside", unit: "", run: chance_outside },
    Calculation { name: "sizes.outliers", unit: "", run: outliers_of },
    Calculation { name: "sizes.cp", unit: "", run: |g| Ok(cp(g)?.nominal) },
    Calculation { name: "sizes.cp_least", unit: "", run: |g| Ok(cp(g)?.low) },
    Calculation { name: "sizes.cp_most", unit: "", run: |g| Ok(cp(g)?.high) },
    Calculation { name: "sizes.cpk", unit: "", run: |g| Ok(fit(g)?.cpk.nominal) },
    Calculation { name: "sizes.cpk_least", unit: "", run: |g| Ok(fit(g)?.cpk.low) },
    Calculation { name: "sizes.cpk_most", unit: "", run: |g| Ok(fit(g)?.cpk.high) },
    Calculation { name: "sizes.outside", unit: "", run: |g| Ok(fit(g)?.outside.ratio()) },
    Calculation { name: "sizes.bad_share_least", unit: "", run: |g| Ok(bad_share(g)?.low.ratio()) },
    Calculation { name: "sizes.bad_share_most", unit: "", run: |g| Ok(bad_share(g)?.high.ratio()) },
    Calculation { name: "sizes.bad_at_most", unit: "", run: bad_at_most },
    Calculation { name: "sizes.gauged_for", unit: "", run: gauged_for },
    Calculation { name: "sizes.parts_within", unit: "", run: parts_within },
    Calculation { name: "sizes.next_least", unit: "mm", run: |g| Ok(next_within(g)?.low) },
    Calculation { name: "sizes.next_most", unit: "mm", run: |g| Ok(next_within(g)?.high) },
    Calculation { name: "sizes.good_in_a_row", unit: "", run: good_in_a_row },
];

pub(super) fn confidence(given: &Figures<'_>) -> Result<Probability> {
    given.number("confidence").map(Probability::from_ratio)
}

fn sizes(given: &Figures<'_>) -> Result<Summary> {
    Ok(summary::exact(&given.lengths("sizes")?)?)
}

fn hanging_together(given: &Figures<'_>) -> Result<f64> {
    let numbers: Vec<f64> = given.lengths("sizes")?.iter().map(|it| it.mm()).collect();
    summary::hanging_together(&numbers)?.ok_or(CaseError::OutOfRange)
}

fn mean_within(given: &Figures<'_>) -> Result<Spread<f64>> {
    Ok(sizes(given)?.mean_within(confidence(given)?)?.map(|nm| nm / 1e6))
}

fn spread_within(given: &Figures<'_>) -> Result<Spread<f64>> {
    Ok(sizes(given)?.deviation_within(confidence(given)?)?.map(|nm| nm / 1e6))
}

fn constants(given: &Figures<'_>) -> Result<Constants> {
    Ok(Constants::of(given.count("group")?)?)
}

fn readings(given: &Figures<'_>) -> Result<Vec<Reading>> {
    let each = given.lengths("sizes")?.into_iter().zip(1..);
    Ok(each.map(|(size, part)| Reading { part, size }).collect())
}

fn chart(given: &Figures<'_>) -> Result<Chart> {
    let readings = readings(given)?;
    Ok(match given.count_or("group", 1)? {
        1 => Chart::individuals(&readings)?,
        group => Chart::means(&readings, group)?,
    })
}

fn line(given: &Figures<'_>) -> Result<Line> {
    let (x, y) = (given.numbers("x")?, given.numbers("y")?);
    if x.len() != y.len() {
        return Err(CaseError::Key("y".to_owned()));
    }
    Ok(Line::through(&x.into_iter().zip(y).collect::<Vec<_>>())?)
}

fn trend(given: &Figures<'_>) -> Result<Trend> {
    Ok(Trend::of(&readings(given)?)?)
}

fn size_of(given: &Figures<'_>) -> Result<Spread<Length>> {
    Ok(trend(given)?.size_of(given.count("part")?, confidence(given)?)?)
}

fn band(given: &Figures<'_>) -> Result<Band> {
    Ok(Band::new(given.optional_length("least")?, given.optional_length("most")?)?)
}

fn chance_outside(given: &Figures<'_>) -> Result<f64> {
    Ok(trend(given)?.chance_outside(given.count("part")?, band(given)?).ratio())
}

fn outliers_of(given: &Figures<'_>) -> Result<f64> {
    let apart = outliers::set_apart(&readings(given)?, given.length_or_zero("gauge_step")?)?;
    Ok(apart.outliers.len() as f64)
}

fn fit(given: &Figures<'_>) -> Result<Capability> {
    let seen = (given.length("mean")?, given.length("deviation")?);
    Ok(capability(seen, given.count("count")?, band(given)?, confidence(given)?)?)
}

fn cp(given: &Figures<'_>) -> Result<Spread<f64>> {
    fit(given)?.cp.ok_or(CaseError::OutOfRange)
}

fn bad_share(given: &Figures<'_>) -> Result<Spread<Probability>> {
    let (bad, gauged) = (given.count("bad")?, given.count("gauged")?);
    Ok(attribute::bad_share(bad, gauged, confidence(given)?)?)
}

fn next_within(given: &Figures<'_>) -> Result<Spread<f64>> {
    Ok(sizes(given)?.next_within(confidence(given)?)?.map(|nm| nm / 1e6))
}

fn bad_at_most(given: &Figures<'_>) -> Result<f64> {
    let (bad, gauged) = (given.count("bad")?, given.count("gauged")?);
    Ok(attribute::bad_at_most(bad, gauged, confidence(given)?)?.ratio())
}

fn gauged_for(given: &Figures<'_>) -> Result<f64> {
    let share = Probability::from_ratio(given.number("bad_share")?);
    Ok(f64::from(attribute::gauged_for(given.count("bad")?, share, confidence(given)?)?))
}

fn parts_within(given: &Figures<'_>) -> Result<f64> {
    let [share, risk] =
        ["bad_share", "risk"].map(|key| given.number(key).map(Probability::from_ratio));
    Ok(f64::from(attribute::parts_within(share?, risk?)?))
}

fn good_in_a_row(given: &Figures<'_>) -> Result<f64> {
    let share = Probability::from_ratio(given.number("bad_share")?);
    Ok(f64::from(attribute::good_in_a_row(share, confidence(given)?)?))
}
