//! The three families of counting, as statements.

use crate::bar::BarPlan;
use model::files::control::{Code, Does};
use model::files::job::{CountBy, Job};
use nc::write::Writer;

/// How a job's program counts.
pub(crate) struct Family<'j> {
    job: &'j Job,
    bar: &'j BarPlan,
}

impl<'j> Family<'j> {
    pub(crate) fn of(job: &'j Job, bar: &'j BarPlan) -> Family<'j> {
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
    pub(super) fn order_count(&self) -> u32 {
        self.job.file.count.variable + 1
    }

    pub(super) fn bar_made(&self) -> String {
        format!("IF[#{}GE{}]", self.bar_count(), self.bar.parts_per_bar)
    }

    pub(super) fn order_made(&self) -> String {
        format!("IF[#{}GE{}]", self.order_count(), self.job.file.order.quantity)
    }

    pub(super) fn not_first(&self) -> String {
        format!("IF[#{}GT0]", self.bar_count())
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

    /// A word at which the control stops reading ahead and nothing moves, to stand before the
    /// steps; none where one of the words that stand there anyway does so, or where the control
    /// has no such word.
    pub(super) fn stopper(&self) -> Option<String> {
        let control = &self.job.control;
        let stops = |does: &Does| {
            let function = control.that(*does);
            function.is_some_and(|one| control.read_ahead.stoppers.contains(&one.word))
        };
        let counts = self.job.file.count.by == CountBy::Counter && stops(&Does::PartCount);
        if counts || [Does::CoolantOff, Does::SpindleStop].iter().any(stops) {
            return None;
        }
        let harmless = [Does::Nothing, Does::AirOff].into_iter().find(stops)?;
        control.that(harmless).map(|function| function.word.to_string())
    }

    /// The word that ends the program; none where the control's counter counts every such word, so
    /// that a bar's end or a new bar would be taken for a part.
    pub(crate) fn end(&self) -> Option<Code> {
        let counted = match (&self.job.control.counter, self.job.file.count.by) {
            (Some(counter), CountBy::Counter) => counter.counted_by.as_slice(),
            _ => &[],
        };
        [30, 2].map(|number| Code::new('M', number)).into_iter().find(|end| !counted.contains(end))
    }

    /// Whether something steps what is to count the parts of the bar.
    pub(crate) fn is_stepped(&self) -> bool {
        let control = &self.job.control;
        let counter = control.counter.as_ref();
        self.job.file.count.by != CountBy::Counter
            || control.that(Does::PartCount).is_some_and(|function| {
                counter.is_some_and(|counter| counter.counted_by.contains(&function.word))
            })
    }

    /// How often the part program runs for one bar, or for the order where that is less.
    pub(crate) fn passes(&self) -> u32 {
        let parts = self.bar.parts_per_bar.min(self.job.file.order.quantity);
        parts.div_ceil(self.bar.division.parts_per_advance.max(1))
    }

    /// The call that repeats part and advance; none where this control cannot say it.
    pub(crate) fn repeats(&self, writer: &Writer<'_>) -> Option<String> {
        writer.call(self.job.file.program + 2, self.passes().saturating_sub(1))
    }
}
