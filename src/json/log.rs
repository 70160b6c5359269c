//! The JSON of the log's answers: lengths in mm, times in s, points in time as RFC 3339 in UTC.

mod lessons;
mod reviewed;

pub(crate) use lessons::lessons;
pub(crate) use reviewed::reviewed;

use super::prove::{entry, mm};
use cost::spent::{Compared, Spent};
use model::files::keys::Choice as _;
use model::record::event::{Measured, Reading};
use model::record::{
    BarNow, BarRun, Corrections, Due, LatheNow, Name, Racked, Reason, Recorded, Runs, Stamp, State,
    Tally, visits,
};
use nc::program::Library;
use prove::reentry::Entry;
use runlog::wire::{Line, detail, stamp_text};
use runlog::{Kept, Traced};
use serde_json::{Map, Value, json};

fn text(name: Option<&Name>) -> Option<&str> {
    name.map(Name::text)
}

fn time(stamp: Stamp) -> String {
    stamp_text(stamp)
}

/// What was confirmed.
pub fn kept(kept: &[Kept]) -> Value {
    kept.iter()
        .map(|kept| {
            json!({
                "id": kept.recorded.event.id.text(),
                "place": kept.recorded.order.place,
                "time": time(kept.recorded.order.time),
                "known": kept.known,
            })
        })
        .collect()
}

/// What stands on a lathe.
pub fn lathe(name: &Name, now: &LatheNow, state: &State, at: Stamp) -> Value {
    let order = now.job.as_ref().and_then(|job| state.order(job));
    let (runs, since, why, block) = match &now.runs {
        Runs::NotKnown => (None, None, None, None),
        Runs::Since(since) => (Some(true), Some(*since), None, None),
        Runs::Stopped(since, stopped) => {
            (Some(false), Some(*since), Some(stopped.why.word()), text(stopped.block.as_ref()))
        }
    };
    json!({
        "lathe": name.text(),
        "job": text(now.job.as_ref()),
        "set_up": now.since.map(time),
        "runs": runs,
        "since": since.map(time),
        "stopped_for": why,
        "block": block,
        "bar": now.bar.as_ref().map(bar),
        "left_in_bar": now.left_in_bar(),
        "order": order.map(|tally| json!({
            "quantity": tally.quantity, "made": tally.made, "scrapped": tally.scrapped,
            "good": tally.good(), "left": tally.left(),
        })),
        "edges": now.edges.iter().map(|(station, parts)| json!({
            "station": station, "parts": parts, "lasts": now.set_up.edges.get(station),
        })).collect::<Vec<_>>(),
        "parts_since_gauged": now.not_gauged,
        "last_part": now.last_part.map(time),
        "next": visits(now, order).iter().map(due).collect::<Vec<_>>(),
        "asked": time(at),
    })
}

fn bar(bar: &BarNow) -> Value {
    json!({
        "label": text(bar.loaded.bar.as_ref()),
        "heat": text(bar.loaded.heat.as_ref()),
        "material": text(bar.loaded.material.as_ref()),
        "size_mm": bar.loaded.size.map(mm),
        "length_mm": bar.loaded.length.map(mm),
        "from": text(bar.loaded.from.as_ref()),
        "since": time(bar.since),
        "made": bar.made,
    })
}

fn due(due: &Due) -> Value {
    let (what, station) = match due.reason {
        Reason::Stands(_) => ("stands", None),
        Reason::Bar => ("bar", None),
        Reason::Order => ("order", None),
        Reason::Edge(station) => ("edge", Some(station)),
        Reason::Size(station) => ("size", Some(station)),
        Reason::Full(what) => (what.word(), None),
        Reason::Gauge => ("gauge", None),
        Reason::NeverLonger => ("never-longer", None),
    };
    json!({ "why": what, "station": station, "parts": due.parts, "at": due.at.map(time) })
}

/// Who must go where next.
pub fn next(all: &[(Name, Vec<Due>)]) -> Value {
    all.iter()
        .map(|(name, dues)| {
            json!({ "lathe": name.text(), "next": dues.iter().map(due).collect::<Vec<_>>() })
        })
        .collect()
}

/// What an order used and gave, beside what was planned.
pub fn order(job: &Name, tally: &Tally) -> Value {
    let planned = &tally.planned;
    json!({
        "job": job.text(),
        "opened": tally.opened.map(time),
        "closed": tally.closed.map(time),
        "quantity": tally.quantity,
        "made": tally.made,
        "scrapped": tally.scrapped,
        "good": tally.good(),
        "left": tally.left(),
        "bars": tally.bars,
        "bar_length_mm": mm(tally.bar_length),
        "bars_without_length": tally.bars_without_length,
        "racked_mm": mm(tally.racked),
        "edges": tally.edges,
        "running_s": tally.running.s(),
        "stops": tally.stops.iter().map(|(why, (count, lapse))| json!({
            "why": why.word(), "count": count, "s": lapse.s(),
        })).collect::<Vec<_>>(),
        "spent": tally.spent.iter().map(|(work, lapse)| json!({
            "work": work.word(), "s": lapse.s(),
        })).collect::<Vec<_>>(),
        "first_part": tally.parts_between.map(|(first, _)| time(first)),
        "last_part": tally.parts_between.map(|(_, last)| time(last)),
        "planned": {
            "bars": planned.bars,
            "bar_length_mm": planned.bar_length.map(mm),
            "running_s": planned.running.map(model::record::Lapse::s),
            "set_up_s": planned.set_up.map(model::record::Lapse::s),
            "edges": planned.edges,
            "part_cost": planned.part_cost.map(model::Money::amount),
        },
    })
}

/// What an order cost so far, beside its plan; amounts in the coin.
pub fn spent(spent: &Spent, coin: &str) -> Value {
    let line = |line: &Compared| json!({ "for": line.item.word(), "was": line.was.amount(), "planned": line.planned.amount() });
    let (was, planned) = spent.sums();
    json!({
        "currency": coin,
        "quantity": spent.quantity,
        "good": spent.good,
        "lines": spent.lines.iter().map(line).collect::<Vec<_>>(),
        "was": was.amount(),
        "planned": planned.amount(),
        "per_good_part": spent.each().map(|(was, _)| was),
        "planned_per_part": spent.each().map(|(_, planned)| planned),
        "left_out": spent.left_out,
    })
}

/// An item of the rack.
pub fn racked(racked: &Racked) -> Value {
    json!({
        "label": racked.item.text(),
        "kind": racked.kind.word(),
        "material": text(racked.material.as_ref()),
        "size_mm": racked.size.map(mm),
        "length_mm": mm(racked.length),
        "count": racked.count,
        "heat": text(racked.heat.as_ref()),
        "place": text(racked.place.as_ref()),
    })
}

/// What was on a lathe at a time.
pub fn traced(traced: &Traced) -> Value {
    json!({
        "job": text(traced.job.as_ref()),
        "bar": traced.bar.as_ref().map(bar),
        "loaded_by": text(traced.person.as_ref()),
        "clock_set_back": traced.clock,
    })
}

/// A bar in a spindle, and its parts.
pub fn run(run: &BarRun) -> Value {
    json!({
        "lathe": run.lathe.text(),
        "job": text(run.job.as_ref()),
        "heat": text(run.loaded.heat.as_ref()),
        "label": text(run.loaded.bar.as_ref()),
        "loaded_by": text(run.person.as_ref()),
        "from": time(run.from),
        "until": run.until.map(time),
        "made": run.made,
        "first_part": run.parts_between.map(|(first, _)| time(first)),
        "last_part": run.parts_between.map(|(_, last)| time(last)),
    })
}

/// Sizes of parts.
pub fn sizes(sizes: &[(Recorded, Measured)]) -> Value {
    sizes
        .iter()
        .map(|(recorded, measured)| {
            let (size, good) = match measured.reading {
                Reading::Size(size) => (Some(mm(size)), None),
                Reading::Good => (None, Some(true)),
                Reading::Bad => (None, Some(false)),
            };
            json!({
                "id": recorded.event.id.text(),
                "time": time(recorded.order.time),
                "lathe": text(recorded.event.lathe.as_ref()),
                "feature": measured.feature.text(),
                "size_mm": size,
                "good": good,
                "low_mm": measured.low.map(mm),
                "high_mm": measured.high.map(mm),
                "part": measured.part,
                "gauge": text(measured.gauge.as_ref()),
            })
        })
        .collect()
}

/// Events as the log has them, as lines of an export, with what corrections make of them.
pub fn events(events: &[Recorded], corrections: &Corrections) -> Value {
    let one = |recorded: &Recorded| {
        let mut line: Value = serde_json::from_str(&Line::text(recorded)).unwrap_or_default();
        if let Some(map) = line.as_object_mut() {
            let id = &recorded.event.id;
            if corrections.touch(id) {
                let counts = corrections.effective(recorded);
                let says = counts.map_or(Value::Null, |counts| detail(&counts.event.what));
                map.insert("counts".to_owned(), json!(!says.is_null()));
                map.insert("says_now".to_owned(), says);
            }
        }
        line
    };
    Value::Array(events.iter().map(one).collect())
}

/// What a stop at a block leads to.
pub fn stop(one: &Entry, library: &Library) -> Value {
    let mut value = entry(one, Some(library));
    if let Some(map) = value.as_object_mut() {
        let map: &mut Map<String, Value> = map;
        map.remove("parts");
    }
    value
}
