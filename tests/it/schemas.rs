//! The JSON Schemas: up to date in `docs/schemas`, and of one mind with the readers.

use crate::expect::{differs, files_under, root};
use barwright::json;
use model::files::FileKind;
use serde_json::Value;
use std::fs;
use std::path::Path;

fn as_json(value: &toml::Value) -> Value {
    match value {
        toml::Value::String(text) => text.as_str().into(),
        toml::Value::Integer(number) => (*number).into(),
        toml::Value::Float(number) => (*number).into(),
        toml::Value::Boolean(flag) => (*flag).into(),
        toml::Value::Datetime(date) => date.to_string().into(),
        toml::Value::Array(items) => items.iter().map(as_json).collect(),
        toml::Value::Table(table) => {
            Value::Object(table.iter().map(|(key, value)| (key.clone(), as_json(value))).collect())
        }
    }
}

/// What the schema of this kind says against a text.
fn against(kind: FileKind, text: &str) -> Vec<String> {
    let schema = json::schema(kind);
    let validator = jsonschema::draft202012::options()
        .should_validate_formats(true)
        .build(&schema)
        .expect("the schema is one");
    let file = toml::Value::Table(text.parse().expect("the file is TOML"));
    validator.iter_errors(&as_json(&file)).map(|error| error.to_string()).collect()
}

/// The kind of a file, from its name or its folder.
fn kind_of(path: &Path) -> Option<FileKind> {
    let name = path.file_name()?.to_str()?;
    let folder = path.parent()?.file_name()?.to_str()?;
    FileKind::ALL.into_iter().find(|kind| {
        let word = kind.word();
        name == format!("{word}.toml")
            || name.ends_with(&format!(".{word}.toml"))
            || folder == format!("{word}s")
    })
}

#[test]
fn the_written_schemas_are_up_to_date() {
    let wrong: Vec<_> = FileKind::ALL
        .into_iter()
        .filter_map(|kind| {
            let file = root(&format!("docs/schemas/{}.schema.json", kind.word()));
            differs(&file, &json::text(&json::schema(kind)))
        })
        .collect();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn the_schemas_are_schemas() {
    for kind in FileKind::ALL {
        assert!(jsonschema::meta::is_valid(&json::schema(kind)), "{}", kind.word());
    }
}

#[test]
fn every_file_that_ships_fits_its_schema() {
    let folders = ["data", "demo", "src/commands/new", "tests/bad_files/good"];
    let files = folders.iter().flat_map(|folder| files_under(&root(folder), ".toml"));
    let mut fitting = 0;
    for (path, kind) in files.filter_map(|path| kind_of(&path).map(|kind| (path, kind))) {
        let wrong = against(kind, &fs::read_to_string(&path).unwrap());
        assert!(wrong.is_empty(), "{}: {}", path.display(), wrong.join("\n"));
        fitting += 1;
    }
    assert!(fitting >= 10, "only {fitting} files were found");
}

#[test]
fn a_schema_refuses_what_the_reader_refuses() {
    let good = fs::read_to_string(root("tests/bad_files/good/pin.job.toml")).unwrap();
    assert_eq!(against(FileKind::Job, &good), Vec::<String>::new());
    for (find, write) in [
        ("units = \"mm\"", "units = \"cm\""),
        ("quantity = 200", "quantity = 2.5"),
        ("quantity = 200", "quantity = 0"),
        ("quantity = 200", "quantiti = 200"),
        ("size = 16", "size = \"16 furlongs\""),
        ("size = 16", "size = -16"),
        ("size = 16", "size = true"),
        ("kind = \"diameter\"", "kind = \"cone\""),
        ("due = 2030-06-28", "due = \"soon\""),
    ] {
        assert!(good.contains(find), "`{find}` stands in the good job");
        let bad = good.replacen(find, write, 1);
        assert_ne!(against(FileKind::Job, &bad), Vec::<String>::new(), "{write} is refused");
    }
}

#[test]
fn a_schema_takes_lengths_as_the_reader_does() {
    let good = fs::read_to_string(root("tests/bad_files/good/pin.job.toml")).unwrap();
    for size in [
        "16",
        "16.25",
        "\"5/8 in\"",
        "\"1 1/4 in\"",
        "\"0.625\"",
        "\"16mm\"",
        "'5/8\"'",
        "\".5 inch\"",
    ] {
        let job = good.replacen("size = 16", &format!("size = {size}"), 1);
        assert_eq!(against(FileKind::Job, &job), Vec::<String>::new(), "{size}");
    }
}
