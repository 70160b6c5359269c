//! Corrections.

use super::book::Teller;
use super::given::{Shop, name, told};
use crate::commands::{Ended, Trouble};
use clap::Args;
use model::record::{Recorded, What};
use runlog::wire;
use serde_json::Value;

/// Correct what an earlier event says. The event stays; what it says is told anew.
///
/// Keys are those of the log's lines (`barwright log list --json` shows them under `detail`): lengths are whole
/// nanometers there, or are given with their unit.
#[derive(Debug, Args)]
#[command(after_help = "Examples:\n  barwright log correct 5f0c2a parts=11\n  \
        barwright log correct 5f0c2a heat=\"A 7713\" length_nm=998mm")]
pub(super) struct Correct {
    /// The id of the event, or how it begins.
    #[arg(value_name = "ID")]
    event: String,
    /// What it should say; a key without a value is taken out.
    #[arg(value_name = "KEY=VALUE", required = true)]
    changes: Vec<String>,
    #[command(flatten)]
    teller: Teller,
}

impl Correct {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let wrong = find(book.log(), &self.event)?;
        let said = book.says(&wrong);
        let mut detail = wire::detail(&said);
        for change in &self.changes {
            apply(shop, &mut detail, change)?;
        }
        let instead = wire::what(said.kind(), &detail).map_err(|wrong| {
            Trouble::outside(format!("`{}` {}", wrong.key, wrong.message), wrong.mend)
        })?;
        let event = &wrong.event;
        let what = What::Corrected { event: event.id.clone(), instead: Some(Box::new(instead)) };
        book.tell(event.lathe.as_ref(), event.job.as_ref(), what);
        book.close()
    }
}

fn apply(shop: &Shop, detail: &mut Value, change: &str) -> Result<(), Trouble> {
    let (key, text) = change.split_once('=').ok_or_else(|| {
        Trouble::outside(format!("{change} is no change"), "write KEY=VALUE, such as parts=11")
    })?;
    let value = if text.is_empty() {
        Value::Null
    } else if key.ends_with("_nm") && text.parse::<i64>().is_err() {
        shop.length(text)?.nm().into()
    } else {
        text.parse::<i64>().map_or_else(|_| Value::String(text.to_owned()), Value::from)
    };
    if let Some(map) = detail.as_object_mut() {
        // A heat number of digits alone is a text where the event has a text.
        let value = match (map.get(key), &value) {
            (Some(Value::String(_)), Value::Number(_)) => Value::String(text.to_owned()),
            _ => value,
        };
        if value.is_null() {
            map.remove(key);
        } else {
            map.insert(key.to_owned(), value);
        }
    }
    Ok(())
}

/// Take an event back: it did not happen. The event stays in the log, and counts no more.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log withdraw 5f0c2a --note \"tapped twice\"")]
pub(super) struct Withdraw {
    /// The id of the event, or how it begins.
    #[arg(value_name = "ID")]
    event: String,
    #[command(flatten)]
    teller: Teller,
}

impl Withdraw {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let wrong = find(book.log(), &self.event)?.event;
        let what = What::Corrected { event: wrong.id.clone(), instead: None };
        book.tell(wrong.lathe.as_ref(), wrong.job.as_ref(), what);
        book.close()
    }
}

/// The event of an id, or the only one whose id begins so.
fn find(log: &runlog::Log, text: &str) -> Result<Recorded, Trouble> {
    let id = name(text)?;
    let found = log.events_that_begin(&id).map_err(told)?;
    match found.as_slice() {
        [one] => Ok(one.clone()),
        [] => Err(Trouble::outside(
            format!("the log has no event {id}"),
            "`barwright log list` shows the ids",
        )),
        [one, other, ..] => Err(Trouble::outside(
            format!("several ids begin with {id}, such as {} and {}", one.event.id, other.event.id),
            "write more of it",
        )),
    }
}
