//! Quotes of the demo jobs: they add up, follow their plan, and never fall.

use crate::demos::{DEMOS, shop};
use cost::account::{self, Item};
use cost::quote::{Quote, Raised};
use cost::refusal::{In, Refusal};
use cost::{Asked, quote};
use model::files::Shop;
use model::files::shop::{Break, Saw};
use model::finding::Verdict;
use model::quantity::Probability;
use model::{Length, Money};
use proptest::prelude::*;

fn asked(quantities: &[u32]) -> Asked {
    Asked { quantities: quantities.to_vec(), made_before: false }
}

fn quoted(which: usize, shop: &Shop, quantities: &[u32]) -> Quote {
    let demo = &DEMOS[which];
    quote(&demo.job, &demo.answer, shop, &asked(quantities)).unwrap()
}

#[test]
fn the_order_is_made_as_the_plan_makes_it() {
    for (index, demo) in DEMOS.iter().enumerate() {
        let mut shop = shop();
        let bar = &demo.job.file.bar;
        // Sawn as the job says, from its own stock length.
        let (kerf, end_trim) = (bar.saw_kerf, bar.end_trim);
        shop.saw = Saw { kerf, end_trim, ..Saw::PLAIN };
        shop.rack.stock.retain(|stock| Some(stock.length) == bar.stock_length);
        let rates = shop.rates.as_mut().unwrap();
        (rates.set_up_parts, rates.scrap, rates.time_factor) =
            (0, Probability::from_ratio(0.0), 1.0);
        let quote = quoted(index, &shop, &[]);
        let it = quote.priced.iter().find(|it| it.ordered).unwrap();
        assert_eq!(it.work.parts, demo.job.file.order.quantity);
        assert_eq!(Some(it.work.bars), demo.answer.bar.blanks);
        let (ours, plan) = (it.work.running.s(), demo.answer.times.order.s());
        assert!((ours - plan).abs() < 1e-6 * plan, "{ours} {plan}");
        // As many stock bars as the plan says, or one less where the short last blank fits beside others.
        let bars = demo.answer.bar.stock.unwrap().bars.unwrap();
        assert!(
            (bars - 1..=bars).contains(&it.bought.stock_bars),
            "{bars} {}",
            it.bought.stock_bars
        );
    }
}

#[test]
fn all_metal_that_is_bought_is_somewhere() {
    let mut shop = shop();
    // One stock length, no saw dust, and no rest goes back.
    shop.rack.stock.retain(|stock| stock.length == Length::from_mm(3050));
    shop.rack.least_useful = Length::from_mm(20_000);
    shop.saw.kerf = Length::ZERO;
    // The pin by hand: 8 by 16 and 11 by 12, each with a ring of 0.5 by 45 degrees off its edge (Pappus: the
    // triangle's area times the way of its middle). The groove is another operation's.
    let pi = std::f64::consts::PI;
    let ring = |radius: f64| 0.125 * 2.0 * pi * (radius - 0.5 / 3.0);
    let volume = pi / 4.0 * (64.0 * 16.0 + 121.0 * 12.0) - ring(4.0) - ring(5.5);
    let part = volume * 7.87e-6;
    let bar = pi / 4.0 * 144.0 * 3050.0 * 7.87e-6;
    for it in quoted(0, &shop, &[1, 33, 750]).priced {
        let bought = bar * f64::from(it.bought.stock_bars);
        let parts = part * f64::from(it.work.parts);
        let found = parts + it.bought.chips.kg() + it.bought.solid.kg();
        assert!((found / bought - 1.0).abs() < 1e-6, "{}: {found} of {bought}", it.quantity);
        // Chips alone: a pitch of 31 and 2 of first face a bar, less the part.
        let turned = 31.0 * f64::from(it.work.parts) + 2.0 * f64::from(it.work.bars);
        let chips = pi / 4.0 * 144.0 * turned * 7.87e-6 - parts;
        assert!(
            (it.bought.chips.kg() / chips - 1.0).abs() < 1e-4,
            "{} {chips}",
            it.bought.chips.kg()
        );
    }
}

#[test]
fn breaks_are_quoted_with_their_margins() {
    let shop = shop();
    let quote = quoted(0, &shop, &[]);
    let quantities: Vec<u32> = quote.priced.iter().map(|it| it.quantity).collect();
    assert_eq!(quantities, [50, 100, 250, 400, 1000]);
    for it in &quote.priced {
        let margin = it.margin().amount() / it.price.amount();
        let expected = if it.quantity >= 1000 { 0.11 } else { 0.14 };
        assert!((margin - expected).abs() < 1e-4, "{}: {margin}", it.quantity);
    }
    let before = Asked { quantities: vec![], made_before: true };
    let known = cost::quote(&DEMOS[0].job, &DEMOS[0].answer, &shop, &before).unwrap();
    for (new, known) in quote.priced.iter().zip(&known.priced) {
        assert_eq!(known.of(Item::Programming), Money::ZERO);
        // 75 min at 46 an hour with 16 % overhead, and a cent of rounding.
        let saved = (new.cost - known.cost).amount();
        assert!((saved - 57.5 * 1.16).abs() <= 0.011, "{saved}");
    }
}

#[test]
fn a_small_order_is_charged_the_minimum_and_says_so() {
    let mut shop = shop();
    shop.rates.as_mut().unwrap().minimum = Money::from_cents(30_000);
    let quote = quoted(0, &shop, &[1, 20, 400]);
    let raised: Vec<_> = quote.priced.iter().map(|it| (it.price.cents(), it.raised)).collect();
    assert_eq!(raised[0], (30_000, Some(Raised::Minimum)));
    assert_eq!(raised[1], (30_000, Some(Raised::Minimum)));
    assert!(raised[2].0 > 30_000 && raised[2].1.is_none());
}

#[test]
fn a_margin_that_falls_makes_no_larger_order_cheaper() {
    let mut shop = shop();
    shop.rates.as_mut().unwrap().breaks = vec![Break { quantity: 110, margin: Some(0.0) }];
    let quote = quoted(0, &shop, &[109, 110]);
    let [less, more, ..] = quote.priced.as_slice() else { panic!("two quantities") };
    assert_eq!(more.price, less.price);
    assert_eq!(more.raised, Some(Raised::SmallerQuantity));
}

#[test]
fn nothing_is_quoted_against_a_stop() {
    let demo = &DEMOS[0];
    let shop = shop();
    let mut stopped = demo.answer.clone();
    stopped.verdict = Verdict::Stop;
    let refused = |answer: &plan::Answer| {
        let quote = quote(&demo.job, answer, &shop, &asked(&[])).err();
        let loading = cost::loading(&demo.job, answer, &shop, None).err();
        (quote, loading)
    };
    assert_eq!(refused(&stopped), (Some(Refusal::Stop), Some(Refusal::Stop)));
    // Nor where nothing was proven, or no program stands.
    let mut unproven = demo.answer.clone();
    unproven.proof = None;
    assert_eq!(refused(&unproven), (Some(Refusal::Stop), Some(Refusal::Stop)));
    let mut empty = demo.answer.clone();
    empty.programs.clear();
    assert_eq!(refused(&empty), (Some(Refusal::Stop), Some(Refusal::Stop)));
}

#[test]
fn what_the_shop_does_not_say_is_asked_for_at_its_place() {
    let demo = &DEMOS[0];
    let key = |shop: &Shop| match quote(&demo.job, &demo.answer, shop, &asked(&[])) {
        Err(Refusal::File { file: In::Shop, key, .. }) => key,
        other => panic!("{other:?}"),
    };
    let mut bare = shop();
    bare.rates = None;
    assert_eq!(key(&bare), "rates");
    let mut empty = shop();
    empty.rack.stock.clear();
    // Remnants alone are not what an order of next week is cut from.
    assert!(!empty.rack.remnants.is_empty());
    assert_eq!(key(&empty), "rack");
}

#[test]
fn what_has_no_price_is_named_and_not_counted_as_free() {
    let demo = &DEMOS[0];
    let mut shop = shop();
    let rates = shop.rates.as_mut().unwrap();
    rates.gauging = None;
    rates.scrap_prices.clear();
    let mut job = demo.job.clone();
    job.tools.stations[0].edge_price = None;
    let quote = quote(&job, &plan::plan(&job), &shop, &asked(&[])).unwrap();
    let left_out = quote.left_out.join("\n");
    for words in ["gauging: ", "scrap: ", "edges of station 1, ", "`edge_price`"] {
        assert!(left_out.contains(words), "{words}\n{left_out}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_quote_adds_up_and_never_falls(
        which in 0_usize..2,
        mut quantities in prop::collection::btree_set(1_u32..900, 1..6),
        (lathe, person, attention) in (0_i64..20_000, 0_i64..20_000, 0.0..1.0_f64),
        (overhead, margin, scrap) in (0.0..2.0_f64, 0.0..0.8_f64, 0.0..0.3_f64),
        (minimum, credit, factor) in (0_i64..90_000, 0.0..1.0_f64, 0.6..2.0_f64),
        break_margin in prop::option::of(0.0..0.8_f64),
    ) {
        let mut shop = shop();
        let rates = shop.rates.as_mut().unwrap();
        (rates.lathe_hour, rates.person_hour) = (Money::from_cents(lathe), Money::from_cents(person));
        (rates.overhead, rates.margin, rates.rest_credit) = (overhead, margin, credit);
        rates.attention = Probability::from_ratio(attention);
        rates.scrap = Probability::from_ratio(scrap);
        rates.minimum = Money::from_cents(minimum);
        rates.time_factor = factor;
        rates.breaks = vec![Break { quantity: 200, margin: break_margin }];
        quantities.insert(DEMOS[which].job.file.order.quantity);
        let list: Vec<u32> = quantities.iter().copied().collect();
        let quote = quoted(which, &shop, &list);
        prop_assert_eq!(quote.priced.iter().map(|it| it.quantity).collect::<Vec<_>>(), list);
        for it in &quote.priced {
            // To the cent: the lines are the cost, cost and margin the price.
            let sum: i64 = it.lines.iter().map(|line| line.money.cents()).sum();
            prop_assert_eq!(sum, it.cost.cents());
            prop_assert_eq!(it.cost + it.margin(), it.price);
            prop_assert!(it.price >= it.cost && it.price.cents() >= minimum);
            prop_assert!(it.of(Item::Scrap) <= Money::ZERO && it.of(Item::Material) >= Money::ZERO);
            prop_assert!(it.certainty.low <= it.certainty.middle && it.certainty.middle <= it.certainty.high);
        }
        for pair in quote.priced.windows(2) {
            prop_assert!(pair[1].price >= pair[0].price, "{:?}", (pair[0].price, pair[1].price));
            prop_assert!(pair[1].cost >= pair[0].cost, "{:?}", (pair[0].cost, pair[1].cost));
        }
    }

    /// A coin of half the worth: every rate and price doubled doubles the cost, but for rounding.
    #[test]
    fn twice_the_prices_are_twice_the_cost(which in 0_usize..2, quantity in 1_u32..600) {
        let one = shop();
        let mut other = shop();
        let rates = other.rates.as_mut().unwrap();
        for money in [
            &mut rates.lathe_hour, &mut rates.person_hour, &mut rates.programming_hour,
        ] {
            *money = *money * 2;
        }
        for price in &mut rates.scrap_prices {
            (price.chips, price.solid) = (price.chips * 2, price.solid * 2);
        }
        for stock in &mut other.rack.stock {
            stock.price = match stock.price {
                model::files::shop::Price::Bar(money) => model::files::shop::Price::Bar(money * 2),
                model::files::shop::Price::Kilogram(money) => {
                    model::files::shop::Price::Kilogram(money * 2)
                }
            };
        }
        let demo = &DEMOS[which];
        let mut dear = demo.job.clone();
        for station in &mut dear.tools.stations {
            station.edge_price = station.edge_price.map(|price| 2.0 * price);
        }
        let cost = |job, shop: &Shop| {
            let quote = quote(job, &demo.answer, shop, &asked(&[quantity])).unwrap();
            quote.priced.into_iter().find(|it| it.quantity == quantity).unwrap()
        };
        let (one, other) = (cost(&demo.job, &one), cost(&dear, &other));
        let off = (other.cost.cents() - 2 * one.cost.cents()).abs();
        // Nine lines with half a cent each on both sides, and bars by weight in whole cents.
        prop_assert!(off <= 30, "{off}: {} {}", one.cost, other.cost);
        prop_assert_eq!(account::sum(&other.lines), other.cost);
    }
}
