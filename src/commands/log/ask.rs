//! Questions.

pub(super) mod gauged;
mod learned;
mod orders;
mod reentry;
mod sizes;
mod taught;
mod written;

pub(super) use learned::Learned;
pub(crate) use learned::Lesson;
pub(super) use orders::Orders;
pub(super) use reentry::After;
pub(crate) use reentry::stop_at;
pub(super) use sizes::Sizes;
pub(crate) use taught::TaughtEdge;

use super::given::{Shop, clock_caution, lathe, name, stamp, told};
use crate::commands::{Ended, Trouble, print};
use crate::json;
use crate::json::log as json_log;
use crate::term::log as term_log;
use clap::Args;
use model::record::{Lapse, What, visits};
use runlog::Query;
use serde_json::Value;

/// What stands at the lathes now: job, bar and its heat number, parts made and left, whether it runs.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright log now\n  barwright log now \"Lathe 1\" --json")]
pub(super) struct Now {
    /// Only this lathe.
    #[arg(value_name = "LATHE")]
    lathe: Option<String>,
}

impl Now {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let (log, live) = shop.live()?;
        let state = live.state();
        let only = self.lathe.as_ref().map(|text| lathe(state, text)).transpose()?;
        let lathes =
            state.lathes.iter().filter(|(name, _)| only.as_ref().is_none_or(|it| it == *name));
        if shop.json {
            let all: Vec<Value> =
                lathes.map(|(name, now)| json_log::lathe(name, now, state, log.now())).collect();
            return print(json::text(&Value::Array(all)).as_bytes());
        }
        let mut text: String = lathes
            .map(|(name, now)| term_log::lathe(name, now, state, log.now(), shop.units()))
            .collect();
        if text.is_empty() {
            text.push_str(
                "The log knows no lathe yet; one begins with `barwright log setup`.
",
            );
        }
        text += &clock_caution(&log)?;
        print(text.as_bytes())
    }
}

/// Who must go where next, and why: the lathes in the order in which someone must come.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log next")]
pub(super) struct Next {
    /// Only this lathe.
    #[arg(value_name = "LATHE")]
    lathe: Option<String>,
}

impl Next {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let (log, live) = shop.live()?;
        let state = live.state();
        let only = self.lathe.as_ref().map(|text| lathe(state, text)).transpose()?;
        let mut all: Vec<_> = state
            .lathes
            .iter()
            .filter(|(name, _)| only.as_ref().is_none_or(|it| it == *name))
            .map(|(name, now)| {
                let order = now.job.as_ref().and_then(|job| state.order(job));
                (name.clone(), visits(now, order))
            })
            .collect();
        all.sort_by_key(|(_, due)| {
            due.first().map_or((true, None, None), |due| (due.at.is_none(), due.at, due.parts))
        });
        let text = if shop.json {
            json::text(&json_log::next(&all))
        } else {
            term_log::next(&all, log.now()) + &clock_caution(&log)?
        };
        print(text.as_bytes())
    }
}

/// What lies on the rack.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log rack")]
pub(super) struct OnRack {}

impl OnRack {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let OnRack {} = self;
        let (_, live) = shop.live()?;
        let rack = &live.state().rack;
        let text = if shop.json {
            json::text(&Value::Array(rack.values().map(json_log::racked).collect()))
        } else {
            term_log::rack(rack.values(), shop.units())
        };
        print(text.as_bytes())
    }
}

/// From a part's time to its bar's heat number; or from a heat number to all its bars and parts.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright log trace \"Lathe 1\" \"2026-12-01 14:30\"\n  \
        barwright log trace --heat \"A 7712\"")]
pub(super) struct Trace {
    /// The lathe that made the part.
    #[arg(
        value_name = "LATHE",
        requires = "time",
        required_unless_present = "heat",
        conflicts_with = "heat"
    )]
    lathe: Option<String>,
    /// When it made it.
    #[arg(value_name = "TIME")]
    time: Option<String>,
    /// All bars of a heat number.
    #[arg(long, value_name = "NUMBER")]
    heat: Option<String>,
}

impl Trace {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let text = match (self.heat, self.lathe, self.time) {
            (Some(heat), _, _) => of_heat(shop, &heat)?,
            (None, Some(lathe), Some(time)) => of_time(shop, &lathe, &time)?,
            _ => {
                return Err(Trouble::outside(
                    "nothing is to be traced",
                    "name lathe and time, or --heat",
                ));
            }
        };
        print(text.as_bytes())
    }
}

fn of_heat(shop: &Shop, heat: &str) -> Result<String, Trouble> {
    let runs = shop.open_to_read()?.bars_of_heat(heat).map_err(told)?;
    if shop.json {
        return Ok(json::text(&Value::Array(runs.iter().map(json_log::run).collect())));
    }
    Ok(term_log::bars(heat, &runs))
}

fn of_time(shop: &Shop, text: &str, time: &str) -> Result<String, Trouble> {
    let (log, live) = shop.live()?;
    let lathe = lathe(live.state(), text)?;
    let typed = stamp(time, log.now())?;
    // Who writes a minute means all of it.
    let time = if typed.ms() % 60_000 == 0 { typed + Lapse::from_ms(59_999) } else { typed };
    let traced = log.bar_at(&lathe, time).map_err(told)?;
    if shop.json {
        return Ok(json::text(&Value::Array(traced.iter().map(json_log::traced).collect())));
    }
    Ok(term_log::traced(&lathe, time, &traced, shop.units()) + &clock_caution(&log)?)
}

/// Events, newest last.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log list\n  barwright log list --lathe \"Lathe 1\" --kind stopped --since 2026-11-01"
)]
pub(super) struct List {
    /// At this lathe.
    #[arg(long, value_name = "LATHE")]
    lathe: Option<String>,
    /// Told for this job.
    #[arg(long, value_name = "JOB")]
    job: Option<String>,
    /// Of this kind.
    #[arg(long, value_name = "KIND", value_parser = What::KINDS)]
    kind: Option<String>,
    /// Since this time or day.
    #[arg(long, value_name = "TIME")]
    since: Option<String>,
    /// Until this time or day.
    #[arg(long, value_name = "TIME")]
    until: Option<String>,
    /// The newest so many.
    #[arg(long, value_name = "NUMBER", default_value_t = 20)]
    last: u32,
}

impl List {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let log = shop.open_to_read()?;
        let now = log.now();
        let time = |text: &Option<String>| text.as_ref().map(|text| stamp(text, now)).transpose();
        let named = |text: &Option<String>| text.as_ref().map(|text| name(text)).transpose();
        let kind =
            self.kind.as_ref().and_then(|kind| What::KINDS.into_iter().find(|it| it == kind));
        let query = Query {
            lathe: named(&self.lathe)?,
            job: named(&self.job)?,
            kind,
            since: time(&self.since)?,
            until: time(&self.until)?,
            last: Some(self.last),
            ..Query::default()
        };
        let events = log.events(&query).map_err(told)?;
        let corrections = log.corrections().map_err(told)?;
        let text = if shop.json {
            json::text(&json_log::events(&events, &corrections))
        } else {
            term_log::events(&events, &corrections, shop.units())
        };
        print(text.as_bytes())
    }
}
