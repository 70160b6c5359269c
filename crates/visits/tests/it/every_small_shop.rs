//! Every shop of a small family, not some of them: the search beside every order of visits, with and without a first
//! visit that is laid down, and with its effort cut short at every label.

use crate::brute_force::{holds, most_with_first};
use visits::problem::{ENDLESS, Lathe, Person, Problem, Step, Ticks};
use visits::search::{Effort, Search};

/// Digits of a number in mixed bases: which of its choices each thing of a shop takes.
struct Choices(usize);

impl Choices {
    fn one<T: Clone>(&mut self, of: &[T]) -> T {
        let chosen = of[self.0 % of.len()].clone();
        self.0 /= of.len();
        chosen
    }
}

fn step(service: Ticks, run: Ticks) -> Step {
    Step { service, run }
}

/// The shop of this number; none beyond the last.
fn shop(number: usize) -> Option<Problem> {
    let mut choices = Choices(number);
    let horizon = choices.one(&[9, 12]);
    let steps = [
        vec![step(1, 2), step(2, 3), step(1, 1)],
        vec![step(2, 4), step(1, 2)],
        vec![step(1, 5), step(1, ENDLESS)],
        vec![step(2, 2); 12],
    ];
    let mut lathe = || Lathe { stands_at: choices.one(&[0, 1, 3]), steps: choices.one(&steps) };
    let lathes = vec![lathe(), lathe()];
    let spans =
        [vec![(0, horizon)], vec![(0, 4), (5, horizon)], vec![(2, horizon)], vec![(0, 3), (4, 7)]];
    let attends = [vec![true, true], vec![true, false]];
    let mut person = || Person { spans: choices.one(&spans), attends: choices.one(&attends) };
    let mut people = vec![person()];
    people.extend(Some(person()).filter(|_| choices.one(&[true, false])));
    let (between, door) = (choices.one(&[0, 2]), choices.one(&[0, 1]));
    let walk = vec![vec![0, between, door], vec![between, 0, 1], vec![door, 1, 0]];
    (choices.0 == 0).then(|| Problem::new(horizon, lathes, people, walk))
}

/// One shop: proven best, with each first visit, and no bound below the best however soon the search is cut short.
fn is_right(number: usize, problem: &Problem) {
    let search = Search::of(problem);
    let firsts =
        (0..problem.people.len()).flat_map(|person| [Some((person, 0)), Some((person, 1))]);
    for first in firsts.chain([None]) {
        let most = most_with_first(problem, first);
        let found = search.run(Effort { side_by_side: 0, labels: 100_000 }, first);
        assert_eq!((found.running, found.at_most), (most, most), "{number} {first:?} {problem:?}");
        holds(problem, &found).unwrap();
        for labels in [0, 1, 2, 3, 5, 8] {
            let found = search.run(Effort { side_by_side: labels % 3, labels }, first);
            assert!(found.running <= most, "{number} {first:?} {labels} {problem:?}");
            assert!(found.at_most >= most, "{number} {first:?} {labels} {problem:?}");
        }
    }
}

#[test]
fn every_seventh_of_them_is_right() {
    // All of them take minutes: seven shares nothing with the bases, so that every choice meets every other.
    let all = (0..).step_by(7).map_while(|number| Some((number, shop(number)?)));
    assert!(all.map(|(number, problem)| is_right(number, &problem)).count() > 10_000);
}

#[test]
#[ignore = "minutes"]
fn every_one_of_them_is_right() {
    for (number, problem) in (0..).map_while(|number| Some((number, shop(number)?))) {
        is_right(number, &problem);
    }
}
