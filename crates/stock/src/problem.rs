//! The bare problem: pieces that are wanted, bars that they come out of, all in whole numbers.

/// What is wanted: one kind of plain blank, or the advances of an order that blanks are cut for.
///
/// An amount of `n` comes as `⌈n / most⌉` blanks, and takes `⌈n / most⌉·overhead + n·each` of a bar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Row {
    /// Length in nanometers that every blank takes beside what it gives, its kerf too; not below 0.
    pub overhead: i64,
    /// Length in nanometers that one of the amount takes; not below 0, and above 0 with the overhead.
    pub each: i64,
    /// Most that one blank gives, 1 or more.
    pub most: u32,
    /// What a blank costs, in the smallest coin; not below 0.
    pub load: i64,
    /// The amount that is wanted.
    pub wanted: u32,
}

impl Row {
    /// Blanks for an amount.
    pub const fn blanks(&self, amount: u32) -> u32 {
        amount.div_ceil(self.most)
    }

    /// Length in nanometers that an amount takes of one bar.
    pub const fn length(&self, amount: u32) -> i64 {
        self.blanks(amount) as i64 * self.overhead + amount as i64 * self.each
    }

    /// The most of it that a length gives.
    pub fn fits(&self, room: i64) -> u32 {
        let full = self.overhead + i64::from(self.most) * self.each;
        if room < 0 || full <= 0 {
            return 0;
        }
        let blanks = room / full;
        let rest = room - blanks * full - self.overhead;
        let more = if rest < 0 {
            0
        } else if self.each > 0 {
            (rest / self.each).min(i64::from(self.most) - 1)
        } else {
            i64::from(self.most) - 1
        };
        u32::try_from(blanks * i64::from(self.most) + more).unwrap_or(u32::MAX)
    }
}

/// A kind of bar that pieces come out of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bar {
    /// Length in nanometers that it has for blanks with their kerfs.
    pub room: i64,
    /// Price of one, in the smallest coin; not below 0.
    pub price: i64,
    /// How many there are; none for as many as one wants.
    pub there: Option<u32>,
}

/// What is wanted, and what it may come out of.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Problem {
    /// What is wanted.
    pub rows: Vec<Row>,
    /// The bars.
    pub bars: Vec<Bar>,
}

/// What comes out of one bar, so many times.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pattern {
    /// Which of the problem's bars.
    pub bar: usize,
    /// The amount of each row.
    pub amounts: Vec<u32>,
}

impl Problem {
    /// What a pattern costs: its bar and the loading of its blanks.
    pub fn cost(&self, pattern: &Pattern) -> i64 {
        let loads = self.rows.iter().zip(&pattern.amounts);
        let loads: i64 = loads.map(|(row, amount)| i64::from(row.blanks(*amount)) * row.load).sum();
        self.bars[pattern.bar].price + loads
    }

    /// Length in nanometers that a pattern takes.
    pub fn length(&self, pattern: &Pattern) -> i64 {
        self.rows.iter().zip(&pattern.amounts).map(|(row, amount)| row.length(*amount)).sum()
    }

    /// Whether a list of patterns is a cut list: every pattern fits its bar, no bar is used that is not
    /// there, and every row has what it wants. Whole numbers only.
    pub fn is_met(&self, patterns: &[(Pattern, u32)]) -> bool {
        let fits = patterns.iter().all(|(it, _)| self.length(it) <= self.bars[it.bar].room);
        let total = |of: &dyn Fn(&Pattern) -> u32| -> u64 {
            patterns.iter().map(|(it, times)| u64::from(of(it)) * u64::from(*times)).sum()
        };
        let there = self.bars.iter().enumerate().all(|(index, bar)| {
            let used = total(&|it| u32::from(it.bar == index));
            bar.there.is_none_or(|there| used <= u64::from(there))
        });
        let rows = self.rows.iter().enumerate();
        let met = rows
            .into_iter()
            .all(|(index, row)| total(&|it| it.amounts[index]) >= u64::from(row.wanted));
        fits && there && met
    }
}
