//! What an order cost by the log, beside its plan.

use crate::demos::{DEMOS, shop};
use cost::account::{Item, Wear, to_make};
use cost::course::Course;
use cost::spent::spent;
use model::Length;
use model::record::event::{StopWhy, Work};
use model::record::{Lapse, Tally};

/// A log of an order that went just as it was planned, and how many edges it wore out.
fn as_planned(quantity: u32) -> (Tally, f64) {
    let (demo, shop) = (&DEMOS[0], shop());
    let rates = shop.rates.as_ref().unwrap();
    let course = Course::of_plan(&demo.job, &demo.answer, rates);
    let parts = to_make(quantity, rates);
    let (work, wear) = (course.work(parts), Wear::of(&demo.job, &demo.answer));
    let per_edge: f64 = demo
        .answer
        .edges
        .iter()
        .map(|edge| 1.0 / f64::from(edge.parts.as_ref().unwrap().low))
        .sum();
    let mut tally = Tally {
        quantity: Some(quantity),
        made: parts,
        scrapped: parts - quantity,
        bars: work.bars,
        ..Tally::default()
    };
    let lengths = course.bars.lengths(parts).unwrap();
    tally.bar_length = lengths.iter().map(|(length, count)| *length * i64::from(*count)).sum();
    tally.running = Lapse::nearest(work.running * rates.time_factor);
    let stands = Lapse::nearest(work.standing + wear.change * f64::from(parts));
    tally.stops.insert(StopWhy::Bar, (work.bars, stands));
    let attended = work.running * rates.time_factor * course.attention
        + work.by_hand
        + wear.change * f64::from(parts);
    tally.spent.insert(Work::Attention, Lapse::nearest(attended));
    tally.spent.insert(Work::SetUp, Lapse::nearest(course.set_up));
    let gauging = rates.gauging.unwrap();
    let gauged = gauging.time * f64::from(parts.div_ceil(gauging.every));
    tally.spent.insert(Work::Gauging, Lapse::nearest(gauged));
    (tally, per_edge * f64::from(parts))
}

#[test]
fn an_order_that_went_as_planned_cost_what_was_planned() {
    let demo = &DEMOS[0];
    let (mut tally, edges) = as_planned(300);
    tally.edges = edges.round() as u32;
    let spent = spent(&demo.job, &demo.answer, &shop(), &tally).unwrap();
    assert_eq!((spent.quantity, spent.good), (300, 300));
    for line in &spent.lines {
        let off = (line.was - line.planned).amount().abs();
        // Edges are whole ones in the log; times are whole milliseconds.
        let within =
            if line.item == Item::Edges { 0.5 / edges * line.planned.amount() } else { 0.011 };
        assert!(off <= within, "{line:?}");
        assert!(line.planned.cents() > 0, "{line:?}");
    }
    let (was, planned) = spent.each().unwrap();
    assert!((was - planned).abs() < 0.01, "{was} {planned}");
}

#[test]
fn what_went_otherwise_shows_in_its_line_alone() {
    let demo = &DEMOS[0];
    let (tally, _) = as_planned(300);
    let plain = spent(&demo.job, &demo.answer, &shop(), &tally).unwrap();
    let rates = shop().rates.unwrap();
    // A weekend in which nobody was there costs nothing of this order. An hour more of standing, two bars scrapped whole, a remnant of 400 mm back on the rack.
    let mut worse = tally.clone();
    worse.stops.insert(StopWhy::Alarm, (1, Lapse::from_ms(3_600_000)));
    worse.stops.insert(StopWhy::Shift, (1, Lapse::from_ms(60 * 3_600_000)));
    worse.stops.insert(StopWhy::Order, (1, Lapse::from_ms(9 * 3_600_000)));
    worse.scrapped += 60;
    worse.racked = Length::from_mm(400);
    let worse = spent(&demo.job, &demo.answer, &shop(), &worse).unwrap();
    for (was, now) in plain.lines.iter().zip(&worse.lines) {
        let more = now.was - was.was;
        match now.item {
            Item::Run => assert_eq!(more, rates.lathe_hour),
            Item::Material => {
                let share = rates.rest_credit * 400.0 / tally.bar_length.mm();
                assert!((more.amount() + share * was.was.amount()).abs() < 0.011, "{now:?}");
            }
            _ => assert_eq!(more.cents(), 0, "{now:?}"),
        }
        assert_eq!(now.planned, was.planned, "{now:?}");
    }
    assert!(worse.left_out.iter().any(|words| words.contains("nobody was there")));
    let (each, _) = worse.each().unwrap();
    assert!((each - worse.sums().0.amount() / 240.0).abs() < 1e-9);
}

#[test]
fn before_the_first_part_nothing_is_shared() {
    let demo = &DEMOS[0];
    let none = spent(&demo.job, &demo.answer, &shop(), &Tally::default()).unwrap();
    assert_eq!(none.each(), None);
    assert_eq!(none.sums().0, model::Money::ZERO);
    assert!(none.left_out.iter().any(|words| words.contains("nobody recorded time")));
}
