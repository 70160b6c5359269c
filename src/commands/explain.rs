//! `barwright explain FINDING`.

use super::{Ended, Trouble, print};
use crate::files::near;
use crate::json;
use crate::pages::{self, Page};
use clap::Args;
use serde_json::json;
use std::fmt::Write as _;

/// Say what a finding means, why it hurts and how to mend it; without a name, list them all.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright explain chuck-opens-while-turning")]
pub(super) struct Explain {
    /// The finding's name.
    #[arg(value_name = "FINDING")]
    id: Option<String>,
    /// Print as JSON.
    #[arg(long)]
    json: bool,
}

impl Explain {
    pub(super) fn run(self) -> Ended {
        let Some(id) = &self.id else { return print(self.list().as_bytes()) };
        let Some(page) = pages::all().find(|page| page.id == id) else { return Err(unknown(id)) };
        let text = if self.json { json::text(&value(&page)) } else { shown(&page) };
        print(text.as_bytes())
    }

    fn list(&self) -> String {
        if self.json {
            return json::text(&pages::all().map(|page| value(&page)).collect());
        }
        let mut text = String::new();
        for page in pages::all() {
            let _ = writeln!(text, "{:8} {:32} {}", page.level.word(), page.id, page.title());
        }
        text
    }
}

fn value(page: &Page) -> serde_json::Value {
    json!({
        "id": page.id,
        "level": page.level.word(),
        "title": page.title(),
        "page": page.text,
    })
}

fn shown(page: &Page) -> String {
    format!("{} (at most a {})\n\n{}", page.id, page.level.word(), page.text)
}

fn unknown(id: &str) -> Trouble {
    let help = match near(id, pages::all().map(|page| page.id)).as_slice() {
        [] => "`barwright explain` lists them all".to_owned(),
        [one] => format!("the nearest name is {one}"),
        some => format!("near names are {}", some.join(", ")),
    };
    Trouble::outside(format!("there is no finding {id}"), help)
}
