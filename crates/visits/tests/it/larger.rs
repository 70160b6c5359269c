//! Shops too large to try every order: the bound beside people who do not look ahead.

use crate::brute_force::holds;
use proptest::prelude::*;
use visits::chance::{Chance, Scatter};
use visits::floor::{Floor, FloorLathe, FloorPerson, Rule, Turn};
use visits::problem::{Lathe, Person, Problem, Step};
use visits::search::{self, Effort};
use visits::simulate::run;

fn shop() -> impl Strategy<Value = Problem> {
    let lathe = (0_u32..40, 2_u32..9, 5_u32..60).prop_map(|(stands_at, service, run)| Lathe {
        stands_at,
        steps: vec![Step { service, run }; 70],
    });
    let lathes = prop::collection::vec(lathe, 3..9);
    let spans =
        (0_u32..30, 30_u32..90, 1_u32..20, 20_u32..120).prop_map(|(from, some, gap, more)| {
            vec![(from, from + some), (from + some + gap, from + some + gap + more)]
        });
    let people = prop::collection::vec(spans, 1..4);
    (lathes, people, 0_u32..4, 0_u32..6).prop_map(|(lathes, people, near, far)| {
        let count = lathes.len();
        let person = |spans: Vec<(u32, u32)>| Person { spans, attends: vec![true; count] };
        let walk = |from: usize, to: usize| near + far * from.abs_diff(to) as u32 / 4;
        let walk = (0..=count).map(|from| (0..=count).map(|to| walk(from, to)).collect());
        let (people, walk) = (people.into_iter().map(person).collect(), walk.collect());
        Problem::new(260, lathes, people, walk)
    })
}

/// The same shop for the simulation, a tick for a second and nothing left to chance.
fn floor(problem: &Problem, rule: Rule) -> Floor {
    let lathes = problem.lathes.iter().map(|lathe| FloorLathe {
        stands_at: f64::from(lathe.stands_at),
        turns: vec![Turn {
            service: f64::from(lathe.steps[0].service),
            run: f64::from(lathe.steps[0].run),
        }],
        run: Scatter::None,
        stops: None,
    });
    let people = problem.people.iter().map(|person| FloorPerson {
        spans: person.spans.iter().map(|&(from, to)| (f64::from(from), f64::from(to))).collect(),
        attends: person.attends.clone(),
    });
    let places = 0..=problem.lathes.len();
    let walk = places.clone().map(|from| {
        places.clone().map(|to| f64::from(problem.walk(from, to))).collect::<Vec<f64>>()
    });
    Floor {
        horizon: f64::from(problem.horizon),
        lathes: lathes.collect(),
        people: people.collect(),
        walk: walk.collect(),
        service: Scatter::None,
        rule,
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(120))]

    /// Two programs that share no code for time, place and walk: whatever people do who do not look ahead, it is
    /// never more than the bound, and the timetable is hardly ever worse than they are.
    #[test]
    fn who_does_not_look_ahead_is_never_above_the_bound(problem in shop()) {
        let found = search::best(&problem, Effort { side_by_side: 24, labels: 2_000 });
        holds(&problem, &found)?;
        prop_assert!(found.running <= found.at_most);
        for rule in [Rule::MostRunning, Rule::FirstStood] {
            let floor = floor(&problem, rule);
            let running: f64 = run(&floor, Chance::of(0, 0)).lathes.iter().map(|it| it.running).sum();
            prop_assert!(running <= f64::from(found.at_most) + 1e-6, "{rule:?}: {running} {found:?}");
            let worse = (running - f64::from(found.running)) / running;
            prop_assert!(worse < 0.02, "{rule:?}: {running} beside {}", found.running);
        }
    }
}
