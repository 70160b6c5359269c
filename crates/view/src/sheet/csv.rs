//! The tables as CSV: RFC 4180, with a head, one file each.

use super::{Block, Sheet};

/// Each table with the name of its file, without an end.
pub fn csv(sheet: &Sheet) -> Vec<(&'static str, String)> {
    let table = |block: &Block| match block {
        Block::Facts(facts) => {
            let head = ["name", "value"].map(str::to_owned).to_vec();
            let each = facts.rows.iter().map(|(name, what)| vec![name.clone(), what.clone()]);
            Some((facts.name, rows(std::iter::once(head).chain(each))))
        }
        Block::Table(table) => {
            let head = table.columns.iter().map(|column| column.head.to_owned()).collect();
            let each = table.rows.iter().cloned();
            Some((table.name, rows(std::iter::once(head).chain(each))))
        }
        _ => None,
    };
    sheet.blocks().filter_map(table).collect()
}

/// Rows as CSV, the head first.
pub fn rows(rows: impl Iterator<Item = Vec<String>>) -> String {
    let row = |cells: Vec<String>| {
        let cells: Vec<String> = cells.iter().map(|cell| field(cell)).collect();
        cells.join(",") + "\r\n"
    };
    rows.map(row).collect()
}

/// A field, quoted where it must be. One that a spreadsheet would take for a formula gets a
/// blank in front: a job's names are a person's own text.
fn field(text: &str) -> String {
    let formula = text.starts_with(['=', '@', '\t', '\r'])
        || text.starts_with(['+', '-']) && text.parse::<f64>().is_err();
    let text = if formula { format!(" {text}") } else { text.to_owned() };
    if text.contains([',', '"', '\n', '\r']) {
        return format!("\"{}\"", text.replace('"', "\"\""));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::field;

    #[test]
    fn fields_are_quoted_and_no_formula_gets_through() {
        assert_eq!(field("80 degree insert, nose 0.4"), "\"80 degree insert, nose 0.4\"");
        assert_eq!(field("1/2\" rod"), "\"1/2\"\" rod\"");
        assert_eq!(field("-42.500"), "-42.500");
        assert_eq!(field("=1+1"), " =1+1");
        assert_eq!(field("-cmd"), " -cmd");
        assert_eq!(field(""), "");
    }
}
