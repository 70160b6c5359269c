//! Whole programs as shops write them, each run in the small invented shop that its first lines
//! name. What must be found stands at the end of the line that makes it, with the exact text that
//! the finding must point at; anything more than a note that is found elsewhere is a false alarm.
//!
//! The head of a program, each a comment of its own line:
//! `(SHOP name)` the folder under `shops`; `(JOB file)` its job file where it is not `job.toml`;
//! `(PARTS n)` parts that fall; `(ENDS COUNT)` what ends the run; `(UNPROVEN what)` one more thing
//! that stays unproven; `(FOUND level: id @ text)` a finding at a key of the job file.

use crate::bar_programs::{STYLES, WAITING, heads, programs, setup_of};
use model::Source;
use model::finding::{Level, Verdict};
use nc::program::Library;
use prove::{Proof, prove};
use std::collections::BTreeSet;

/// What no run of this version can show, whatever the program.
const NEVER_PROVEN: [&str; 4] = [
    "force, power and grip of the cuts",
    "collisions of tools, holders and turret with bar, chuck and each other",
    "the shape and diameters of the part",
    "travel limits",
];

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
    parts: u32,
    ends: String,
    unproven: BTreeSet<String>,
    findings: BTreeSet<Seen>,
}

impl Wanted {
    fn of(file: &str, text: &str) -> Wanted {
        let one = |word: &str| {
            let said = heads(text, word);
            assert!(said.len() < 2, "{file} says {word} twice");
            said.first().copied()
        };
        let must = |word: &str| one(word).unwrap_or_else(|| panic!("{file} lacks {word}"));
        let job = one("JOB").unwrap_or("job.toml");
        let mut unproven: BTreeSet<String> = NEVER_PROVEN.map(str::to_owned).into();
        unproven.extend(heads(text, "UNPROVEN").into_iter().map(str::to_owned));
        let mut findings = BTreeSet::new();
        for (index, line) in text.lines().enumerate() {
            let at_job = line.strip_prefix("(FOUND ").and_then(|rest| rest.strip_suffix(')'));
            let (comments, file, line) = match at_job {
                Some(comment) => (vec![comment], job, None),
                None => (planted(line), file, Some(index as u32 + 1)),
            };
            for comment in comments {
                let (what, text) = comment.split_once(" @ ").unwrap();
                let (file, what, text) = (file.to_owned(), what.to_owned(), text.to_owned());
                findings.insert(Seen { file, line, what, text });
            }
        }
        Wanted {
            parts: must("PARTS").parse().unwrap(),
            ends: must("ENDS").to_lowercase(),
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
    let proof = prove(&library, &setup_of(text));
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

#[test]
fn every_program_comes_out_as_its_comments_say() {
    let failures: Vec<String> = programs()
        .iter()
        .filter(|(name, _)| !WAITING.contains(&name.as_str()))
        .map(|(name, text)| (name, differences(name, text)))
        .filter(|(_, rows)| !rows.is_empty())
        .map(|(name, rows)| format!("{name}\n{rows}\n"))
        .collect();
    assert!(failures.is_empty(), "{} programs differ:\n{}", failures.len(), failures.join("\n"));
}

#[test]
fn no_program_waits_longer_than_it_must() {
    let programs = programs();
    for name in WAITING {
        let text = programs.get(*name).unwrap_or_else(|| panic!("{name} waits but is not there"));
        let rows = differences(name, text);
        assert!(!rows.is_empty(), "{name} comes out as it says: strike it off the list WAITING");
    }
}

#[test]
fn the_programs_cover_what_they_are_there_for() {
    let programs = programs();
    let wanted: Vec<Wanted> = programs.iter().map(|(name, text)| Wanted::of(name, text)).collect();
    let good = wanted.iter().filter(|one| one.findings.is_empty()).count();
    assert!(programs.len() >= 64 && good >= 30, "{} programs, {good} good", programs.len());
    for style in STYLES {
        let of_style = programs.keys().filter(|name| name.starts_with(style)).count();
        assert!(of_style >= 15, "only {of_style} {style} programs");
    }
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
