//! Journeys through the built program.

use assert_cmd::Command;
use barwright::files::Disk;
use model::files::Job;
use std::path::Path;
use std::{fs, str};

const COMMANDS: [&str; 15] = [
    "new",
    "outline",
    "plan",
    "prove",
    "stock",
    "visits",
    "quote",
    "loading",
    "log",
    "serve",
    "explain",
    "handbook",
    "schema",
    "completions",
    "man",
];

fn barwright(arguments: &[&str]) -> Command {
    let mut command = Command::cargo_bin("barwright").expect("the program is built");
    command.args(arguments).env_remove("NO_COLOR");
    command
}

/// Standard output of a run that ends well.
fn said(arguments: &[&str]) -> String {
    let output = barwright(arguments).assert().code(0).get_output().stdout.clone();
    String::from_utf8(output).expect("the answer is UTF-8")
}

/// Standard error of a run that ends with exit code 2.
fn refused(arguments: &[&str]) -> String {
    let assert = barwright(arguments).assert().code(2);
    let output = assert.get_output();
    assert_eq!(str::from_utf8(&output.stdout), Ok(""), "no answer beside the refusal");
    String::from_utf8(output.stderr.clone()).expect("the message is UTF-8")
}

fn in_folder(folder: &Path, name: &str) -> String {
    folder.join(name).display().to_string()
}

#[test]
fn help_names_every_command_and_each_has_an_example() {
    let help = said(&["--help"]);
    for command in COMMANDS {
        assert!(help.contains(&format!("\n  {command} ")), "{command} stands in the help:\n{help}");
        let help = said(&[command, "--help"]);
        assert!(help.contains("Example"), "{command} has an example:\n{help}");
        assert!(
            help.contains(&format!("barwright {command} ")),
            "{command}'s example runs it:\n{help}"
        );
    }
}

#[test]
fn no_command_is_missing_from_these_tests() {
    let help = said(&["--help"]);
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let listed: Vec<_> = listed
        .take_while(|line| !line.is_empty())
        .filter(|line| line.starts_with("  ") && !line.starts_with("   "))
        .filter_map(|line| line.split_whitespace().next())
        .filter(|command| *command != "help")
        .collect();
    assert_eq!(listed, COMMANDS);
}

#[test]
fn wrong_use_ends_with_two() {
    assert!(refused(&[]).contains("Usage"));
    assert!(refused(&["sew"]).contains("sew"));
    assert!(refused(&["schema", "jobs"]).contains("a similar value exists: 'job'"));
}

#[test]
fn a_new_folder_reads_without_a_message() {
    let folder = tempfile::tempdir().unwrap();
    let bushing = in_folder(folder.path(), "bushing");
    let text = said(&["new", &bushing]);
    assert!(text.contains("bushing.job.toml"), "{text}");
    let path = folder.path().join("bushing/bushing.job.toml");
    let read = Job::read(&Disk::text(&path).unwrap(), &Disk::beside(&path));
    assert_eq!(
        read.diagnostics.iter().map(|d| &d.message).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
    assert_eq!(read.value.expect("the job is read").file.name, "bushing");
}

/// What is commented out in the new files is there to be taken in: as it stands, it must be read.
#[test]
fn what_a_new_folder_leaves_out_is_read_when_taken_in() {
    let folder = tempfile::tempdir().unwrap();
    let bushing = in_folder(folder.path(), "bushing");
    said(&["new", &bushing]);
    let path = folder.path().join("bushing/bushing.job.toml");
    let mut taken = 0;
    for file in ["bushing.job.toml", "lathe.toml", "gripper.toml", "tools.toml"] {
        let file = folder.path().join("bushing").join(file);
        let text = fs::read_to_string(&file).unwrap();
        let keys = text.lines().map(|line| match line.strip_prefix("# ") {
            Some(key) if key.starts_with('[') || key.split_once(" = ").is_some_and(is_key) => {
                taken += 1;
                format!("{key}\n")
            }
            _ => format!("{line}\n"),
        });
        let text: String = keys.collect();
        fs::write(&file, text).unwrap();
    }
    assert!(taken >= 30, "only {taken} keys were taken in");
    let read = Job::read(&Disk::text(&path).unwrap(), &Disk::beside(&path));
    let said: Vec<_> = read.diagnostics.iter().map(|it| &it.message).collect();
    assert_eq!(said, Vec::<&String>::new());
    let job = read.value.expect("the job is read");
    assert!(job.lathe.grip.is_some() && job.lathe.spindle.drive.is_some());
    assert!(job.gripper.hold.is_some() && job.lathe.bar_way.is_some());
}

fn is_key((key, _): (&str, &str)) -> bool {
    key.bytes().all(|byte| byte.is_ascii_lowercase() || byte == b'_')
}

#[test]
fn a_new_folder_overwrites_nothing_unasked() {
    let folder = tempfile::tempdir().unwrap();
    let bushing = in_folder(folder.path(), "bushing");
    said(&["new", &bushing]);
    let lathe = folder.path().join("bushing/lathe.toml");
    fs::write(&lathe, "mine").unwrap();
    let message = refused(&["new", &bushing]);
    assert!(message.contains("is not empty") && message.contains("--force"), "{message}");
    assert_eq!(fs::read_to_string(&lathe).unwrap(), "mine");
    said(&["new", &bushing, "--force"]);
    assert_ne!(fs::read_to_string(&lathe).unwrap(), "mine");
}

#[test]
fn a_new_folder_cannot_be_a_file() {
    let folder = tempfile::tempdir().unwrap();
    let file = in_folder(folder.path(), "taken");
    fs::write(&file, "").unwrap();
    let message = refused(&["new", &file]);
    assert!(message.contains("cannot be used as a folder"), "{message}");
}

#[test]
fn a_folder_with_an_odd_name_gets_a_plain_job() {
    let folder = tempfile::tempdir().unwrap();
    said(&["new", &in_folder(folder.path(), "5\" \\pin")]);
    let path = folder.path().join("5\" \\pin/part.job.toml");
    let read = Job::read(&Disk::text(&path).unwrap(), &Disk::beside(&path));
    assert!(read.value.is_some());
}

#[test]
fn what_was_written_is_told_as_json() {
    let folder = tempfile::tempdir().unwrap();
    let bushing = in_folder(folder.path(), "bushing");
    let json: serde_json::Value =
        serde_json::from_str(&said(&["new", &bushing, "--json"])).unwrap();
    let written = json["written"].as_array().expect("a list");
    assert_eq!(written.len(), 5);
    for path in written {
        assert!(Path::new(path.as_str().unwrap()).is_file(), "{path} is there");
    }
}

#[test]
fn every_schema_is_printed() {
    for kind in model::files::FileKind::ALL {
        let json: serde_json::Value =
            serde_json::from_str(&said(&["schema", kind.word()])).unwrap();
        assert_eq!(json, barwright::json::schema(kind));
    }
}

#[test]
fn every_shell_is_served_and_every_command_completed() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let script = said(&["completions", shell]);
        for command in COMMANDS {
            assert!(script.contains(command), "{shell} completes {command}");
        }
    }
}

#[test]
fn the_manual_names_every_command_and_has_a_page_for_each() {
    let page = said(&["man"]);
    assert!(page.contains(".TH barwright 1"), "{page}");
    let folder = tempfile::tempdir().unwrap();
    let out = in_folder(folder.path(), "man1");
    said(&["man", "--out", &out]);
    for command in COMMANDS {
        assert!(page.contains(&format!("barwright\\-{command}(1)")), "{command} in {page}");
        let page =
            fs::read_to_string(folder.path().join(format!("man1/barwright-{command}.1"))).unwrap();
        assert!(page.contains("EXTRA") || page.contains("Example"), "{page}");
    }
    assert!(refused(&["man", "--out", &out]).contains("is there already"));
    said(&["man", "--out", &out, "--force"]);
}

#[test]
fn no_color_reaches_a_pipe() {
    let text = refused(&["new", "Cargo.toml"]);
    assert!(!text.contains('\u{1b}'), "{text:?}");
}

#[test]
fn a_job_with_a_mistake_ends_with_two_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let bushing = in_folder(folder.path(), "bushing");
    said(&["new", &bushing]);
    let job = folder.path().join("bushing/bushing.job.toml");
    let text = fs::read_to_string(&job).unwrap();
    fs::write(&job, text.replace("quantity = 250", "quantity = 0")).unwrap();
    let out = in_folder(folder.path(), "out");
    let message = refused(&["plan", &job.display().to_string(), "--out", &out]);
    assert!(message.contains("`order.quantity` cannot be 0"), "{message}");
    assert!(!Path::new(&out).exists(), "nothing is written");
}

#[test]
fn a_new_folder_can_be_planned() {
    let folder = tempfile::tempdir().unwrap();
    let bushing = in_folder(folder.path(), "bushing");
    said(&["new", &bushing]);
    let out = in_folder(folder.path(), "out");
    said(&["plan", &in_folder(folder.path(), "bushing/bushing.job.toml"), "--out", &out]);
    assert!(fs::read_dir(&out).unwrap().next().is_some(), "the plan is written");
}
