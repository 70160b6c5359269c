//! Timetables of invented shops: how long they take to find, and how far from the bound they end; beside the plain
//! way, in which whoever is free goes to the lathe that has stood longest.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a bench takes the time and prints"
)]

use std::time::Instant;
use visits::problem::{Lathe, Person, Problem, Step, Ticks};
use visits::search::{self, Effort};

/// Ticks of 10 s.
const MINUTE: Ticks = 6;

fn shop(lathes: u32, people: u32, seed: u32) -> Problem {
    let number = |index: u32, range: u32| {
        let mixed = (index + 1).wrapping_mul(2_654_435_761).wrapping_add(seed.wrapping_mul(40_503));
        (mixed >> 11) % range
    };
    let lathes = (0..lathes).map(|index| Lathe {
        stands_at: number(index, 60) * MINUTE,
        steps: vec![
            Step {
                service: (3 + number(index + 100, 6)) * MINUTE,
                run: (25 + number(index + 200, 95)) * MINUTE,
            };
            60
        ],
    });
    let lathes: Vec<Lathe> = lathes.collect();
    let hour = 60 * MINUTE;
    let people = (0..people).map(|index| Person {
        spans: if index % 2 == 0 {
            vec![(0, 3 * hour), (3 * hour + 15 * MINUTE, 8 * hour)]
        } else {
            vec![(hour, 5 * hour), (5 * hour + 30 * MINUTE, 9 * hour)]
        },
        attends: vec![true; lathes.len()],
    });
    let walk: Vec<Vec<Ticks>> = (0..=lathes.len())
        .map(|from| (0..=lathes.len()).map(|to| 2 + from.abs_diff(to) as Ticks).collect())
        .collect();
    Problem::new(24 * hour, lathes.clone(), people.collect(), walk)
}

/// Whoever is free first goes to the lathe that stands, or will stand, first.
fn plainly(problem: &Problem) -> Ticks {
    let mut stands: Vec<Ticks> = problem.lathes.iter().map(|lathe| lathe.stands_at).collect();
    let mut next = vec![0; stands.len()];
    let mut people = vec![(0, problem.door()); problem.people.len()];
    let mut running = problem.already();
    loop {
        let lathe = (0..stands.len()).min_by_key(|&lathe| stands[lathe]);
        let Some(lathe) = lathe.filter(|&lathe| stands[lathe] < problem.horizon) else { break };
        let Some(&step) = problem.lathes[lathe].steps.get(next[lathe]) else { break };
        let visit =
            |person: usize| problem.earliest(person, people[person], lathe, step, stands[lathe]);
        let visits = (0..people.len()).filter_map(|person| Some((visit(person)?, person)));
        let Some(((_, _, end), person)) = visits.min_by_key(|((_, start, _), _)| *start) else {
            break;
        };
        people[person] = (end, lathe);
        running += problem.gain(step, end);
        stands[lathe] = end + step.run;
        next[lathe] += 1;
    }
    running
}

fn main() {
    for (lathes, people) in [(3, 1), (5, 1), (5, 2), (8, 2), (12, 2), (12, 3)] {
        for seed in 0..3 {
            let problem = shop(lathes, people, seed);
            let start = Instant::now();
            let found = search::best(&problem, Effort::USUAL);
            let took = start.elapsed().as_secs_f64();
            let start = Instant::now();
            let plain = plainly(&problem);
            let plain_took = start.elapsed().as_secs_f64();
            let hours = |ticks: Ticks| f64::from(ticks) / f64::from(60 * MINUTE);
            println!(
                "{lathes:2} lathes, {people} people: {:6.2} h running, {} at most {:6.2} h ({:.2} %), {:3} visits, {took:.2} s; plainly {:6.2} h, {plain_took:.5} s",
                hours(found.running),
                if found.is_proven() { "proven," } else { "open,  " },
                hours(found.at_most),
                100.0 * f64::from(found.at_most - found.running) / f64::from(found.running),
                found.visits.len(),
                hours(plain),
            );
        }
    }
}
