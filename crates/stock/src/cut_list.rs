//! The cut list as a shop reads it.

use crate::group::{Cannot, Group};
use crate::problem::Pattern;
use crate::solve::{Solved, solve};
use model::{Length, Money};

/// One blank of a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Blank {
    /// Which of the group's lots.
    pub lot: usize,
    /// Length to saw it to.
    pub length: Length,
    /// Parts that it gives; none for a plain blank.
    pub parts: Option<u32>,
}

/// A bar and what is sawn off it, so many times alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SawnBar {
    /// Which of the group's bars.
    pub from: usize,
    /// How many bars are cut so.
    pub times: u32,
    /// Its blanks, in the order in which they are sawn: the longest first.
    pub blanks: Vec<Blank>,
    /// What is sawn off its end first.
    pub trim: Length,
    /// What is left when every blank is as long as it is meant; never below zero.
    pub rest: Length,
    /// Whether the rest is worth keeping.
    pub kept: bool,
}

/// The answer for one group.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CutList {
    /// The bars, stock before remnants, those of most blanks first.
    pub bars: Vec<SawnBar>,
    /// What the bars cost, remnants at their worth.
    pub material: Money,
    /// What loading the blanks costs.
    pub loading: Money,
    /// What every cut list costs at least, material and loading together.
    pub least: Money,
}

/// Why a group has no cut list.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoCutList {
    /// For these lots nothing can be cut.
    Cannot(Vec<(usize, Cannot)>),
    /// It is proven that the bars that are there are not enough.
    NotEnough,
    /// None was found in the time; that there is one is open.
    NotFound,
}

impl CutList {
    /// Material and loading.
    pub fn cost(&self) -> Money {
        self.material + self.loading
    }

    /// Whether no cut list is cheaper.
    pub fn is_proven(&self) -> bool {
        self.least >= self.cost()
    }

    /// Parts of a lot in all blanks.
    pub fn parts(&self, lot: usize) -> u32 {
        let of = |bar: &SawnBar| -> u32 {
            let blanks = bar.blanks.iter().filter(|it| it.lot == lot);
            bar.times * blanks.filter_map(|it| it.parts).sum::<u32>()
        };
        self.bars.iter().map(of).sum()
    }

    /// Blanks of a lot.
    pub fn blanks(&self, lot: usize) -> u32 {
        let of =
            |bar: &SawnBar| bar.times * bar.blanks.iter().filter(|it| it.lot == lot).count() as u32;
        self.bars.iter().map(of).sum()
    }
}

/// Cuts a group. `go_on` is asked now and then, and ends the search when it says `false`.
///
/// # Errors
/// Where there is no cut list, or none was found.
pub fn cut(group: &Group, go_on: &mut dyn FnMut() -> bool) -> Result<CutList, NoCutList> {
    let problem = group.problem().map_err(NoCutList::Cannot)?;
    let Solved { patterns, least, impossible, .. } = solve(&problem, go_on);
    let Some(patterns) = patterns else {
        return Err(if impossible { NoCutList::NotEnough } else { NoCutList::NotFound });
    };
    let mut bars: Vec<SawnBar> =
        patterns.iter().map(|(it, times)| sawn(group, it, *times)).collect();
    bars.sort_by(|a, b| {
        let key =
            |it: &SawnBar| (group.from[it.from].remnant, it.from, std::cmp::Reverse(it.times));
        key(a).cmp(&key(b)).then_with(|| b.blanks.cmp(&a.blanks))
    });
    let material = bars.iter().map(|it| group.from[it.from].price * i64::from(it.times)).sum();
    let loads = bars.iter().flat_map(|bar| bar.blanks.iter().map(|blank| (bar.times, blank)));
    let loads: i64 = loads.filter(|(_, it)| it.parts.is_some()).map(|it| i64::from(it.0)).sum();
    let loading = group.loading * loads;
    Ok(CutList { bars, material, loading, least: Money::from_cents(least) })
}

fn sawn(group: &Group, pattern: &Pattern, times: u32) -> SawnBar {
    let saw = &group.saw;
    let mut blanks = Vec::new();
    for (lot, amount) in pattern.amounts.iter().enumerate() {
        let most = group.lots[lot].row(saw, group.loading).most;
        let mut left = *amount;
        while left > 0 {
            let advances = left.min(most);
            let length = group.lots[lot].blank(advances, saw);
            blanks.push(Blank { lot, length, parts: group.lots[lot].parts(advances) });
            left -= advances;
        }
    }
    blanks.sort_by_key(|it| (std::cmp::Reverse(it.length), it.lot));
    let from = &group.from[pattern.bar];
    let trim = if from.remnant { Length::ZERO } else { saw.end_trim };
    let used: Length = blanks.iter().map(|it| it.length + saw.kerf).sum();
    // The last blank may end with the bar, short of its kerf.
    let rest = (from.length - trim - used).max(Length::ZERO);
    let kept = rest >= group.least_useful && rest.is_positive();
    SawnBar { from: pattern.bar, times, blanks, trim, rest, kept }
}
