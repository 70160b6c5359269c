//! The set-up for a job, and its order.

use super::super::AtLathe;
use super::blanks::{count, one_of, text};
use super::{hidden, record};
use maud::{Markup, html};

/// `first` where nothing is on the lathe: then the blanks stand open.
pub(super) fn set_up(at: &AtLathe<'_>, first: bool) -> Markup {
    let says = "It is set up for a job";
    html! {
        details class="tell" name="tell" id="tell-set-up" open[first] {
            summary { (says) }
            form method="post" action="/record" data-says=(says) {
                (hidden(at, "set-up", &[]))
                (one_of("set-up", "plan", "Job file", "none", &at.offered.jobs))
                (one_of("set-up", "program", "Program that runs", "not named: after a stop nothing is known", &at.offered.programs))
                (text("set-up", "job", "What the order is called", "left out: as the job file is"))
                (count("set-up", "quantity", "Parts wanted", "left out: no new order is opened"))
                p class="more" {
                    "From the job file's plan the log knows how many parts a bar gives, how long one takes, and what each edge lasts."
                }
                (record())
            }
        }
    }
}
