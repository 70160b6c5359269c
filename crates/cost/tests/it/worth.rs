//! What money is worth over years, against plain sums.

use calc::worth::{self, Line};
use model::Money;
use proptest::prelude::*;

fn money() -> impl Strategy<Value = Money> {
    (-5_000_000_i64..5_000_000).prop_map(Money::from_cents)
}

/// Each amount discounted by itself, year by year.
fn plain(flows: &[Money], rate: f64) -> f64 {
    let each = flows.iter().enumerate().map(|(year, flow)| {
        let mut amount = flow.amount();
        for _ in 0..year {
            amount /= 1.0 + rate;
        }
        amount
    });
    each.sum()
}

proptest! {
    #[test]
    fn present_worth_is_the_plain_sum(
        flows in prop::collection::vec(money(), 0..25), rate in -0.2..0.8_f64,
    ) {
        let ours = worth::present_worth(&flows, rate).unwrap().amount();
        let plain = plain(&flows, rate);
        prop_assert!((ours - plain).abs() <= 0.005 + 1e-9 * plain.abs(), "{ours} {plain}");
    }

    /// What comes back by the year is worth the capital: a sum of years, not a closed form.
    #[test]
    fn yearly_capital_pays_the_capital(
        capital in 0_i64..90_000_000, share in 0.0..1.0_f64, rate in 0.0..0.5_f64, years in 1_u32..40,
    ) {
        let capital = Money::from_cents(capital);
        let resale = capital.times(share);
        let yearly = worth::yearly_capital(capital, resale, rate, years).unwrap();
        let mut flows = vec![Money::ZERO];
        flows.extend((0..years).map(|_| yearly));
        *flows.last_mut().unwrap() = yearly + resale;
        let back = plain(&flows, rate);
        // Half a cent of rounding every year.
        let off = 0.005 * f64::from(years) + 1e-9 * capital.amount();
        prop_assert!((back - capital.amount()).abs() <= off, "{back} {capital}");
    }

    #[test]
    fn the_rate_of_return_makes_the_worth_nothing(
        capital in 1_000_i64..5_000_000, saved in prop::collection::vec(0_i64..3_000_000, 1..15),
    ) {
        let flows: Vec<Money> =
            std::iter::once(-capital).chain(saved.iter().copied()).map(Money::from_cents).collect();
        let Some(rate) = worth::rate_of_return(&flows) else {
            // Nothing comes back at all, or less than one of a hundred.
            prop_assert!(saved.iter().sum::<i64>() < capital);
            return Ok(());
        };
        let (below, above) = (plain(&flows, rate - 1e-6), plain(&flows, rate + 1e-6));
        prop_assert!(below >= 0.0 && above <= 0.0, "{rate}: {below} {above}");
    }

    #[test]
    fn two_ways_cost_the_same_at_their_break_even(
        fixed in 0_i64..900_000, more in 1_i64..9_000_000, each in 0.0..9.0_f64, saved in 0.001..5.0_f64,
    ) {
        let one = Line { fixed: Money::from_cents(fixed), each: each + saved };
        let other = Line { fixed: Money::from_cents(fixed + more), each };
        let cost = |line: Line, parts: f64| line.fixed.amount() + line.each * parts;
        let parts = worth::break_even(one, other).unwrap();
        prop_assert!((cost(one, parts) - cost(other, parts)).abs() <= 1e-6 * cost(one, parts).max(1.0));
        prop_assert!(cost(one, parts + 1.0) > cost(other, parts + 1.0));
        prop_assert_eq!(worth::break_even(other, one), Some(parts));
        // The one with more fixed cost that saves nothing is never the cheaper one.
        let dear = Line { each: each + saved + 0.001, ..other };
        prop_assert_eq!(worth::break_even(one, dear), None);
    }

    #[test]
    fn a_margin_is_a_share_of_its_price(cost in 0_i64..900_000_000, margin in 0.0..0.9_f64) {
        let cost = Money::from_cents(cost);
        let price = worth::price_for_margin(cost, margin).unwrap();
        let off = ((price - cost).amount() - margin * price.amount()).abs();
        prop_assert!(off <= 0.005 + 1e-9 * price.amount(), "{off}");
    }
}

#[test]
fn several_rates_of_return_or_none_are_no_answer() {
    let flows = |whole: &[i64]| -> Vec<Money> {
        whole.iter().map(|whole| Money::from_cents(100 * whole)).collect()
    };
    // 10 % and 20 % both make this worth nothing: a textbook's two roots.
    let two = flows(&[-1000, 2300, -1320]);
    for rate in [0.1, 0.2] {
        assert_eq!(worth::present_worth(&two, rate), Ok(Money::ZERO));
    }
    assert_eq!(worth::rate_of_return(&two), None);
    assert_eq!(worth::rate_of_return(&flows(&[100, 100])), None);
    assert_eq!(worth::rate_of_return(&[]), None);
    assert_eq!(worth::payback(Money::from_cents(100), Money::ZERO), None);
    assert_eq!(worth::payback(Money::ZERO, Money::ZERO), Some(0.0));
}
