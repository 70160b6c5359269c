//! The range of a cost against a reckoning without chance.

use crate::demos::{DEMOS, shop};
use cost::certainty::{Factors, Moved, RUNS, Varies, drawings};
use cost::{Asked, quote};
use model::files::shop::Scatter;

/// The nominal figures give the quoted cost; what they are sorted by adds up to it.
fn moved() -> Moved {
    Moved {
        fixed: 6_000.0,
        set_up: 9_000.0,
        timed: 22_000.0,
        steady: 6_500.0,
        edges: 8_800.0,
        material: 4_100.0,
        good: 400.0,
        lost_at_start: 3.0,
        scrap: 0.02,
    }
}

const SCATTER: [f64; 5] = [1.1, 1.35, 1.4, 2.0, 1.06];

/// Costs with their weights, the lowest first: every figure at eleven places of the normal distribution
/// from −4 to 4 deviations, weighed by the bell there, all with all. No chance in it.
fn grid(moved: &Moved) -> Vec<(f64, f64)> {
    let places: Vec<(f64, f64)> = (-5..=5)
        .map(|step| 0.8 * f64::from(step))
        .map(|place| (place, (-place * place / 2.0).exp()))
        .collect();
    let whole: f64 = places.iter().map(|(_, weight)| weight).sum();
    let factors = |scatter: f64| -> Vec<(f64, f64)> {
        let factor = |place: f64| scatter.powf(place / 1.644_853_626_951_472_7);
        places.iter().map(|(place, weight)| (factor(*place), weight / whole)).collect()
    };
    let [times, set_ups, lives, scraps, materials] = SCATTER.map(factors);
    let mut costs = Vec::new();
    for (time, a) in &times {
        for (set_up, b) in &set_ups {
            for (edge_life, c) in &lives {
                for (scrap, d) in &scraps {
                    for (material, e) in &materials {
                        let (time, set_up, edge_life) = (*time, *set_up, *edge_life);
                        let (scrap, material) = (*scrap, *material);
                        let at = Factors { time, set_up, edge_life, scrap, material };
                        costs.push((moved.cost(&at), a * b * c * d * e));
                    }
                }
            }
        }
    }
    costs.sort_by(|one, other| one.0.total_cmp(&other.0));
    costs
}

/// The cost that this share of the weight lies below.
fn at(costs: &[(f64, f64)], share: f64) -> f64 {
    let mut below = 0.0;
    let found = costs.iter().find(|(_, weight)| {
        below += weight;
        below >= share
    });
    found.or(costs.last()).unwrap().0
}

#[test]
fn drawings_agree_with_all_figures_at_all_places() {
    let moved = moved();
    let by_chance = drawings(&moved, SCATTER);
    assert_eq!(by_chance.len(), RUNS);
    let by_grid = grid(&moved);
    for share in [0.05, 0.25, 0.5, 0.75, 0.95] {
        let chance = by_chance[(share * (RUNS - 1) as f64) as usize];
        // Three standard errors of a share by 10,000 drawings, and the steps of the grid.
        let error = 3.0 * (share * (1.0 - share) / RUNS as f64).sqrt() + 0.002;
        let (low, high) = (at(&by_grid, share - error), at(&by_grid, share + error));
        assert!(
            low <= chance && chance <= high,
            "{share}: {chance} by chance, {low} to {high} by grid"
        );
    }
    // Mean and deviation, the second against the sum of each figure's own (the terms are near apart).
    let mean = |costs: &[f64]| costs.iter().sum::<f64>() / costs.len() as f64;
    let deviation = |costs: &[f64]| {
        let mean = mean(costs);
        (costs.iter().map(|it| (it - mean).powi(2)).sum::<f64>() / costs.len() as f64).sqrt()
    };
    let analytic = deviation_by_parts(&moved);
    let spread = deviation(&by_chance);
    assert!((spread / analytic - 1.0).abs() < 0.05, "{spread} by chance, {analytic} by formula");
    let by_weight: f64 = by_grid.iter().map(|(cost, weight)| cost * weight).sum();
    assert!((mean(&by_chance) / by_weight - 1.0).abs() < 0.002, "{by_weight}");
}

/// The deviation of the cost by the variances of log-normal factors, exp(s²)·(exp(s²) − 1) each, added up
/// as if no two were multiplied; the share lost to first order.
fn deviation_by_parts(moved: &Moved) -> f64 {
    let variance = |scatter: f64| {
        let s = scatter.ln() / 1.644_853_626_951_472_7;
        (s * s).exp() * ((s * s).exp() - 1.0)
    };
    let of_parts = moved.timed + moved.steady + moved.edges + moved.material;
    let lost = of_parts * moved.scrap;
    let weights = [moved.timed, moved.set_up, moved.edges, lost, moved.material];
    let sum: f64 = weights
        .iter()
        .zip(SCATTER)
        .map(|(weight, scatter)| weight * weight * variance(scatter))
        .sum();
    sum.sqrt()
}

#[test]
fn without_scatter_the_cost_is_the_quoted_one() {
    let mut shop = shop();
    for (index, demo) in DEMOS.iter().enumerate() {
        shop.rates.as_mut().unwrap().scatter =
            Scatter { time: 1.0, set_up: 1.0, edge_life: 1.0, scrap: 1.0, material: 1.0 };
        let quote = quote(&demo.job, &demo.answer, &shop, &Asked::default()).unwrap();
        for it in &quote.priced {
            let certainty = &it.certainty;
            for cost in [certainty.low, certainty.middle, certainty.high] {
                let off = (cost - it.cost).cents().abs();
                assert!(off <= 2, "{index}, {}: {cost} {}", it.quantity, it.cost);
            }
            assert!(certainty.loss == 0.0);
        }
    }
}

#[test]
fn one_figure_alone_moves_the_cost_by_its_own_lines() {
    let demo = &DEMOS[0];
    let shop = shop();
    let quote = quote(&demo.job, &demo.answer, &shop, &Asked::default()).unwrap();
    let it = quote.priced.iter().find(|it| it.ordered).unwrap();
    let alone = |varies| *it.certainty.alone.iter().find(|it| it.varies == varies).unwrap();
    // Setting up: its line with 16 % overhead, times and divided by 1.35.
    let set_up = it.of(cost::account::Item::SetUp).amount() * 1.16;
    let range = alone(Varies::SetUp);
    let near = |ours: f64, by_hand: f64| assert!((ours - by_hand).abs() < 0.03, "{ours} {by_hand}");
    near(range.high.amount(), it.cost.amount() + set_up * 0.35);
    near(range.low.amount(), it.cost.amount() - set_up * (1.0 - 1.0 / 1.35));
    let ranges: Vec<_> = it.certainty.alone.iter().map(|it| it.high - it.low).collect();
    assert!(ranges.windows(2).all(|pair| pair[0] >= pair[1]), "{ranges:?}");
    // The same seed, the same range.
    let again = cost::quote(&demo.job, &demo.answer, &shop, &Asked::default()).unwrap();
    assert_eq!(again, quote);
}
