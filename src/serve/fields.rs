//! What may be edited of a file, from the facts that its reader gives about its keys.

use super::desk::shape::FEATURES;
use super::edit;
use model::files::keys::Presence;
use model::files::{FileKind, KeyFact, KeyKind};
use model::{Length, Units};
use toml_edit::DocumentMut;
use view::pages::Field;
use view::pages::field::Entry;

/// The kinds of file that a job names, itself first, in the order of a page; and the shop's, which none names.
pub(super) const KINDS: [FileKind; 6] = [
    FileKind::Job,
    FileKind::Lathe,
    FileKind::Gripper,
    FileKind::Tools,
    FileKind::Control,
    FileKind::Shop,
];

/// The unit of money as the facts about keys have it; a page names the coin itself where the file does.
const COIN: &str = "the shop's coin";

/// The kind of file with this word.
pub(super) fn kind(word: &str) -> Option<FileKind> {
    KINDS.into_iter().find(|kind| kind.word() == word)
}

/// The fact about a key; places in lists are left aside.
pub(super) fn fact(kind: FileKind, key: &str) -> Option<KeyFact> {
    let mut path = String::new();
    let mut inside = false;
    for letter in key.chars() {
        match letter {
            '[' => (inside, path) = (true, path + "["),
            ']' => (inside, path) = (false, path + "]"),
            _ if inside && letter.is_ascii_digit() => {}
            _ => path.push(letter),
        }
    }
    kind.keys().into_iter().find(|fact| fact.path == path && is_edited(&fact.kind))
}

const fn is_edited(kind: &KeyKind) -> bool {
    !matches!(kind, KeyKind::Table | KeyKind::Tables)
}

/// Every key of a file with what stands there.
pub(super) fn of(kind: FileKind, text: &str) -> Vec<Field> {
    let Ok(document) = edit::document(text) else { return Vec::new() };
    let units = match edit::value(&document, "units").as_deref() {
        Some("inch") => Units::Inch,
        _ => Units::Mm,
    };
    let mut all = Vec::new();
    for fact in kind.keys_in(units).iter().filter(|fact| is_edited(&fact.kind)) {
        for key in places(&document, &fact.path) {
            all.push(field(kind, fact, key, &document, units));
        }
    }
    all
}

/// The keys of a feature that is still to be written, in the units of a job file.
pub(super) fn of_new_feature(text: &str) -> Vec<Field> {
    let units = edit::document(text).ok().and_then(|document| edit::value(&document, "units"));
    let units = if units.as_deref() == Some("inch") { Units::Inch } else { Units::Mm };
    let list = format!("{FEATURES}[].");
    let keys = FileKind::Job.keys_in(units);
    let own = keys.iter().filter(|fact| is_edited(&fact.kind) && fact.path.starts_with(&list));
    let none = DocumentMut::new();
    own.map(|fact| field(FileKind::Job, fact, fact.path.clone(), &none, units)).collect()
}

/// How many features the part of a job file has.
pub(super) fn features(text: &str) -> usize {
    edit::document(text).map_or(0, |document| edit::length(&document, FEATURES))
}

/// A path with `[]` as one for every table in the lists that it passes.
fn places(document: &DocumentMut, path: &str) -> Vec<String> {
    let Some((list, rest)) = path.split_once("[]") else { return vec![path.to_owned()] };
    let count = edit::length(document, list);
    (0..count).flat_map(|place| places(document, &format!("{list}[{place}]{rest}"))).collect()
}

fn field(
    kind: FileKind,
    fact: &KeyFact,
    key: String,
    document: &DocumentMut,
    units: Units,
) -> Field {
    let value = edit::value(document, &key);
    let (mut unit, limits) = measure(&fact.kind, units);
    if unit == COIN {
        unit = edit::value(document, "currency").unwrap_or_default();
    }
    Field {
        file: kind.word(),
        value,
        meaning: fact.meaning.to_owned(),
        unit,
        limits,
        entry: entry(&fact.kind),
        otherwise: match &fact.presence {
            Presence::Default(text) if text.is_empty() => None,
            Presence::Default(text) => Some(standard(&fact.kind, text, units)),
            _ => None,
        },
        may_be_left_out: fact.presence != Presence::Required,
        key,
    }
}

fn entry(kind: &KeyKind) -> Entry {
    let word = |word: &str, meaning: &str| (word.to_owned(), meaning.to_owned());
    match kind {
        KeyKind::Choice(words) => {
            Entry::Choice(words.iter().map(|(name, meaning)| word(name, meaning)).collect())
        }
        KeyKind::Flag => Entry::Choice(vec![word("true", "yes"), word("false", "no")]),
        KeyKind::Lengths { .. } | KeyKind::Texts => Entry::Lines,
        KeyKind::Date => Entry::Date,
        KeyKind::Text => Entry::Text,
        _ => Entry::Figure,
    }
}

/// What is taken where a key is left out, in the units of its file.
fn standard(kind: &KeyKind, text: &str, units: Units) -> String {
    let is_length = matches!(kind, KeyKind::Length { .. }) && units == Units::Inch;
    let length = Length::parse_with_unit(text, Units::Mm).ok().filter(|_| is_length);
    length.map_or(text.to_owned(), |length| format!("{} {}", short(length, units), units.symbol()))
}

/// A length with no more decimals than it needs, and than a shop has.
fn short(length: Length, units: Units) -> String {
    let text = length.text(units, units.decimals());
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if short.is_empty() { "0".to_owned() } else { short.to_owned() }
}

/// Unit and limits in words.
fn measure(kind: &KeyKind, units: Units) -> (String, String) {
    let length = |length: &Length| short(*length, units);
    match kind {
        KeyKind::Length { min, max } | KeyKind::Lengths { min, max } => (
            units.symbol().to_owned(),
            format!("{} to {}", grouped(&length(min)), grouped(&length(max))),
        ),
        KeyKind::Number { unit, min, max } => (
            (*unit).to_owned(),
            format!("{} to {}", grouped(&min.to_string()), grouped(&max.to_string())),
        ),
        KeyKind::Count { min, max } => (
            String::new(),
            format!("{} to {}", grouped(&min.to_string()), grouped(&max.to_string())),
        ),
        _ => (String::new(), String::new()),
    }
}

/// A figure with its digits in threes, where there are many.
fn grouped(figure: &str) -> String {
    if let Some(size) = figure.strip_prefix('-') {
        return format!("-{}", grouped(size));
    }
    if figure.len() < 5 || !figure.bytes().all(|byte| byte.is_ascii_digit()) {
        return figure.to_owned();
    }
    let mut grouped = String::new();
    for (index, digit) in figure.chars().enumerate() {
        if index > 0 && (figure.len() - index).is_multiple_of(3) {
            grouped.push('\u{202f}');
        }
        grouped.push(digit);
    }
    grouped
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_inch_file_is_asked_in_its_own_units() {
        let text = "units = \"inch\"\n[[station]]\nstation = 1\nspeed = 550\n";
        let all = of(FileKind::Tools, text);
        let speed = all.iter().find(|field| field.key == "station[0].speed").unwrap();
        assert_eq!(speed.unit, "ft/min");
        let feature = of_new_feature("units = \"inch\"\n");
        let of = |key: &str| feature.iter().find(|it| it.key.ends_with(key)).unwrap();
        assert_eq!(of("].ra").unit, "µin");
        let mut lengths = feature.iter().chain(&all).filter(|field| field.unit == "in");
        let standard = |field: &Field| field.otherwise.clone().unwrap_or_default();
        assert!(lengths.all(|field| !standard(field).contains("mm")));
    }

    #[test]
    fn every_key_of_every_file_has_its_fact() {
        for kind in KINDS {
            for fact_of in kind.keys().iter().filter(|fact| is_edited(&fact.kind)) {
                let placed = fact_of.path.replace("[]", "[12]");
                assert_eq!(fact(kind, &placed).as_ref(), Some(fact_of), "{placed}");
            }
            assert!(fact(kind, "no.such.key").is_none());
        }
    }
}
