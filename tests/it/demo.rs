//! The demo jobs through the built program: planned, then proven again from the files written.

use crate::expect::{differs, root};
use assert_cmd::Command;
use serde_json::Value;
use std::fs;
use std::path::Path;

const DEMOS: [(&str, &str); 2] = [("detent-pin", "O2080.nc"), ("lamp-spacer", "O07410.nc")];

fn barwright(arguments: &[&str]) -> (i32, Vec<u8>) {
    let output = Command::cargo_bin("barwright")
        .expect("the program is built")
        .current_dir(root(""))
        .args(arguments)
        .output()
        .expect("the program runs");
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    (output.status.code().unwrap_or(-1), output.stdout)
}

fn json(arguments: &[&str]) -> Value {
    let (code, out) = barwright(arguments);
    assert_eq!(code, 0, "{}", String::from_utf8_lossy(&out));
    serde_json::from_slice(&out).expect("the output is JSON")
}

fn job(name: &str) -> String {
    format!("demo/{name}/{name}.job.toml")
}

#[test]
fn both_demos_are_clear_and_their_programs_prove_to_the_same() {
    for (name, main) in DEMOS {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_str().unwrap();
        let plan = json(&["plan", &job(name), "--json", "--out", out]);
        assert_eq!(plan["verdict"], "clear", "{name}");
        let program = plan["program"]["path"].as_str().unwrap();
        assert!(program.ends_with(main), "{program}");
        let proof = json(&["prove", program, "--job", &job(name), "--json"]);
        assert_eq!(proof["verdict"], "clear");
        assert_eq!(proof["parts"], plan["bar"]["parts_per_bar"]);
        assert_eq!(proof["remnant_mm"], plan["bar"]["remnant_mm"]);
        assert_eq!(proof["ended_by"], "count");
        let seconds = |value: &Value| value.as_f64().unwrap();
        assert!((seconds(&proof["time_s"]) - seconds(&plan["time"]["bar_s"])).abs() <= 0.002);
        assert!((seconds(&proof["cycle_s"]) - seconds(&plan["time"]["cycle_s"])).abs() <= 0.002);
        assert!(
            !proof["unproven"].as_array().unwrap().is_empty(),
            "collisions cannot be proven yet"
        );
        let failures = snapshots(name, folder.path());
        assert!(failures.is_empty(), "{}", failures.join("\n"));
    }
}

/// Programs and picture are held to the files that stand in `expected/`, which were read before.
fn snapshots(name: &str, folder: &Path) -> Vec<String> {
    let expected = root(&format!("demo/{name}/expected"));
    fs::create_dir_all(&expected).unwrap();
    let mut failures = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let file = path.file_name().unwrap();
        if path.extension().is_some_and(|end| end == "nc" || end == "svg") {
            let text = fs::read_to_string(&path).unwrap();
            failures.extend(differs(&expected.join(file), &text));
        }
    }
    failures
}

#[test]
fn a_plan_says_the_same_every_time_and_overwrites_nothing_of_a_person() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let arguments = ["plan", &job("detent-pin"), "--out", out];
    let first = barwright(&arguments);
    assert_eq!(first, barwright(&arguments));
    fs::write(folder.path().join("O2080.nc"), "changed by hand").unwrap();
    let output = Command::cargo_bin("barwright")
        .unwrap()
        .current_dir(root(""))
        .args(arguments)
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(fs::read_to_string(folder.path().join("O2080.nc")).unwrap(), "changed by hand");
}

#[test]
fn a_job_with_a_stop_gets_no_program() {
    let folder = tempfile::tempdir().unwrap();
    for entry in
        fs::read_dir(root("demo/detent-pin")).unwrap().flatten().filter(|one| one.path().is_file())
    {
        fs::copy(entry.path(), folder.path().join(entry.file_name())).unwrap();
    }
    let job = folder.path().join("detent-pin.job.toml");
    let text = fs::read_to_string(&job).unwrap().replace("\nlength = 1000 ", "\nlength = 1400 ");
    fs::write(&job, text).unwrap();
    let (code, out) = barwright(&["plan", job.to_str().unwrap(), "--json"]);
    let plan: Value = serde_json::from_slice(&out).unwrap();
    assert_eq!(code, 1);
    assert_eq!(plan["verdict"], "stop");
    assert_eq!(plan["program"]["path"], Value::Null);
    assert_eq!(plan["findings"][0]["id"], "bar-behind-spindle");
    let written = fs::read_dir(folder.path().join("detent-pin.out")).unwrap().flatten();
    assert!(written.into_iter().all(|file| !file.file_name().to_string_lossy().ends_with(".nc")));
}
