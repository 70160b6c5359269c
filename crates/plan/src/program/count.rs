//! The three families of counting, as statements.

use crate::bar::BarPlan;
use model::files::control::{Does, RepeatForm};
use model::files::job::{CountBy, Job};

/// How a job's program counts.
pub(super) struct Family<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
}

impl<'j> Family<'j> {
    pub(super) fn of(job: &'j Job, bar: &'j BarPlan) -> Family<'j> {
        Family { job, bar }
    }

    /// The number that holds the parts of this bar.
    fn bar_count(&self) -> u32 {
        let counter = self.job.control.counter.as_ref().map(|counter| counter.made);
        match self.job.file.count.by {
            CountBy::Counter => counter.unwrap_or(self.job.file.count.variable),
            _ => self.job.file.count.variable,
        }
    }

    /// The variable that holds the parts of the order.
    fn order_count(&self) -> u32 {
        self.job.file.count.variable + 1
    }

    pub(super) fn bar_made(&self, target: u32) -> String {
        format!("IF[#{}GE{}]GOTO{target}", self.bar_count(), self.bar.parts_per_bar)
    }

    pub(super) fn order_made(&self, target: u32) -> String {
        format!("IF[#{}GE{}]GOTO{target}", self.order_count(), self.job.file.order.quantity)
    }

    pub(super) fn not_first(&self, target: u32) -> String {
        format!("IF[#{}GT0]GOTO{target}", self.bar_count())
    }

    pub(super) fn zero(&self) -> String {
        format!("#{}=0", self.bar_count())
    }

    /// Words by which the control's own counter steps, one a part.
    pub(super) fn counts_itself(&self) -> Vec<String> {
        if self.job.file.count.by != CountBy::Counter {
            return Vec::new();
        }
        let word = self.job.control.that(Does::PartCount).map(|function| function.word.to_string());
        let parts = self.bar.division.parts_per_advance as usize;
        std::iter::repeat_n(word.unwrap_or_default(), parts).collect()
    }

    /// Statements that step the program's own counts by the parts of one advance.
    pub(super) fn steps(&self) -> Vec<String> {
        let parts = self.bar.division.parts_per_advance;
        let step = |number: u32| format!("#{number}=#{number}+{parts}");
        match self.job.file.count.by {
            CountBy::Counter => vec![step(self.order_count())],
            _ => vec![step(self.bar_count()), step(self.order_count())],
        }
    }

    /// How often the part program runs for one bar, or for the order where that is less.
    pub(super) fn passes(&self) -> u32 {
        let parts = self.bar.parts_per_bar.min(self.job.file.order.quantity);
        parts.div_ceil(self.bar.division.parts_per_advance.max(1))
    }

    pub(super) fn call(&self, program: u32, repeats: u32) -> String {
        match (self.job.control.repeat, repeats) {
            (_, 1) => format!("M98 P{program}"),
            (RepeatForm::Letter, _) => format!("M98 P{program} L{repeats}"),
            (RepeatForm::Packed, _) => format!("M98 P{repeats}{program:04}"),
        }
    }
}
