//! A sample of the campaign `parts`: what the planner writes for invented parts of every kind is proven
//! without a stop, for each control, way of counting and unit system.

use planted::parts::{self, Outcome, Score};

#[test]
fn what_is_written_is_proven() {
    let mut score = Score::default();
    for number in 9_000..9_002 {
        for way in parts::ways() {
            score.count(number, way, parts::outcome(number, way));
        }
    }
    assert!(score.wrong.is_empty(), "{:#?}", score.wrong);
    // Else nothing was tried.
    assert!(score.proven >= 20, "{score:?}");
}

/// A planted flaw of the planner is seen: a part that is drawn smaller than it is planned.
#[test]
fn a_part_that_is_not_as_drawn_is_seen() {
    let seen = (9_000..9_002).any(|number| {
        let way = parts::ways().next().expect("there are ways");
        let Ok(mut job) = parts::job(number, way) else { return false };
        let answer = plan::plan(&job);
        let texts = plan::program::write(&job, &answer.bar, &answer.process);
        for feature in &mut job.file.part.features {
            feature.diameter -= model::Length::from_mm(1);
        }
        let proof = plan::answer::prove_programs(&job, &texts);
        proof.findings.iter().any(|finding| finding.id == "form-left-over")
    });
    assert!(seen);
}

#[test]
fn every_outcome_is_counted() {
    let mut score = Score::default();
    let way = parts::ways().next().expect("there are ways");
    score.count(1, way, Outcome::Proven(vec!["a", "a", "b"]));
    score.count(2, way, Outcome::Wrong(vec!["c".to_owned()]));
    score.count(3, way, Outcome::Stopped(vec!["d"]));
    assert_eq!((score.proven, score.cautions["a"], score.wrong.len()), (1, 1, 1));
    assert_eq!(score.stopped["d"], 1);
}
