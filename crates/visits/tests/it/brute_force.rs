//! The timetable beside every order of visits there is, on small shops.

use proptest::prelude::*;
use visits::problem::{ENDLESS, Lathe, Person, Problem, Step, Ticks};
use visits::search::{self, Effort, Search};

/// The most running time of any timetable, by trying who goes where next in every order: no prices, no labels, no
/// rule about what may be left out. Each visit is as early as the ones before it let it be.
fn most(problem: &Problem) -> Ticks {
    most_with(problem, None)
}

/// The same among the timetables in which this person's first visit, if there is one, is at this lathe.
fn most_with(problem: &Problem, first: Option<(usize, usize)>) -> Ticks {
    let stands: Vec<Ticks> = problem.lathes.iter().map(|lathe| lathe.stands_at).collect();
    let people = vec![(0, problem.door()); problem.people.len()];
    problem.already() + try_all(problem, first, &vec![0; problem.lathes.len()], &stands, &people)
}

fn try_all(
    problem: &Problem,
    first: Option<(usize, usize)>,
    next: &[usize],
    stands: &[Ticks],
    people: &[(Ticks, usize)],
) -> Ticks {
    let mut best = 0;
    for person in 0..people.len() {
        for lathe in 0..next.len() {
            let Some(step) = problem.lathes[lathe].steps.get(next[lathe]) else { continue };
            // Nobody is at the door again once a visit was made.
            let begins = people[person] == (0, problem.door());
            let elsewhere = first.is_some_and(|(who, at)| who == person && begins && at != lathe);
            if elsewhere || !problem.people[person].attends[lathe] {
                continue;
            }
            let Some((start, end)) =
                plainly(problem, person, people[person], lathe, *step, stands[lathe])
            else {
                continue;
            };
            if start >= problem.horizon || end >= problem.horizon {
                continue;
            }
            let gain = step.run.min(problem.horizon - end);
            let (mut next, mut stands, mut people) =
                (next.to_vec(), stands.to_vec(), people.to_vec());
            next[lathe] += 1;
            stands[lathe] = end + step.run;
            people[person] = (end, lathe);
            best = best.max(gain + try_all(problem, first, &next, &stands, &people));
        }
    }
    best
}

/// Tick by tick: the person leaves no earlier than free and there, walks, waits, and stays in the span to the end.
fn plainly(
    problem: &Problem,
    person: usize,
    (free, place): (Ticks, usize),
    lathe: usize,
    step: Step,
    stands: Ticks,
) -> Option<(Ticks, Ticks)> {
    (0..problem.horizon).find_map(|start| {
        let span = problem.people[person]
            .spans
            .iter()
            .find(|(from, to)| *from <= start && start + step.service <= *to && *from < *to)?;
        let (since, from) = if free >= span.0 { (free, place) } else { (span.0, problem.door()) };
        (start >= stands && start >= since + problem.walk(from, lathe) && free <= start)
            .then_some((start, start + step.service))
    })
}

fn small_shop() -> impl Strategy<Value = Problem> {
    let step = (1_u32..6, prop_oneof![4 => 1_u32..16, 1 => Just(ENDLESS)])
        .prop_map(|(service, run)| Step { service, run });
    let alike = (1_u32..6, 6_u32..16).prop_map(|(service, run)| vec![Step { service, run }; 8]);
    let steps = prop_oneof![3 => prop::collection::vec(step, 1..5), 1 => alike];
    let lathe = (0_u32..12, steps).prop_map(|(stands_at, steps)| Lathe { stands_at, steps });
    let spans = prop::collection::vec((0_u32..4, 1_u32..18), 1..3).prop_map(|cuts| {
        let mut at = 0;
        let mut spans = Vec::new();
        for (gap, length) in cuts {
            let from = at + gap + u32::from(at > 0);
            at = from + length;
            spans.push((from, at));
        }
        spans
    });
    (1_usize..4).prop_flat_map(move |count| {
        let lathes = prop::collection::vec(lathe.clone(), count);
        let attends = prop::collection::vec(prop::bool::weighted(0.85), count);
        let people = prop::collection::vec((spans.clone(), attends), 1..3).prop_map(|people| {
            people.into_iter().map(|(spans, attends)| Person { spans, attends }).collect()
        });
        let walk = prop::collection::vec(prop::collection::vec(0_u32..4, count + 1), count + 1);
        (12_u32..36, lathes, people, walk).prop_map(|(horizon, lathes, people, walk)| {
            let people: Vec<Person> = people;
            let people = people
                .into_iter()
                .map(|person| Person {
                    spans: person
                        .spans
                        .iter()
                        .map(|&(from, to)| (from, to.min(horizon)))
                        .filter(|(from, to)| from < to)
                        .collect(),
                    ..person
                })
                .collect();
            Problem::new(horizon, lathes, people, walk)
        })
    })
}

/// A shop where people are alike and meet: short runs, long walks, so that who was where since when decides.
fn crowded_shop() -> impl Strategy<Value = Problem> {
    let step = (1_u32..4, 1_u32..5).prop_map(|(service, run)| Step { service, run });
    let lathe = (0_u32..5, prop::collection::vec(step, 1..4))
        .prop_map(|(stands_at, steps)| Lathe { stands_at, steps });
    let counts = prop_oneof![Just((1_usize, 2_usize)), Just((2, 2)), Just((2, 2)), Just((2, 3))];
    let spans = prop_oneof![
        Just(vec![(0_u32, 26_u32)]),
        (8_u32..14, 1_u32..4).prop_map(|(first, gap)| vec![(0, first), (first + gap, 26)]),
    ];
    counts.prop_flat_map(move |(lathes, people)| {
        let walk = prop::collection::vec(prop::collection::vec(0_u32..8, lathes + 1), lathes + 1);
        let lathes = prop::collection::vec(lathe.clone(), lathes);
        (14_u32..26, lathes, spans.clone(), walk).prop_map(move |(horizon, lathes, spans, walk)| {
            let spans = spans.iter().map(|&(from, to)| (from.min(horizon), to.min(horizon)));
            let spans: Vec<_> = spans.filter(|(from, to)| from < to).collect();
            let attends = vec![true; lathes.len()];
            let people = vec![Person { spans, attends }; people];
            Problem::new(horizon, lathes, people, walk)
        })
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(600))]

    /// The same where people are alike and meet at lathes.
    #[test]
    fn people_who_are_alike_are_not_mistaken_for_each_other(problem in crowded_shop()) {
        let most = most(&problem);
        let found = search::best(&problem, Effort { side_by_side: 0, labels: 400_000 });
        prop_assert!(found.is_proven());
        prop_assert_eq!(found.running, most);
        holds(&problem, &found)?;
    }

    /// What a first visit that is laid down leaves: who would go where, and what that loses.
    #[test]
    fn a_first_visit_that_is_laid_down_is_kept_and_the_rest_is_best(problem in crowded_shop()) {
        let search = Search::of(&problem);
        for person in 0..problem.people.len() {
            for lathe in 0..problem.lathes.len() {
                let first = Some((person, lathe));
                let found = search.run(Effort { side_by_side: 0, labels: 400_000 }, first);
                let visit = found.visits.iter().find(|visit| visit.person == person);
                prop_assert!(visit.is_none_or(|visit| visit.lathe == lathe));
                prop_assert!(found.is_proven());
                prop_assert_eq!(found.running, most_with(&problem, first), "{:?}", first);
            }
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    /// The timetable is the best one, its bound is never below the best one, and what it says it gives it gives.
    #[test]
    fn no_order_of_visits_gives_more(problem in small_shop()) {
        let most = most(&problem);
        // Without a good timetable to begin with, every rule of the search must hold by itself.
        for side_by_side in [0, 8] {
            let found = search::best(&problem, Effort { side_by_side, labels: 100_000 });
            prop_assert!(found.is_proven());
            prop_assert_eq!(found.running, most);
            prop_assert_eq!(found.at_most, most);
            holds(&problem, &found)?;
        }
    }

    /// With hardly any effort the bound still holds.
    #[test]
    fn the_bound_is_never_below_the_best(problem in small_shop()) {
        let most = most(&problem);
        for (side_by_side, labels) in [(0, 0), (0, 2), (1, 0), (2, 3)] {
            let found = search::best(&problem, Effort { side_by_side, labels });
            prop_assert!(found.running <= most, "{} of {most}", found.running);
            prop_assert!(found.at_most >= most, "{} under {most}", found.at_most);
            holds(&problem, &found)?;
        }
    }
}

/// The visits of a timetable can be made, and their running time is what it says.
pub(crate) fn holds(problem: &Problem, found: &search::Found) -> Result<(), TestCaseError> {
    let mut running = problem.already();
    for (index, lathe) in problem.lathes.iter().enumerate() {
        let mut stands = lathe.stands_at;
        let visits = found.visits.iter().filter(|visit| visit.lathe == index);
        for (step, visit) in visits.enumerate() {
            prop_assert_eq!(visit.step, step);
            prop_assert!(visit.start >= stands);
            prop_assert_eq!(visit.end, visit.start + lathe.steps[step].service);
            stands = visit.end + lathe.steps[step].run;
            running += lathe.steps[step].run.min(problem.horizon.saturating_sub(visit.end));
        }
    }
    for (index, person) in problem.people.iter().enumerate() {
        let mut before: Option<(Ticks, usize)> = None;
        for visit in found.visits.iter().filter(|visit| visit.person == index) {
            prop_assert!(person.attends[visit.lathe]);
            let span =
                person.spans.iter().find(|span| span.0 <= visit.leaves && visit.end <= span.1);
            prop_assert!(span.is_some(), "{visit:?} is not in one span");
            let same = before.filter(|(free, _)| span.is_some_and(|span| *free >= span.0));
            let from = same.map_or(problem.door(), |(_, place)| place);
            prop_assert!(visit.start >= visit.leaves + problem.walk(from, visit.lathe));
            prop_assert!(before.is_none_or(|(free, _)| visit.leaves >= free));
            before = Some((visit.end, visit.lathe));
        }
    }
    prop_assert_eq!(running, found.running);
    Ok(())
}
