//! Calculations of lathes that wait for people.

use super::figures::Figures;
use super::{Calculation, CaseError};
use crate::queue::{self, FiniteSource};

type Result<T> = std::result::Result<T, CaseError>;

/// Machines in a finite-source queue, and how long they wait.
pub(super) const ROWS: &[Calculation] = &[
    Calculation { name: "queue.none_stands", unit: "", run: |g| Ok(source(g)?.chances()[0]) },
    Calculation { name: "queue.chance", unit: "", run: chance },
    Calculation { name: "queue.standing", unit: "", run: |g| Ok(source(g)?.standing()) },
    Calculation { name: "queue.waiting", unit: "", run: |g| Ok(source(g)?.waiting()) },
    Calculation { name: "queue.busy", unit: "", run: |g| Ok(source(g)?.busy()) },
    Calculation { name: "queue.running_share", unit: "", run: |g| Ok(source(g)?.running_share()) },
    Calculation { name: "queue.must_wait", unit: "", run: |g| Ok(source(g)?.must_wait()) },
    Calculation { name: "queue.not_waiting", unit: "", run: not_waiting },
    Calculation { name: "queue.wait", unit: "s", run: wait },
    Calculation {
        name: "queue.stand",
        unit: "s",
        run: |g| Ok(wait(g)? + g.seconds("service")?.s()),
    },
    Calculation { name: "queue.running_even_service", unit: "", run: even },
];

/// The pool: machines, people, and either both mean times, or their share as tables have it (service over service
/// and running), or their ratio.
fn source(given: &Figures<'_>) -> Result<FiniteSource> {
    let (machines, people) = (given.count("machines")?, given.count_or("people", 1)?);
    Ok(FiniteSource::new(machines, people, ratio(given)?)?)
}

fn ratio(given: &Figures<'_>) -> Result<f64> {
    if let Ok(share) = given.number("service_share") {
        return Ok(share / (1.0 - share));
    }
    match given.number("ratio") {
        Ok(ratio) => Ok(ratio),
        Err(_) => Ok(given.seconds("service")?.s() / given.seconds("run")?.s()),
    }
}

fn chance(given: &Figures<'_>) -> Result<f64> {
    let standing = given.count("standing")?;
    source(given)?.chances().get(standing as usize).copied().ok_or(CaseError::OutOfRange)
}

/// The share of machines that do not wait: they run or are attended.
fn not_waiting(given: &Figures<'_>) -> Result<f64> {
    let source = source(given)?;
    Ok(1.0 - source.waiting() / f64::from(source.machines))
}

fn wait(given: &Figures<'_>) -> Result<f64> {
    Ok(source(given)?.wait() * given.seconds("service")?.s())
}

fn even(given: &Figures<'_>) -> Result<f64> {
    Ok(queue::running_with_even_service(given.count("machines")?, ratio(given)?)?)
}
