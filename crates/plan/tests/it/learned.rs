//! What was learned counts in a plan where it is switched on, and only there; and nothing that would be stopped
//! becomes clear by it.

use crate::shop::{self, PIN};
use calc::pull::{self, Scatter};
use model::Length;
use model::files::Job;
use model::files::job::Choose;
use model::files::job::learned::{Cycle, Load, Pulls, Records, WornEdges};
use model::quantity::{Probability, Seconds};
use plan::walk_away::{self, Kind};
use plan::{Answer, bar};
use proptest::prelude::*;
use std::sync::OnceLock;

fn records(used: bool, count: u32) -> Records {
    Records { used, count, on: Some("2026-12-01".to_owned()) }
}

fn cycle(factor: f64, used: bool) -> Cycle {
    Cycle { factor, deviation: 0.01, records: records(used, 40) }
}

fn near(one: Seconds, other: f64) -> bool {
    (one.s() / other - 1.0).abs() < 1e-12
}

/// Everything but what was learned, as text.
fn but_for_words(answer: Answer) -> String {
    format!("{:?}", Answer { learned: Vec::new(), ..answer })
}

#[test]
fn times_grow_by_the_very_factor_and_nothing_else_changes() {
    let mut job = shop::demo(PIN);
    // Shorter than a bar.
    job.file.walk_away.never_longer = Some(Seconds::from_s(300.0));
    let plain = plan::plan(&job);
    let mut switched = job.clone();
    switched.file.learned.cycle = Some(cycle(1.125, true));
    let told = plan::plan(&switched);
    for (ours, before) in [
        (told.times.cycle, plain.times.cycle),
        (told.times.advance, plain.times.advance),
        (told.times.bar, plain.times.bar),
        (told.times.order, plain.times.order),
    ] {
        assert!(near(ours, 1.125 * before.s()), "{ours:?} against {before:?}");
    }
    for limit in &plain.walk_away.limits {
        let same = told.walk_away.limits.iter().find(|it| it.kind == limit.kind).unwrap();
        if limit.kind == Kind::NeverLonger {
            assert_eq!(same.at, limit.at, "the shop's own limit is a time of its own");
            assert!(same.parts < limit.parts, "in which fewer parts are made");
        } else {
            assert!(near(same.at, 1.125 * limit.at.s()) && same.parts == limit.parts, "{same:?}");
        }
    }
    assert_eq!(
        format!("{:?}", told.proof),
        format!("{:?}", plain.proof),
        "the proof sees none of it"
    );
    let [words] = told.learned.as_slice() else { panic!("{:?}", told.learned) };
    assert_eq!((words.count, words.not_used.as_ref()), (40, None));
    // Student's t for 39 degrees of freedom, 2.5 % above: 2.0227 (in any table).
    let off = 2.0227 * 0.01 / 40.0_f64.sqrt();
    assert!((words.value.high - 1.125 - off).abs() < 1e-6, "{words:?}");
    for wanted in ["times 1.1250", "40 cycles", "2026-12-01"] {
        assert!(words.words.contains(wanted), "{}", words.words);
    }
}

#[test]
fn what_is_not_switched_on_changes_nothing() {
    let job = shop::demo(PIN);
    let plain = plan::plan(&job);
    let turning = plain.edges.iter().find(|edge| edge.station == 1).unwrap().cutting;
    let mut off = job;
    off.file.learned.cycle = Some(cycle(2.0, false));
    off.file.learned.load = Some(Load {
        time: Seconds::from_s(600.0),
        deviation: Seconds::from_s(1.0),
        records: records(false, 9),
    });
    off.file.learned.gripper = Some(Pulls {
        bias: Length::from_mm(3),
        deviation: Length::from_mm(3),
        records: records(false, 9),
    });
    off.file.learned.edges = vec![worn(60.0, turning, false)];
    let answer = plan::plan(&off);
    assert_eq!(answer.learned, []);
    assert_eq!(but_for_words(answer), but_for_words(plain));
}

/// An edge of station 1 of which half last so many seconds; nineteen of twenty half of that.
fn worn(life: f64, cutting: Seconds, used: bool) -> WornEdges {
    WornEdges {
        station: 1,
        life: Seconds::from_s(life),
        low: Seconds::from_s(0.5 * life),
        high: Seconds::from_s(1.5 * life),
        cutting,
        early: 2,
        records: records(used, 5),
    }
}

#[test]
fn a_learned_life_sets_the_edge_limit_and_the_size_limit() {
    let mut job = shop::demo(PIN);
    let of = |job: &Job| {
        let answer = plan::plan(job);
        let edge = answer.edges.iter().find(|edge| edge.station == 1).unwrap().clone();
        (answer, edge)
    };
    let (_, plain) = of(&job);
    let cutting = plain.cutting;
    // 20.4 parts at the low end, 40.8 likely, 61.2 at the high end.
    job.file.learned.edges = vec![worn(40.8 * cutting.s(), cutting, true)];
    let (answer, edge) = of(&job);
    let parts = edge.parts.as_ref().unwrap();
    assert_eq!((parts.low, parts.nominal, parts.high), (20, 40, 61));
    assert!(edge.learned && !plain.learned);
    let limit = answer.walk_away.limits.iter().find(|it| it.kind == Kind::Edge(1)).unwrap();
    assert_eq!(limit.parts, 20);
    assert!(limit.name.ends_with("by the life learned from the log"), "{}", limit.name);
    // The size drifts to its limit after the same share of the shorter life: 0.2783 of 20.4 parts.
    assert_eq!(edge.keeps_size, Some(5));
    assert!(answer.learned[0].words.contains("5 worn ones and 2 that were changed before"));
    let check =
        answer.checks.iter().find(|it| it.id == "edge-wears-in-bar" && it.about == "station 1");
    assert!(check.unwrap().source.contains("learned"), "{check:?}");

    // With other cuts than those that it was learned with it is not used, and that is told.
    let mut other = job.clone();
    other.file.learned.edges[0].cutting = cutting * 1.02;
    let (answer, edge) = of(&other);
    assert_eq!((edge.parts, edge.learned), (plain.parts, false));
    assert!(answer.learned[0].not_used.is_some());
    assert!(answer.unproven.iter().any(|it| it.what.contains("edges of station 1")));
}

#[test]
fn a_choice_counts_with_the_learned_life_and_the_learned_times() {
    let mut job = shop::demo(PIN);
    job.file.cutting.choose = Choose::MostAlone;
    job.file.walk_away.never_longer = None;
    for feature in &mut job.file.part.features {
        // Wide enough that no size drifts that far.
        feature.deviations = (Length::from_um(150), Length::from_um(-150));
    }
    let alone = |job: &Job| {
        let answer = plan::plan(job);
        let first = answer.walk_away.limits.iter().map(|it| it.parts).min().unwrap();
        (first, answer)
    };
    let as_given = plan::plan(&Job {
        file: {
            let mut file = job.file.clone();
            file.cutting.choose = Choose::AsGiven;
            file
        },
        ..job.clone()
    });
    let cutting = as_given.edges.iter().find(|edge| edge.station == 1).unwrap().cutting;
    // An edge that lasts for a few parts only makes the choice go slower, and last longer than as given.
    let mut short = job.clone();
    short.file.learned.edges = vec![worn(16.5 * cutting.s(), cutting, true)];
    let (parts, answer) = alone(&short);
    let edge = answer.edges.iter().find(|edge| edge.station == 1).unwrap();
    assert!(edge.learned, "the choice carries over that it was learned");
    let chosen = answer.choice.gain.unwrap();
    assert!((chosen.given - 8.0).abs() < 1e-9, "{chosen:?}");
    assert!(parts > 8 && (chosen.chosen - f64::from(parts)).abs() < 1e-9, "{parts}, {chosen:?}");
    // Someone who comes after so many seconds comes after as many seconds of the lathe's own clock.
    let mut soon = job.clone();
    soon.file.walk_away.back_in = Some(Seconds::from_s(600.0));
    soon.file.learned.cycle = Some(cycle(2.0, true));
    let mut sooner = job;
    sooner.file.walk_away.back_in = Some(Seconds::from_s(300.0));
    let (one, other) = (plan::plan(&soon), plan::plan(&sooner));
    assert_eq!(one.choice.data, other.choice.data);
    assert_eq!(one.choice.gain, other.choice.gain);
}

#[test]
fn a_chart_takes_the_place_of_the_drift_at_the_edge_itself() {
    let mut job = shop::demo(PIN);
    let before = plan::plan(&job).edges;
    assert!(before.iter().any(|edge| edge.drift.is_some() && edge.keeps_size.is_some()));
    job.file.walk_away.gauge_within = Some(500);
    let after = plan::plan(&job).edges;
    assert!(after.iter().all(|edge| edge.drift.is_none() && edge.keeps_size.is_none()));
}

proptest! {
    /// The ends by hand, with Student's t and chi-square from any table (2.5 % at an end).
    #[test]
    fn a_learned_repeatability_only_ever_widens(
        (bias, deviation) in (-2000_i64..2000, 0_i64..800),
        (count, t, chi) in prop::sample::select(vec![
            (10_u32, 2.262_157, 2.700_39),
            (20, 2.093_024, 8.906_52),
            (30, 2.045_230, 16.047_07),
            (61, 2.000_298, 40.481_75),
        ]),
        face_stock in 50_i64..1500,
    ) {
        let mut job = shop::demo(PIN);
        job.file.advance.face_stock = Length::from_um(face_stock);
        let plain = bar::divide(&job);
        let (bias, deviation) = (Length::from_um(bias), Length::from_um(deviation));
        job.file.learned.gripper = Some(Pulls { bias, deviation, records: records(true, count) });
        let told = bar::divide(&job);
        prop_assert!(told.chance_of_loss.ratio() >= plain.chance_of_loss.ratio());
        prop_assert!(told.least_face_stock >= plain.least_face_stock);
        let freedom = f64::from(count - 1);
        let mm = |length: f64| Length::nearest_mm(length);
        let worst = Scatter {
            bias: mm(bias.mm() + t * deviation.mm() / f64::from(count).sqrt()),
            deviation: mm(deviation.mm() * (freedom / chi).sqrt()),
        };
        let pulls = told.parts_per_bar - 1;
        let expected = worst.least_face_stock(pulls, job.file.advance.risk).unwrap();
        let least = told.least_face_stock.unwrap();
        let wanted = expected.max(plain.least_face_stock.unwrap());
        prop_assert!((least - wanted).abs() <= Length::from_um(1), "{least:?} {wanted:?}");
        let chance = pull::over_a_bar(worst.chance_of_loss(job.file.advance.face_stock), pulls).ratio();
        let chance = chance.max(plain.chance_of_loss.ratio());
        prop_assert!((told.chance_of_loss.ratio() - chance).abs() < 1e-4);
        // All else of the bar's division stays.
        prop_assert_eq!(told.division, plain.division);
        prop_assert_eq!(told.parts_per_bar, plain.parts_per_bar);
    }

    /// Parts counted one after the other, each cutting for its seconds, until the life is used up.
    #[test]
    fn an_edge_makes_as_many_parts_as_its_life_has_room_for(
        (low, more, most) in (1.0_f64..4000.0, 1.0_f64..3.0, 1.0_f64..3.0),
    ) {
        let mut job = shop::demo(PIN);
        let bar = bar::divide(&job);
        let cutting = cutting_of(&job);
        let life = low * more;
        job.file.learned.edges = vec![WornEdges {
            low: Seconds::from_s(low),
            life: Seconds::from_s(life),
            high: Seconds::from_s(life * most),
            ..worn(life, cutting, true)
        }];
        let limits = walk_away::of_bar(&job, &bar).limits;
        let parts = limits.iter().find(|it| it.kind == Kind::Edge(1)).unwrap().parts;
        let mut counted = 0_u32;
        while f64::from(counted + 1) * cutting.s() <= low * (1.0 + 1e-8) {
            counted += 1;
        }
        prop_assert_eq!(parts, counted);
    }
}

/// Cutting time of station 1 for one part of the demo job.
fn cutting_of(job: &Job) -> Seconds {
    static CUTTING: OnceLock<Seconds> = OnceLock::new();
    *CUTTING.get_or_init(|| {
        let edges = plan::plan(job).edges;
        edges.iter().find(|edge| edge.station == 1).unwrap().cutting
    })
}

/// A gripper whose file promises much and whose log says little: the face stock that would do by the file is told
/// to be thin.
#[test]
fn a_gripper_that_slips_more_than_its_file_says_is_found() {
    let mut job = shop::demo(PIN);
    let thin = |job: &Job| {
        let answer = plan::plan(job);
        answer.findings.iter().any(|finding| finding.id == "face-stock-thin")
    };
    assert!(!thin(&job));
    job.file.learned.gripper = Some(Pulls {
        bias: Length::from_um(100),
        deviation: Length::from_um(140),
        records: records(true, 12),
    });
    assert!(thin(&job));
    job.file.learned.gripper.as_mut().unwrap().records.used = false;
    assert!(!thin(&job));
    // And one that is better by its log makes no thin stock thick.
    job.file.advance.face_stock = Length::from_um(60);
    job.gripper.deviation = Length::from_um(80);
    assert!(thin(&job));
    job.file.learned.gripper = Some(Pulls {
        bias: Length::ZERO,
        deviation: Length::from_um(1),
        records: records(true, 500),
    });
    assert!(thin(&job), "the file's own figure still counts");
    assert!(Probability::from_ratio(0.0).ratio() < bar::divide(&job).chance_of_loss.ratio());
}
