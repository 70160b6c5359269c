//! What an entry says happened, by its kind.

use super::filled::{self, Filled, MOST_PARTS};
use super::{Refused, minutes, remnant};
use crate::commands;
use crate::serve::Shared;
use crate::serve::book::Asked;
use model::files::Job;
use model::record::event::{Loaded, Measured, Planned, Reading, SetUp, StopWhy, Stopped};
use model::record::{Name, Racked, RackedKind, What};
use std::path::PathBuf;

/// Most of what a station's number can be.
const MOST_STATIONS: u32 = 99;

/// What is planned from files; none where the entry is of another kind.
pub(super) fn planned(shared: &Shared, entry: &Filled) -> Option<Result<Vec<What>, Refused>> {
    match entry.text("event") {
        Some("order-opened") => Some(order(shared, entry).map(|order| vec![order])),
        Some("set-up") => Some(set_up(shared, entry)),
        _ => None,
    }
}

/// What the job is called where only its file was chosen.
pub(super) fn job_of_plan(entry: &Filled) -> Result<Option<Name>, Refused> {
    let plan = entry
        .text("plan")
        .filter(|_| matches!(entry.text("event"), Some("set-up" | "order-opened")));
    let Some(plan) = plan else { return Ok(None) };
    let name = plan.rsplit('/').next().unwrap_or(plan);
    Name::parse(name).map(Some).ok_or_else(|| filled::missing("job"))
}

/// What another entry says: all of it, or none.
pub(super) fn said(asked: Asked<'_>, entry: &Filled, known: bool) -> Result<Vec<What>, Refused> {
    if !known {
        lathe_is_known(asked, entry)?;
    }
    Ok(match entry.text("event").unwrap_or_default() {
        "bar-loaded" => vec![bar(asked, entry, known)?],
        "bar-ended" => ended(entry)?,
        "off-rack" => vec![off_rack(asked, entry, known)?],
        "put-on-rack" => vec![put_on_rack(asked, entry, known)?],
        "corrected" => vec![corrected(asked, entry)?],
        kind => vec![plain(kind, entry)?],
    })
}

/// What needs neither files nor the state of the shop.
fn plain(kind: &str, entry: &Filled) -> Result<What, Refused> {
    let station = || entry.needed_count("station", 1, MOST_STATIONS);
    Ok(match kind {
        "order-closed" => {
            entry.needed("job")?;
            What::OrderClosed
        }
        "parts-made" => What::PartsMade { parts: entry.needed_count("parts", 1, MOST_PARTS)? },
        "count-read" => What::CountRead { parts: entry.needed_count("parts", 0, MOST_PARTS)? },
        "parts-scrapped" => What::PartsScrapped {
            parts: entry.needed_count("parts", 1, MOST_PARTS)?,
            why: entry.name("why")?,
        },
        "started" => What::Started,
        "stopped" => What::Stopped(Stopped {
            why: entry.word("why")?.unwrap_or(StopWhy::NotKnown),
            block: entry.name("block")?,
        }),
        "edge-changed" => What::EdgeChanged { station: station()?, why: entry.needed_word("why")? },
        "offset-moved" => What::OffsetMoved {
            station: station()?,
            axis: entry.needed_word("axis")?,
            by: entry.needed_length("by", filled::MOVE)?,
        },
        "size-measured" => measured(entry)?,
        "emptied" => What::Emptied { what: entry.needed_word("what")? },
        "time-spent" => What::TimeSpent {
            work: entry.needed_word("work")?,
            time: minutes(entry.number("minutes", 10_000.0)?),
        },
        // These need more than the entry itself; a correction may say them anew.
        "bar-loaded" => What::BarLoaded(Box::new(loaded(entry)?)),
        "bar-ended" => What::BarEnded { remnant: entry.length("remnant", filled::LEFT)? },
        "put-on-rack" => What::PutOnRack(Box::new(racked(entry)?)),
        "off-rack" => What::OffRack { item: entry.needed("item")?, count: taken(entry)? },
        _ => {
            let why = format!("“{kind}” is nothing that can be recorded here");
            return Err(Refused::new(why, "load the page anew"));
        }
    })
}

/// A mistyped name must not begin a lathe of its own.
fn lathe_is_known(asked: Asked<'_>, entry: &Filled) -> Result<(), Refused> {
    match entry.name("lathe")? {
        Some(lathe) if !asked.state().lathes.contains_key(&lathe) => {
            let why = format!("the log has no lathe {lathe}");
            Err(Refused::new(why, "a lathe begins with its first set-up"))
        }
        _ => Ok(()),
    }
}

fn order(shared: &Shared, entry: &Filled) -> Result<What, Refused> {
    if entry.text("plan").is_none() {
        entry.needed("job")?;
    }
    let quantity = entry.count("quantity", 1, 10_000_000)?;
    let (planned, quantity) = match job(shared, entry)? {
        Some((_, job)) => {
            let planned = commands::planned_order(job, quantity, None);
            let (planned, quantity) = planned.map_err(planned_badly)?;
            (planned, Some(quantity))
        }
        None => (Planned::default(), quantity),
    };
    let quantity = quantity.ok_or_else(|| filled::missing("quantity"))?;
    Ok(What::OrderOpened { quantity, planned })
}

/// The set-up, and the order where a quantity was filled in.
fn set_up(shared: &Shared, entry: &Filled) -> Result<Vec<What>, Refused> {
    entry.needed("lathe")?;
    if entry.text("plan").is_none() {
        entry.needed("job")?;
    }
    let mut set_up = match job(shared, entry)? {
        Some((path, job)) => commands::planned_set_up(&path, &job).map_err(planned_badly)?,
        None => SetUp::default(),
    };
    set_up.parts_per_bar = entry.count("per-bar", 1, MOST_PARTS)?.or(set_up.parts_per_bar);
    set_up.gauge_every = entry.count("gauge-every", 1, MOST_PARTS)?.or(set_up.gauge_every);
    if let Some(program) = entry.text("program") {
        let path = shared.shelf.program(program).ok_or_else(|| {
            Refused::new(format!("the folder has no program {program}"), "take one that is offered")
        })?;
        commands::name_program(&mut set_up, &path).map_err(planned_badly)?;
    }
    let mut whats = vec![What::SetUpDone(Box::new(set_up))];
    if entry.text("quantity").is_some() {
        whats.push(order(shared, entry)?);
    }
    Ok(whats)
}

/// The job whose file was chosen, and where that is; never a path put together from what was asked.
fn job(shared: &Shared, entry: &Filled) -> Result<Option<(PathBuf, Job)>, Refused> {
    let Some(name) = entry.text("plan") else { return Ok(None) };
    let path = shared.shelf.job(name).ok_or_else(|| {
        Refused::new(format!("the folder has no job {name}"), "take one that is offered")
    })?;
    let job = shared
        .job_at(&path)
        .map_err(|why| Refused::new(why, "mend the files, then record it again"))?;
    Ok(Some((path, job)))
}

#[allow(clippy::needless_pass_by_value, reason = "as `map_err` gives it")]
fn planned_badly(trouble: commands::Trouble) -> Refused {
    Refused::new(crate::term::plainly(&trouble), "mend the files, then record it again")
}

fn loaded(entry: &Filled) -> Result<Loaded, Refused> {
    Ok(Loaded {
        bar: entry.name("label")?,
        heat: entry.name("heat")?,
        material: entry.name("material")?,
        size: entry.length("size", filled::SIZE)?,
        length: entry.length("length", filled::BAR)?,
        gives: entry.count("gives", 1, MOST_PARTS)?,
        from: entry.name("from")?,
    })
}

fn bar(asked: Asked<'_>, entry: &Filled, known: bool) -> Result<What, Refused> {
    let loaded = loaded(entry)?;
    if let Some(item) = loaded.from.as_ref().filter(|_| !known)
        && !asked.state().rack.contains_key(item)
    {
        let why = format!("the rack has no {item}");
        return Err(Refused::new(why, "take what lies on it, or leave it out"));
    }
    Ok(What::BarLoaded(Box::new(loaded)))
}

/// The end of a bar, and what is left of it on the rack where it has a label.
fn ended(entry: &Filled) -> Result<Vec<What>, Refused> {
    let left = entry.length("remnant", filled::LEFT)?;
    let mut whats = vec![What::BarEnded { remnant: left }];
    if entry.text("item").is_some() {
        let length = entry.needed_length("remnant", filled::BAR)?;
        whats.extend(remnant(entry, length)?.map(|racked| What::PutOnRack(Box::new(racked))));
    }
    Ok(whats)
}

fn measured(entry: &Filled) -> Result<What, Refused> {
    let reading = match entry.text("reading") {
        Some("good") => Reading::Good,
        Some("bad") => Reading::Bad,
        _ => Reading::Size(entry.needed_length("reading", filled::GAUGED)?),
    };
    let (low, high) = (entry.length("low", filled::GAUGED)?, entry.length("high", filled::GAUGED)?);
    if low.zip(high).is_some_and(|(low, high)| low > high) {
        return Err(Refused::new("the low limit is above the high limit", "look at the drawing"));
    }
    Ok(What::SizeMeasured(Box::new(Measured {
        feature: entry.needed("feature")?,
        reading,
        low,
        high,
        part: entry.count("part", 1, MOST_PARTS)?,
        gauge: entry.name("gauge")?,
    })))
}

fn racked(entry: &Filled) -> Result<Racked, Refused> {
    Ok(Racked {
        item: entry.needed("item")?,
        kind: entry.word("kind")?.unwrap_or(RackedKind::Stock),
        material: entry.name("material")?,
        size: entry.length("size", filled::SIZE)?,
        length: entry.needed_length("length", filled::BAR)?,
        count: entry.count("count", 1, MOST_PARTS)?.unwrap_or(1),
        heat: entry.name("heat")?,
        place: entry.name("place")?,
    })
}

fn put_on_rack(asked: Asked<'_>, entry: &Filled, known: bool) -> Result<What, Refused> {
    let racked = racked(entry)?;
    if let Some(other) = asked.state().rack.get(&racked.item).filter(|_| !known)
        && other.length != racked.length
    {
        let why = format!("{} is the label of bars of another length already", racked.item);
        return Err(Refused::new(why, "give other bars another label"));
    }
    Ok(What::PutOnRack(Box::new(racked)))
}

fn taken(entry: &Filled) -> Result<u32, Refused> {
    Ok(entry.count("count", 1, MOST_PARTS)?.unwrap_or(1))
}

fn off_rack(asked: Asked<'_>, entry: &Filled, known: bool) -> Result<What, Refused> {
    let (item, count) = (entry.needed("item")?, taken(entry)?);
    let lies = asked.state().rack.get(&item).map_or(0, |racked| racked.count);
    if !known && lies < count {
        let why = match lies {
            0 => format!("the rack has no {item}"),
            lies => format!("of {item} only {lies} lie on the rack"),
        };
        return Err(Refused::new(why, "take what lies on it"));
    }
    Ok(What::OffRack { item, count })
}

/// A correction: `of` names the event; `instead` is its kind, with the blanks of that kind, and is left out where it
/// did not happen; `same` is what the event said at first.
fn corrected(asked: Asked<'_>, entry: &Filled) -> Result<What, Refused> {
    let of = entry.needed("of")?;
    let Some(known) = asked.log.event(&of)? else {
        let why = "the log has no such entry to take back";
        return Err(Refused::new(why, "it may not have arrived yet: wait until it has"));
    };
    let instead = match entry.text("instead") {
        None => None,
        Some("same") => Some(known.event.what),
        Some(kind) => Some(plain(kind, entry)?),
    };
    Ok(What::Corrected { event: of, instead: instead.map(Box::new) })
}
