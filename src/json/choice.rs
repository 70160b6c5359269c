//! The JSON of how speeds, feeds and depths were chosen, and of who is back when.

use super::mechanics::lack;
use super::prove::{mm, seconds};
use model::files::job::Choose;
use model::files::keys::Choice as _;
use plan::choice::{Choice, Chosen, Held, Told};
use plan::cuts::Speed;
use plan::walk_away::{Back, Reach};
use serde_json::{Value, json};

/// What was wanted and what it brings.
pub(super) fn choice(choice: &Choice) -> Value {
    let unit = match choice.choose {
        Choose::AsGiven => None,
        Choose::LeastCost => Some("money for lathe, person and edges a part"),
        Choose::MostOutput => Some("s a part, its share of edge changes with them"),
        Choose::MostAlone => Some("parts before someone must come"),
    };
    let gain = choice.gain;
    json!({
        "choose": choice.choose.word(),
        "gain": gain.map(|gain| json!({ "given": gain.given, "chosen": gain.chosen, "unit": unit })),
        "lacks": choice.lacks.iter().map(lack).collect::<Vec<_>>(),
    })
}

/// One work with its data.
pub(super) fn told(told: &Told) -> Value {
    let mut value = json!({
        "name": told.name,
        "work": told.work.word(),
        "station": told.station,
    });
    let nearest = told.nearest.filter(|nearest| nearest.used.is_finite());
    if let Some(value) = value.as_object_mut() {
        speed(value, told.speed);
        value.insert(
            "feed_mm_per_rev".to_owned(),
            json!(told.feed.map(model::quantity::FeedPerRev::mm)),
        );
        value.insert("depth_mm".to_owned(), json!(told.depth.map(mm)));
        let nearest = nearest.map(|it| json!({ "limit": it.limit.word(), "used": it.used }));
        value.insert("nearest".to_owned(), json!(nearest));
        let chosen = told.chosen.as_ref().map(|chosen| match chosen {
            Ok(chosen) => of_chosen(chosen),
            Err(missing) => lack(missing),
        });
        value.insert("chosen".to_owned(), json!(chosen));
    }
    value
}

fn speed(value: &mut serde_json::Map<String, Value>, speed: Speed) {
    let (surface, spindle) = match speed {
        Speed::Surface(speed) => (Some(speed.m_per_min()), None),
        Speed::Spindle(speed) => (None, Some(speed.rpm())),
    };
    value.insert("speed_m_per_min".to_owned(), json!(surface));
    value.insert("spindle_rpm".to_owned(), json!(spindle));
}

fn of_chosen(chosen: &Chosen) -> Value {
    let mut given = serde_json::Map::new();
    speed(&mut given, chosen.given.speed);
    given.insert("feed_mm_per_rev".to_owned(), json!(chosen.given.feed.mm()));
    given.insert("depth_mm".to_owned(), json!(chosen.depth.map(|_| mm(chosen.given.depth))));
    json!({
        "given": given,
        "held_by": {
            "speed": held(chosen.speed),
            "feed": held(chosen.feed),
            "depth": chosen.depth.map(held),
        },
        "keeps_all_limits": chosen.keeps_all,
        "candidates": chosen.candidates,
    })
}

/// What keeps a figure: `edge-wear`, `nothing-left`, `not-known`, or the limit's word.
fn held(held: Held) -> &'static str {
    match held {
        Held::Goal => "edge-wear",
        Held::Whole => "nothing-left",
        Held::NotKnown => "not-known",
        Held::Limit(limit) | Held::End(limit) => limit.word(),
    }
}

/// Whether the lathe makes parts until someone is back.
pub(super) fn back(back: &Back) -> Value {
    let needs = |reach: &Reach| match reach {
        Reach::Blank(length) => json!({ "needs": "blank", "length_mm": mm(*length) }),
        Reach::NoBlank { parts, at } => json!({
            "needs": "blank-beyond-spindle",
            "longest_parts": parts,
            "longest_s": seconds(at.s()),
        }),
        Reach::Edges { station, count } => {
            json!({ "needs": "edges", "station": station, "count": count })
        }
        Reach::Catcher(parts) => json!({ "needs": "catcher", "parts": parts }),
        Reach::Chips(liters) => json!({ "needs": "chip-room", "liters": liters }),
        Reach::Gauge => json!({ "needs": "gauge-every" }),
        Reach::NeverLonger => json!({ "needs": "never-longer" }),
    };
    json!({
        "s": seconds(back.at.s()),
        "wanted": back.wanted,
        "made": back.made,
        "reached": back.reached,
        "needs": back.reach.iter().map(needs).collect::<Vec<_>>(),
    })
}
