//! `barwright handbook`.

use super::{Ended, Outcome, Trouble, print};
use crate::json;
use calc::registry::{self, Given};
use clap::Args;
use include_dir::{Dir, include_dir};
use serde_json::{Value, json};
use std::fmt::Write as _;

static HANDBOOK: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/handbook");

/// Show every outside check: the published value, ours, the difference and the source.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright handbook --json")]
pub(super) struct Handbook {
    /// Print as JSON.
    #[arg(long)]
    json: bool,
}

/// One published value beside ours.
struct Case {
    subject: String,
    name: String,
    calculation: String,
    published: f64,
    ours: f64,
    within: f64,
    unit: String,
    source: String,
    seen: String,
    differs: Option<String>,
}

impl Case {
    fn holds(&self) -> bool {
        let near = (self.ours - self.published).abs() <= self.within;
        near != self.differs.is_some()
    }

    fn value(&self) -> Value {
        json!({
            "subject": self.subject, "name": self.name, "calculation": self.calculation, "published": self.published,
            "ours": self.ours, "difference": self.ours - self.published, "within": self.within,
            "unit": self.unit, "source": self.source, "seen": self.seen,
            "differs": self.differs, "holds": self.holds(),
        })
    }
}

impl Handbook {
    pub(super) fn run(self) -> Ended {
        let mut cases = Vec::new();
        for file in HANDBOOK.files() {
            let subject = file.path().with_extension("").display().to_string();
            let text = file.contents_utf8().unwrap_or_default();
            cases.extend(read(&subject, text)?);
        }
        let text = if self.json {
            json::text(&cases.iter().map(Case::value).collect())
        } else {
            shown(&cases)
        };
        print(text.as_bytes())?;
        Ok(if cases.iter().all(Case::holds) { Outcome::Fine } else { Outcome::Stop })
    }
}

fn read(subject: &str, text: &str) -> Result<Vec<Case>, Trouble> {
    let broken =
        |why: String| Trouble::outside(format!("handbook {subject}: {why}"), "mend its file");
    let table: toml::Table = text.parse().map_err(|error| broken(format!("{error}")))?;
    let cases = table.get("case").and_then(toml::Value::as_array).cloned().unwrap_or_default();
    cases.iter().map(|case| one(subject, case).map_err(broken)).collect()
}

fn one(subject: &str, case: &toml::Value) -> Result<Case, String> {
    let words =
        |key: &str| case.get(key).and_then(toml::Value::as_str).unwrap_or_default().to_owned();
    let name = words("name");
    let number =
        |key: &str| figure(case.get(key)).ok_or_else(|| format!("{name}: no figure `{key}`"));
    let given = case.get("given").and_then(toml::Value::as_table).cloned().unwrap_or_default();
    let given: Given = given.iter().map(|(key, value)| (key.clone(), plain(value))).collect();
    let ours = registry::calculate_in(&words("calc"), &given, &words("unit"))
        .map_err(|error| format!("{name}: {error}"))?;
    Ok(Case {
        subject: subject.to_owned(),
        calculation: words("calc"),
        published: number("expect")?,
        ours,
        within: number("within")?,
        unit: words("unit"),
        source: words("source"),
        seen: words("seen"),
        differs: case.get("differs").and_then(toml::Value::as_str).map(str::to_owned),
        name: words("name"),
    })
}

fn figure(value: Option<&toml::Value>) -> Option<f64> {
    plain(value?).parse().ok()
}

fn plain(value: &toml::Value) -> String {
    value.as_str().map_or_else(|| value.to_string(), str::to_owned)
}

fn shown(cases: &[Case]) -> String {
    let mut text = String::new();
    for case in cases {
        let holds = if case.holds() { "holds" } else { "MISSES" };
        let _ = writeln!(text, "{holds}  {}: {}", case.subject, case.name);
        let _ = writeln!(
            text,
            "       published {} {}, ours {:.6}, difference {:.2e}, within {}",
            case.published,
            case.unit,
            case.ours,
            case.ours - case.published,
            case.within
        );
        if let Some(why) = &case.differs {
            let _ = writeln!(text, "       differs on purpose: {why}");
        }
        let _ = writeln!(text, "       {} ({})", case.source, case.seen);
    }
    let held = cases.iter().filter(|case| case.holds()).count();
    let _ = writeln!(text, "{held} of {} outside checks hold", cases.len());
    text
}
