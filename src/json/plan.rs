//! The JSON of a plan. The names are a promise to scripts: more may come, none goes.

use super::prove::{finding, mm, proof, seconds, unproven};
use super::{choice, mechanics};
use model::files::job::Job;
use plan::Answer;
use plan::alternatives::Alternative;
use plan::bar::BarPlan;
use plan::checks::CheckLine;
use plan::cuts::Operation;
use plan::learned::{Figure, Told};
use plan::walk_away::Kind;
use serde_json::{Value, json};

/// A plan: lengths in mm, times in s, null where something is not known. `path` is where the main
/// program was written, `sheet` where the set-up sheet; `advances` are the parts to an advance compared; `cost` is
/// what a part costs, where a shop was named.
pub fn answer(
    job: &Job,
    answer: &Answer,
    advances: &[Alternative],
    cost: Option<&Value>,
    (path, sheet): (Option<&str>, Option<&str>),
) -> Value {
    json!({
        "job": job.file.name,
        "verdict": answer.verdict.word(),
        "bar": bar(&answer.bar),
        "time": {
            "cycle_s": seconds(answer.times.cycle.s()),
            "advance_s": seconds(answer.times.advance.s()),
            "bar_s": seconds(answer.times.bar.s()),
            "order_s": seconds(answer.times.order.s()),
        },
        "advances": advances.iter().map(advance).collect::<Vec<_>>(),
        "walk_away": walk_away(answer),
        "checks": answer.checks.iter().map(check).collect::<Vec<_>>(),
        "cuts": answer.process.operations.iter().map(operation).collect::<Vec<_>>(),
        "mechanics": answer.mechanics.operations.iter().map(mechanics::operation).collect::<Vec<_>>(),
        "choice": choice::choice(&answer.choice),
        "data": answer.data.iter().map(choice::told).collect::<Vec<_>>(),
        "edges": answer.edges.iter().map(mechanics::edge).collect::<Vec<_>>(),
        "pull": mechanics::pull(&answer.pull),
        "learned": learned(answer),
        "before_leaving": answer.reminders,
        "cost": cost,
        "program": { "path": path },
        "sheet": { "path": sheet },
        "findings": answer.findings.iter().map(finding).collect::<Vec<_>>(),
        "unproven": answer.unproven.iter().map(unproven).collect::<Vec<_>>(),
        "proof": answer.proof.as_ref().map(|one| proof(one, None)),
    })
}

fn bar(bar: &BarPlan) -> Value {
    let division = &bar.division;
    json!({
        "length_mm": mm(bar.blank),
        "length_tolerance_mm": mm(bar.tolerance),
        "finished_mm": mm(division.finished),
        "part_off_mm": mm(division.part_off),
        "face_stock_mm": mm(division.face_stock),
        "first_face_mm": mm(division.first_face),
        "jaw_clearance_mm": mm(division.jaw_clearance),
        "least_grip_mm": mm(division.least_grip),
        "parts_per_advance": division.parts_per_advance,
        "pitch_mm": mm(division.pitch()),
        "advance_mm": mm(division.advance()),
        "stick_out_mm": mm(division.stick_out()),
        "parts_per_bar": bar.parts_per_bar,
        "remnant_mm": mm(bar.remnant),
        "longest_blank_mm": mm(bar.longest_blank),
        "blank_mm": mm(bar.blank),
        "blanks": bar.blanks,
        "parts_in_last": bar.parts_in_last,
        "shortest_last_mm": mm(bar.shortest_last),
        "bars": bar.stock.map_or(bar.blanks, |stock| stock.bars),
        "stock_length_mm": bar.stock.map(|stock| mm(stock.length)),
        "blanks_per_bar": bar.stock.map(|stock| stock.blanks_each),
        "mass_kg": bar.mass.kg(),
        "chance_of_loss": bar.chance_of_loss.ratio(),
        "least_face_stock_mm": bar.least_face_stock.map(mm),
    })
}

fn advance(one: &Alternative) -> Value {
    json!({
        "parts": one.parts,
        "part_s": seconds(one.part.s()),
        "parts_per_bar": one.parts_per_bar,
        "remnant_mm": mm(one.remnant),
        "stick_out_mm": mm(one.stick_out),
        "verdict": one.verdict.word(),
        "worst": one.worst.map(|worst| worst.id),
        "worst_used": one.worst.map(|worst| worst.used),
        "new": one.new,
    })
}

fn walk_away(answer: &Answer) -> Value {
    let first = answer.walk_away.first();
    let limits: Vec<Value> = answer
        .walk_away
        .limits
        .iter()
        .map(|limit| {
            json!({
                "kind": limit.kind.word(),
                "limit": limit.name,
                "station": match limit.kind {
                    Kind::Edge(station) | Kind::Size(station) => Some(station),
                    _ => None,
                },
                "s": seconds(limit.at.s()),
                "parts": limit.parts,
            })
        })
        .collect();
    json!({
        "s": first.map(|limit| seconds(limit.at.s())),
        "parts": first.map(|limit| limit.parts),
        "first_limit": first.map(|limit| limit.name.as_str()),
        "limits": limits,
        "back": answer.walk_away.back.as_ref().map(choice::back),
    })
}

/// What was learned from the log and switched on, with what became of it.
pub fn learned(answer: &Answer) -> Value {
    answer.learned.iter().map(told).collect()
}

fn told(told: &Told) -> Value {
    let range = |it: calc::spread::Spread<f64>| json!({ "value": it.nominal, "low": it.low, "high": it.high });
    json!({
        "figure": told.figure.word(),
        "station": match told.figure {
            Figure::Edge(station) => Some(station),
            _ => None,
        },
        "unit": told.figure.unit(),
        "value": told.value.nominal,
        "low": told.value.low,
        "high": told.value.high,
        "deviation": told.deviation.map(range),
        "count": told.count,
        "early": told.early,
        "on": told.on,
        "used": told.not_used.is_none(),
        "why_not": told.not_used,
        "words": told.words,
    })
}

fn check(check: &CheckLine) -> Value {
    json!({
        "id": check.id,
        "level": check.level.map_or("clear", model::Level::word),
        "value": check.value,
        "low": check.low,
        "high": check.high,
        "limit": check.limit,
        "limit_is": if check.at_least { "least" } else { "most" },
        "unit": check.unit,
        "margin": check.margin,
        "source": check.source,
        "about": check.about,
        "message": check.level.map(|_| check.message.as_str()),
    })
}

fn operation(operation: &Operation) -> Value {
    let moves: Vec<Value> = operation
        .moves
        .iter()
        .map(|one| {
            json!({
                "x_mm": mm(one.to.x),
                "z_mm": mm(one.to.z),
                "feed_mm_per_rev": one.feed().map(model::quantity::FeedPerRev::mm),
            })
        })
        .collect();
    json!({ "name": operation.name, "station": operation.station, "moves": moves })
}
