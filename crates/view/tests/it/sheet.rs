//! The sheets of the demo jobs, as text that was read before it was accepted, and what must hold
//! for every sheet.
#![allow(clippy::disallowed_methods, reason = "UPDATE_EXPECT writes the expected files anew")]

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
