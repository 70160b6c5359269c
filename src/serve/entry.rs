//! From what a person filled in on a page to an event of the log. Everything is text until here; what cannot be
//! is refused with words for that person.

mod filled;
mod said;

pub(super) use filled::Filled;

use super::Shared;
use super::book::Asked;
use model::record::event::Needs;
use model::record::{Event, Lapse, Name, Racked, RackedKind, Recorded, Stamp, What};
use runlog::{Error, Kept, Told};

/// Why an entry cannot be recorded, and what to write instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Refused {
    pub(super) why: String,
    pub(super) mend: String,
    /// Whether the same entry may be taken another time, since only the log's file stood in the way.
    pub(super) later: bool,
}

impl Refused {
    pub(super) fn new(why: impl Into<String>, mend: impl Into<String>) -> Refused {
        Refused { why: why.into(), mend: mend.into(), later: false }
    }
}

impl From<Error> for Refused {
    fn from(error: Error) -> Refused {
        let later = error.kind != runlog::Kind::Refused;
        Refused { why: error.message, mend: error.mend, later }
    }
}

/// What became of an entry.
#[derive(Debug, Clone)]
pub(super) enum Became {
    Recorded(Kept),
    /// It had been recorded before, and counts once.
    Known,
    Refused(Refused),
}

/// Records one entry, which may be several events: all of them or none. `sent` is the client's clock when it sent it;
/// `behind` is an entry of the same client that must not come to stand after this one.
pub(super) fn record(
    shared: &Shared,
    entry: &Filled,
    sent: Option<Stamp>,
    behind: Option<&str>,
) -> Became {
    // Planning takes long: the log is free for others meanwhile.
    let planned = said::planned(shared, entry);
    let told = shared.book.ask(|asked| told(asked, entry, planned, sent, behind));
    let told = match told {
        Ok(Ok(told)) => told,
        Ok(Err(refused)) => return Became::Refused(refused),
        Err(error) => return Became::Refused(error.into()),
    };
    if told.is_empty() {
        return Became::Known;
    }
    match shared.book.record(told) {
        Ok(kept) if kept.iter().all(|kept| kept.known) => Became::Known,
        Ok(kept) => kept.into_iter().next().map_or(Became::Known, Became::Recorded),
        Err(error) => Became::Refused(error.into()),
    }
}

/// The events of an entry; none where the log has them already.
fn told(
    asked: Asked<'_>,
    entry: &Filled,
    planned: Option<Result<Vec<What>, Refused>>,
    sent: Option<Stamp>,
    behind: Option<&str>,
) -> Result<Vec<Told>, Refused> {
    let id = entry.name("id")?.unwrap_or_else(crate::commands::new_event_id);
    if id.chars().count() > LONGEST_ID {
        return Err(Refused::new("the id of this entry is too long", "load the page anew"));
    }
    let known = asked.log.event(&id).map_err(Refused::from)?;
    // A form without a script has no clock.
    let told_before = known.as_ref().map(|known| known.event.at);
    let at = entry.stamp("at")?.or(told_before).unwrap_or_else(|| asked.now());
    let lathe = entry.name("lathe")?;
    let said = match (planned, &known) {
        // What was planned from files may come out otherwise today.
        (Some(_), Some(known)) if is_this(known, entry, at, lathe.as_ref()) => {
            return Ok(Vec::new());
        }
        (Some(_), Some(_)) => {
            return Err(Refused::new("this id belongs to another entry", "load the page anew"));
        }
        (Some(planned), None) => planned?,
        (None, _) => said::said(asked, entry, known.is_some())?,
    };
    let job = match entry.name("job")? {
        Some(job) => Some(job),
        None => said::job_of_plan(entry)?,
    };
    let job = job.or_else(|| match &known {
        Some(known) => known.event.job.clone(),
        None => job_on(asked, lathe.as_ref(), &said),
    });
    let sent = in_turn(asked, at, sent, behind)?;
    let events = said.into_iter().enumerate().map(|(index, what)| {
        let id = match index {
            0 => id.clone(),
            more => Name::from(format!("{id}.{more}").as_str()),
        };
        // An order is that of the shop, wherever it is made.
        let lathe = lathe.clone().filter(|_| what.needs() != Needs::Job);
        let job = job.clone();
        Event { id, at, lathe, job, person: None, what, note: None }
    });
    let (person, note) = (entry.name("person")?, entry.name("note")?);
    let told =
        |event| Told { event: Event { person: person.clone(), note: note.clone(), ..event }, sent };
    Ok(events.map(told).collect())
}

/// Most characters of an id that a page makes.
const LONGEST_ID: usize = 64;

/// Whether a recorded event is what is told again.
fn is_this(known: &Recorded, entry: &Filled, at: Stamp, lathe: Option<&Name>) -> bool {
    let event = &known.event;
    let lathe = lathe.filter(|_| event.what.needs() != Needs::Job);
    entry.text("event") == Some(event.what.kind())
        && event.at == at
        && event.lathe.as_ref() == lathe
}

/// The job that an event at a lathe is for, where the entry does not say.
fn job_on(asked: Asked<'_>, lathe: Option<&Name>, said: &[What]) -> Option<Name> {
    let needs = said.first().map(What::needs);
    let at_lathe = matches!(needs, Some(Needs::Lathe | Needs::LatheOrJob | Needs::Nothing));
    asked.state().lathes.get(lathe.filter(|_| at_lathe)?)?.job.clone()
}

/// When the client sent it, so that the entry stands behind the one before it: the way through the air may have
/// taken longer for that one.
fn in_turn(
    asked: Asked<'_>,
    at: Stamp,
    sent: Option<Stamp>,
    behind: Option<&str>,
) -> Result<Option<Stamp>, Refused> {
    let (Some(sent), Some(behind)) = (sent, behind) else { return Ok(sent) };
    let Some(before) = asked.log.event(behind).map_err(Refused::from)? else {
        return Ok(Some(sent));
    };
    let youngest = at + asked.now().since(before.order.time);
    // An entry that was tapped before the other one may stand before it.
    Ok(Some(if before.event.at <= at { sent.min(youngest) } else { sent }))
}

/// What is left of a bar, as it comes to lie on the rack.
fn remnant(entry: &Filled, length: model::Length) -> Result<Option<Racked>, Refused> {
    let Some(item) = entry.name("item")? else { return Ok(None) };
    Ok(Some(Racked {
        item,
        kind: RackedKind::Remnant,
        material: entry.name("material")?,
        size: entry.length("size", filled::SIZE)?,
        length,
        count: 1,
        heat: entry.name("heat")?,
        place: entry.name("place")?,
    }))
}

/// Minutes as a lapse.
fn minutes(number: f64) -> Lapse {
    Lapse::from_ms((number * 60_000.0).round() as i64)
}
