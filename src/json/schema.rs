//! JSON Schema (draft 2020-12) of the files a job is made of.

use model::files::keys::Presence;
use model::files::{FileKind, KeyFact, KeyKind};
use model::{Length, Units};
use serde_json::{Map, Value, json};

/// A number with or without its unit, as the reader of lengths takes it.
const LENGTH_TEXT: &str = concat!(
    r"^\s*[+-]?(\d+(\.\d*)?|\.\d+|(\d+[ -])?\s*\d+\s*/\s*\d+)",
    r#"\s*([mM][mM]|[iI][nN]([cC][hH]([eE][sS])?)?|")?\s*$"#
);

/// The schema of one kind of file.
pub fn schema(kind: FileKind) -> Value {
    let facts = kind.keys();
    let mut schema = Map::new();
    schema.insert("$schema".into(), json!("https://json-schema.org/draft/2020-12/schema"));
    schema.insert("title".into(), json!(format!("Barwright {} file", kind.word())));
    schema.extend(table(&facts, ""));
    Value::Object(schema)
}

/// The keys directly under `prefix`, which is empty or ends with a point.
fn table(facts: &[KeyFact], prefix: &str) -> Map<String, Value> {
    let mut properties = Map::new();
    let mut required = Vec::new();
    for fact in facts {
        let Some(name) = fact.path.strip_prefix(prefix).filter(|name| !name.contains('.')) else {
            continue;
        };
        if fact.presence == Presence::Required {
            required.push(json!(name));
        }
        properties.insert(name.to_owned(), key(facts, fact));
    }
    let mut table = Map::new();
    table.insert("type".into(), json!("object"));
    table.insert("properties".into(), Value::Object(properties));
    if !required.is_empty() {
        table.insert("required".into(), Value::Array(required));
    }
    table.insert("additionalProperties".into(), json!(false));
    table
}

fn key(facts: &[KeyFact], fact: &KeyFact) -> Value {
    let mut schema = Map::new();
    schema.insert("description".into(), json!(described(fact)));
    schema.extend(match &fact.kind {
        KeyKind::Length { min, .. } => length(*min),
        KeyKind::Lengths { min, .. } => object(json!({ "type": "array", "items": length(*min) })),
        KeyKind::Number { min, max, .. } => {
            object(json!({ "type": "number", "minimum": min, "maximum": max }))
        }
        KeyKind::Count { min, max } => {
            object(json!({ "type": "integer", "minimum": min, "maximum": max }))
        }
        KeyKind::Text => object(json!({ "type": "string", "pattern": r"\S" })),
        KeyKind::Texts => object(json!({ "type": "array", "items": { "type": "string" } })),
        KeyKind::Flag => object(json!({ "type": "boolean" })),
        KeyKind::Date => object(json!({ "type": "string", "format": "date" })),
        KeyKind::Choice(words) => choice(words),
        KeyKind::Table => table(facts, &format!("{}.", fact.path)),
        KeyKind::Tables => {
            let items = table(facts, &format!("{}[].", fact.path));
            object(json!({ "type": "array", "items": items }))
        }
    });
    if let Presence::Default(text) = &fact.presence {
        schema.insert("default".into(), default(&fact.kind, text));
    }
    Value::Object(schema)
}

/// The meaning, with the unit and, for lengths, the range, which depends on the file's units.
fn described(fact: &KeyFact) -> String {
    match &fact.kind {
        KeyKind::Length { min, max } | KeyKind::Lengths { min, max } => {
            let shown = |length: &Length| length.shortest(Units::Mm);
            format!("{}; from {} to {} mm", fact.meaning, shown(min), shown(max))
        }
        KeyKind::Number { unit, .. } if !unit.is_empty() && !fact.meaning.contains(unit) => {
            format!("{}, in {unit}", fact.meaning)
        }
        _ => fact.meaning.to_owned(),
    }
}

fn length(min: Length) -> Map<String, Value> {
    let mut number = object(json!({ "type": "number" }));
    if min.is_positive() {
        number.insert("exclusiveMinimum".into(), json!(0));
    } else if min == Length::ZERO {
        number.insert("minimum".into(), json!(0));
    }
    object(json!({ "anyOf": [number, { "type": "string", "pattern": LENGTH_TEXT }] }))
}

fn choice(words: &[(&str, &str)]) -> Map<String, Value> {
    let words: Vec<_> = words
        .iter()
        .map(|(word, meaning)| json!({ "const": word, "description": meaning }))
        .collect();
    object(json!({ "oneOf": words }))
}

fn default(kind: &KeyKind, text: &str) -> Value {
    match kind {
        KeyKind::Number { .. } => text.parse::<f64>().map_or(Value::Null, Value::from),
        KeyKind::Count { .. } => text.parse::<i64>().map_or(Value::Null, Value::from),
        KeyKind::Flag => Value::Bool(text == "true"),
        KeyKind::Texts => text.split(", ").filter(|text| !text.is_empty()).collect(),
        _ => Value::String(text.to_owned()),
    }
}

fn object(value: Value) -> Map<String, Value> {
    match value {
        Value::Object(map) => map,
        _ => Map::new(),
    }
}
