//! Events in words.

use super::sizes_of;
use super::time::{lapse, shown};
use crate::term::counted;
use model::Units;
use model::files::keys::Choice as _;
use model::record::event::{FollowWhy, Followed, Loaded, Reading};
use model::record::{Corrections, Event, Name, RackedKind, Recorded, What};
use std::fmt::Write as _;

/// What happened, in words.
pub fn event(event: &Event, units: Units) -> String {
    let mut text = what(&event.what, units);
    if let Some(lathe) = &event.lathe {
        text = format!("{lathe}, {text}");
    }
    if let Some(job) = &event.job {
        let _ = write!(text, " ({job})");
    }
    if let Some(note) = &event.note {
        let _ = write!(text, ", “{note}”");
    }
    text
}

fn what(what: &What, units: Units) -> String {
    match what {
        What::OrderOpened { quantity, .. } => format!("order of {quantity} opened"),
        What::OrderClosed => "order closed".to_owned(),
        What::SetUpDone(_) => "set up".to_owned(),
        What::BarLoaded(loaded) => bar(loaded, units),
        What::BarEnded { remnant: None } => "bar ended".to_owned(),
        What::BarEnded { remnant: Some(left) } => {
            format!("bar ended, {} left of it", left.shown(units))
        }
        What::PartsMade { parts } => format!("{} made", counted(*parts, "part")),
        What::CountRead { parts } => format!("count read: {} of this bar", counted(*parts, "part")),
        What::PartsScrapped { parts, why } => {
            let why = why.as_ref().map_or(String::new(), |why| format!(": {why}"));
            format!("{} scrapped{why}", counted(*parts, "part"))
        }
        What::Started => "started".to_owned(),
        What::Stopped(stopped) => {
            let block =
                stopped.block.as_ref().map_or(String::new(), |block| format!(" at block {block}"));
            format!("stopped{block}: {}", super::meaning(stopped.why))
        }
        What::EdgeChanged { station, why } => {
            format!("edge of station {station} changed ({})", why.word())
        }
        What::OffsetMoved { station, axis, by } => {
            let sign = if by.is_negative() { "" } else { "+" };
            format!(
                "offset {station} {} moved by {sign}{}",
                axis.word().to_uppercase(),
                by.shown(units)
            )
        }
        What::SizeMeasured(measured) => {
            let reading = match measured.reading {
                Reading::Size(size) => size.shown(units),
                Reading::Good => "good".to_owned(),
                Reading::Bad => "bad".to_owned(),
            };
            let part = measured.part.map_or(String::new(), |part| format!(" of part {part}"));
            format!("feature {}{part}: {reading}", measured.feature)
        }
        What::Emptied { what } => format!("{} emptied", what.word()),
        What::PutOnRack(racked) => {
            let place = racked.place.as_ref().map_or(String::new(), |it| format!(", {it}"));
            let kind = if racked.kind == RackedKind::Remnant { "remnant" } else { "bar" };
            let count = counted(racked.count, kind);
            format!(
                "{count} of {} to the rack as {}{place}",
                racked.length.shown(units),
                racked.item
            )
        }
        What::OffRack { item, count } => format!("{count} of {item} gone from the rack"),
        What::TimeSpent { work, time } => format!("{} of {}", lapse(*time), work.word()),
        What::Followed(it) => followed(it),
        What::Corrected { event, instead: None } => format!("{event} taken back"),
        What::Corrected { event, instead: Some(instead) } => {
            format!("{event} corrected: {}", self::what(instead, units))
        }
    }
}

fn followed(it: &Followed) -> String {
    let figure = |it: Option<u64>| it.map_or("?".to_owned(), |it| it.to_string());
    let (from, to) = (figure(it.from), figure(it.to));
    match it.why {
        FollowWhy::Began => match it.to {
            Some(count) => format!("following began, the machine's counter at {count}"),
            None => "following began".to_owned(),
        },
        FollowWhy::Gap => format!("missed while nobody listened: observations {from} to {to}"),
        FollowWhy::Restart => "the agent started anew: what came between was missed".to_owned(),
        FollowWhy::SetBack => format!("the machine's counter was set back from {from} to {to}"),
        FollowWhy::Leap => {
            format!("the machine's counter leapt from {from} to {to}: no parts are counted by that")
        }
        FollowWhy::BarEnd => "the machine says that the bar is at its end".to_owned(),
    }
}

fn bar(loaded: &Loaded, units: Units) -> String {
    let named = |what: &str, name: &Option<Name>| name.as_ref().map(|name| format!("{what}{name}"));
    let words: Vec<String> = [
        named("heat ", &loaded.heat),
        named("label ", &loaded.bar),
        named("", &loaded.material),
        sizes_of(loaded.size, loaded.length, units),
        named("from the rack's ", &loaded.from),
    ]
    .into_iter()
    .flatten()
    .collect();
    if words.is_empty() {
        "bar loaded".to_owned()
    } else {
        format!("bar loaded: {}", words.join(", "))
    }
}

/// Events, a line each, with what corrections make of them.
pub fn events(all: &[Recorded], corrections: &Corrections, units: Units) -> String {
    let mut text = String::new();
    for recorded in all {
        let id: String = recorded.event.id.chars().take(12).collect();
        let by = recorded.event.person.as_ref().map_or(String::new(), |it| format!(", {it}"));
        let now = match corrections.effective(recorded) {
            _ if !corrections.touch(&recorded.event.id) => String::new(),
            None => "  TAKEN BACK".to_owned(),
            Some(counts) => format!("  CORRECTED: {}", what(&counts.event.what, units)),
        };
        let late = recorded.received.since(recorded.order.time);
        let late = if late.ms() >= 60_000 && recorded.event.at.ms() != recorded.received.ms() {
            format!(", told {} later", lapse(late))
        } else {
            String::new()
        };
        let _ = writeln!(
            text,
            "{}  {id:<12}  {}{by}{late}{now}",
            shown(recorded.order.time),
            event(&recorded.event, units)
        );
    }
    if text.is_empty() { "No event is like that.\n".to_owned() } else { text }
}
