//! Parts to an advance compared: each line is held to a whole plan of the same job with that number.

use crate::shop::{self, PIN, SPACER};
use model::files::Job;
use model::{Length, Level};
use plan::alternatives::{self, Alternative};
use plan::checks::CheckLine;
use std::collections::BTreeSet;

fn compared(job: &Job) -> Vec<Alternative> {
    alternatives::compare(job, &plan::plan(job))
}

fn warned(checks: &[CheckLine]) -> BTreeSet<(&'static str, Level)> {
    let levels = checks.iter().filter_map(|it| Some((it.id, it.level?)));
    levels.filter(|(_, level)| *level >= Level::Caution).collect()
}

#[test]
fn each_line_is_the_plan_with_that_number() {
    for demo in [PIN, SPACER] {
        let job = shop::demo(demo);
        let all = compared(&job);
        assert_eq!(all.iter().map(|it| it.parts).collect::<Vec<_>>(), [1, 2, 3, 4], "{demo}");
        let one = plan::plan(&job.with_parts(1).unwrap());
        for line in &all {
            let plan = plan::plan(&job.with_parts(line.parts).unwrap());
            assert!((line.part.s() * f64::from(line.parts) - plan.times.cycle.s()).abs() < 1e-9);
            assert_eq!(line.parts_per_bar, plan.bar.parts_per_bar);
            assert_eq!(line.remnant, plan.bar.remnant);
            assert_eq!(line.stick_out, plan.bar.division.stick_out());
            let fresh = warned(&plan.checks);
            let old = warned(&one.checks);
            let new: BTreeSet<_> = fresh.difference(&old).map(|(id, _)| *id).collect();
            assert_eq!(line.new.iter().copied().collect::<BTreeSet<_>>(), new, "{demo} {line:?}");
        }
    }
}

/// The pin by hand: pitch 31, so that each part more stands out 31 farther; the blank of 998.5 gives
/// 30, 30 (29.8 advances of 31, 14.4 of 62 behind the first), 30 and 28.
#[test]
fn the_pin_by_hand() {
    let all = compared(&shop::demo(PIN));
    let stick_out: Vec<Length> = all.iter().map(|it| it.stick_out).collect();
    assert_eq!(stick_out, [43, 74, 105, 136].map(Length::from_mm));
    // 1 + ⌊(998.5 − 2 − 43 − 30)/31⌋ = 30; 2(1 + ⌊892.5/62⌋) = 30; 3(1 + ⌊861.5/93⌋) = 30;
    // 4(1 + ⌊830.5/124⌋) = 28.
    assert_eq!(all.iter().map(|it| it.parts_per_bar).collect::<Vec<_>>(), [30, 30, 30, 28]);
    // One advance is shared by more parts, so that each takes less.
    assert!(all.windows(2).all(|two| two[1].part.s() < two[0].part.s()), "{all:#?}");
    // What grows with the stick-out is used up more and more.
    assert!(all.windows(2).all(|two| two[1].worst.unwrap().used > two[0].worst.unwrap().used));
}

#[test]
fn what_the_travel_does_not_reach_is_left_out_and_the_own_number_is_there() {
    let mut job = shop::demo(PIN).with_parts(6).unwrap();
    assert_eq!(compared(&job).iter().map(|it| it.parts).collect::<Vec<_>>(), [1, 2, 3, 4, 6]);
    job.lathe.travel.z = Length::from_mm(64);
    let two = job.with_parts(2).unwrap();
    assert_eq!(compared(&two).iter().map(|it| it.parts).collect::<Vec<_>>(), [1, 2]);
}

/// The quickest brings nothing new, and all that are quicker do.
#[test]
fn the_quickest_has_no_new_caution() {
    for demo in [PIN, SPACER] {
        let all = compared(&shop::demo(demo));
        let best = alternatives::quickest(&all).unwrap();
        assert!(best.new.is_empty());
        for quicker in all.iter().filter(|it| it.part.s() < best.part.s()) {
            assert!(!quicker.new.is_empty(), "{demo} {quicker:?}");
        }
    }
}

/// What is chosen is what the comparison calls quickest, and the plan is of that number.
#[test]
fn the_number_is_chosen_where_the_job_leaves_it_open() {
    for (demo, most) in [(PIN, 4), (PIN, 2), (SPACER, 4), (SPACER, 1)] {
        let mut job = shop::demo(demo).with_parts(1).unwrap();
        let all = compared(&job);
        let allowed: Vec<Alternative> = all.into_iter().filter(|it| it.parts <= most).collect();
        let best = alternatives::quickest(&allowed).unwrap().parts;
        job.file.advance.most_parts = Some(most);
        let chosen = alternatives::settled(job);
        assert_eq!(chosen.file.advance.parts, best, "{demo} up to {most}");
        assert_eq!(plan::plan(&chosen).bar.division.parts_per_advance, best);
    }
    assert_eq!(alternatives::settled(shop::demo(SPACER)).file.advance.parts, 2);
}
