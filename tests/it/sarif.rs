//! Findings as SARIF, held to the schema of the OASIS (see tests/data/README.md).

use crate::expect::root;
use assert_cmd::Command;
use serde_json::Value;
use std::fs;

fn sarif(program: &str) -> Value {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("typed by hand.nc");
    fs::write(&path, program).unwrap();
    let output = Command::cargo_bin("barwright")
        .unwrap()
        .current_dir(root(""))
        .arg("prove")
        .arg(&path)
        .args(["--job", "demo/detent-pin/detent-pin.job.toml", "--format", "sarif"])
        .output()
        .unwrap();
    serde_json::from_slice(&output.stdout).expect("the output is JSON")
}

fn schema() -> jsonschema::Validator {
    let text = fs::read_to_string(root("tests/data/sarif-schema-2.1.0.json")).unwrap();
    // The published pattern of languages has a stray bracket that strict engines refuse.
    let mended = text.replace("-[a-zA-Z]{2}]?$", "-[a-zA-Z]{2}$");
    assert_ne!(mended, text);
    let schema: Value = serde_json::from_str(&mended).unwrap();
    assert!(schema["title"].as_str().unwrap().contains("Version 2.1.0"));
    jsonschema::validator_for(&schema).expect("the schema is a schema")
}

#[test]
fn findings_are_valid_sarif_with_the_place_of_the_word() {
    let log = sarif("O1\nG21 G97 S2000 M3\nG4 X3.\nM11\nGO X50\nM30\n");
    let schema = schema();
    let errors: Vec<_> = schema.iter_errors(&log).map(|error| error.to_string()).collect();
    assert!(errors.is_empty(), "{errors:#?}");
    let results = log["runs"][0]["results"].as_array().unwrap();
    let found = |id: &str| results.iter().find(|one| one["ruleId"] == id).unwrap();
    let open = &found("chuck-opens-while-turning");
    assert_eq!(open["level"], "error");
    let region = &open["locations"][0]["physicalLocation"]["region"];
    assert_eq!(
        (&region["startLine"], &region["startColumn"], &region["endColumn"]),
        (&4.into(), &1.into(), &4.into())
    );
    let letter = &found("letter-o-for-zero")["locations"][0]["physicalLocation"]["region"];
    assert_eq!((&letter["startLine"], &letter["startColumn"]), (&5.into(), &2.into()));
    let rules = log["runs"][0]["tool"]["driver"]["rules"].as_array().unwrap();
    for result in results {
        let index = result["ruleIndex"].as_u64().unwrap() as usize;
        assert_eq!(rules[index]["id"], result["ruleId"]);
    }
}

#[test]
fn the_schema_test_can_fail() {
    let mut log = sarif("O1\nM30\n");
    log["runs"][0]["results"] = "none".into();
    assert!(!schema().is_valid(&log));
}
