//! Does it fit?

use super::{Question, Shown, over, said, troubles};
use crate::pages::working::{Line, checks, lines};
use maud::{Markup, html};

const CHECKS: [&str; 10] = [
    "bar-behind-spindle",
    "grip-too-short",
    "chuck-wrong-size",
    "raw-diameter-off",
    "bar-leaves-skin",
    "bar-larger-than-needed",
    "bar-end-rough",
    "engagement-too-short",
    "feature-not-planned",
    "bar-gives-no-part",
];

pub(super) const QUESTION: Question = Question {
    id: "fit",
    asked: "Does it fit?",
    blanks: &[
        ("job", "bar.size", "bar size"),
        ("job", "bar.length", "blank length"),
        ("job", "bar.length_tolerance", "longer or shorter by"),
        ("job", "bar.rear_margin", "margin at the rear"),
        ("lathe", "spindle.jaw_face_to_rear", "jaw face to rear end"),
        ("lathe", "spindle.bore", "spindle bore"),
        ("job", "bar.material", "material"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let (job, bar) = (shown.job, &shown.answer.bar);
    let units = job.file.units;
    let spare = bar.longest_blank - bar.blank - bar.tolerance;
    let lies = if spare.is_negative() {
        format!(
            "it hangs {} out of the spindle's rear end or into its margin",
            spare.abs().shown(units)
        )
    } else {
        format!("{} are spare at the rear end", spare.shown(units))
    };
    html! {
        (said(over(shown.answer, &CHECKS), &format!(
            "a bar of {} in {}, {} long: {lies}. {} stick out of the jaws.",
            job.file.bar.size.shown(units),
            job.material.name,
            bar.blank.shown(units),
            (bar.division.stick_out() + bar.division.first_face).shown(units),
        )))
        (troubles(shown.answer, &CHECKS))
    }
}

fn working(shown: &Shown<'_>) -> Markup {
    let (job, bar) = (shown.job, &shown.answer.bar);
    let units = job.file.units;
    let division = &bar.division;
    let short = |length: model::Length| length.shortest(units);
    let rear = job.lathe.spindle.jaw_face_to_rear;
    html! {
        (lines(&[
            Line {
                name: "Stick-out",
                formula: "s = A + c",
                numbers: format!("{} + {} = {}", short(division.advance()), short(division.jaw_clearance), division.stick_out().shown(units)),
                source: "A advance, c jaw clearance; before the first part the first-face stock comes on top",
            },
            Line {
                name: "Longest blank",
                formula: "s + x₁ + Lₛ − r",
                numbers: format!("{} + {} + {} − {} = {}", short(division.stick_out()), short(division.first_face), short(rear), short(job.file.bar.rear_margin), bar.longest_blank.shown(units)),
                source: "x₁ first-face stock, Lₛ jaw face to rear end, r margin; longer, and the bar hangs out behind the spindle: always a stop",
            },
        ]))
        (checks(QUESTION.asked, &shown.answer.checks, &CHECKS, shown.job.file.units))
    }
}
