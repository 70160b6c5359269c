//! The pages of the findings in `docs/findings/`, made from the same text as `explain`.

use crate::expect::{differs, root, updating};
use prove::checks;
use std::fmt::Write as _;
use std::fs;

#[test]
fn docs_hold_every_page() {
    let folder = root("docs/findings");
    fs::create_dir_all(&folder).unwrap();
    let mut failures = Vec::new();
    let mut index = "# Findings\n\nMade from `crates/prove/src/checks/`; `UPDATE_EXPECT=1 cargo test` writes it anew.\n\n\
                     | finding | at most | what it sees |\n|---|---|---|\n"
        .to_owned();
    for check in checks::ALL {
        let file = format!("{}.md", check.id);
        let _ = writeln!(
            index,
            "| [{}]({file}) | {} | {} |",
            check.id,
            check.level.word(),
            check.section("What it sees")
        );
        let page = format!("<!-- made from crates/prove/src/checks/ -->\n{}", check.page);
        failures.extend(differs(&folder.join(file), &page));
    }
    failures.extend(differs(&folder.join("README.md"), &index));
    for entry in fs::read_dir(&folder).unwrap().flatten() {
        let name = entry.file_name().to_string_lossy().into_owned();
        let known = name == "README.md"
            || checks::ALL.iter().any(|check| name == format!("{}.md", check.id));
        if !known && updating() {
            fs::remove_file(entry.path()).unwrap();
        } else if !known {
            failures.push(format!("{name} is the page of no finding"));
        }
    }
    assert!(failures.is_empty(), "{}", failures.join("\n"));
}
