//! Accounts of worked examples: each line by hand.

use crate::demos::{DEMOS, shop};
use cost::account::{self, Item, Wear};
use cost::bought::Bought;
use cost::course::{Bars, Course, Work};
use model::files::shop::{Gauging, Rates};
use model::quantity::{Mass, Probability, Seconds};
use model::{Length, Money};

fn hours(hours: f64) -> Seconds {
    Seconds::from_s(3600.0 * hours)
}

/// Rates of the demo with nothing that these examples do not have.
fn bare(lathe_hour: i64, person_hour: i64) -> Rates {
    Rates {
        lathe_hour: Money::from_cents(100 * lathe_hour),
        person_hour: Money::from_cents(100 * person_hour),
        gauging: None,
        attention: Probability::from_ratio(0.0),
        scrap: Probability::from_ratio(0.0),
        set_up_parts: 0,
        time_factor: 1.0,
        ..shop().rates.unwrap()
    }
}

fn course(set_up: Seconds, attention: f64) -> Course {
    let none = Seconds::from_s(0.0);
    let bars = Bars {
        division: DEMOS[0].answer.bar.division,
        length: Length::from_mm(1000),
        tolerance: Length::ZERO,
        parts: 30,
        sawn: true,
    };
    Course {
        bars,
        first: none,
        cut: none,
        feed: none,
        hand: none,
        change: none,
        load: none,
        saw: none,
        set_up,
        attention,
    }
}

fn work(parts: u32, each: Seconds) -> Work {
    let none = Seconds::from_s(0.0);
    Work { parts, bars: 0, running: each * f64::from(parts), standing: none, by_hand: none }
}

fn bought(cents: i64) -> Bought {
    Bought {
        bars: Money::from_cents(cents),
        stock_bars: 0,
        rests: Money::ZERO,
        scrap: None,
        chips: Mass::from_kg(0.0),
        solid: Mass::from_kg(0.0),
        proven: true,
    }
}

fn wear(price: f64) -> Wear {
    Wear { price, change: Seconds::from_s(0.0), lacks: Vec::new() }
}

#[test]
fn a_part_of_a_batch_of_two_hundred() {
    // trade-checks O6 (computed): set-up 1.5 h at 75, 52 s a part, material 0.68, tool 0.11: 2.4358.
    let rates = bare(75, 0);
    let lines = account::making(
        &course(hours(1.5), 0.0),
        &work(200, Seconds::from_s(52.0)),
        &wear(0.11),
        &bought(13_600),
        &rates,
    );
    let each = account::sum(&lines).amount() / 200.0;
    assert!((each - 2.4358).abs() < 0.0001, "{each}");
}

#[test]
fn engine_lathe_or_turret_lathe() {
    // The figures of a textbook question (numerade.com/student-profile/gary-miller-8105, found); its answers
    // by hand: a part on the engine lathe takes 10 min at 15 + 8 an hour and 0.30 of tools, on the
    // turret lathe 2 min at 14 + 20 and 0.15, after 2 h of setting up at 34 for every 200 parts.
    for (parts, engine, turret) in
        [(100, 413.33, 196.33), (290, 1198.67, 508.17), (700, 2893.33, 1170.33)]
    {
        let one = account::making(
            &course(hours(0.0), 1.0),
            &work(parts, Seconds::from_s(600.0)),
            &wear(0.30),
            &bought(0),
            &bare(8, 15),
        );
        let set_ups = f64::from(parts.div_ceil(200));
        let other = account::making(
            &course(hours(2.0 * set_ups), 1.0),
            &work(parts, Seconds::from_s(120.0)),
            &wear(0.15),
            &bought(0),
            &bare(20, 14),
        );
        for (lines, by_hand) in [(one, engine), (other, turret)] {
            let sum = account::sum(&lines).amount();
            assert!((sum - by_hand).abs() < 0.02, "{parts}: {sum} by hand {by_hand}");
        }
    }
}

#[test]
fn a_batch_of_forty_castings() {
    // A textbook question with its solution (homeworksource.com/p/1089653, found): casting 5.00, tool 3.00 for
    // 10 pieces, 6.86 min of cutting, 2 min to load, 1.5 min to change the tool, 1.75 h of setting up for 40; the
    // worker 16 an hour, the lathe 22 and half of that on top. Its lines: 3.77 for setting up and loading, 0.422 for
    // the tool, 5.602 for cutting; 14.794 in all, its lines rounded first.
    let minutes = |each: f64| Seconds::from_s(60.0 * 40.0 * each);
    let by_hand = minutes(2.0);
    let work = Work { parts: 40, bars: 0, running: minutes(6.86), standing: by_hand, by_hand };
    let wear = Wear { price: 3.0 / 10.0, change: Seconds::from_s(9.0), lacks: Vec::new() };
    let lines =
        account::making(&course(hours(1.75), 1.0), &work, &wear, &bought(40 * 500), &bare(33, 16));
    let each = |items: &[Item]| {
        let of = lines.iter().filter(|line| items.contains(&line.item));
        of.map(|line| line.money.amount()).sum::<f64>() / 40.0
    };
    assert!((each(&[Item::Material]) - 5.0).abs() < 0.0001);
    let setting_up = each(&[Item::SetUp]) + 49.0 / 60.0 * 2.0;
    assert!((setting_up - 3.77).abs() < 0.01, "{setting_up}");
    let sum = account::sum(&lines).amount() / 40.0;
    assert!((sum - 14.794).abs() < 0.01, "{sum}");
}

#[test]
fn parts_to_make_for_those_that_are_good() {
    let with = |share: f64, set_up_parts| Rates {
        scrap: Probability::from_ratio(share),
        set_up_parts,
        ..bare(1, 1)
    };
    // 2 % of 100 made are lost, so that 98 are good.
    assert_eq!(account::to_make(98, &with(0.02, 0)), 100);
    assert_eq!(account::to_make(98, &with(0.02, 3)), 103);
    assert_eq!(account::to_make(99, &with(0.02, 0)), 102);
    assert_eq!(account::to_make(7, &with(0.0, 0)), 7);
    for ordered in 1..400 {
        let made = account::to_make(ordered, &with(0.07, 0));
        assert!(f64::from(made) * 0.93 >= f64::from(ordered) - 1e-6, "{ordered}");
        assert!(f64::from(made - 1) * 0.93 < f64::from(ordered), "{ordered}");
    }
}

#[test]
fn gauging_edges_and_bars_take_a_persons_time() {
    let mut rates = bare(30, 60);
    rates.gauging = Some(Gauging { every: 15, time: Seconds::from_s(90.0) });
    let mut course = course(hours(0.0), 0.25);
    course.change = Seconds::from_s(120.0);
    course.load = Seconds::from_s(180.0);
    course.saw = Seconds::from_s(60.0);
    course.first = Seconds::from_s(100.0);
    course.cut = Seconds::from_s(50.0);
    course.feed = Seconds::from_s(10.0);
    course.hand = Seconds::from_s(4.0);
    let wear = Wear { price: 0.02, change: Seconds::from_s(2.0), lacks: Vec::new() };
    let work = course.work(100);
    // Four bars of 30, 30, 30 and 10 parts: 96 further advances.
    assert_eq!(work.bars, 4);
    let running = 4.0 * 100.0 + 96.0 * 60.0;
    assert!((work.running.s() - running).abs() < 1e-9);
    let lines = account::making(&course, &work, &wear, &bought(0), &rates);
    let of = |item: Item| lines.iter().find(|line| line.item == item).unwrap().money.amount();
    let near =
        |ours: f64, by_hand: f64| assert!((ours - by_hand).abs() <= 0.0051, "{ours} {by_hand}");
    near(of(Item::Run), (running + 4.0 * 120.0 + 100.0 * 2.0) * 30.0 / 3600.0);
    let person = 0.25 * running + 4.0 * 240.0 + 96.0 * 4.0 + 100.0 * 2.0;
    near(of(Item::Attention), person * 60.0 / 3600.0);
    near(of(Item::Gauging), 7.0 * 90.0 * 60.0 / 3600.0);
    near(of(Item::Edges), 2.0);
}
