//! The examples on the pages of the plan's checks are their tests: each changes some keys of the
//! demo job, and what its head says must come of it.

use crate::folder::Folder;
use model::files::job::Job;
use model::{Files, Level};
use plan::checks;
use std::collections::BTreeSet;

struct Example {
    kind: String,
    says: String,
    change: toml::Table,
}

fn examples(page: &str) -> Vec<Example> {
    let mut examples = Vec::new();
    let mut lines = page.lines();
    while let Some(line) = lines.next() {
        let Some(head) = line.strip_prefix("```toml ") else { continue };
        let (kind, says) = head.split_once(' ').unwrap_or((head, ""));
        let text: String =
            lines.by_ref().take_while(|line| *line != "```").map(|l| format!("{l}\n")).collect();
        let change = text.parse().unwrap_or_else(|error| panic!("{text}: {error}"));
        examples.push(Example { kind: kind.to_owned(), says: says.to_owned(), change });
    }
    examples
}

fn read(change: &toml::Table) -> Result<Job, String> {
    let folder = Folder::changed("detent-pin", change.clone());
    let read = Job::read(&folder.read("detent-pin.job.toml").unwrap(), &folder);
    let said: Vec<_> = read.diagnostics.iter().map(|it| &it.message).collect();
    read.value.ok_or_else(|| format!("{change}: {said:?}"))
}

fn level(word: &str) -> Level {
    [Level::Note, Level::Caution, Level::Stop].into_iter().find(|it| it.word() == word).unwrap()
}

#[test]
fn every_example_shows_what_it_says() {
    let mut failures = Vec::new();
    for check in checks::own() {
        let shown = examples(check.page);
        let kinds: BTreeSet<&str> = shown.iter().map(|it| it.kind.as_str()).collect();
        if !kinds.contains("fires") || !kinds.contains("quiet") {
            failures.push(format!("{} must show one that fires and one that is quiet", check.id));
        }
        for example in shown {
            let answer = match read(&example.change) {
                Ok(job) => plan::plan(&job),
                Err(said) => {
                    failures.push(format!("{}: {said}", check.id));
                    continue;
                }
            };
            let found: Vec<Level> =
                answer.findings.iter().filter(|it| it.id == check.id).map(|it| it.level).collect();
            let holds = match example.kind.as_str() {
                "fires" => found.iter().max() == Some(&level(&example.says)),
                "quiet" => {
                    found.is_empty() && answer.checks.iter().any(|it| it.id == check.id)
                        || found.is_empty() && checks_nothing(check.id)
                }
                "unproven" => answer.unproven.iter().any(|it| names(&it.why, &example.says)),
                other => panic!("{other} is no kind of example"),
            };
            if !holds {
                let why: Vec<&str> = answer.unproven.iter().map(|it| it.why.as_str()).collect();
                let lines: Vec<_> = answer.checks.iter().filter(|it| it.id == check.id).collect();
                failures.push(format!(
                    "{} {} {}: found {found:?}, {lines:#?}, unproven {why:#?}\n{}",
                    check.id, example.kind, example.says, example.change
                ));
            }
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}

/// Whether a reason names a key, a table of that name, or says these words.
fn names(why: &str, what: &str) -> bool {
    let key = [format!("`{what}`"), format!("[{what}]")];
    key.iter().any(|key| why.contains(key)) || (what.contains(' ') && why.contains(what))
}

/// Checks that ask nothing of a job like the demo, and so have no line where they are quiet.
fn checks_nothing(id: &str) -> bool {
    ["counter-not-stepped", "last-grip-weak"].contains(&id)
}

#[test]
fn every_page_has_its_headings_and_every_id_its_page() {
    let headings = ["What it sees", "Why it hurts", "Limit", "Remedy", "Source"];
    for check in checks::own() {
        assert!(!check.title().is_empty(), "{}", check.id);
        for heading in headings {
            assert!(!check.section(heading).is_empty(), "{} has no {heading}", check.id);
        }
        let twice = prove::checks::own().any(|one| one.id == check.id);
        assert!(!twice, "{} has two pages", check.id);
    }
    for check in checks::ALL.iter().filter(|check| check.page.is_empty()) {
        let page = prove::checks::own().any(|one| one.id == check.id);
        assert!(page, "{} has no page", check.id);
    }
    let ids: BTreeSet<_> = checks::ALL.iter().map(|check| check.id).collect();
    assert_eq!(ids.len(), checks::ALL.len());
}
