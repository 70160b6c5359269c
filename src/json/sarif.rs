//! Findings as SARIF 2.1.0, the open format of the OASIS for results of analysis.

use crate::pages::{self, Page};
use model::finding::Place;
use model::{Finding, Level};
use serde_json::{Value, json};

/// The log of one proof.
pub fn sarif(findings: &[Finding], version: &str) -> Value {
    json!({
        "$schema": "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json",
        "version": "2.1.0",
        "runs": [{
            "tool": { "driver": {
                "name": "barwright",
                "semanticVersion": version,
                "rules": pages::of_proof().iter().map(rule).collect::<Vec<_>>(),
            }},
            "columnKind": "unicodeCodePoints",
            "results": findings.iter().map(result).collect::<Vec<_>>(),
        }],
    })
}

fn rule(page: &Page) -> Value {
    json!({
        "id": page.id,
        "shortDescription": { "text": page.title() },
        "fullDescription": { "text": page.section("What it sees") },
        "help": { "text": page.section("Remedy"), "markdown": page.text },
        "defaultConfiguration": { "level": level(page.level) },
    })
}

const fn level(level: Level) -> &'static str {
    match level {
        Level::Stop => "error",
        Level::Caution => "warning",
        Level::Note => "note",
    }
}

fn result(finding: &Finding) -> Value {
    let index = pages::of_proof().iter().position(|page| page.id == finding.id);
    let mut result = json!({
        "ruleId": finding.id,
        "level": level(finding.level),
        "message": { "text": format!("{} {}", finding.message, finding.remedy) },
        "locations": [location(&finding.place)],
        "properties": { "cycle": finding.cycle, "at_s": finding.at_s, "cycles": finding.times },
    });
    if let (Some(index), Some(result)) = (index, result.as_object_mut()) {
        result.insert("ruleIndex".to_owned(), json!(index));
    }
    result
}

fn location(place: &Place) -> Value {
    let start = place.start();
    let end = place.source.locate(place.span.end.max(place.span.start));
    json!({
        "physicalLocation": {
            "artifactLocation": { "uri": uri(place.source.name()) },
            "region": {
                "startLine": start.line,
                "startColumn": start.column,
                "endLine": end.line,
                "endColumn": end.column,
            },
        },
    })
}

/// A path as a relative URI reference: everything but letters, digits and `-._~/` escaped.
fn uri(path: &str) -> String {
    let mut uri = String::new();
    for byte in path.replace('\\', "/").bytes() {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            uri.push(char::from(byte));
        } else {
            uri.push_str(&format!("%{byte:02X}"));
        }
    }
    uri
}
