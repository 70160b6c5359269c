//! Ways of loading: the gripper's is the quote's own, steps lead to the cheapest, laws of scale.

use crate::demos::{DEMOS, shop};
use calc::worth;
use cost::account::Item;
use cost::loading::{Loading, WayCost};
use cost::refusal::Refusal;
use cost::{Asked, loading, quote};
use model::files::Shop;
use model::files::shop::WayKind;
use model::{Length, Money};
use proptest::prelude::*;

fn compared(which: usize, shop: &Shop, yearly: u32) -> Loading {
    let demo = &DEMOS[which];
    loading(&demo.job, &demo.answer, shop, Some(yearly)).unwrap()
}

/// The demo's rack holds stock of both demos; the magazine's bars are those of the pin.
fn for_demo(which: usize) -> Shop {
    let mut shop = shop();
    if which == 1 {
        for way in &mut shop.ways {
            way.bar_length = way.bar_length.map(|_| Length::from_um(144 * 25_400));
        }
    }
    shop
}

fn of(way: &WayCost, item: Item) -> Money {
    way.lines.iter().find(|line| line.item == item).unwrap().money
}

#[test]
fn the_gripper_costs_what_a_quote_says() {
    let demo = &DEMOS[0];
    let mut shop = shop();
    shop.ways.retain(|way| way.kind == WayKind::Gripper);
    shop.ways[0].set_up = model::quantity::Seconds::from_s(0.0);
    shop.investment.as_mut().unwrap().order = None;
    let loading = loading(&demo.job, &demo.answer, &shop, None).unwrap();
    let quote = quote(&demo.job, &demo.answer, &shop, &Asked::default()).unwrap();
    let quoted = quote.priced.iter().find(|it| it.ordered).unwrap();
    for line in &loading.ways[0].lines {
        assert_eq!(line.money, quoted.of(line.item), "{:?}", line.item);
    }
    assert!(loading.ways[0].beside.is_none() && loading.sensitivity.is_none());
}

#[test]
fn ways_differ_where_they_should() {
    let loading = compared(0, &shop(), 30_000);
    let way = |kind| loading.ways.iter().find(|it| it.way.kind == kind).unwrap();
    let (stop, slug) = (way(WayKind::Stop), way(WayKind::Slug));
    let (gripper, magazine) = (way(WayKind::Gripper), way(WayKind::Magazine));
    assert_eq!((slug.course.bars.parts, gripper.course.bars.parts), (1, 30));
    // A pitch of 31 from 3050 - 1.5 - 2 of first face - 185 that stay: 1 + (2861.5 - 31)/31, whole.
    assert_eq!(magazine.course.bars.parts, 92);
    // Stop and gripper saw the same bars; slugs lose the grip of every part; whole bars lose least.
    assert_eq!(of(stop, Item::Material), of(gripper, Item::Material));
    assert!(of(slug, Item::Material) > of(gripper, Item::Material) * 2);
    assert!(of(magazine, Item::Material) < of(gripper, Item::Material));
    // Lathe time: 600 + 3 + 7 parts of 21 bars have 589 further advances, each 16 s instead of the plan's pull;
    // the gripper's set-up takes 8 min more.
    let pulled = DEMOS[0].answer.times.advance.s();
    let more = 589.0 * (16.0 - pulled) * 1.05 / 600.0 - 8.0 * 60.0 / 600.0;
    let apart = stop.lathe.s() - gripper.lathe.s();
    assert!((apart - more).abs() < 0.01, "{apart} {more}");
    // Edges and gauging are the same whichever way stock comes.
    for item in [Item::Edges, Item::Gauging] {
        assert!(loading.ways.iter().all(|it| of(it, item) == of(gripper, item)));
    }
}

#[test]
fn no_bar_hangs_out_behind_the_spindle() {
    let demo = &DEMOS[0];
    for kind in [WayKind::Stop, WayKind::Gripper] {
        let mut shop = shop();
        let index = shop.ways.iter().position(|way| way.kind == kind).unwrap();
        shop.ways[index].bar_length = Some(Length::from_mm(1400));
        let refused = loading(&demo.job, &demo.answer, &shop, None).err();
        let Some(Refusal::File { key, message, .. }) = refused else { panic!("{refused:?}") };
        assert_eq!(key, format!("way[{index}].bar_length"));
        assert!(message.contains("would hang out behind the spindle"), "{message}");
    }
}

#[test]
fn what_the_shop_does_not_say_is_asked_for() {
    let demo = &DEMOS[0];
    let key = |shop: &Shop| match loading(&demo.job, &demo.answer, shop, None) {
        Err(Refusal::File { key, .. }) => key,
        other => panic!("{other:?}"),
    };
    let mut bare = shop();
    bare.ways.clear();
    assert_eq!(key(&bare), "way");
    let mut bare = shop();
    bare.investment = None;
    assert_eq!(key(&bare), "investment");
    let mut long = shop();
    long.ways.retain(|way| way.kind == WayKind::Magazine);
    long.ways[0].bar_length = Some(Length::from_mm(4000));
    assert_eq!(key(&long), "rack");
    long.ways[0].bar_length = Some(Length::from_mm(150));
    assert_eq!(key(&long), "way[0].bar_length");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Worth at each step is the plain sum of its years; the last step that is worth something is the way
    /// that costs least in a year; a way is worth its capital just from its break-even on.
    #[test]
    fn steps_lead_to_the_cheapest_way(
        which in 0_usize..2,
        yearly in 100_u32..400_000,
        capitals in prop::collection::vec(0_i64..5_000_000, 4),
        (interest, years) in (0.0..0.4_f64, 1_u32..15),
        resale in 0.0..0.9_f64,
    ) {
        let mut shop = for_demo(which);
        for (way, capital) in shop.ways.iter_mut().zip(capitals) {
            way.capital = Money::from_cents(capital);
            way.resale = way.capital.times(resale);
        }
        let investment = shop.investment.as_mut().unwrap();
        (investment.interest, investment.years) = (interest, years);
        let loading = compared(which, &shop, yearly);
        let mut best = loading.least;
        let mut order: Vec<usize> = (0..4).collect();
        order.sort_by_key(|index| loading.ways[*index].fixed);
        for index in order {
            let way = &loading.ways[index];
            let Some(step) = way.beside else {
                prop_assert_eq!(index, loading.least);
                continue;
            };
            prop_assert_eq!(step.other, best);
            let other = &loading.ways[step.other];
            let resale = (way.way.resale - other.way.resale).amount();
            let mut worth = -step.capital.amount();
            let mut discount = 1.0;
            for year in 1..=years {
                discount /= 1.0 + interest;
                let back = if year == years { resale } else { 0.0 };
                worth += (step.saved_a_year.amount() + back) * discount;
            }
            prop_assert!((worth - step.worth.amount()).abs() <= 0.01 + 1e-9 * worth.abs());
            // From its break-even on it is the cheaper one, and the worth agrees, but for cents of rounding.
            let from = step.break_even.unwrap_or(f64::INFINITY);
            if (f64::from(yearly) / from - 1.0).abs() > 1e-3 && worth.abs() > 1.0 {
                prop_assert_eq!(worth > 0.0, f64::from(yearly) > from, "{} {}", worth, from);
            }
            if step.worth >= Money::ZERO {
                best = index;
            }
        }
        let (found, cheapest) = (&loading.ways[best], &loading.ways[loading.cheapest]);
        let apart = (found.a_year - cheapest.a_year).cents();
        // A cent of rounding for each year and way.
        prop_assert!((0..=100).contains(&apart), "{} {}", found.way.name, cheapest.way.name);
    }

    /// Costs for a year are fixed cost and parts; capital weighs less the more parts bear it.
    #[test]
    fn more_parts_bear_the_capital_more_easily(which in 0_usize..2, yearly in 1_000_u32..200_000) {
        let shop = for_demo(which);
        let (one, two) = (compared(which, &shop, yearly), compared(which, &shop, 2 * yearly));
        for (one, two) in one.ways.iter().zip(&two.ways) {
            prop_assert!((one.each - two.each).abs() < 1e-12);
            prop_assert!(two.each_with_capital <= one.each_with_capital + 1e-12);
            let running = one.a_year - one.fixed;
            prop_assert!(((two.a_year - two.fixed) - running * 2).cents().abs() <= 1);
            let capital = worth::yearly_capital(one.way.capital, one.way.resale, 0.07, 6).unwrap();
            prop_assert_eq!(one.fixed, capital + one.way.upkeep);
        }
    }
}

#[test]
fn each_swing_is_what_the_moved_figure_gives() {
    let shop = shop();
    let loading = compared(0, &shop, 40_000);
    let sensitivity = loading.sensitivity.as_ref().unwrap();
    let swing = |figure: &str| *sensitivity.swings.iter().find(|it| it.figure == figure).unwrap();
    let worth = |loading: &Loading| {
        let step = loading.ways[sensitivity.way].beside.unwrap();
        assert_eq!(step.other, sensitivity.other);
        step.worth
    };
    assert_eq!(worth(&loading), sensitivity.worth);
    assert_eq!(worth(&compared(0, &shop, 30_000)), swing("parts a year").lower);
    assert_eq!(worth(&compared(0, &shop, 50_000)), swing("parts a year").higher);
    let mut dear = shop.clone();
    dear.investment.as_mut().unwrap().interest = 0.07 * 1.25;
    assert_eq!(worth(&compared(0, &dear, 40_000)), swing("interest").higher);
    let mut dear = shop.clone();
    let rates = dear.rates.as_mut().unwrap();
    rates.person_hour = Money::from_cents(4750);
    assert_eq!(worth(&compared(0, &dear, 40_000)), swing("hour of a person").higher);
    let ranges: Vec<i64> =
        sensitivity.swings.iter().map(|it| (it.higher.cents() - it.lower.cents()).abs()).collect();
    assert!(ranges.windows(2).all(|pair| pair[0] >= pair[1]), "{ranges:?}");
}
