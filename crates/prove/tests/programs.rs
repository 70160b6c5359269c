//! Whole programs as shops write them, each run in the small invented shop that its first lines
//! name. What must be found stands at the end of the line that makes it, with the exact text that
//! the finding must point at; anything more than a note that is found elsewhere is a false alarm.
//!
//! The head of a program, each a comment of its own line:
//! `(SHOP name)` the folder under `shops`; `(JOB file)` its job file where it is not `job.toml`;
//! `(PARTS n)` parts that fall; `(ENDS COUNT)` what ends the run; `(UNPROVEN what)` one more thing
//! that stays unproven; `(FOUND level: id @ text)` a finding at a key of the job file.
#![allow(
    clippy::disallowed_methods,
    clippy::panic,
    clippy::unwrap_used,
    reason = "a test reads its own files and fails by panic"
)]

#[path = "folder/folder.rs"]
mod folder;

use folder::Folder;
use model::files::job::Job;
use model::finding::{Level, Verdict};
use model::{Files, Source};
use nc::program::Library;
use prove::{Proof, Setup, prove};
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

const STYLES: [&str; 3] = ["hand-typed", "long-hand", "parametric"];

/// What no run of this version can show, whatever the program.
const NEVER_PROVEN: [&str; 3] = [
    "collisions of tools, holders and turret with bar, chuck and each other",
    "the shape and diameters of the part",
    "travel limits",
];

fn tests() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests")
}

fn setup(shop: &str, job: &str) -> Setup {
    let shop = Folder::of_tests(&format!("shops/{shop}"));
    let read = Job::read(&shop.read(job).unwrap(), &shop);
    let troubles: Vec<_> =
        read.diagnostics.iter().map(|one| (one.source.name(), &one.message)).collect();
    assert!(troubles.is_empty(), "{job}: {troubles:?}");
    Setup::of(&read.value.unwrap())
}

/// One thing found, or to be found: file and line, level and id, the exact text pointed at.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
struct Seen {
    file: String,
    line: Option<u32>,
    what: String,
    text: String,
}

/// What the comments of one program want.
#[derive(Debug, PartialEq, Eq)]
struct Wanted {
    shop: String,
    job: String,
    parts: u32,
    ends: String,
    unproven: BTreeSet<String>,
    findings: BTreeSet<Seen>,
}

impl Wanted {
    fn of(file: &str, text: &str) -> Wanted {
        let head = |word: &str| {
            let mut lines = text.lines().filter_map(move |line| {
                line.strip_prefix(&format!("({word} ")).and_then(|rest| rest.strip_suffix(')'))
            });
            (lines.next().map(str::to_owned), lines.map(str::to_owned).collect::<Vec<_>>())
        };
        let one = |word: &str| {
            let (first, more) = head(word);
            assert!(more.is_empty(), "{file} says {word} twice");
            first
        };
        let must = |word: &str| one(word).unwrap_or_else(|| panic!("{file} lacks {word}"));
        let job = one("JOB").unwrap_or_else(|| "job.toml".into());
        let mut unproven: BTreeSet<String> = NEVER_PROVEN.map(str::to_owned).into();
        let (first, more) = head("UNPROVEN");
        unproven.extend(first.into_iter().chain(more));
        let mut findings = BTreeSet::new();
        for (index, line) in text.lines().enumerate() {
            let at_job = line.strip_prefix("(FOUND ").and_then(|rest| rest.strip_suffix(')'));
            let (comments, file, line) = match at_job {
                Some(comment) => (vec![comment], job.as_str(), None),
                None => (planted(line), file, Some(index as u32 + 1)),
            };
            for comment in comments {
                let (what, text) = comment.split_once(" @ ").unwrap();
                let (file, what, text) = (file.to_owned(), what.to_owned(), text.to_owned());
                findings.insert(Seen { file, line, what, text });
            }
        }
        Wanted {
            shop: must("SHOP"),
            parts: must("PARTS").parse().unwrap(),
            ends: must("ENDS").to_lowercase(),
            job,
            unproven,
            findings,
        }
    }
}

/// The comments of a line that say what must be found in it.
fn planted(line: &str) -> Vec<&str> {
    let comments = line.split('(').skip(1).filter_map(|rest| rest.split(')').next());
    comments
        .filter(|comment| comment.starts_with("stop: ") || comment.starts_with("caution: "))
        .collect()
}

fn seen(proof: &Proof, program: &str) -> BTreeSet<Seen> {
    let above_notes = proof.findings.iter().filter(|finding| finding.level > Level::Note);
    above_notes
        .map(|finding| {
            let place = &finding.place;
            let file = place.source.name().to_owned();
            Seen {
                line: (file == program).then(|| place.start().line),
                file,
                what: format!("{}: {}", finding.level.word(), finding.id),
                text: place.source.text_of(place.span).into_owned(),
            }
        })
        .collect()
}

/// A table of what differs; empty where all is as wanted.
fn differences(file: &str, text: &str) -> String {
    let wanted = Wanted::of(file, text);
    let source = Source::new(file, text);
    let library = Library::new(vec![nc::read::read(&source)]);
    let proof = prove(&library, &setup(&wanted.shop, &wanted.job));
    let found = seen(&proof, file);
    let mut rows: Vec<(&str, String)> = Vec::new();
    if proof.parts != wanted.parts {
        rows.push(("parts", format!("{}, wanted {}", proof.parts, wanted.parts)));
    }
    if proof.ended_by.word() != wanted.ends {
        rows.push(("ended by", format!("{}, wanted {}", proof.ended_by.word(), wanted.ends)));
    }
    let line = |seen: &Seen| {
        let line = seen.line.map_or("-".into(), |line| line.to_string());
        format!("{}:{line:<4} {:<38} @ {}", seen.file, seen.what, seen.text)
    };
    rows.extend(wanted.findings.difference(&found).map(|seen| ("missed", line(seen))));
    rows.extend(found.difference(&wanted.findings).map(|seen| ("false", line(seen))));
    let unproven: BTreeSet<String> = proof.unproven.iter().map(|one| one.what.clone()).collect();
    rows.extend(wanted.unproven.difference(&unproven).map(|one| ("proven?", one.clone())));
    rows.extend(unproven.difference(&wanted.unproven).map(|one| ("unproven", one.clone())));
    let worst = Verdict::over(&proof.findings);
    if proof.verdict != worst || (worst == Verdict::Clear) != wanted.findings.is_empty() {
        rows.push(("verdict", proof.verdict.word().to_owned()));
    }
    rows.iter().map(|(what, row)| format!("  {what:<9} {row}")).collect::<Vec<_>>().join("\n")
}

fn programs() -> BTreeMap<String, String> {
    let mut programs = BTreeMap::new();
    for style in STYLES {
        let folder = tests().join("programs").join(style);
        for entry in std::fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            let name = format!("{style}/{}", path.file_name().unwrap().to_string_lossy());
            programs.insert(name, std::fs::read_to_string(path).unwrap());
        }
    }
    programs
}

#[test]
fn every_program_comes_out_as_its_comments_say() {
    let failures: Vec<String> = programs()
        .iter()
        .map(|(name, text)| (name, differences(name, text)))
        .filter(|(_, rows)| !rows.is_empty())
        .map(|(name, rows)| format!("{name}\n{rows}\n"))
        .collect();
    assert!(failures.is_empty(), "{} programs differ:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn the_programs_cover_what_they_are_there_for() {
    let programs = programs();
    let wanted: Vec<Wanted> = programs.iter().map(|(name, text)| Wanted::of(name, text)).collect();
    let good = wanted.iter().filter(|one| one.findings.is_empty()).count();
    assert!(programs.len() >= 30 && good >= 15, "{} programs, {good} good", programs.len());
    let ids: BTreeSet<&str> = wanted
        .iter()
        .flat_map(|one| &one.findings)
        .filter_map(|seen| seen.what.split_once(": ").map(|(_, id)| id))
        .collect();
    for id in &ids {
        assert!(prove::checks::find(id).is_some(), "there is no check {id}");
    }
    assert!(ids.len() >= 25, "only {} ids: {ids:?}", ids.len());
}
