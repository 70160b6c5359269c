//! The sheet as plain text, for reading it over and for tests.

use super::{Block, Sheet};
use std::fmt::Write as _;

/// All of it, pictures by their description.
pub fn text(sheet: &Sheet) -> String {
    let mut text = format!("{}  {}\n", sheet.job, sheet.programs);
    for chapter in &sheet.chapters {
        let _ = write!(text, "\n## {}\n", chapter.title);
        for block in &chapter.blocks {
            text.push('\n');
            write_block(block, &mut text);
        }
    }
    text
}

fn write_block(block: &Block, text: &mut String) {
    let _ = match block {
        Block::Words(words) => writeln!(text, "{words}"),
        Block::Warning(words) => writeln!(text, "! {words}"),
        Block::List(title, lines) => {
            let _ = writeln!(text, "{title}");
            lines.iter().try_for_each(|line| writeln!(text, "- {line}"))
        }
        Block::Facts(facts) => {
            let _ = writeln!(text, "{}", facts.title);
            facts.rows.iter().try_for_each(|(name, what)| writeln!(text, "{name}: {what}"))
        }
        Block::Table(table) => {
            let heads: Vec<&str> = table.columns.iter().map(|column| column.head).collect();
            let _ = writeln!(text, "{}\n{}", table.title, heads.join(" | "));
            table.rows.iter().try_for_each(|row| writeln!(text, "{}", row.join(" | ")))
        }
        Block::Picture(name, scene) => writeln!(text, "[{name}] {}", scene.description),
    };
}
