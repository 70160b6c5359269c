//! What a row of good and bad parts says: how many may be bad, whether the bad ones come by chance, how many more
//! must be good for a claim, and how long one may go without gauging.
//!
//! Where bad parts are rare, shares of groups say nothing: most groups have none. So the parts between bad ones are
//! counted instead.

use super::attribute::{bad_at_most, bad_share, gauged_for, parts_within};
use crate::figure::BadFigure;
use crate::spread::Spread;
use model::quantity::Probability;

/// A part that was gauged without a scale.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Judged {
    /// Its number.
    pub part: u32,
    /// Whether it was good.
    pub good: bool,
}

/// A shape in a row of good and bad parts that chance seldom makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum FaultRule {
    /// So many bad ones closer together than chance brings them.
    Close(u32),
    /// More good ones in a row than chance brings.
    LongGood,
}

impl FaultRule {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            FaultRule::Close(2) => "two-bad-close",
            FaultRule::Close(3) => "three-bad-close",
            FaultRule::Close(_) => "four-bad-close",
            FaultRule::LongGood => "long-good",
        }
    }
}

/// A shape that was seen.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SeenFaults {
    /// What was seen.
    pub rule: FaultRule,
    /// The first part of it.
    pub from: u32,
    /// The part at which it is seen.
    pub at: u32,
    /// How seldom chance does that, after any one bad part.
    pub chance: Probability,
}

/// Chance by which a shape is told: that of a point beyond three sigma.
pub const SELDOM: f64 = 0.002_7;

/// Fewest bad parts of which it is asked whether they come by chance.
pub const FEWEST_BAD: usize = 3;

/// Shares of bad parts that a claim may be about.
pub const CLAIMS: [f64; 3] = [0.05, 0.01, 0.001];

/// What a row of good and bad parts says.
#[derive(Debug, Clone, PartialEq)]
pub struct FaultReview {
    /// Parts gauged.
    pub gauged: u32,
    /// Of them bad.
    pub bad: u32,
    /// Share of bad ones, with the range in which it lies.
    pub share: Spread<Probability>,
    /// Share of bad ones that is not exceeded, of one side.
    pub at_most: Probability,
    /// Good ones in a row, up to the last one gauged.
    pub good_in_a_row: u32,
    /// Good ones between one bad part and the next, in order.
    pub between: Vec<u32>,
    /// Shapes that chance seldom makes; none are looked for where bad ones are too few.
    pub seen: Vec<SeenFaults>,
    /// For each of [`CLAIMS`] how many more must be good before it can be made; 0 where it can be.
    pub more_good: [u32; 3],
    /// Parts that may be made until the next is gauged, so that the chance that any is bad stays below the
    /// risk; 0 where no number keeps it.
    pub within: u32,
}

/// Reviews parts in the order in which they were made.
///
/// Parts are taken for independent, all with the same chance to be bad. That share is at most the end of one side
/// of Clopper and Pearson, and so many parts as keep `1 − (1 − share)^parts` below the risk may go ungauged.
/// Valid: parts gauged by chance, not picked; one or more.
/// Source: the binomial distribution. For the counts between bad ones: Kaminsky and others, "Statistical control
/// charts based on a geometric distribution", J. Quality Technology 24 (1992); limits here are exact chances, not
/// multiples of a deviation.
/// Held to: `handbook/sizes.toml`; simulation here.
///
/// # Errors
/// None gauged, a confidence or risk that is none.
pub fn fault_review(
    parts: &[Judged],
    confidence: Probability,
    risk: Probability,
) -> Result<FaultReview, BadFigure> {
    let gauged = parts.len() as u32;
    let bad_at: Vec<usize> = (0..parts.len()).filter(|at| !parts[*at].good).collect();
    let bad = bad_at.len() as u32;
    let at_most = bad_at_most(bad, gauged, confidence)?;
    let mut more_good = [0; 3];
    for (more, claim) in more_good.iter_mut().zip(CLAIMS) {
        let needed = gauged_for(bad, Probability::from_ratio(claim), confidence)?;
        *more = needed.saturating_sub(gauged);
    }
    Ok(FaultReview {
        gauged,
        bad,
        share: bad_share(bad, gauged, confidence)?,
        at_most,
        good_in_a_row: (parts.len() - bad_at.last().map_or(0, |at| at + 1)) as u32,
        between: bad_at.windows(2).map(|pair| (pair[1] - pair[0] - 1) as u32).collect(),
        seen: if bad_at.len() < FEWEST_BAD { Vec::new() } else { look(parts, &bad_at) },
        more_good,
        within: parts_within(at_most, risk)?,
    })
}

fn look(parts: &[Judged], bad_at: &[usize]) -> Vec<SeenFaults> {
    let all = parts.len() as f64;
    let mut seen = Vec::new();
    for (index, at) in bad_at.iter().enumerate() {
        for many in 2..=4_usize {
            let Some(first) = (index + 1).checked_sub(many) else { continue };
            // Against the share in all the others: what is looked at must not speak for itself.
            let span = at - bad_at[first] + 1;
            let others = all - span as f64;
            let share = (bad_at.len() - many) as f64 / others;
            if others < 1.0 || share <= 0.0 {
                continue;
            }
            let chance = as_many_or_more(many - 1, span - 1, share);
            if chance <= SELDOM {
                let rule = FaultRule::Close(many as u32);
                let (from, at) = (parts[bad_at[first]].part, parts[*at].part);
                seen.push(SeenFaults { rule, from, at, chance: Probability::from_ratio(chance) });
            }
        }
    }
    let ends = bad_at.iter().copied().skip(1).chain([parts.len()]);
    for (from, to) in bad_at.iter().zip(ends) {
        let good = to - from - 1;
        let others = all - good as f64;
        let share = bad_at.len() as f64 / others;
        let chance = if share < 1.0 { libm::pow(1.0 - share, good as f64) } else { 1.0 };
        if good > 0 && chance <= SELDOM {
            let (from, at) = (parts[from + 1].part, parts[to - 1].part);
            let chance = Probability::from_ratio(chance);
            seen.push(SeenFaults { rule: FaultRule::LongGood, from, at, chance });
        }
    }
    seen.sort_by_key(|it| (it.at, it.rule));
    seen
}

/// Chance of so many bad ones or more in so many parts.
fn as_many_or_more(bad: usize, parts: usize, share: f64) -> f64 {
    if bad == 0 {
        return 1.0;
    }
    if bad > parts {
        return 0.0;
    }
    statrs::function::beta::beta_reg(bad as f64, (parts - bad + 1) as f64, share)
}

#[cfg(test)]
mod tests {
    use super::super::noise::Noise;
    use super::*;
    use proptest::prelude::*;

    const SURE: Probability = Probability::from_ratio(0.95);
    const RISK: Probability = Probability::from_ratio(0.05);

    fn row(bad_at: &[u32], gauged: u32) -> Vec<Judged> {
        (1..=gauged).map(|part| Judged { part, good: !bad_at.contains(&part) }).collect()
    }

    fn told(bad_at: &[u32], gauged: u32) -> FaultReview {
        fault_review(&row(bad_at, gauged), SURE, RISK).unwrap()
    }

    #[test]
    fn sixty_good_ones_allow_one_part_and_six_hundred_ten() {
        let review = told(&[], 60);
        assert_eq!((review.bad, review.good_in_a_row, review.within), (0, 60, 1));
        // 1 − 0.05^(1/60)
        assert!((review.at_most.ratio() - 0.048_703).abs() < 1e-6, "{review:?}");
        assert_eq!(review.more_good, [0, 239, 2935]);
        assert_eq!(told(&[], 57).within, 0);
        // ln 0.95 over ln 0.05^(1/n): at 584 it is 9.999, at 585 it is 10.016.
        assert_eq!((told(&[], 584).within, told(&[], 585).within), (9, 10));
    }

    #[test]
    fn bad_ones_that_come_together_are_seen_and_even_ones_are_not() {
        let even: Vec<u32> = (1..=10).map(|it| it * 40).collect();
        assert_eq!(told(&even, 400).seen, []);
        let mut cluster = even;
        cluster.extend([361, 363]);
        let seen = told(&cluster, 400).seen;
        assert!(
            seen.iter().any(|it| (it.rule, it.from, it.at) == (FaultRule::Close(3), 360, 363)),
            "{seen:?}"
        );
        // Three bad ones in a hundred, then six hundred good ones.
        let seen = told(&[20, 50, 90], 700).seen;
        assert!(seen.iter().any(|it| it.rule == FaultRule::LongGood && it.at == 700), "{seen:?}");
        assert!(
            told(&[20, 21], 700).seen.is_empty(),
            "two bad ones are too few to speak of chance"
        );
    }

    /// Of bad parts by pure chance each rule tells no more than it says; mostly less, since whole parts are counted.
    #[test]
    fn chance_alone_is_seldom_told() {
        let mut noise = Noise::new(11);
        let (mut close, mut bad_ones) = (0_u32, 0_u32);
        for _ in 0..300 {
            let parts: Vec<Judged> =
                (1..=2000).map(|part| Judged { part, good: noise.unit() > 0.01 }).collect();
            let review = fault_review(&parts, SURE, RISK).unwrap();
            bad_ones += review.bad;
            close += review.seen.iter().filter(|it| it.rule != FaultRule::LongGood).count() as u32;
        }
        let share = f64::from(close) / f64::from(bad_ones);
        assert!(share < 3.0 * SELDOM, "{share}");
        assert!(close > 0, "a rule that never speaks checks nothing");
    }

    /// The risk is held: where parts are bad by a share at which it can just be claimed, some part of those
    /// left ungauged is bad no oftener than is told.
    #[test]
    fn the_risk_is_held_where_the_bound_is_right() {
        let within = parts_within(Probability::from_ratio(0.004), RISK).unwrap();
        let mut noise = Noise::new(3);
        let runs = 20_000;
        let any = (0..runs).filter(|_| (0..within).any(|_| noise.unit() < 0.004)).count();
        let share = any as f64 / f64::from(runs);
        assert!(share < 0.055, "{share}");
        // And one part more would not hold it.
        assert!(1.0 - libm::pow(0.996, f64::from(within + 1)) > 0.05);
    }

    proptest! {
        #[test]
        fn any_row_gives_an_order_or_an_error(goods in prop::collection::vec(any::<bool>(), 0..200)) {
            let parts: Vec<Judged> = goods
                .iter()
                .enumerate()
                .map(|(at, good)| Judged { part: at as u32 + 1, good: *good })
                .collect();
            let Ok(review) = fault_review(&parts, SURE, RISK) else { return Ok(()) };
            prop_assert!(review.share.low.ratio() <= review.share.nominal.ratio());
            prop_assert!(review.share.nominal.ratio() <= review.at_most.ratio() + 1e-12);
            prop_assert!(review.at_most.ratio() <= review.share.high.ratio() + 1e-12);
            let between: u32 = review.between.iter().sum();
            prop_assert!(between + review.bad + review.good_in_a_row <= review.gauged);
            for it in &review.seen {
                prop_assert!(it.from <= it.at && it.chance.ratio() <= SELDOM);
            }
        }
    }
}
