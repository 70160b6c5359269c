//! A state as JSON, for snapshots.

use super::value::{Wire, Wrong, fields};
use model::record::{BarNow, LatheNow, Order, Runs, Stamp, State, Tally};
use serde_json::{Value, json};

/// Steps with the meaning of a state: a snapshot of another number is not used.
const FORM: u32 = 1;

fields!(Order { clock: "clock", time: "time", place: "place" });

fields!(State { lathes: "lathes", orders: "orders", rack: "rack", last: "last" });

fields!(LatheNow {
    job: "job",
    since: "since",
    set_up: "set_up",
    bar: "bar",
    runs: "runs",
    edges: "edges",
    drifted: "drifted",
    fills: "fills",
    not_gauged: "not_gauged",
    attended: "attended",
    last_part: "last_part",
});

fields!(BarNow { loaded: "loaded", since: "since", made: "made" });

fields!(Tally {
    opened: "opened",
    closed: "closed",
    quantity: "quantity",
    planned: "planned",
    made: "made",
    scrapped: "scrapped",
    bars: "bars",
    bar_length: "bar_length_nm",
    bars_without_length: "bars_without_length",
    racked: "racked_nm",
    edges: "edges",
    running: "running_ms",
    stops: "stops",
    spent: "spent_ms",
    parts_between: "parts_between",
});

impl<A: Wire, B: Wire> Wire for (A, B) {
    fn put(&self) -> Value {
        json!([self.0.put(), self.1.put()])
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        match value.as_array().map(Vec::as_slice) {
            Some([a, b]) => Ok((A::take(a)?, B::take(b)?)),
            _ => Err(Wrong::new("is no pair", "write a list of two")),
        }
    }
}

impl Wire for Runs {
    fn put(&self) -> Value {
        match self {
            Runs::NotKnown => Value::Null,
            Runs::Since(since) => json!({ "since": since.put() }),
            Runs::Stopped(since, stopped) => json!({ "stood": (*since, stopped.clone()).put() }),
        }
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        if let Some(since) = value.get("since") {
            return Stamp::take(since).map(Runs::Since);
        }
        let stood = value.get("stood").ok_or_else(|| Wrong::new("is no run", ""))?;
        <(Stamp, _)>::take(stood).map(|(since, stopped)| Runs::Stopped(since, stopped))
    }

    fn absent() -> Option<Self> {
        Some(Runs::NotKnown)
    }
}

/// A state as the text of a snapshot.
pub(crate) fn state_text(state: &State) -> String {
    json!({ "form": FORM, "state": state.put() }).to_string()
}

/// The state of a snapshot; none where it was written by another version.
pub(crate) fn read_state(text: &str) -> Option<State> {
    let value: Value = serde_json::from_str(text).ok()?;
    if value.get("form")?.as_u64()? != u64::from(FORM) {
        return None;
    }
    <State as Wire>::take(value.get("state")?).ok()
}
