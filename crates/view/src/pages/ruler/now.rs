//! Where the bars of a job are now, as the log has it.

use super::{Scale, percent};
use crate::pages::marks::{self, State};
use crate::pages::say::parts;
use maud::{Markup, html};
use model::record::event::Loaded;
use model::record::{LatheNow, Name};
use model::{Length, Units};
use plan::bar::BarPlan;

/// What the log says of the bars of a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Bars {
    /// There is no log that could be asked.
    NoLog,
    /// The lathes that are set up for the job; none where the log has none.
    Log(Vec<OnLathe>),
}

/// A lathe that is set up for a job.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnLathe {
    /// What it is called.
    pub name: Name,
    /// What stands on it.
    pub now: LatheNow,
    /// When the last thing about its bar was recorded, as a person reads it; empty where nothing was.
    pub recorded: String,
}

impl OnLathe {
    /// Distance of the mark from the free end of a new bar, and what it says; none where that is not known.
    pub(super) fn mark(&self, plan: &BarPlan) -> Option<(Length, String)> {
        let made = self.now.bar.as_ref()?.made;
        let off = plan.division.pitch() * i64::from(made.min(plan.parts_per_bar));
        Some((plan.division.first_face + off, format!("{}: {made} made", self.name)))
    }

    /// What is left of its bar behind the last part; none where the log does not tell.
    fn stub(&self, plan: &BarPlan) -> Option<Length> {
        let bar = self.now.bar.as_ref()?;
        let gives = bar.loaded.gives.or(self.now.set_up.parts_per_bar)?;
        let parts = plan.division.first_face + plan.division.pitch() * i64::from(gives);
        let stub = bar.loaded.length? - parts;
        (!stub.is_negative()).then_some(stub)
    }

    fn said(&self, plan: &BarPlan, units: Units) -> Markup {
        let Some(bar) = &self.now.bar else {
            return html! {
                (marks::shape(State::Unproven)) " " (self.name) " is set up for this job. Where its bar is is not known: none was recorded."
            };
        };
        let left = self.now.left_in_bar();
        let other = bar.loaded.length.filter(|length| *length != plan.blank);
        html! {
            (self.name) ": " (parts(bar.made)) " made of its bar, "
            @match left { Some(left) => { (parts(left)) " left in it, " }, None => "how many are left in it is not known, " }
            @match self.stub(plan) {
                Some(stub) => { "then a stub of " (stub.shown(units)) },
                None => "how long its stub will be is not known",
            }
            "; as recorded at " (self.recorded) "."
            @if let Some(length) = other { " It is " (length.shown(units)) " long, not as drawn." }
            @if bar.loaded == Loaded::default() {
                " " (marks::shape(State::Unproven)) " Nothing was recorded of the bar itself: it counts as one that went in new."
            }
            @if bar.made > bar.loaded.gives.or(self.now.set_up.parts_per_bar).unwrap_or(u32::MAX) {
                " " strong { "That is more than a bar gives: look at the count and correct it." }
            }
        }
    }
}

/// The same in words, below the ruler.
pub(super) fn said(bars: &Bars, plan: &BarPlan, units: Units) -> Markup {
    let unknown = |why: &str| {
        html! { p { (marks::shape(State::Unproven)) " Where a bar is now is not known: " (why) "." } }
    };
    html! {
        div class="bars-now" {
            @match bars {
                Bars::NoLog => (unknown("there is no log")),
                Bars::Log(lathes) if lathes.is_empty() => (unknown("by the log no lathe is set up for this job")),
                Bars::Log(lathes) => @for lathe in lathes { p { (lathe.said(plan, units)) } },
            }
        }
    }
}

/// The thick line with its foot, and whose bar it is; on the side that has more room.
pub(super) fn mark(scale: &Scale, at: Length, words: &str, y: f64, foot: f64) -> Markup {
    let x = scale.x(at);
    let (anchor, shift) = if x < 50.0 { ("start", "6") } else { ("end", "-6") };
    html! {
        line class="now" x1=(percent(x)) x2=(percent(x)) y1=(y - 11.0) y2=(foot + 8.0) {}
        svg class="now-foot" x=(percent(x)) y=(foot + 8.0) { line class="now" x1="-7" x2="7" y1="0" y2="0" {} }
        text class="now" x=(percent(x)) dx=(shift) y=(y) text-anchor=(anchor) { (words) }
    }
}
