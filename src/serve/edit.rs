//! One key of one file as text: read and set, with comments, order and spaces of the rest kept.

pub(super) mod list;

use model::files::KeyKind;
use toml_edit::{Array, DocumentMut, Item, Table, TableLike, Value};

/// A text that can be edited.
pub(super) fn document(text: &str) -> Result<DocumentMut, String> {
    text.parse::<DocumentMut>()
        .map_err(|error| format!("the file is not TOML as it stands: {}", error.message()))
}

/// One step of a key's path: its name and, for a table in a list, its place.
fn step(step: &str) -> (&str, Option<usize>) {
    match step.split_once('[') {
        Some((name, place)) => (name, place.trim_end_matches(']').parse().ok()),
        None => (step, None),
    }
}

/// What stands at a key, as a person would type it; none where it is left out.
pub(super) fn value(document: &DocumentMut, key: &str) -> Option<String> {
    let (path, last) = key.rsplit_once('.').unwrap_or(("", key));
    let mut table: &dyn TableLike = document.as_table();
    for part in path.split('.').filter(|part| !part.is_empty()) {
        let (name, place) = step(part);
        let item = table.get(name)?;
        table = match place {
            Some(place) => item.as_array_of_tables()?.get(place)?,
            None => item.as_table_like()?,
        };
    }
    typed(table.get(last)?.as_value()?)
}

/// A value as a person would type it.
fn typed(value: &Value) -> Option<String> {
    match value {
        Value::String(text) => Some(text.value().clone()),
        Value::Array(list) => {
            let several: Option<Vec<String>> = list.iter().map(typed).collect();
            Some(several?.join("\n"))
        }
        Value::InlineTable(_) => None,
        other => Some(other.clone().decorated("", "").to_string()),
    }
}

/// How many tables stand in the list at a path.
pub(super) fn length(document: &DocumentMut, path: &str) -> usize {
    let mut table: &dyn TableLike = document.as_table();
    let (tables, list) = path.rsplit_once('.').unwrap_or(("", path));
    for part in tables.split('.').filter(|part| !part.is_empty()) {
        let (name, place) = step(part);
        let Some(item) = table.get(name) else { return 0 };
        let inner = match place {
            Some(place) => item
                .as_array_of_tables()
                .and_then(|list| list.get(place))
                .map(|table| table as &dyn TableLike),
            None => item.as_table_like(),
        };
        let Some(inner) = inner else { return 0 };
        table = inner;
    }
    table.get(list).and_then(Item::as_array_of_tables).map_or(0, toml_edit::ArrayOfTables::len)
}

/// The text with another value at a key; an empty one takes the key away.
///
/// # Errors
/// Where the text is not TOML, or the key's place is written in a way that only a hand can change.
pub(super) fn set(text: &str, key: &str, kind: &KeyKind, typed: &str) -> Result<String, String> {
    let mut document = document(text)?;
    let (path, last) = key.rsplit_once('.').unwrap_or(("", key));
    let typed = typed.trim();
    let mut table: &mut dyn TableLike = document.as_table_mut();
    for part in path.split('.').filter(|part| !part.is_empty()) {
        let by_hand = || {
            format!("`{part}` is written in a way that a page cannot change: edit the file by hand")
        };
        let (name, place) = step(part);
        if place.is_none() && table.get(name).is_none() {
            if typed.is_empty() {
                return Ok(text.to_owned());
            }
            table.insert(name, Item::Table(Table::new()));
        }
        let item = table.get_mut(name).ok_or_else(by_hand)?;
        table = match place {
            Some(place) => item
                .as_array_of_tables_mut()
                .and_then(|list| list.get_mut(place))
                .ok_or_else(by_hand)?,
            None => item.as_table_like_mut().ok_or_else(by_hand)?,
        };
    }
    if typed.is_empty() {
        table.remove(last);
        return Ok(document.to_string());
    }
    let mut new = literal(kind, typed);
    match table.get_mut(last) {
        Some(Item::Value(old)) => {
            *new.decor_mut() = old.decor().clone();
            *old = new;
        }
        Some(_) => {
            return Err(format!(
                "`{last}` is written in a way that a page cannot change: edit the file by hand"
            ));
        }
        None => {
            table.insert(last, Item::Value(new));
        }
    }
    Ok(document.to_string())
}

/// What was typed as TOML. What is no figure stays text: the reader says what is wrong with it.
fn literal(kind: &KeyKind, typed: &str) -> Value {
    match kind {
        KeyKind::Length { .. } | KeyKind::Number { .. } | KeyKind::Count { .. } => figure(typed),
        KeyKind::Flag | KeyKind::Date => plain(typed).unwrap_or_else(|| typed.into()),
        KeyKind::Lengths { .. } => list(typed.split(['\n', ',', ';']).map(str::trim), figure),
        KeyKind::Texts => list(typed.lines().map(str::trim), Value::from),
        KeyKind::Text | KeyKind::Choice(_) | KeyKind::Table | KeyKind::Tables => typed.into(),
    }
}

fn list<'t>(several: impl Iterator<Item = &'t str>, literal: impl Fn(&'t str) -> Value) -> Value {
    Value::Array(several.filter(|one| !one.is_empty()).map(literal).collect::<Array>())
}

fn figure(typed: &str) -> Value {
    let (sign, digits) = match typed.as_bytes().first() {
        Some(b'-') => ("-", &typed[1..]),
        Some(b'+') => ("", &typed[1..]),
        _ => ("", typed),
    };
    let only_digits =
        !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.');
    let (whole, fraction) = digits.split_once('.').unwrap_or((digits, ""));
    // A person writes .5 and 012; TOML does not.
    let whole = match whole.trim_start_matches('0') {
        "" => "0",
        whole => whole,
    };
    let text = if fraction.is_empty() {
        format!("{sign}{whole}")
    } else {
        format!("{sign}{whole}.{fraction}")
    };
    Some(text).filter(|_| only_digits).and_then(|text| plain(&text)).unwrap_or_else(|| typed.into())
}

/// A number, a flag or a date.
fn plain(typed: &str) -> Option<Value> {
    typed.parse::<Value>().ok().filter(|value| {
        !matches!(value, Value::String(_) | Value::Array(_) | Value::InlineTable(_))
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::Length;

    const LENGTH: KeyKind = KeyKind::Length { min: Length::ZERO, max: Length::from_mm(100) };

    fn set_length(text: &str, key: &str, typed: &str) -> String {
        set(text, key, &LENGTH, typed).unwrap()
    }

    #[test]
    fn comments_order_and_spaces_are_kept() {
        let text =
            "# mine\nunits = \"mm\"\n\n[bar]\nsize   = 12   # drawn\nlength = 1000\n\n# end\n";
        assert_eq!(set_length(text, "bar.size", "14.50"), text.replace("12   #", "14.50   #"));
        assert_eq!(
            set_length(text, "bar.size", "9/16 in"),
            text.replace("12   #", "\"9/16 in\"   #")
        );
    }

    #[test]
    fn what_a_person_writes_becomes_toml() {
        for (typed, written) in [
            (".5", "0.5"),
            ("012", "12"),
            ("+3", "3"),
            ("-.25", "-0.25"),
            ("5.", "5"),
            ("1,5", "\"1,5\""),
            ("", ""),
        ] {
            let text = set_length("a = 1\n", "a", typed);
            assert_eq!(
                text,
                if written.is_empty() { String::new() } else { format!("a = {written}\n") },
                "{typed}"
            );
        }
        let quoted = set("a = \"x\"\n", "a", &KeyKind::Text, "5\" \\ [b]\nc = 1").unwrap();
        assert_eq!(value(&document(&quoted).unwrap(), "a").as_deref(), Some("5\" \\ [b]\nc = 1"));
        assert_eq!(
            document(&quoted).unwrap().iter().count(),
            1,
            "no second key comes in by a value"
        );
    }

    #[test]
    fn tables_in_lists_are_found_by_their_place() {
        let text = "[[station]]\nnumber = 1\n[[station]]\nnumber = 3\nwidth = 2.5 # blade\n";
        let changed = set_length(text, "station[1].width", "3");
        assert_eq!(changed, text.replace("2.5", "3"));
        assert_eq!(value(&document(&changed).unwrap(), "station[1].width").as_deref(), Some("3"));
        assert!(set(text, "station[7].width", &LENGTH, "3").is_err());
        assert_eq!(length(&document(text).unwrap(), "station"), 2);
    }

    #[test]
    fn a_table_that_is_not_there_comes_in() {
        let text = set("units = \"mm\"\n", "bar.condition.bow", &LENGTH, "0.4").unwrap();
        assert_eq!(value(&document(&text).unwrap(), "bar.condition.bow").as_deref(), Some("0.4"));
        assert_eq!(set("a = 1\n", "bar.bow", &LENGTH, " "), Ok("a = 1\n".to_owned()));
    }
}
