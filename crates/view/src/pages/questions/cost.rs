//! What does it cost?

use super::{Question, Shown, said};
use crate::pages::marks::State;
use crate::pages::say::{clock, counted, figure};
use crate::pages::working::{Line, lines};
use maud::{Markup, html};

pub(super) const QUESTION: Question = Question {
    id: "cost",
    asked: "What does it cost?",
    blanks: &[
        ("job", "cutting.hour_rate", "an hour of lathe and person"),
        ("tools", "station[turning].edge_price", "turning: an edge"),
        ("tools", "station[parting].edge_price", "parting: an edge"),
        ("tools", "station[turning].edge_change", "turning: a change"),
    ],
    answer,
    working,
};

fn answer(shown: &Shown<'_>) -> Markup {
    let bar = &shown.answer.bar;
    let edges: Option<u32> = shown.answer.edges.iter().map(|edge| edge.edges).sum();
    html! {
        (said(State::Unproven, &format!(
            "in money it is not reckoned on this page. In goods the order takes {} of running, {:.1} kg of bar{}.",
            clock(shown.answer.times.order.s()),
            bar.mass.kg(),
            edges.map_or(String::new(), |edges| format!(" and {}", counted(edges, "edge"))),
        )))
    }
}

fn working(shown: &Shown<'_>) -> Markup {
    let (job, answer) = (shown.job, shown.answer);
    let quantity = f64::from(job.file.order.quantity.max(1));
    let hours = answer.times.order.s() / 3600.0;
    let mut known = vec![Line {
        name: "Running",
        formula: "all bars of the order",
        numbers: format!(
            "{} = {} s a part",
            clock(answer.times.order.s()),
            figure(answer.times.order.s() / quantity)
        ),
        source: "without loading, set-up and gauging",
    }];
    if let Some(rate) = job.file.cutting.hour_rate {
        known.push(Line {
            name: "Of that, lathe and person",
            formula: "hours · rate",
            numbers: format!("{hours:.2} · {} = {:.2}", figure(rate), hours * rate),
            source: "in the money of the files; not the price of the order",
        });
    }
    lines(&known)
}
