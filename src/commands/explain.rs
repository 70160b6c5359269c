//! `barwright explain FINDING`.

use super::{Ended, Trouble, print};
use crate::files::near;
use crate::json;
use clap::Args;
use prove::checks::{self, Check};
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
        let Some(check) = checks::find(id) else { return Err(unknown(id)) };
        let text = if self.json { json::text(&value(check)) } else { page(check) };
        print(text.as_bytes())
    }

    fn list(&self) -> String {
        if self.json {
            return json::text(&checks::ALL.iter().map(value).collect());
        }
        let mut text = String::new();
        for check in checks::ALL {
            let _ = writeln!(text, "{:8} {:32} {}", check.level.word(), check.id, check.title());
        }
        text
    }
}

fn value(check: &Check) -> serde_json::Value {
    json!({
        "id": check.id,
        "level": check.level.word(),
        "title": check.title(),
        "page": check.page,
    })
}

fn page(check: &Check) -> String {
    format!("{} (at most a {})\n\n{}", check.id, check.level.word(), check.page)
}

fn unknown(id: &str) -> Trouble {
    let help = match near(id, checks::ALL.iter().map(|check| check.id)).as_slice() {
        [] => "`barwright explain` lists them all".to_owned(),
        [one] => format!("the nearest name is {one}"),
        some => format!("near names are {}", some.join(", ")),
    };
    Trouble::outside(format!("there is no finding {id}"), help)
}
