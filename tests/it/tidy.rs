//! What only a look over the whole tree can see.

use crate::expect::{files_under, root};
use std::fs;

/// Arrows between packages: what each may use.
const ARROWS: [(&str, &[&str]); 13] = [
    ("model", &[]),
    ("follow", &[]),
    ("outline", &["model"]),
    ("calc", &["model"]),
    ("nc", &["model"]),
    ("runlog", &["model"]),
    ("prove", &["calc", "model", "nc"]),
    ("plan", &["calc", "model", "nc", "prove"]),
    ("stock", &["calc", "model"]),
    ("visits", &["model"]),
    ("cost", &["calc", "model", "plan", "prove", "stock"]),
    ("view", &["calc", "cost", "model", "plan", "prove", "stock", "visits"]),
    ("sheet", &["view"]),
];

#[test]
fn no_arrow_between_packages_points_back() {
    for (name, allowed) in ARROWS {
        let text = fs::read_to_string(root(&format!("crates/{name}/Cargo.toml"))).unwrap();
        let normal = text.split("[dev-dependencies]").next().unwrap();
        for (other, _) in ARROWS {
            let used = normal.contains(&format!("\n{other}.workspace = true"));
            assert!(!used || allowed.contains(&other), "{name} must not use {other}");
        }
    }
}

#[test]
fn the_prover_never_uses_the_planners_arithmetic() {
    for file in files_under(&root("crates/prove/src"), ".rs") {
        let text = fs::read_to_string(&file).unwrap();
        let code = text.lines().filter(|line| !line.trim_start().starts_with("//"));
        assert!(!code.clone().any(|line| line.contains("calc::bar")), "{}", file.display());
    }
}

#[test]
fn every_package_forbids_unsafe_code() {
    for (name, _) in ARROWS {
        let text = fs::read_to_string(root(&format!("crates/{name}/src/lib.rs"))).unwrap();
        assert!(text.contains("#![forbid(unsafe_code)]"), "{name}");
    }
    for file in ["src/lib.rs", "src/main.rs"] {
        assert!(fs::read_to_string(root(file)).unwrap().contains("#![forbid(unsafe_code)]"));
    }
}

#[test]
fn every_shipped_control_and_material_is_read() {
    for file in files_under(&root("data/controls"), ".toml") {
        let source = model::Source::new("control", fs::read(&file).unwrap());
        let read = model::files::Control::read(&source);
        assert!(read.value.is_some(), "{}: {:?}", file.display(), read.diagnostics);
    }
}

#[test]
fn no_room_is_called_by_a_word_that_says_nothing() {
    for file in
        files_under(&root("crates"), ".rs").into_iter().chain(files_under(&root("src"), ".rs"))
    {
        let stem = file.file_stem().unwrap().to_string_lossy().into_owned();
        let empty = ["utils", "util", "helpers", "common", "misc", "core", "manager", "handler"];
        assert!(!empty.contains(&stem.as_str()), "{}", file.display());
    }
}
