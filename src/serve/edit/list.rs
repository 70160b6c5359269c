//! A list of tables in a text, such as the features of a part: one put in, one taken out, everything else left
//! letter for letter.

use super::literal;
use model::files::KeyKind;
use std::ops::Range;
use toml_edit::{Document, Item, Table};

/// The text with one more table in a list, at this place from 0; at the end where there are not so many.
///
/// # Errors
/// Where the text is not TOML, or the list is written in a way that only a hand can change.
pub(in super::super) fn put(
    text: &str,
    list: &str,
    place: usize,
    values: &[(&str, &KeyKind, &str)],
) -> Result<String, String> {
    let stretches = stretches(text, list)?;
    let mut table = format!("[[{list}]]\n");
    for (key, kind, typed) in values.iter().filter(|(_, _, typed)| !typed.trim().is_empty()) {
        table.push_str(&format!("{key} = {}\n", literal(kind, typed.trim())));
    }
    let end = stretches.last().map_or(text.len(), |last| last.end);
    let at = stretches.get(place).map_or(end, |next| next.start);
    let (before, behind) = text.split_at(at);
    let apart = match before {
        "" => "",
        text if text.ends_with("\n\n") => "",
        text if text.ends_with('\n') => "\n",
        _ => "\n\n",
    };
    let after = if behind.is_empty() || behind.starts_with('\n') { "" } else { "\n" };
    Ok(format!("{before}{apart}{table}{after}{behind}"))
}

/// The text without one table of a list, with the comments right above it.
///
/// # Errors
/// As [`put`], and where the list has no such table.
pub(in super::super) fn take_out(text: &str, list: &str, place: usize) -> Result<String, String> {
    let stretches = stretches(text, list)?;
    let gone = stretches.get(place).ok_or("there is no such place in the list any more")?;
    let (before, behind) = (&text[..gone.start], &text[gone.end..]);
    let behind = if before.is_empty() || before.ends_with("\n\n") {
        behind.trim_start_matches('\n')
    } else {
        behind
    };
    Ok(format!("{before}{behind}"))
}

/// Where each table of a list stands: from the comments right above it to the end of its last line.
fn stretches(text: &str, list: &str) -> Result<Vec<Range<usize>>, String> {
    let document = Document::parse(text)
        .map_err(|error| format!("the file is not TOML as it stands: {}", error.message()))?;
    let by_hand =
        || format!("`{list}` is written in a way that a page cannot change: edit the file by hand");
    let mut item = document.as_item();
    for name in list.split('.') {
        match item.get(name) {
            Some(inner) => item = inner,
            None => return Ok(Vec::new()),
        }
    }
    let tables = item.as_array_of_tables().ok_or_else(by_hand)?;
    tables.iter().map(|table| stretch(text, table).ok_or_else(by_hand)).collect()
}

fn stretch(text: &str, table: &Table) -> Option<Range<usize>> {
    let span = table.span()?;
    let ends = table.iter().filter_map(|(_, item)| end(item));
    let end = ends.fold(span.end, usize::max);
    let mut start = text[..span.start].rfind('\n').map_or(0, |at| at + 1);
    while let Some(above) = text[..start].strip_suffix('\n') {
        let line = above.rfind('\n').map_or(0, |at| at + 1);
        if !above[line..].trim_start().starts_with('#') {
            break;
        }
        start = line;
    }
    let end = text[end..].find('\n').map_or(text.len(), |at| end + at + 1);
    Some(start..end)
}

/// Where an item ends, with the tables inside it.
fn end(item: &Item) -> Option<usize> {
    match item {
        Item::Table(table) => table
            .iter()
            .filter_map(|(_, inner)| end(inner))
            .chain(table.span().map(|it| it.end))
            .max(),
        Item::ArrayOfTables(tables) => tables
            .iter()
            .flat_map(|table| {
                table
                    .iter()
                    .filter_map(|(_, inner)| end(inner))
                    .chain(table.span().map(|it| it.end))
            })
            .max(),
        other => other.span().map(|it| it.end),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Length;

    const LENGTH: KeyKind = KeyKind::Length { min: Length::ZERO, max: Length::from_mm(100) };
    const TEXT: &str = "# mine\nunits = \"mm\"\n\n[part]\nlength = 28   # drawn\n\n# the front edge\n\
        [[part.feature]]\nkind = \"chamfer\"\nsize = 0.5   # by hand\n\n[[part.feature]]\nkind = \"diameter\"\n\
        # a limit\nto = 16\n\n[choices]\nx = 1\n";

    fn kinds(text: &str) -> Vec<String> {
        let document: toml_edit::DocumentMut = text.parse().unwrap();
        let list = document["part"]["feature"].as_array_of_tables().unwrap();
        list.iter().map(|table| table["kind"].as_str().unwrap().to_owned()).collect()
    }

    #[test]
    fn a_table_comes_in_at_its_place_and_nothing_else_changes() {
        for place in 0..4 {
            let values =
                [("kind", &KeyKind::Text, "taper"), ("to", &LENGTH, ".5"), ("ra", &LENGTH, " ")];
            let more = put(TEXT, "part.feature", place, &values).unwrap();
            let mut expected = vec!["chamfer".to_owned(), "diameter".to_owned()];
            expected.insert(place.min(2), "taper".to_owned());
            assert_eq!(kinds(&more), expected, "{more}");
            assert!(more.contains("[[part.feature]]\nkind = \"taper\"\nto = 0.5\n\n"), "{more}");
            assert!(!more.contains("\n\n\n"), "{more}");
            assert_eq!(take_out(&more, "part.feature", place.min(2)).unwrap(), TEXT);
        }
    }

    #[test]
    fn a_table_goes_with_the_comments_above_it() {
        let less = take_out(TEXT, "part.feature", 0).unwrap();
        assert_eq!(kinds(&less), ["diameter"]);
        assert_eq!(less, TEXT.replace("# the front edge\n[[part.feature]]\nkind = \"chamfer\"\nsize = 0.5   # by hand\n\n", ""));
        let less = take_out(&less, "part.feature", 0).unwrap();
        assert_eq!(
            less,
            "# mine\nunits = \"mm\"\n\n[part]\nlength = 28   # drawn\n\n[choices]\nx = 1\n"
        );
        assert!(take_out(&less, "part.feature", 0).is_err());
        let again = put(&less, "part.feature", 0, &[("kind", &KeyKind::Text, "bore")]).unwrap();
        assert_eq!(kinds(&again), ["bore"]);
    }

    #[test]
    fn what_only_a_hand_can_change_is_left_alone() {
        let inline = "[part]\nfeature = [{ kind = \"chamfer\" }]\n";
        assert!(put(inline, "part.feature", 0, &[]).is_err());
        assert!(take_out(inline, "part.feature", 0).is_err());
        assert!(put("a = [", "part.feature", 0, &[]).is_err());
    }

    #[test]
    fn a_value_stays_one_value() {
        let hostile = "x\"\n[[part.feature]]\nkind = \"bore";
        let more = put(TEXT, "part.feature", 0, &[("kind", &KeyKind::Text, hostile)]).unwrap();
        assert_eq!(kinds(&more), [hostile, "chamfer", "diameter"]);
    }
}
