//! Plants mistakes into the source of the server's access, one at a time, and tells which of its tests find each:
//! `access [PART]`, where PART chooses mistakes by a part of their names.
//!
//! The last commit is measured, in a clone of its own in the folder for temporary files; the working tree is not
//! touched. A table for `docs/campaigns/access.md` goes to standard output, how far it is to standard error. It needs
//! `git` and, from coreutils, `timeout`.
#![allow(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    reason = "a command for developers"
)]

use planted::good::repository;
use planted::source::{self, Mistake};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};
use std::time::Instant;

/// Seconds that building and running the tests may take.
const BUILD: u32 = 900;
const RUN: u32 = 240;
/// How `timeout` says that it ended something: by asking, and by force.
const ENDED: [i32; 2] = [124, 137];

/// What became of a mistake.
enum Became {
    /// These tests fail, twice in a row.
    Found(Vec<String>),
    NotFound,
    DoesNotCompile,
    RanWithoutEnd,
}

/// The clone in which mistakes are planted.
struct Copy {
    tree: PathBuf,
    built: PathBuf,
}

fn main() -> Result<(), String> {
    let part = std::env::args().nth(1).unwrap_or_default();
    let copy = Copy::of(&repository())?;
    let mut mistakes = source::access(&copy.tree)?;
    mistakes.retain(|mistake| mistake.name.contains(&part));
    copy.is_sound(&mistakes)?;
    let commit = copy.git(&["show", "--no-patch", "--format=%h of %cs"])?;
    println!("Commit {}.\n\n| mistake | file | found by |\n|---|---|---|", commit.trim());
    let (mut found, mut open) = (0, 0);
    for mistake in &mistakes {
        let begin = Instant::now();
        let became = copy.tried(mistake)?;
        let told = told(mistake, &became);
        match became {
            Became::Found(_) => found += 1,
            _ if mistake.harmless.is_some() => {}
            _ => open += 1,
        }
        eprintln!("{:>4.0} s  {}: {told}", begin.elapsed().as_secs_f64(), mistake.name);
        let file = mistake.file.rsplit('/').next().unwrap_or_default();
        println!("| {} | `{file}` | {told} |", mistake.name);
    }
    copy.is_sound(&mistakes)?;
    println!("\n{} planted, {found} found, {open} not found.", mistakes.len());
    if open == 0 { Ok(()) } else { Err(format!("{open} mistakes are not found")) }
}

fn told(mistake: &Mistake, became: &Became) -> String {
    let last = |name: &String| format!("`{}`", name.rsplit("::").next().unwrap_or_default());
    match (became, &mistake.harmless) {
        (Became::Found(tests), _) => tests.iter().map(last).collect::<Vec<_>>().join(", "),
        (Became::NotFound, Some(why)) => format!("none; it makes no difference: {why}"),
        (Became::NotFound, None) => "**not found**".to_owned(),
        (Became::DoesNotCompile, _) => "**does not compile**".to_owned(),
        (Became::RanWithoutEnd, _) => "**ran without end**: not found".to_owned(),
    }
}

impl Copy {
    /// The last commit of a repository; what an earlier run built is used again.
    fn of(repository: &Path) -> Result<Copy, String> {
        let place = std::env::temp_dir().join("barwright-planted-access");
        let copy = Copy { tree: place.join("tree"), built: place.join("built") };
        let repository = fs::canonicalize(repository).map_err(|error| error.to_string())?;
        fs::create_dir_all(&place).map_err(|error| error.to_string())?;
        let from = repository.display().to_string();
        if !copy.tree.exists() {
            let to = copy.tree.display().to_string();
            said(Command::new("git").args(["clone", "--quiet", "--shared", &from, &to]))?;
        }
        let commit = said(Command::new("git").args(["-C", &from, "rev-parse", "HEAD"]))?;
        copy.git(&["checkout", "--quiet", "--force", "--detach", commit.trim()])?;
        copy.git(&["clean", "--quiet", "--force", "-d"])?;
        Ok(copy)
    }

    fn git(&self, words: &[&str]) -> Result<String, String> {
        said(Command::new("git").arg("-C").arg(&self.tree).args(words))
    }

    /// Without a mistake all tests that are to find one are there and pass: else a failure says nothing.
    fn is_sound(&self, mistakes: &[Mistake]) -> Result<(), String> {
        let parts: BTreeSet<&str> =
            mistakes.iter().flat_map(|mistake| mistake.tests.iter().map(String::as_str)).collect();
        let parts: Vec<&str> = parts.into_iter().collect();
        let built = self.cargo(BUILD, &parts, &["--no-run"]);
        if !built.status.success() {
            return Err(String::from_utf8_lossy(&built.stderr).into_owned());
        }
        let listed = text(&self.cargo(RUN, &parts, &["--", "--list"]));
        let names: Vec<&str> =
            listed.lines().filter_map(|line| line.strip_suffix(": test")).collect();
        if let Some(part) =
            parts.iter().find(|part| !names.iter().any(|name| name.contains(**part)))
        {
            return Err(format!("no test has {part} in its name"));
        }
        let run = self.run(&parts);
        if run.status.success() { Ok(()) } else { Err(text(&run)) }
    }

    /// Plants a mistake, runs its tests, and takes it out again.
    fn tried(&self, mistake: &Mistake) -> Result<Became, String> {
        let path = self.tree.join(&mistake.file);
        let good =
            fs::read_to_string(&path).map_err(|error| format!("{}: {error}", mistake.file))?;
        let written = |text: &str| fs::write(&path, text).map_err(|error| error.to_string());
        written(&mistake.planted(&good)?)?;
        let became = self.became(mistake);
        written(&good)?;
        Ok(became)
    }

    fn became(&self, mistake: &Mistake) -> Became {
        let parts: Vec<&str> = mistake.tests.iter().map(String::as_str).collect();
        if !self.cargo(BUILD, &parts, &["--no-run"]).status.success() {
            return Became::DoesNotCompile;
        }
        let run = self.run(&parts);
        if run.status.code().is_some_and(|code| ENDED.contains(&code)) {
            return Became::RanWithoutEnd;
        }
        let first = failed(&run);
        if first.is_empty() {
            return Became::NotFound;
        }
        // A test may fail by chance on a machine that others use too: it must fail again.
        let names: Vec<&str> = first.iter().map(String::as_str).collect();
        let again = failed(&self.run(&names));
        let both: Vec<String> = first.into_iter().filter(|name| again.contains(name)).collect();
        if both.is_empty() { Became::NotFound } else { Became::Found(both) }
    }

    fn run(&self, parts: &[&str]) -> Output {
        let mut words = vec!["--no-fail-fast", "--"];
        words.extend(parts);
        self.cargo(RUN, parts, &words)
    }

    /// Runs tests of the root package, those inside of it or those from outside; whatever they started ends with them.
    fn cargo(&self, seconds: u32, parts: &[&str], words: &[&str]) -> Output {
        let mut command = Command::new("timeout");
        command.args(["--kill-after=10", &seconds.to_string(), "cargo", "test", "--locked"]);
        command.arg("--no-default-features");
        let outside = |part: &&str| part.starts_with("pages::");
        if parts.iter().any(outside) {
            command.args(["--test", "it"]);
        }
        if !parts.iter().all(outside) {
            command.arg("--lib");
        }
        command.args(words);
        command.current_dir(&self.tree).env("CARGO_TARGET_DIR", &self.built);
        command.env("CARGO_PROFILE_DEV_DEBUG", "0").env_remove("UPDATE_EXPECT");
        let ran = command.output();
        ran.unwrap_or_else(|error| Output {
            status: std::process::ExitStatus::default(),
            stdout: Vec::new(),
            stderr: error.to_string().into_bytes(),
        })
    }
}

fn text(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned()
}

/// The tests that a run says have failed.
fn failed(output: &Output) -> Vec<String> {
    let text = text(output);
    let line =
        |line: &str| line.strip_prefix("test ")?.strip_suffix(" ... FAILED").map(str::to_owned);
    text.lines().filter_map(line).collect()
}

fn said(command: &mut Command) -> Result<String, String> {
    let output = command.output().map_err(|error| error.to_string())?;
    if output.status.success() {
        return Ok(text(&output));
    }
    Err(String::from_utf8_lossy(&output.stderr).into_owned())
}
