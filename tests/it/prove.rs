//! `prove`, `explain` and `handbook` through the built program.

use crate::ran::run;
use serde_json::Value;
use std::fs;
use std::path::Path;

const JOB: &str = "demo/detent-pin/detent-pin.job.toml";

/// Opens the chuck while the spindle turns.
const OPENS_TURNING: &str = "O1\nG21 G97 S2000 M3\nG4 X3.\nM11\nM30\n";

fn write(folder: &Path, name: &str, text: &str) -> String {
    let path = folder.join(name);
    fs::write(&path, text).unwrap();
    path.display().to_string()
}

fn json(text: &str) -> Value {
    serde_json::from_str(text).expect("the output is JSON")
}

#[test]
fn a_stop_ends_with_one_and_tells_where_when_and_the_remedy() {
    let folder = tempfile::tempdir().unwrap();
    let program = write(folder.path(), "hand.nc", OPENS_TURNING);
    let (code, text, _) = run(&["prove", &program, "--job", JOB]);
    assert_eq!(code, 1, "{text}");
    assert!(text.starts_with("stop; "), "the verdict comes first:\n{text}");
    assert!(text.contains("stop[chuck-opens-while-turning]"), "{text}");
    assert!(text.contains("hand.nc:4:1\n"), "{text}");
    assert!(text.contains("= when: ") && text.contains("= help: "), "{text}");
    assert!(text.contains("\nUnproven, because "), "{text}");
    assert!(!text.contains('\u{1b}'), "no color in a pipe");
}

#[test]
fn what_is_not_given_is_unproven_and_never_plainly_clear() {
    let (code, text, _) =
        run(&["prove", "demo/detent-pin/expected/O2080.nc", "--bar", "12x1000mm"]);
    assert_eq!(code, 0, "{text}");
    assert!(text.starts_with("clear in what was checked; "), "{text}");
    for missing in ["the lathe file is not given", "the gripper file is not given"] {
        assert!(text.contains(missing), "{missing} in {text}");
    }
}

#[test]
fn tools_that_no_file_names_are_told_from_the_program() {
    let program = "demo/detent-pin/expected/O2080.nc";
    let control = "demo/detent-pin/control.toml";
    let bare =
        json(&run(&["prove", program, "--bar", "12x1000mm", "--control", control, "--json"]).1);
    let whole = json(&run(&["prove", program, "--job", JOB, "--json"]).1);
    assert!(whole["parts"].as_u64().unwrap() > 1);
    assert_eq!(bare["parts"], whole["parts"]);
    assert_eq!(bare["count"]["kind"], whole["count"]["kind"]);
}

#[test]
fn json_has_every_field_that_scripts_rely_on() {
    let folder = tempfile::tempdir().unwrap();
    let program = write(folder.path(), "hand.nc", OPENS_TURNING);
    let (code, text, _) = run(&["prove", &program, "--job", JOB, "--json"]);
    assert_eq!(code, 1);
    let proof = json(&text);
    let has = |value: &Value, keys: &[&str]| {
        for key in keys {
            assert!(value.get(key).is_some(), "`{key}` in {value:#}");
        }
    };
    has(&proof, &["verdict", "parts", "ended_by", "time_s", "cycle_s", "remnant_mm", "count"]);
    has(&proof["count"], &["kind", "survives_reset", "worst_error"]);
    let keys = ["id", "level", "file", "line", "column", "cycle", "at_s", "message", "remedy"];
    has(&proof["findings"][0], &keys);
    has(&proof["unproven"][0], &["what", "why"]);
    has(&proof["stops"][0], &["file", "line", "cycle", "parts", "chuck_open", "advice"]);
    assert_eq!(proof["files"], serde_json::json!([program]));
    assert_eq!(run(&["prove", &program, "--job", JOB, "--format", "json"]).1, text);
}

#[test]
fn stops_are_told_by_line_with_what_holds_the_bar() {
    let program = "demo/detent-pin/expected/O2080.nc";
    let arguments = ["prove", program, "--job", JOB];
    let (_, text, _) = run(&arguments);
    assert!(!text.contains("from the top:"), "only when asked for");
    let (code, text, _) = run(&[&arguments[..], &["--stops"]].concat());
    assert_eq!(code, 0);
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for told in [
        "Cycle 2 ",
        "the chuck holds the bar",
        "ONLY THE GRIPPER holds the bar",
        "from the top: DANGER, ",
    ] {
        assert!(text.contains(told), "{told} in {text}");
    }
}

#[test]
fn a_subprogram_is_taken_from_the_folder_of_the_main_program() {
    let folder = tempfile::tempdir().unwrap();
    let main = write(folder.path(), "main.nc", "O1\nM98 P20\nM30\n");
    let missing = |arguments: &[&str]| run(arguments).1.contains("program-missing");
    assert!(missing(&["prove", &main, "--job", JOB]));
    write(folder.path(), "notes.txt", "call O20 with M98 P20");
    assert!(missing(&["prove", &main, "--job", JOB]), "notes are no program");
    // The first subprogram's file sorts after that of the one it calls.
    write(folder.path(), "a.nc", "%\nO30\nM99\n%\n");
    let sub = write(folder.path(), "b.nc", "O20\nM98 P30\nM99\n");
    let (_, text, _) = run(&["prove", &main, "--job", JOB]);
    assert!(!text.contains("program-missing"), "{text}");
    assert!(text.contains(&format!("{sub}, found beside the main program")), "{text}");
    let copy = write(folder.path(), "b-old.nc", "O20\nM99\n");
    let (code, _, message) = run(&["prove", &main, "--job", JOB]);
    assert_eq!(code, 2);
    let unclear = format!("both {copy} and {sub} hold the called program O20");
    assert!(message.contains(&unclear), "{message}");
    assert!(!missing(&["prove", &main, &sub, "--job", JOB]), "a file that is named is taken");
}

#[test]
fn wrong_input_of_a_proof_ends_with_two() {
    let program = "demo/detent-pin/expected/O2080.nc";
    for (arguments, said) in [
        (vec!["prove", "demo/detent-pin/expected/O2081.cn"], "there is no file"),
        (vec!["prove", program, "--bar", "12x1000"], "12x1000 is not a bar"),
        (vec!["prove", program, "--bar", "12x-3mm"], "12x-3mm is not a bar"),
        (vec!["prove", program, "--lathe", JOB], "error"),
        (vec!["prove"], "Usage"),
    ] {
        let (code, out, message) = run(&arguments);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}");
        assert!(message.contains(said), "{message}");
    }
}

#[test]
fn explain_has_every_finding_and_knows_near_names() {
    let (code, list, _) = run(&["explain"]);
    assert_eq!(code, 0);
    let of_proof = prove::checks::own().map(|check| (check.id, check.page));
    let of_plan = plan::checks::own().map(|check| (check.id, check.page));
    let pages: Vec<_> = of_proof.chain(of_plan).collect();
    assert_eq!(list.lines().count(), pages.len());
    for (id, page) in &pages {
        assert!(list.contains(id), "{id}");
        let (code, text, _) = run(&["explain", id]);
        assert_eq!(code, 0);
        assert!(text.ends_with(page), "{id}");
    }
    // Whatever a plan or a proof can find has a page, its own or the other's.
    let ids = plan::checks::ALL.iter().map(|check| check.id);
    for id in ids.chain(prove::checks::ALL.iter().map(|check| check.id)) {
        assert_eq!(run(&["explain", id]).0, 0, "{id}");
    }
    let listed = json(&run(&["explain", "--json"]).1);
    assert_eq!(listed.as_array().unwrap().len(), pages.len());
    let (code, _, message) = run(&["explain", "chuck-opens-while-turnin"]);
    assert_eq!(code, 2);
    assert!(message.contains("chuck-opens-while-turning"), "{message}");
}

#[test]
fn every_outside_check_of_the_handbook_holds_and_names_its_source() {
    let (code, text, _) = run(&["handbook", "--json"]);
    assert_eq!(code, 0);
    let cases = json(&text);
    let cases = cases.as_array().unwrap();
    assert!(cases.len() >= 50, "the handbook is inside the program");
    for case in cases {
        assert_eq!(case["holds"], true, "{case:#}");
        assert!(!case["source"].as_str().unwrap().is_empty(), "{case:#}");
        assert!(case["published"].is_number() && case["ours"].is_number(), "{case:#}");
    }
}

#[test]
fn a_stopped_plan_warns_of_the_programs_of_an_earlier_one() {
    let folder = tempfile::tempdir().unwrap();
    let work = folder.path().join("bushing").display().to_string();
    run(&["new", &work]);
    let job = format!("{work}/bushing.job.toml");
    let (code, text, _) = run(&["plan", &job]);
    assert_eq!(code, 0, "{text}");
    let longer = fs::read_to_string(&job).unwrap().replace("\nlength = 600", "\nlength = 900");
    fs::write(&job, longer).unwrap();
    let (code, text, _) = run(&["plan", &job, "--force"]);
    assert_eq!(code, 1, "{text}");
    assert!(text.contains("O1001.nc is from an earlier plan: do not run it."), "{text}");
    #[cfg(feature = "sheets")]
    assert!(text.contains("sheet.pdf is from an earlier plan: do not set up by it."), "{text}");
}
