//! Events as JSON.

use super::value::{Wire, Wrong, add, fields, get, object};
use model::record::event::{
    EdgeWhy, Followed, Loaded, Measured, OffsetAxis, Planned, Reading, SetUp, Stopped,
};
use model::record::{Event, Order, Racked, Recorded, Stamp, What};
use serde_json::{Map, Value};

fields!(Planned {
    bars: "bars",
    bar_length: "bar_length_nm",
    running: "running_ms",
    set_up: "set_up_ms",
    edges: "edges",
    part_cost: "part_cost_cents",
});

fields!(SetUp {
    job_file: "job_file",
    program: "program",
    digest: "digest",
    parts_per_bar: "parts_per_bar",
    part_time: "part_time_ms",
    edges: "edges",
    sizes: "sizes",
    fills: "fills",
    gauge_every: "gauge_every",
    never_longer: "never_longer_ms",
});

fields!(Loaded {
    bar: "bar",
    heat: "heat",
    material: "material",
    size: "size_nm",
    length: "length_nm",
    gives: "gives",
    from: "from",
});

fields!(Stopped { why: "why", block: "block" });

fields!(Followed { why: "why", from: "from", to: "to" });

fields!(Measured {
    feature: "feature",
    reading: "reading",
    low: "low_nm",
    high: "high_nm",
    part: "part",
    gauge: "gauge",
});

fields!(Racked {
    item: "item",
    kind: "kind",
    material: "material",
    size: "size_nm",
    length: "length_nm",
    count: "count",
    heat: "heat",
    place: "place",
});

/// Nanometers, or the word of a gauge without a scale.
impl Wire for Reading {
    fn put(&self) -> Value {
        match self {
            Reading::Size(size) => size.put(),
            Reading::Good => "good".into(),
            Reading::Bad => "bad".into(),
        }
    }

    fn take(value: &Value) -> Result<Self, Wrong> {
        match value.as_str() {
            Some("good") => Ok(Reading::Good),
            Some("bad") => Ok(Reading::Bad),
            _ => Wire::take(value).map(Reading::Size).map_err(|_| {
                Wrong::new("is no reading", "write whole nanometers, \"good\" or \"bad\"")
            }),
        }
    }
}

fn with<const N: usize>(pairs: [(&str, Value); N]) -> Value {
    let kept = pairs.into_iter().filter(|(_, value)| !value.is_null());
    Value::Object(kept.map(|(key, value)| (key.to_owned(), value)).collect())
}

/// What an event says beyond its kind.
pub fn detail(what: &What) -> Value {
    match what {
        What::OrderOpened { quantity, planned } => {
            let planned = Some(planned).filter(|planned| **planned != Planned::default());
            with([
                ("quantity", quantity.put()),
                ("planned", planned.map_or(Value::Null, Wire::put)),
            ])
        }
        What::OrderClosed | What::Started => Value::Object(Map::new()),
        What::SetUpDone(set_up) => set_up.put(),
        What::BarLoaded(loaded) => loaded.put(),
        What::BarEnded { remnant } => with([("remnant_nm", remnant.put())]),
        What::PartsMade { parts } | What::CountRead { parts } => with([("parts", parts.put())]),
        What::PartsScrapped { parts, why } => with([("parts", parts.put()), ("why", why.put())]),
        What::Stopped(stopped) => stopped.put(),
        What::EdgeChanged { station, why } => {
            with([("station", station.put()), ("why", why.put())])
        }
        What::OffsetMoved { station, axis, by } => {
            with([("station", station.put()), ("axis", axis.put()), ("by_nm", by.put())])
        }
        What::SizeMeasured(measured) => measured.put(),
        What::Emptied { what } => with([("what", what.put())]),
        What::PutOnRack(racked) => racked.put(),
        What::OffRack { item, count } => with([("item", item.put()), ("count", count.put())]),
        What::TimeSpent { work, time } => with([("work", work.put()), ("time_ms", time.put())]),
        What::Followed(followed) => followed.put(),
        What::Corrected { event, instead } => {
            let instead = instead.as_ref().map_or(Value::Null, |what| {
                with([("event", what.kind().into()), ("detail", detail(what))])
            });
            with([("of", event.put()), ("instead", instead)])
        }
    }
}

/// What an event says, from its kind and its detail.
///
/// # Errors
/// What is wrong with the detail, or that there is no such kind.
pub fn what(kind: &str, value: &Value) -> Result<What, Wrong> {
    let keys = |known: &[&str]| object(value, known);
    Ok(match kind {
        "order-opened" => {
            let map = keys(&["quantity", "planned"])?;
            let planned = get::<Option<Planned>>(map, "planned")?.unwrap_or_default();
            What::OrderOpened { quantity: get(map, "quantity")?, planned }
        }
        "order-closed" => keys(&[]).map(|_| What::OrderClosed)?,
        "set-up" => What::SetUpDone(Wire::take(value)?),
        "bar-loaded" => What::BarLoaded(Wire::take(value)?),
        "bar-ended" => What::BarEnded { remnant: get(keys(&["remnant_nm"])?, "remnant_nm")? },
        "parts-made" => What::PartsMade { parts: get(keys(&["parts"])?, "parts")? },
        "count-read" => What::CountRead { parts: get(keys(&["parts"])?, "parts")? },
        "parts-scrapped" => {
            let map = keys(&["parts", "why"])?;
            What::PartsScrapped { parts: get(map, "parts")?, why: get(map, "why")? }
        }
        "started" => keys(&[]).map(|_| What::Started)?,
        "stopped" => What::Stopped(Wire::take(value)?),
        "edge-changed" => {
            let map = keys(&["station", "why"])?;
            let why = get::<Option<EdgeWhy>>(map, "why")?.unwrap_or(EdgeWhy::Planned);
            What::EdgeChanged { station: get(map, "station")?, why }
        }
        "offset-moved" => {
            let map = keys(&["station", "axis", "by_nm"])?;
            let axis: OffsetAxis = get(map, "axis")?;
            What::OffsetMoved { station: get(map, "station")?, axis, by: get(map, "by_nm")? }
        }
        "size-measured" => What::SizeMeasured(Wire::take(value)?),
        "emptied" => What::Emptied { what: get(keys(&["what"])?, "what")? },
        "put-on-rack" => What::PutOnRack(Wire::take(value)?),
        "off-rack" => {
            let map = keys(&["item", "count"])?;
            What::OffRack { item: get(map, "item")?, count: get(map, "count")? }
        }
        "time-spent" => {
            let map = keys(&["work", "time_ms"])?;
            What::TimeSpent { work: get(map, "work")?, time: get(map, "time_ms")? }
        }
        "followed" => What::Followed(Wire::take(value)?),
        "corrected" => {
            let map = keys(&["of", "instead"])?;
            let instead = map.get("instead").filter(|value| !value.is_null());
            let instead = instead.map(instead_of).transpose().map_err(|it| it.at("instead"))?;
            What::Corrected { event: get(map, "of")?, instead }
        }
        _ => {
            let mend = format!("write one of {}", What::KINDS.join(", "));
            return Err(Wrong::new("is no kind of event", mend).at("event"));
        }
    })
}

fn instead_of(value: &Value) -> Result<Box<What>, Wrong> {
    let map = object(value, &["event", "detail"])?;
    let kind = map.get("event").and_then(Value::as_str).unwrap_or_default();
    if kind == "corrected" {
        let mend = "correct the first event anew; its last correction holds";
        return Err(Wrong::new("cannot be a correction itself", mend).at("event"));
    }
    let empty = Value::Object(Map::new());
    what(kind, map.get("detail").unwrap_or(&empty)).map(Box::new)
}

/// One line of an export, or of what a script tells: where it stood may be missing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The event.
    pub event: Event,
    /// When a store had it.
    pub received: Option<Stamp>,
    /// Where it stood: the clock and the time it counted for.
    pub counted: Option<(u32, Stamp)>,
}

const KEYS: [&str; 12] = [
    "place", "clock", "time", "received", "id", "at", "lathe", "job", "person", "event", "detail",
    "note",
];

impl Line {
    /// The line of a recorded event.
    pub fn text(recorded: &Recorded) -> String {
        let Recorded { order, received, event } = recorded;
        let mut map = Map::new();
        add(&mut map, "place", &order.place);
        add(&mut map, "clock", &order.clock);
        add(&mut map, "time", &order.time);
        add(&mut map, "received", received);
        told(&mut map, event);
        Value::Object(map).to_string()
    }

    /// The line of an event that no store has yet.
    pub fn of_event(event: &Event) -> String {
        let mut map = Map::new();
        told(&mut map, event);
        Value::Object(map).to_string()
    }

    /// As a recorded event at this place.
    pub fn recorded(self, place: u64) -> Option<Recorded> {
        let (clock, time) = self.counted?;
        let order = Order { clock, time, place };
        Some(Recorded { order, received: self.received?, event: self.event })
    }
}

fn told(map: &mut Map<String, Value>, event: &Event) {
    add(map, "id", &event.id);
    add(map, "at", &event.at);
    add(map, "lathe", &event.lathe);
    add(map, "job", &event.job);
    add(map, "person", &event.person);
    map.insert("event".to_owned(), event.what.kind().into());
    let detail = detail(&event.what);
    if detail.as_object().is_some_and(|detail| !detail.is_empty()) {
        map.insert("detail".to_owned(), detail);
    }
    add(map, "note", &event.note);
}

/// Reads a line of JSON.
///
/// # Errors
/// What is wrong with it, and what to write instead.
pub fn parse_line(text: &str) -> Result<Line, Wrong> {
    let value: Value = serde_json::from_str(text).map_err(|error| {
        Wrong::new(format!("is no JSON: {error}"), "write one event a line, in braces")
    })?;
    let map = object(&value, &KEYS)?;
    let kind = map.get("event").and_then(Value::as_str).unwrap_or_default();
    let empty = Value::Object(Map::new());
    let said = map.get("detail").unwrap_or(&empty);
    let what = what(kind, said)
        .map_err(|wrong| if wrong.key == "event" { wrong } else { wrong.at("detail") })?;
    let time: Option<Stamp> = get(map, "time")?;
    let clock: Option<u32> = get(map, "clock")?;
    Ok(Line {
        event: Event {
            id: get(map, "id")?,
            at: get(map, "at")?,
            lathe: get(map, "lathe")?,
            job: get(map, "job")?,
            person: get(map, "person")?,
            what,
            note: get(map, "note")?,
        },
        received: get(map, "received")?,
        counted: time.map(|time| (clock.unwrap_or(0), time)),
    })
}
