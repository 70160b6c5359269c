//! How bars run through the lathe: what a bar gives, how long the lathe works and stands, how long a
//! person is at it. Quote and ways of loading differ only in these figures.

use calc::bar::{self, Division};
use model::Length;
use model::files::job::Job;
use model::files::shop::Rates;
use model::quantity::Seconds;
use plan::Answer;

/// The bars of a way of loading.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bars {
    /// How a bar is divided.
    pub division: Division,
    /// Nominal length of a whole one.
    pub length: Length,
    /// How much longer or shorter it may be.
    pub tolerance: Length,
    /// Parts of a whole one.
    pub parts: u32,
    /// Whether they are sawn to length; else they are bought as long as they are.
    pub sawn: bool,
}

impl Bars {
    /// Lengths of the bars for so many parts, with how many of each; the last is sawn no longer than its
    /// parts need. None where a bar gives no part.
    pub fn lengths(&self, parts: u32) -> Option<Vec<(Length, u32)>> {
        let bars = bar::blanks_for(parts, self.parts)?;
        let last = bar::parts_in_last(parts, self.parts);
        let shortest = self.division.shortest_blank(last) + self.tolerance;
        if bars == 0 {
            return Some(Vec::new());
        }
        if !self.sawn || last == self.parts || shortest >= self.length {
            return Some(vec![(self.length, bars)]);
        }
        let mut lengths = vec![(self.length, bars - 1), (shortest, 1)];
        lengths.retain(|(_, count)| *count > 0);
        Some(lengths)
    }
}

/// How bars run through the lathe.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Course {
    /// The bars.
    pub bars: Bars,
    /// From a new bar's first cycle start until the parts of its first advance are made.
    pub first: Seconds,
    /// The parts of a further advance.
    pub cut: Seconds,
    /// How long the lathe stands for a further advance.
    pub feed: Seconds,
    /// A person's time for a further advance.
    pub hand: Seconds,
    /// How long the lathe stands for a new bar.
    pub change: Seconds,
    /// A person's time for a new bar.
    pub load: Seconds,
    /// A person's time at the saw for each bar.
    pub saw: Seconds,
    /// Time of lathe and person for setting up.
    pub set_up: Seconds,
    /// Share of a person that the lathe takes while it works.
    pub attention: f64,
}

impl Course {
    /// The course of a plan: what it proves, loaded by hand as the shop says.
    pub fn of_plan(job: &Job, answer: &Answer, rates: &Rates) -> Course {
        let (bar, times) = (&answer.bar, &answer.times);
        let in_one = bar.parts_per_bar.min(job.file.order.quantity);
        let further = in_one.div_ceil(bar.division.parts_per_advance.max(1)).saturating_sub(1);
        let none = Seconds::from_s(0.0);
        // What the lathe's own log says comes before the rate of the whole shop.
        let load = plan::learned::load(job).unwrap_or(rates.load_bar);
        Course {
            bars: Bars {
                division: bar.division,
                length: bar.blank,
                tolerance: bar.tolerance,
                parts: bar.parts_per_bar,
                sawn: true,
            },
            first: times.bar - times.cycle * f64::from(further),
            cut: times.cycle - times.advance,
            feed: times.advance,
            hand: none,
            change: load,
            load,
            saw: none,
            set_up: rates.set_up,
            attention: rates.attention.ratio(),
        }
    }

    /// What so many parts take.
    pub fn work(&self, parts: u32) -> Work {
        let bars = bar::blanks_for(parts, self.bars.parts).unwrap_or(0);
        let last = bar::parts_in_last(parts, self.bars.parts);
        let each = self.bars.division.parts_per_advance.max(1);
        let whole = u64::from(self.bars.parts.div_ceil(each));
        let advances = match bars {
            0 => 0,
            bars => u64::from(bars - 1) * whole + u64::from(last.div_ceil(each)),
        };
        let further = advances.saturating_sub(u64::from(bars)) as f64;
        let bars_of = f64::from(bars);
        Work {
            parts,
            bars,
            running: self.first * bars_of + (self.cut + self.feed) * further,
            standing: self.change * bars_of,
            by_hand: (self.load + self.saw) * bars_of + self.hand * further,
        }
    }
}

/// What an order takes of lathe and person, beside setting up and edges.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Work {
    /// Parts made, those that are lost with them.
    pub parts: u32,
    /// Bars.
    pub bars: u32,
    /// How long the lathe works, as the plan reckons.
    pub running: Seconds,
    /// How long it stands for new bars.
    pub standing: Seconds,
    /// A person's time for bars and advances.
    pub by_hand: Seconds,
}
