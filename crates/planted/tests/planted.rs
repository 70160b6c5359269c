//! A small sample of every kind of mistake is planted, and must be found with the right finding; a
//! sample of good programs must raise no stop. The whole score is `docs/proof.md`.

use planted::good;
use planted::kinds::{self, Kind, not_yet};
use planted::score::{self, Known, Score};
use std::sync::LazyLock;

/// Enough programs that every kind finds a place in some.
static KNOWN: LazyLock<Vec<Known>> =
    LazyLock::new(|| good::all(60, 1).into_iter().map(Known::new).collect());

static SCORES: LazyLock<Vec<(&'static Kind, Score)>> = LazyLock::new(|| {
    let kinds: Vec<&Kind> = kinds::ALL.iter().collect();
    score::scores(&kinds, &KNOWN, 2)
});

#[test]
fn every_kind_is_found_with_the_right_finding() {
    let failures: Vec<String> = SCORES
        .iter()
        .filter(|(kind, score)| not_yet::why(kind.name).is_none() && !score.all_right())
        .map(|(kind, score)| format!("{}: {:#?}", kind.name, score.examples))
        .collect();
    assert!(failures.is_empty(), "not found:\n{}", failures.join("\n"));
}

#[test]
fn every_kind_has_a_place_in_some_good_program() {
    let nowhere: Vec<&str> =
        SCORES.iter().filter(|(_, score)| score.planted == 0).map(|(kind, _)| kind.name).collect();
    assert!(nowhere.is_empty(), "planted nowhere: {nowhere:?}");
    assert!(kinds::ALL.len() >= 100, "only {} kinds", kinds::ALL.len());
}

/// So that the table cannot rot.
#[test]
fn no_kind_waits_longer_than_it_must() {
    for (name, _) in not_yet::NOT_YET {
        let (kind, score) = SCORES
            .iter()
            .find(|(kind, _)| kind.name == *name)
            .unwrap_or_else(|| panic!("{name} is no kind"));
        assert!(!score.all_right(), "{} is found: strike it off the table NOT_YET", kind.name);
    }
}

#[test]
fn right_findings_are_findings() {
    for kind in kinds::ALL.iter().filter(|kind| not_yet::why(kind.name).is_none()) {
        let known = |id: &&str| prove::checks::find(id).is_some();
        assert!(kind.right.iter().any(known), "{}: no check of {:?}", kind.name, kind.right);
        assert_eq!(kind.right.len() > 1, !kind.why.is_empty(), "{}: why several?", kind.name);
    }
}

#[test]
fn good_programs_raise_no_stop() {
    // Those by hand are proven in the prover's own tests too; their variations are not.
    let some = KNOWN.iter().step_by(2);
    for known in some {
        let stops: Vec<_> = known
            .proof()
            .findings
            .iter()
            .filter(|finding| finding.level == model::Level::Stop)
            .map(|finding| format!("{} at line {}", finding.id, finding.place.start().line))
            .collect();
        assert!(stops.is_empty(), "{}: {stops:?}", known.good.name);
    }
}

#[test]
fn the_same_comes_out_every_time() {
    let of = |number| good::jobs::good(number).map(|good| good.texts);
    assert_eq!(of(3), of(3));
    assert_ne!(of(3), of(4));
    let kind = kinds::find("letter_o_for_zero").unwrap();
    let texts = || {
        KNOWN.iter().take(9).map(|known| {
            let reading = planted::reading::Reading::new(&known.good);
            (kind.plant)(&reading, &mut planted::seed::Seed::new(1)).map(|one| one.texts)
        })
    };
    assert!(texts().any(|text| text.is_some()));
    assert!(texts().eq(texts()));
}
