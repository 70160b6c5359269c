//! `docs/handbook.md`, made from what `barwright handbook --json` says.

use crate::expect::{differs, root};
use assert_cmd::Command;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;

const HEAD: &str = "\
<!-- made from handbook/ and crates/calc -->
# The handbook of outside checks

Every value from outside that a formula of Barwright is held to, beside ours. `barwright handbook` shows the
same; `UPDATE_EXPECT=1 cargo test --test it` writes this page anew, and the test fails where it is stale.

*found*: the source was seen. *computed*: worked out apart from this code, by hand or by the scripts in
`handbook/made-by/`. *from memory*: the source is named, but was not seen. *common practice*: the trade
does so, and there is no source.
";

/// Held to one source only, for no second one is known that is not of the same book.
const ALONE: [&str; 1] = ["cutting.squeeze_factor"];

fn cases() -> Vec<Value> {
    let output = Command::cargo_bin("barwright")
        .expect("the program is built")
        .args(["handbook", "--json"])
        .output()
        .expect("the program runs");
    serde_json::from_slice(&output.stdout).expect("the output is JSON")
}

fn words<'v>(case: &'v Value, key: &str) -> &'v str {
    case[key].as_str().unwrap_or_default()
}

/// Eight digits, as many as tell two values apart here.
fn figure(value: &Value) -> String {
    let value = value.as_f64().expect("a figure");
    if value == 0.0 {
        return "0".to_owned();
    }
    let digits = 7 - value.abs().log10().floor() as i32;
    if (0..=12).contains(&digits) {
        let text = format!("{value:.*}", digits as usize);
        let text = if text.contains('.') {
            text.trim_end_matches('0').trim_end_matches('.')
        } else {
            &text
        };
        text.to_owned()
    } else {
        format!("{value:e}")
    }
}

fn cell(text: &str) -> String {
    text.replace('|', "\\|").replace('\n', " ")
}

fn row(case: &Value) -> String {
    let difference = case["difference"].as_f64().expect("a figure");
    let difference = if difference == 0.0 { "0".to_owned() } else { format!("{difference:.1e}") };
    let mut source = format!("{} ({})", words(case, "source"), words(case, "seen"));
    if let Some(why) = case["differs"].as_str() {
        let _ = write!(source, " **Differs on purpose:** {why}");
    }
    format!(
        "| {} | `{}` | {} | {} | {difference} | {} | {} | {} |\n",
        cell(words(case, "name")),
        words(case, "calculation"),
        figure(&case["published"]),
        figure(&case["ours"]),
        figure(&case["within"]),
        words(case, "unit"),
        cell(&source)
    )
}

/// Formulas and the different sources that each is held to.
fn sources(cases: &[Value]) -> BTreeMap<&str, BTreeSet<&str>> {
    let mut sources: BTreeMap<&str, BTreeSet<&str>> = BTreeMap::new();
    for case in cases {
        sources.entry(words(case, "calculation")).or_default().insert(words(case, "source"));
    }
    sources
}

#[test]
fn docs_hold_every_outside_check() {
    let cases = cases();
    let mut subjects: BTreeMap<&str, String> = BTreeMap::new();
    for case in &cases {
        *subjects.entry(words(case, "subject")).or_default() += &row(case);
    }
    let sources = sources(&cases);
    let once: Vec<&str> =
        sources.iter().filter(|(_, found)| found.len() < 2).map(|(name, _)| *name).collect();
    let mut page = HEAD.to_owned();
    let _ = write!(
        page,
        "\n{} checks of {} calculations. Held to one source only, so that a second one is wanted:\n",
        cases.len(),
        sources.len()
    );
    for name in &once {
        let _ = writeln!(page, "- `{name}`: {}", sources[name].iter().next().unwrap_or(&""));
    }
    for (subject, rows) in &subjects {
        let _ = write!(
            page,
            "\n## {subject}\n\n| check | calculation | published | ours | difference | within | unit | source |\n\
             |---|---|---|---|---|---|---|---|\n{rows}"
        );
    }
    let failures = differs(&root("docs/handbook.md"), &page);
    assert!(failures.is_none(), "{failures:?}");
}

#[test]
fn every_source_says_how_far_to_trust_it_and_few_stand_alone() {
    let cases = cases();
    for case in &cases {
        let seen = words(case, "seen");
        let known = ["found", "computed", "from memory", "common practice"].contains(&seen);
        assert!(known, "{case:#}");
    }
    let sources = sources(&cases);
    let alone = sources.iter().filter(|(_, found)| found.len() < 2).map(|(name, _)| *name);
    for name in alone {
        assert!(ALONE.contains(&name), "{name} is held to one source only: add a second one");
    }
}
