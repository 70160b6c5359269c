//! The timetable beside every order of visits there is, on small shops.

use proptest::prelude::*;
use visits::problem::{ENDLESS, Lathe, Person, Problem, Step, Ticks};
use visits::search::{self, Effort};

/// The most running time of any timetable, by trying who goes where next in every order: no prices, no labels, no
/// rule about what may be left out. Each visit is as early as the ones before it let it be.
fn most(problem: &Problem) -> Ticks {
    most_with_first(problem, None)
}

/// The same of the timetables in which this person goes nowhere else than to this lathe first.
pub(crate) fn most_with_first(problem: &Problem, first: Option<(usize, usize)>) -> Ticks {
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
            let elsewhere = first.is_some_and(|(who, to)| {
                who == person && to != lathe && people[person] == (0, problem.door())
            });
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
