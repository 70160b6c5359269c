//! A thousand years of a shop of twelve lathes, beside the plain way: time in steps of ten seconds.

#![allow(
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a bench takes the time and prints"
)]

use std::time::Instant;
use visits::chance::{Chance, Scatter};
use visits::floor::{Floor, FloorLathe, FloorPerson, Rule, Stops, Turn};
use visits::simulate::{Figure, run, runs};

const HOUR: f64 = 3600.0;
const DAY: f64 = 24.0 * HOUR;

/// Twelve lathes on bars of 35 to 145 minutes with stops that nobody planned, two shifts on five days a week, two
/// people in each.
fn shop() -> Floor {
    let lathe = |index: u32| FloorLathe {
        stands_at: f64::from(index) * 300.0,
        turns: vec![
            Turn { service: 240.0, run: 2100.0 + 600.0 * f64::from(index) },
            Turn { service: 240.0, run: 2100.0 + 600.0 * f64::from(index) },
            Turn { service: 480.0, run: 2100.0 + 600.0 * f64::from(index) },
        ],
        run: Scatter::Between { least: 0.95, most: 1.05 },
        stops: Some(Stops {
            every: 20.0 * HOUR,
            takes: 900.0,
            scatter: Scatter::Between { least: 0.3, most: 4.0 },
        }),
    };
    let person = |early: bool| {
        let from = if early { 6.0 } else { 14.0 };
        let days = (0..364).filter(|day| day % 7 < 5);
        let spans = days.flat_map(|day| {
            let at = |hours: f64| f64::from(day) * DAY + (from + hours) * HOUR;
            [(at(0.0), at(3.75)), (at(4.25), at(8.0))]
        });
        FloorPerson { spans: spans.collect(), attends: vec![true; 12] }
    };
    Floor {
        horizon: 365.0 * DAY,
        lathes: (0..12).map(lathe).collect(),
        people: [true, true, false, false].map(person).to_vec(),
        walk: (0..13)
            .map(|from: i32| (0..13).map(|to| 10.0 + 5.0 * f64::from((from - to).abs())).collect())
            .collect(),
        service: Scatter::Between { least: 0.7, most: 2.0 },
        rule: Rule::MostRunning,
    }
}

/// The same floor without its stops, in steps: each step looks at every lathe and person.
fn plainly(floor: &Floor, mut chance: Chance) -> f64 {
    const STEP: f64 = 10.0;
    let mut stops: Vec<f64> = floor.lathes.iter().map(|lathe| lathe.stands_at).collect();
    let mut turn = vec![0; stops.len()];
    let mut attended = vec![false; stops.len()];
    let mut people = vec![(0.0, 12_usize, usize::MAX); floor.people.len()];
    let mut running = 0.0;
    let mut at = 0.0;
    while at < floor.horizon {
        for (lathe, stops) in stops.iter().enumerate() {
            if *stops > at && !attended[lathe] {
                running += STEP;
            }
        }
        for (person, who) in people.iter_mut().enumerate() {
            if who.0 > at {
                continue;
            }
            if who.2 != usize::MAX {
                let run = floor.lathes[who.2].turns[turn[who.2]].run;
                stops[who.2] = at + chance.draw(run, floor.lathes[who.2].run);
                turn[who.2] = (turn[who.2] + 1) % 3;
                attended[who.2] = false;
                who.2 = usize::MAX;
            }
            let there =
                floor.people[person].spans.iter().any(|span| span.0 <= at && at + 900.0 < span.1);
            let next = (0..stops.len())
                .filter(|&lathe| stops[lathe] <= at && !attended[lathe])
                .min_by(|&a, &b| stops[a].total_cmp(&stops[b]));
            if let (true, Some(lathe)) = (there, next) {
                attended[lathe] = true;
                let takes =
                    chance.draw(floor.lathes[lathe].turns[turn[lathe]].service, floor.service);
                *who = (at + floor.walk[who.1][lathe] + takes, lathe, lathe);
            }
        }
        at += STEP;
    }
    running
}

/// Computing time of all threads so far, in seconds: on a machine that others use too, the clock says little.
fn computed() -> f64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let user = stat.split(' ').nth(13).and_then(|ticks| ticks.parse::<f64>().ok());
    user.map_or(f64::NAN, |ticks| ticks / 100.0)
}

fn main() {
    let floor = shop();
    let start = Instant::now();
    let all = runs(&floor, 1, 1000);
    let took = start.elapsed().as_secs_f64();
    let computing = computed();
    let share = |run: &visits::simulate::Run| {
        run.lathes.iter().map(|it| it.running).sum::<f64>() / (12.0 * floor.horizon)
    };
    let running = Figure::of(all.iter().map(share));
    let visits: u32 = all[0].lathes.iter().map(|it| it.visits).sum();
    println!(
        "1,000 years of 12 lathes on {} threads: {took:.2} s, {computing:.2} s of computing; {visits} visits in the first, spindles run {:.3} ± {:.4} % of the time",
        rayon::current_num_threads(),
        100.0 * running.mean,
        100.0 * running.half
    );
    let start = Instant::now();
    let one = (0..20)
        .map(|number| run(&floor, Chance::of(1, number)))
        .map(|run| share(&run))
        .sum::<f64>()
        / 20.0;
    let each = start.elapsed().as_secs_f64() / 20.0;
    let mut even = floor.clone();
    for lathe in &mut even.lathes {
        lathe.stops = None;
    }
    let start = Instant::now();
    let plain = plainly(&even, Chance::of(1, 0)) / (12.0 * floor.horizon);
    let plain_took = start.elapsed().as_secs_f64();
    let same = run(&even, Chance::of(1, 0));
    println!(
        "one year on one thread: {:.2} ms ({:.3} %); in steps of 10 s, without the stops: {:.0} ms, {:.0} times as long ({:.3} % beside {:.3} %)",
        1000.0 * each,
        100.0 * one,
        1000.0 * plain_took,
        plain_took / each,
        100.0 * plain,
        100.0 * share(&same)
    );
}
