//! The pages of the findings in `docs/findings/`, made from the same text as `explain`.

use crate::expect::{differs, root, updating};
use std::fmt::Write as _;
use std::fs;

/// What stands above the findings of a plan: the one rule for their levels.
const RULE: &str = "\nA plan finds these by arithmetic, made from `crates/plan/src/checks/`. Each figure is a range, since \
what it rests on scatters: the force on a chip, wear, friction, grip, the life of an edge. **The level:** where \
the likely value breaks the limit, the finding has the level that stands here; where only the unfavorable \
end of the range does, one level less (a stop becomes a caution, a caution a note). What a file does not say is \
*unproven*, with the key that would say it.\n\n| finding | at most | what it sees |\n|---|---|---|\n";

/// One page: its finding, level at most, what it sees, and its text under where it was made from.
struct Page {
    id: &'static str,
    level: &'static str,
    sees: String,
    text: String,
}

fn of_proof() -> Vec<Page> {
    let page = |check: &prove::checks::Check| Page {
        id: check.id,
        level: check.level.word(),
        sees: check.section("What it sees"),
        text: format!("<!-- made from crates/prove/src/checks/ -->\n{}", check.page),
    };
    prove::checks::own().map(page).collect()
}

fn of_plan() -> Vec<Page> {
    let page = |check: &plan::checks::Check| Page {
        id: check.id,
        level: check.level.word(),
        sees: check.section("What it sees"),
        text: format!("<!-- made from crates/plan/src/checks/ -->\n{}", check.page),
    };
    plan::checks::own().map(page).collect()
}

#[test]
fn docs_hold_every_page() {
    let folder = root("docs/findings");
    fs::create_dir_all(&folder).unwrap();
    let mut failures = Vec::new();
    let mut index = "# Findings\n\nMade from `crates/prove/src/checks/`; `UPDATE_EXPECT=1 cargo test` writes it anew.\n\n\
                     | finding | at most | what it sees |\n|---|---|---|\n"
        .to_owned();
    let (proof, plan) = (of_proof(), of_plan());
    let row =
        |page: &Page| format!("| [{0}]({0}.md) | {1} | {2} |\n", page.id, page.level, page.sees);
    for page in &proof {
        index += &row(page);
    }
    let _ = write!(index, "{RULE}");
    for page in &plan {
        index += &row(page);
    }
    let pages: Vec<Page> = proof.into_iter().chain(plan).collect();
    for page in &pages {
        failures.extend(differs(&folder.join(format!("{}.md", page.id)), &page.text));
    }
    failures.extend(differs(&folder.join("README.md"), &index));
    for entry in fs::read_dir(&folder).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let known =
            name == "README.md" || pages.iter().any(|page| name == format!("{}.md", page.id));
        if !known && updating() {
            fs::remove_file(entry.path()).unwrap();
        } else if !known {
            failures.push(format!("{name} is the page of no finding"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
