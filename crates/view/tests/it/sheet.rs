//! The sheets of the demo jobs, as text that was read before it was accepted, and what must hold
//! for every sheet.

use crate::demos::demos;
use std::path::Path;
use view::sheet::{self, Block};

#[test]
fn the_demos_sheets_say_what_was_read() {
    let mut wrong = Vec::new();
    for (name, job) in demos() {
        let text = sheet::text(&sheet::sheet(&job, &plan::plan(&job)));
        let file = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/sheets/{name}.txt"));
        if std::env::var_os("UPDATE_EXPECT").is_some_and(|value| value == "1") {
            std::fs::create_dir_all(file.parent().unwrap()).unwrap();
            std::fs::write(&file, &text).unwrap();
        }
        let expected = std::fs::read_to_string(&file).unwrap_or_default();
        if expected != text {
            wrong.push(format!("{name} differs; UPDATE_EXPECT=1 writes it anew:\n{text}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn every_row_is_as_long_as_its_head_and_every_file_has_its_own_name() {
    for (name, job) in demos() {
        let sheet = sheet::sheet(&job, &plan::plan(&job));
        for block in sheet.blocks() {
            if let Block::Table(table) = block {
                let long = table.columns.len();
                assert!(table.rows.iter().all(|row| row.len() == long), "{name}: {}", table.name);
            }
        }
        let mut files: Vec<&str> = sheet::csv(&sheet).iter().map(|(name, _)| *name).collect();
        let count = files.len();
        files.sort_unstable();
        files.dedup();
        assert_eq!(files.len(), count, "{name}: {files:?}");
    }
}

#[test]
fn what_the_log_taught_is_told_and_what_cannot_be_used_too() {
    let more = "\n[learned.load]\ntime = 3.4\ndeviation = 0.3\ncount = 11\non = 2026-11-20\nuse = true\n\n\
                [[learned.edge]]\nstation = 1\nlife = 12\nlow = 8\nhigh = 15\nworn = 4\nearly = 2\ncutting = 99\nuse = true\n";
    let told = |job: &model::files::job::Job| sheet::text(&sheet::sheet(job, &plan::plan(job)));
    let text = told(&crate::demos::detent_pin_with(more));
    let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(plain.contains("11 loads"), "{text}");
    // Its cuts took 99 s when it was learned: they are others now.
    assert!(plain.contains("NOT USED, since"), "{text}");
    let head = "Learned from the shop's log, and switched on in the job";
    assert!(plain.contains(head) && !told(&demos()[0].1).contains(head));
}

/// Every block of the advance stands in the table with what it does.
#[test]
fn the_advance_is_told_block_by_block() {
    for (name, job) in demos() {
        let sheet = sheet::sheet(&job, &plan::plan(&job));
        let table = sheet.blocks().find_map(|block| match block {
            Block::Table(table) if table.name == "advance" => Some(table),
            _ => None,
        });
        let rows = &table.unwrap().rows;
        assert!(rows.iter().all(|row| !row[2].is_empty()), "{name}: {rows:?}");
        let opens = rows.iter().position(|row| row[3].starts_with("The chuck opens")).unwrap();
        let pull = rows.iter().position(|row| row[3].starts_with("The bar is drawn")).unwrap();
        let closes = rows.iter().position(|row| row[3].starts_with("The chuck closes")).unwrap();
        assert!(opens < pull && pull < closes, "{name}");
        let word = |does| job.control.that(does).unwrap().word.to_string();
        assert_eq!(rows[opens][2], word(model::files::control::Does::ChuckOpen));
        assert_eq!(rows[closes][2], word(model::files::control::Does::ChuckClose));
    }
}
