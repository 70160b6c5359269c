//! Run rules: shapes in a chart that chance seldom makes. Each is named by what it sees.

/// A shape that a rule looks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rule {
    /// A point beyond three standard deviations.
    BeyondLimit,
    /// Two of three points beyond two standard deviations on one side.
    TwoOfThreeFarOut,
    /// Four of five points beyond one standard deviation on one side.
    FourOfFiveOut,
    /// Eight points on one side of the center.
    EightOnOneSide,
    /// Six points that rise, or fall, all the way.
    SixSteadily,
    /// Fourteen points that go up and down by turns.
    FourteenToAndFro,
    /// Fifteen points within one standard deviation.
    FifteenNearCenter,
    /// Eight points of which none is within one standard deviation.
    EightAwayFromCenter,
}

impl Rule {
    /// All of them.
    pub const ALL: [Rule; 8] = [
        Rule::BeyondLimit,
        Rule::TwoOfThreeFarOut,
        Rule::FourOfFiveOut,
        Rule::EightOnOneSide,
        Rule::SixSteadily,
        Rule::FourteenToAndFro,
        Rule::FifteenNearCenter,
        Rule::EightAwayFromCenter,
    ];

    /// The first four, which a person looks for at the lathe. Where nothing but chance is at work,
    /// one of them speaks up about once in 92 points (Champ and Woodall 1987), a point beyond its
    /// limit alone once in 370.
    pub const USUAL: [Rule; 4] =
        [Rule::BeyondLimit, Rule::TwoOfThreeFarOut, Rule::FourOfFiveOut, Rule::EightOnOneSide];

    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Rule::BeyondLimit => "beyond-limit",
            Rule::TwoOfThreeFarOut => "two-of-three-far-out",
            Rule::FourOfFiveOut => "four-of-five-out",
            Rule::EightOnOneSide => "eight-on-one-side",
            Rule::SixSteadily => "six-steadily",
            Rule::FourteenToAndFro => "fourteen-to-and-fro",
            Rule::FifteenNearCenter => "fifteen-near-center",
            Rule::EightAwayFromCenter => "eight-away-from-center",
        }
    }

    /// What it sees, as a person says it.
    pub const fn sees(self) -> &'static str {
        match self {
            Rule::BeyondLimit => "a size beyond three sigma",
            Rule::TwoOfThreeFarOut => "two of three sizes beyond two sigma on one side",
            Rule::FourOfFiveOut => "four of five sizes beyond one sigma on one side",
            Rule::EightOnOneSide => "eight sizes in a row on one side of the center",
            Rule::SixSteadily => "six sizes in a row that grow, or shrink, all the way",
            Rule::FourteenToAndFro => "fourteen sizes in a row that go up and down by turns",
            Rule::FifteenNearCenter => "fifteen sizes in a row within one sigma",
            Rule::EightAwayFromCenter => "eight sizes in a row, none of them within one sigma",
        }
    }

    /// Points that it looks at.
    pub const fn points(self) -> usize {
        match self {
            Rule::BeyondLimit => 1,
            Rule::TwoOfThreeFarOut => 3,
            Rule::FourOfFiveOut => 5,
            Rule::EightOnOneSide | Rule::EightAwayFromCenter => 8,
            Rule::SixSteadily => 6,
            Rule::FourteenToAndFro => 14,
            Rule::FifteenNearCenter => 15,
        }
    }

    /// Whether these points, the last of them now, are such a shape; there may be fewer than it
    /// looks at, at the beginning.
    fn fits(self, points: &[f64]) -> bool {
        let full = points.len() == self.points();
        match self {
            Rule::BeyondLimit => points.iter().any(|it| it.abs() > 3.0),
            Rule::TwoOfThreeFarOut => on_one_side(points, 2, 2.0),
            Rule::FourOfFiveOut => on_one_side(points, 4, 1.0),
            Rule::EightOnOneSide => on_one_side(points, 8, 0.0),
            Rule::SixSteadily => {
                full && (steps(points).all(|it| it > 0.0) || steps(points).all(|it| it < 0.0))
            }
            Rule::FourteenToAndFro => {
                let turns = steps(points).zip(steps(points).skip(1));
                full && turns.into_iter().all(|(one, next)| one * next < 0.0)
            }
            Rule::FifteenNearCenter => full && points.iter().all(|it| it.abs() < 1.0),
            Rule::EightAwayFromCenter => full && points.iter().all(|it| it.abs() > 1.0),
        }
    }
}

fn steps(points: &[f64]) -> impl Iterator<Item = f64> + '_ {
    points.windows(2).map(|pair| pair[1] - pair[0])
}

/// Whether the last point and others, so many in all, lie beyond a distance on its side.
fn on_one_side(points: &[f64], many: usize, beyond: f64) -> bool {
    let Some(last) = points.last() else { return false };
    let out = |it: &&f64| **it * last.signum() > beyond;
    out(&last) && points.iter().filter(out).count() >= many
}

/// A shape that was seen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// What was seen.
    pub rule: Rule,
    /// The first of the points that it looks at.
    pub from: usize,
    /// The point at which it is seen.
    pub at: usize,
}

/// Every point at which one of these rules sees its shape. Points are told in standard deviations
/// off the center ([`super::chart::Chart::off_center`]).
///
/// Valid: independent points that scatter normally. Sizes that drift by wear are looked at about
/// their line, else the rules see only the wear.
/// Source: Nelson, "The Shewhart control chart: tests for special causes", J. Quality Technology 16
/// (1984), and the 1956 statistical quality control handbook for the first four, both from memory;
/// eight on one side as in the latter (Nelson has nine).
/// Held to: average run lengths in `handbook/sizes.toml`; the unit tests here.
pub fn look(points: &[f64], rules: &[Rule]) -> Vec<Seen> {
    let mut seen = Vec::new();
    for at in 0..points.len() {
        for rule in rules {
            let from = (at + 1).saturating_sub(rule.points());
            if rule.fits(&points[from..=at]) {
                seen.push(Seen { rule: *rule, from, at });
            }
        }
    }
    seen
}

#[cfg(test)]
mod tests {
    use super::super::noise::Noise;
    use super::*;

    fn first(points: &[f64], rule: Rule) -> Option<usize> {
        look(points, &[rule]).first().map(|seen| seen.at)
    }

    #[test]
    fn each_rule_sees_its_shape_and_nothing_one_point_short() {
        let turns: Vec<f64> = (0..14).map(|it| if it % 2 == 0 { 0.4 } else { -0.2 }).collect();
        let away: Vec<f64> = (0..8).map(|it| if it % 3 == 0 { 1.2 } else { -1.7 }).collect();
        let rise: Vec<f64> = (0..6).map(|it| f64::from(it) * 0.3 - 0.6).collect();
        let shapes: [(Rule, Vec<f64>); 8] = [
            (Rule::BeyondLimit, vec![-3.01]),
            (Rule::TwoOfThreeFarOut, vec![2.1, 0.0, 2.2]),
            (Rule::FourOfFiveOut, vec![-1.1, -1.5, 0.3, -1.2, -2.9]),
            (Rule::EightOnOneSide, vec![0.1; 8]),
            (Rule::SixSteadily, rise),
            (Rule::FourteenToAndFro, turns),
            (Rule::FifteenNearCenter, [0.0, 0.9, -0.9].repeat(5)),
            (Rule::EightAwayFromCenter, away),
        ];
        for (rule, points) in shapes {
            assert_eq!(first(&points, rule), Some(points.len() - 1), "{rule:?}");
            // Preceded by a point that breaks the run: at the center, or going on the same way.
            let breaks = if rule == Rule::FourteenToAndFro { -0.9 } else { 0.0 };
            let short: Vec<f64> = [breaks].into_iter().chain(points[1..].iter().copied()).collect();
            if rule != Rule::BeyondLimit && rule != Rule::FifteenNearCenter {
                assert_eq!(first(&short, rule), None, "{rule:?}");
            }
        }
    }

    #[test]
    fn the_other_side_a_tie_and_the_very_limit_do_not_count() {
        assert_eq!(first(&[2.1, 0.0, -2.2], Rule::TwoOfThreeFarOut), None);
        assert_eq!(first(&[3.0, -3.0], Rule::BeyondLimit), None);
        let mut side = vec![0.5; 7];
        side.extend([0.0, 0.5]);
        assert_eq!(first(&side, Rule::EightOnOneSide), None);
        assert_eq!(first(&[0.0, 0.1, 0.2, 0.2, 0.3, 0.4], Rule::SixSteadily), None);
    }

    /// Mean of points up to the first that is seen, over so many runs of pure chance.
    fn average_run(rules: &[Rule], runs: u32, shift: f64) -> f64 {
        let longest = 15;
        let mut noise = Noise::new(7);
        let mut sum = 0_u64;
        for _ in 0..runs {
            let mut last: Vec<f64> = Vec::new();
            for at in 1_u64.. {
                last.push(noise.normal() + shift);
                if last.len() > longest {
                    last.remove(0);
                }
                let fits =
                    |rule: &&Rule| rule.fits(&last[last.len().saturating_sub(rule.points())..]);
                if rules.iter().any(|rule| fits(&rule)) {
                    sum += at;
                    break;
                }
            }
        }
        sum as f64 / f64::from(runs)
    }

    /// Champ and Woodall, "Exact results for Shewhart control charts with supplementary runs
    /// rules", Technometrics 29 (1987), table 1, from memory; `handbook/made-by/sizes.py` computes
    /// the same chains anew.
    #[test]
    fn false_alarms_come_as_seldom_as_published() {
        use Rule::{BeyondLimit, EightOnOneSide, FourOfFiveOut, TwoOfThreeFarOut};
        let published: [(&[Rule], f64, f64); 6] = [
            (&[BeyondLimit], 0.0, 370.40),
            (&[BeyondLimit, TwoOfThreeFarOut], 0.0, 225.44),
            (&[BeyondLimit, FourOfFiveOut], 0.0, 166.05),
            (&[BeyondLimit, EightOnOneSide], 0.0, 152.73),
            (&Rule::USUAL, 0.0, 91.75),
            (&Rule::USUAL, 1.0, 9.22),
        ];
        for (rules, shift, length) in published {
            // The run length scatters about as much as it is long: 3.2 % is 3.5 such deviations.
            let ours = average_run(rules, 12_000, shift);
            assert!((ours / length - 1.0).abs() < 0.032, "{rules:?}: {ours}, published {length}");
        }
    }
}
