//! Parts to an advance, from the job file to the proof of what was written.

use crate::expect::{files_under, root};
use crate::ran::run;
use serde_json::Value;
use std::fs;

#[test]
fn a_chosen_number_is_planned_written_and_proven() {
    let folder = tempfile::tempdir().unwrap();
    for file in files_under(&root("demo/lamp-spacer"), "toml") {
        fs::copy(&file, folder.path().join(file.file_name().unwrap())).unwrap();
    }
    let job = folder.path().join("lamp-spacer.job.toml");
    let text = fs::read_to_string(&job).unwrap();
    assert_eq!(text.matches("\nparts = 2 ").count(), 1);
    fs::write(&job, text.replace("\nparts = 2 ", "\nmost_parts = 4 ")).unwrap();
    let (job, out) = (job.display().to_string(), folder.path().join("out").display().to_string());

    let (code, text, said) = run(&["plan", &job, "--json", "--no-sheet", "--out", &out]);
    assert_eq!(code, 0, "{text}{said}");
    let answer: Value = serde_json::from_str(&text).unwrap();
    let advances = answer["advances"].as_array().unwrap();
    let fit = advances.iter().filter(|it| it["new"].as_array().unwrap().is_empty());
    let quickest = fit.min_by(|one, other| {
        one["part_s"].as_f64().unwrap().total_cmp(&other["part_s"].as_f64().unwrap())
    });
    let parts = &quickest.unwrap()["parts"];
    assert_eq!(parts, 3, "{advances:#?}");
    assert_eq!(&answer["bar"]["parts_per_advance"], parts);
    for key in ["part_s", "parts_per_bar", "remnant_mm", "stick_out_mm", "verdict", "worst"] {
        assert!(advances.iter().all(|it| !it[key].is_null()), "{key}");
    }

    // Proven against the job file again, which leaves the number open there too.
    let program = answer["program"]["path"].as_str().unwrap();
    let (code, text, said) = run(&["prove", program, "--job", &job, "--format", "json"]);
    assert_eq!(code, 0, "{text}{said}");
    let proof: Value = serde_json::from_str(&text).unwrap();
    assert_eq!(proof["parts"], answer["bar"]["parts_per_bar"]);
    assert_eq!(proof["verdict"], answer["proof"]["verdict"]);

    let (_, text, _) = run(&["plan", &job, "--no-sheet", "--out", &out, "--force"]);
    assert!(text.contains("3 parts to an advance, chosen of up to 4"), "{text}");
    assert!(text.contains("This job's 3 parts to an advance: quickest of those"), "{text}");
}
