//! Runs every case of the handbook: published value against ours.

use calc::registry::{self, Given};
use proptest::prelude::*;
use std::collections::BTreeSet;
use std::fmt::Write as _;
use std::path::Path;
use std::sync::LazyLock;
use toml::de::{DeTable, DeValue};

/// One outside check.
#[derive(Debug, Clone)]
struct Case {
    file: String,
    name: String,
    calc: String,
    given: Given,
    expect: f64,
    unit: String,
    within: f64,
    texts: [String; 3],
    differs: Option<String>,
}

impl Case {
    fn read(file: &str, table: &DeTable<'_>) -> Case {
        let text = |key: &str| match table.get(key).map(toml::Spanned::get_ref) {
            Some(DeValue::String(text)) => text.to_string(),
            other => panic!("{file}: `{key}` should be text: {other:?}"),
        };
        let number = |key: &str| -> f64 {
            let value = table.get(key).unwrap_or_else(|| panic!("{file}: `{key}` is missing"));
            plain(value.get_ref()).parse().unwrap()
        };
        let Some(DeValue::Table(given)) = table.get("given").map(toml::Spanned::get_ref) else {
            panic!("{file}: `given` should be a table");
        };
        let given =
            given.iter().map(|(key, value)| (key.get_ref().to_string(), plain(value.get_ref())));
        Case {
            file: file.to_owned(),
            name: text("name"),
            calc: text("calc"),
            given: given.collect(),
            expect: number("expect"),
            unit: text("unit"),
            within: number("within"),
            texts: ["why_within", "source", "seen"].map(text),
            differs: table.contains_key("differs").then(|| text("differs")),
        }
    }

    /// What is wrong with this case, if anything.
    fn trouble(&self) -> Option<String> {
        let ours = match registry::calculate_in(&self.calc, &self.given, &self.unit) {
            Ok(ours) => ours,
            Err(error) => return Some(format!("{}: {}: {error}", self.file, self.name)),
        };
        let difference = ours - self.expect;
        let agrees = difference.abs() <= self.within;
        (agrees == self.differs.is_some()).then(|| {
            format!(
                "{}: {}: published {} {unit}, ours {ours} {unit}, difference {difference:e}, \
                 {} {}",
                self.file,
                self.name,
                self.expect,
                if agrees { "which should lie outside of" } else { "allowed" },
                self.within,
                unit = self.unit,
            )
        })
    }
}

/// The figure as the file has it, digit by digit.
fn plain(value: &DeValue<'_>) -> String {
    match value {
        DeValue::String(text) => text.to_string(),
        DeValue::Integer(number) => number.as_str().replace('_', ""),
        DeValue::Float(number) => number.as_str().replace('_', ""),
        other => panic!("neither text nor number: {other:?}"),
    }
}

static CASES: LazyLock<Vec<Case>> = LazyLock::new(cases);

fn cases() -> Vec<Case> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../handbook");
    let mut cases = Vec::new();
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_none_or(|end| end != "toml") {
            continue;
        }
        let file = path.file_name().unwrap().to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).unwrap();
        let table = DeTable::parse(&text).unwrap_or_else(|error| panic!("{file}: {error}"));
        let Some(DeValue::Array(list)) = table.get_ref().get("case").map(toml::Spanned::get_ref)
        else {
            panic!("{file} has no [[case]]");
        };
        assert!(!list.is_empty(), "{file} has no case");
        for case in list {
            let DeValue::Table(case) = case.get_ref() else { panic!("{file}: a case is no table") };
            cases.push(Case::read(&file, case));
        }
    }
    cases
}

#[test]
fn every_case_agrees_with_its_source() {
    let cases = cases();
    assert!(cases.len() >= 75, "only {} cases were read", cases.len());
    let mut report = String::new();
    for trouble in cases.iter().filter_map(Case::trouble) {
        let _ = writeln!(report, "{trouble}");
    }
    assert!(report.is_empty(), "\n{report}");
}

#[test]
fn a_value_that_is_off_is_seen() {
    for case in cases().into_iter().filter(|case| case.differs.is_none()) {
        for sign in [-1.0, 1.0] {
            let off = sign * (2.5 * case.within + 1e-6 * case.expect.abs().max(1e-3));
            let wrong = Case { expect: case.expect + off, ..case.clone() };
            assert!(wrong.trouble().is_some(), "{}: {off} is not seen", case.name);
        }
    }
}

#[test]
fn every_case_tells_its_source_and_how_far_to_trust_it() {
    let seen = ["found", "computed", "from memory", "common practice"];
    let mut names = BTreeSet::new();
    for case in cases() {
        assert!(case.texts.iter().all(|text| !text.trim().is_empty()), "{case:?}");
        assert!(seen.contains(&case.texts[2].as_str()), "{case:?}");
        assert!(case.within >= 0.0, "{case:?}");
        assert!(names.insert((case.file.clone(), case.name.clone())), "twice: {}", case.name);
    }
}

#[test]
fn every_calculation_has_a_case() {
    let held: BTreeSet<String> = cases().into_iter().map(|case| case.calc).collect();
    let loose: Vec<_> =
        registry::all().map(|known| known.name).filter(|name| !held.contains(*name)).collect();
    assert!(loose.is_empty(), "{loose:?}");
}

#[test]
fn what_is_not_known_is_an_error_value() {
    let case = cases().into_iter().find(|case| case.calc == "bar.pitch").unwrap();
    assert!(registry::calculate("bar.nothing", &case.given).is_err());
    assert!(registry::calculate_in("bar.pitch", &case.given, "kg").is_err());
    let changed = |key: &str, value: &str| {
        let mut given = case.given.clone();
        given.insert(key.to_owned(), value.to_owned());
        registry::calculate("bar.pitch", &given)
    };
    assert!(changed("not_a_key_mm", "1").is_err());
    assert!(changed("finished_mm", "long").is_err());
    assert!(changed("finished_mm", "-5").is_err());
    assert!(changed("finished_in", "1").is_err());
    assert!(registry::calculate("bar.pitch", &Given::new()).is_err());
}

/// Subjects whose figures are finite, whatever is given; those of motion may be infinite.
const FINITE: [&str; 5] = ["chips.", "cutting.", "finish.", "life.", "worth."];

proptest! {
    #![proptest_config(ProptestConfig::with_cases(4000))]

    #[test]
    fn odd_figures_give_a_number_or_an_error(
        (which, key) in (any::<prop::sample::Index>(), any::<prop::sample::Index>()),
        odd in prop_oneof![
            any::<f64>().prop_map(|figure| figure.to_string()),
            (-400_i32..400).prop_map(|power| format!("1e{}", power / 10)),
            Just("0".to_owned()),
            Just("-1".to_owned()),
            Just("180".to_owned()),
        ],
    ) {
        let subject = |case: &&Case| FINITE.iter().any(|subject| case.calc.starts_with(subject));
        let cases: Vec<&Case> = CASES.iter().filter(subject).collect();
        let case = which.get(&cases);
        let keys: Vec<&String> = case.given.keys().collect();
        let mut given = case.given.clone();
        given.insert((*key.get(&keys)).clone(), odd.clone());
        if let Ok(figure) = registry::calculate(&case.calc, &given) {
            prop_assert!(figure.is_finite(), "{}: {} = {odd}: {figure}", case.calc, key.get(&keys));
        }
    }
}
