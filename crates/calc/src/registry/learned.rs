//! Calculations of what records teach. Several figures stand under one key, parted by blanks.

use super::figures::Figures;
use super::sizes::confidence;
use super::{Calculation, CaseError};
use crate::learned::edge::{EdgeLife, End, Use};
use crate::learned::estimate::{self, Estimate};
use crate::learned::gripper::Repeatability;
use model::quantity::Seconds;

type Result<T> = std::result::Result<T, CaseError>;

/// Means of times, the gripper's pulls, the life of edges.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "learned.load", unit: "s", run: |g| Ok(load(g)?.value.nominal.s()) },
    Calculation { name: "learned.load_least", unit: "s", run: |g| Ok(load(g)?.value.low.s()) },
    Calculation { name: "learned.load_most", unit: "s", run: |g| Ok(load(g)?.value.high.s()) },
    Calculation { name: "learned.cycle", unit: "", run: |g| Ok(cycle(g)?.value.nominal) },
    Calculation { name: "learned.cycle_least", unit: "", run: |g| Ok(cycle(g)?.value.low) },
    Calculation { name: "learned.cycle_most", unit: "", run: |g| Ok(cycle(g)?.value.high) },
    Calculation { name: "learned.bias", unit: "mm", run: |g| Ok(pulls(g)?.bias.nominal.mm()) },
    Calculation { name: "learned.bias_most", unit: "mm", run: |g| Ok(pulls(g)?.bias.high.mm()) },
    Calculation { name: "learned.pull", unit: "mm", run: |g| Ok(pulls(g)?.deviation.nominal.mm()) },
    Calculation {
        name: "learned.pull_most",
        unit: "mm",
        run: |g| Ok(pulls(g)?.deviation.high.mm()),
    },
    Calculation { name: "learned.edge_shape", unit: "", run: |g| Ok(edges(g)?.shape) },
    Calculation { name: "learned.edge_half", unit: "s", run: |g| Ok(edges(g)?.half.nominal.s()) },
    Calculation { name: "learned.edge_half_least", unit: "s", run: |g| Ok(edges(g)?.half.low.s()) },
    Calculation { name: "learned.edge_half_most", unit: "s", run: |g| Ok(edges(g)?.half.high.s()) },
    Calculation { name: "learned.edge_least", unit: "s", run: |g| Ok(edges(g)?.life.low.s()) },
];

fn seconds(given: &Figures<'_>, key: &str) -> Result<Vec<Seconds>> {
    Ok(given.numbers(&format!("{key}_s"))?.into_iter().map(Seconds::from_s).collect())
}

fn load(given: &Figures<'_>) -> Result<Estimate<Seconds>> {
    Ok(estimate::load_time(&seconds(given, "loads")?, confidence(given)?)?)
}

fn cycle(given: &Figures<'_>) -> Result<Estimate<f64>> {
    let planned = given.seconds("planned")?;
    let cycles: Vec<_> = seconds(given, "measured")?.into_iter().map(|it| (it, planned)).collect();
    Ok(estimate::cycle_factor(&cycles, confidence(given)?)?)
}

fn pulls(given: &Figures<'_>) -> Result<Repeatability> {
    Ok(Repeatability::of(&given.lengths("shortfalls")?, confidence(given)?)?)
}

fn edges(given: &Figures<'_>) -> Result<EdgeLife> {
    let uses = |key, end| -> Result<Vec<Use>> {
        Ok(seconds(given, key)?.into_iter().map(|cut| Use { cut, end }).collect())
    };
    let mut all = uses("worn", End::Worn)?;
    all.extend(uses("early", End::Early)?);
    Ok(EdgeLife::of(&all, confidence(given)?)?)
}
