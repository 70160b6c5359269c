//! The invented year: the same every time, and without contradiction.

use crate::shop::Shop;
use model::record::{Event, State, What, bars};
use runlog::invented::{Year, year};
use runlog::wire::Line;
use runlog::{Live, Query};
use std::collections::BTreeSet;

const FIRST_DAYS: Year = Year { year: 2026, seed: 8, days: 10 };

fn told(of: Year) -> Vec<Event> {
    let mut all = Vec::new();
    year(of, &mut |event| all.push(event));
    all
}

#[test]
fn a_year_hangs_on_its_seed_alone() {
    let days = told(FIRST_DAYS);
    assert_eq!(days, told(FIRST_DAYS));
    assert_ne!(days, told(Year { seed: 9, ..FIRST_DAYS }));
    assert!(days.is_sorted_by_key(|event| event.at) && days.len() > 5000, "{}", days.len());
    let ids: BTreeSet<_> = days.iter().map(|event| event.id.clone()).collect();
    assert_eq!(ids.len(), days.len());
    let kinds: BTreeSet<_> = days.iter().map(|event| event.what.kind()).collect();
    assert!(kinds.len() >= 14, "{kinds:?}");
}

#[test]
fn the_first_days_make_sense_in_the_log() {
    let days = told(FIRST_DAYS);
    let lines: String = days.iter().map(|event| Line::of_event(event) + "\n").collect();
    let mut shop = Shop::in_memory();
    shop.set_clock(0);
    let imported = shop.log.import(&mut lines.as_bytes(), "year").unwrap();
    assert_eq!(imported.added, days.len() as u64);
    let live = Live::open(&shop.log).unwrap();
    let state: &State = live.state();
    assert_eq!(state.lathes.len(), 3);
    // Every part was made of a bar that was recorded, none gave more than it has, all have a heat number.
    let all = shop.log.events(&Query::default()).unwrap();
    let runs = bars(all.iter(), live.corrections());
    let of_bars: u32 = runs.iter().map(|run| run.made).sum();
    let parts: u32 = days
        .iter()
        .map(|event| match event.what {
            What::PartsMade { parts } => parts,
            _ => 0,
        })
        .sum();
    assert_eq!(of_bars, parts);
    assert!(
        runs.iter().all(|run| run.loaded.heat.is_some() && run.job.is_some() && run.made <= 44)
    );
    let closed: Vec<_> =
        state.orders.values().flatten().filter(|order| order.closed.is_some()).collect();
    assert!(!closed.is_empty());
    for order in closed {
        assert_eq!(Some(order.made), order.quantity);
        assert_eq!(Some(order.bars), order.planned.bars);
        let between = order.parts_between.unwrap();
        assert!(
            order.running.ms() > 0
                && order.running.ms() < between.1.since(between.0).ms() + 3_600_000
        );
    }
    // The heat number of a part's time is that of its bar.
    let run = runs.iter().find(|run| run.made > 5).unwrap();
    let traced = shop.log.bar_at(&run.lathe, run.parts_between.unwrap().1).unwrap();
    assert_eq!(traced.len(), 1);
    assert_eq!(traced[0].bar.as_ref().unwrap().loaded.heat, run.loaded.heat);
    let heat = run.loaded.heat.clone().unwrap();
    let found = shop.log.bars_of_heat(&heat).unwrap();
    let expected: Vec<_> = runs
        .iter()
        .filter(|run| run.loaded.heat.as_ref() == Some(&heat))
        .map(|run| (run.lathe.clone(), run.from, run.made))
        .collect();
    let mut got: Vec<_> = found.iter().map(|run| (run.lathe.clone(), run.from, run.made)).collect();
    got.sort();
    let mut expected = expected;
    expected.sort();
    assert_eq!(got, expected);
}
