//! `prove --picture`: the cross-section of a block, through the built program.

use crate::expect::root;
use assert_cmd::Command;
use std::fs;
use std::path::Path;

const JOB: &str = "demo/detent-pin/detent-pin.job.toml";
const PROGRAM: &str = "demo/detent-pin/expected/O2080.nc";

/// Exit code, standard output and standard error of a picture of the demo.
fn picture(arguments: &[&str]) -> (i32, String, String) {
    let output = Command::cargo_bin("barwright")
        .expect("the program is built")
        .current_dir(root(""))
        .args(["prove", PROGRAM, "--job", JOB])
        .args(arguments)
        .output()
        .expect("the program runs");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("the output is UTF-8");
    (output.status.code().unwrap_or(-1), text(output.stdout), text(output.stderr))
}

/// The line of the demo's program that holds a text.
fn line_of(text: &str) -> String {
    let program = fs::read_to_string(root(PROGRAM)).unwrap();
    let line = program.lines().position(|line| line.contains(text)).expect("the demo has it");
    (line + 1).to_string()
}

fn drawn(folder: &Path, arguments: &[&str]) -> String {
    let path = folder.join("block.svg").display().to_string();
    let (code, text, error) = picture(&[arguments, &["--out", &path, "--force"]].concat());
    assert_eq!(code, 0, "{text}{error}");
    assert!(text.ends_with(&format!("wrote {path}\n")), "{text}");
    fs::read_to_string(path).unwrap()
}

#[test]
fn a_block_is_drawn_with_what_it_takes_off_the_bar() {
    let folder = tempfile::tempdir().unwrap();
    let parting = drawn(folder.path(), &["--picture", &line_of("X-0.4 F0.06")]);
    assert!(!parting.contains(" 0.00 s"), "a cut takes time: {parting}");
    assert!(parting.contains("Cycle 2") && parting.contains("the part that falls"), "{parting}");
    for class in ["bar", "taken", "edge", "jaws", "feed", "axis"] {
        assert!(parting.contains(&format!("class=\"{class}\"")), "{class} in {parting}");
    }
    let rapid = drawn(folder.path(), &["--picture", &line_of("G0 X8.38"), "--cycle", "3"]);
    assert!(rapid.contains("Cycle 3") && rapid.contains("Takes nothing"), "{rapid}");
    assert!(rapid.contains("class=\"rapid\"") && !rapid.contains("class=\"taken\""), "{rapid}");
    // In front of the loop there is the first cycle only.
    let first = drawn(folder.path(), &["--picture", &line_of("G99 G1 X-0.8 F0.09")]);
    assert!(first.contains("Cycle 1"), "{first}");
}

#[test]
fn what_cannot_be_drawn_is_said_and_nothing_is_overwritten() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("block.svg").display().to_string();
    for (block, said) in [
        ("0", "there is no block at 0"),
        ("99999", "there is no block at 99999"),
        ("O9.nc:3", "there is no block at O9.nc:3"),
        ("3", "line 3 of O2080.nc moves nothing"),
    ] {
        let (code, _, error) = picture(&["--picture", block, "--out", &path]);
        assert_eq!(code, 2, "{error}");
        assert!(error.contains(said), "{said} in {error}");
        assert!(!Path::new(&path).exists());
    }
    fs::write(&path, "mine").unwrap();
    let (code, _, error) = picture(&["--picture", &line_of("X-0.4 F0.06"), "--out", &path]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("is there already"), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine");
}
