//! What the page of sizes answers.

use super::Known;
use crate::commands::{SOUND, Series};
use crate::term::log::{fault_lines, parts_at, reviewed_lines, why_nothing};
use calc::sizes::offset::Advice;
use calc::sizes::review::Review;
use model::Units;
use view::pages::marks::State as Mark;
use view::pages::sizes::Answer;

impl Known {
    /// What matters most, in a few words.
    pub(super) fn seen(&self, units: Units) -> (Mark, String) {
        let series = &self.series;
        let last = series.readings.last();
        if let Some((last, band)) = last.zip(series.band)
            && !band.holds(last.size)
        {
            let words =
                format!("part {} is outside of its limits: {}", last.part, last.size.shown(units));
            return (Mark::Stop, words);
        }
        let review = match &self.review {
            Err(why) => return (Mark::Unproven, why.clone()),
            Ok(None) => return (Mark::Unproven, nothing(series)),
            Ok(Some(review)) => review,
        };
        if review.limit.is_some_and(|limit| limit.parts == 0) {
            return (Mark::Caution, "gauge the next part".to_owned());
        }
        if let Some(Advice::Move { by, .. }) = review.advice {
            return (Mark::Caution, format!("move the size by {}", by.shown(units)));
        }
        if let Some(seen) = review.seen.last() {
            let at = parts_at(review, seen.at);
            return (Mark::Caution, format!("at {at}: {}", seen.rule.sees()));
        }
        let gauge = review.limit.map_or(String::new(), |limit| {
            format!("; gauge by part {}", series.last().saturating_add(limit.parts))
        });
        match (review.drifts, series.readings.len() < SOUND) {
            (true, _) => (Mark::Note, format!("it surely drifts{gauge}")),
            (false, true) => {
                (Mark::Note, format!("no run rule sees more than chance in few readings{gauge}"))
            }
            (false, false) => (Mark::Clear, format!("no run rule sees more than chance{gauge}")),
        }
    }

    /// Every question with its answer.
    pub(super) fn answers(&self, units: Units) -> Vec<Answer> {
        let mut answers = self.of_sizes(units);
        answers.extend(self.good_and_bad());
        answers
    }

    /// What gauges say that show no size; none where there was none.
    fn good_and_bad(&self) -> Option<Answer> {
        let faults = self.series.faults().ok().flatten()?;
        let last = self.series.judged.last().map_or(0, |it| it.part);
        let mut lines = fault_lines(&faults, last).into_iter();
        Some(Answer {
            id: "good-and-bad",
            asked: "What do good and bad parts say?",
            state: if faults.seen.is_empty() { Mark::Note } else { Mark::Caution },
            answer: lines.next().map(|(_, words)| words)?,
            more: lines.map(|(what, words)| format!("{what}: {words}")).collect(),
        })
    }

    fn of_sizes(&self, units: Units) -> Vec<Answer> {
        let Ok(review) = &self.review else { return Vec::new() };
        let lines = reviewed_lines(&self.series, review.as_ref(), None, units);
        let of = |what: &str| -> Vec<String> {
            lines
                .iter()
                .filter(|(about, _)| *about == what)
                .map(|(_, words)| words.clone())
                .collect()
        };
        let Some(review) = review else {
            return vec![Answer {
                id: "chance",
                asked: "Is it only chance?",
                state: Mark::Unproven,
                answer: nothing(&self.series),
                more: ["gauged again", "left out", "caution"]
                    .iter()
                    .flat_map(|what| of(what))
                    .collect(),
            }];
        };
        let answer = |id, asked, state, what: &str| Answer {
            id,
            asked,
            state,
            answer: of(what).join("; "),
            more: Vec::new(),
        };
        vec![
            self.chance(review, &of),
            answer(
                "drift",
                "Does it drift?",
                match (review.drifts, review.trend) {
                    (true, _) => Mark::Caution,
                    (false, Some(_)) => Mark::Note,
                    (false, None) => Mark::Unproven,
                },
                "drift",
            ),
            answer(
                "offset",
                "Is the offset to be moved?",
                match review.advice {
                    Some(Advice::Move { .. }) => Mark::Caution,
                    Some(Advice::Leave { .. }) => Mark::Clear,
                    Some(Advice::TooFew { .. }) | None => Mark::Unproven,
                },
                "offset",
            ),
            answer(
                "gauge",
                "When must it be gauged again?",
                match review.limit {
                    Some(limit) if limit.parts == 0 => Mark::Caution,
                    Some(_) => Mark::Note,
                    None => Mark::Unproven,
                },
                "gauge next",
            ),
            answer(
                "fit",
                "How well does it fit its limits?",
                match review.fit {
                    Some(fit) if fit.cpk.low >= 1.0 => Mark::Clear,
                    Some(_) => Mark::Caution,
                    None => Mark::Unproven,
                },
                "fit",
            ),
        ]
    }

    /// Whether it is only chance.
    fn chance(&self, review: &Review, of: &dyn Fn(&str) -> Vec<String>) -> Answer {
        let grouped = review.chart.group > 1;
        let scatters = grouped && review.chart.ranges_beyond().next().is_some();
        let quiet = review.seen.is_empty() && !review.drifts && !scatters;
        let rules = of("run rules").join("; ");
        let chance = match (review.seen.is_empty(), review.drifts) {
            (true, false) if scatters => {
                "no: groups scatter by themselves as chance seldom does".to_owned()
            }
            (true, false) => "as far as run rules see".to_owned(),
            (true, true) => "no: it surely drifts; beside that run rules see nothing".to_owned(),
            (false, drifts) => {
                format!("no: {rules}{}", if drifts { ", about the line of its drift" } else { "" })
            }
        };
        let mut more: Vec<String> =
            of("chance").into_iter().map(|words| format!("chance {words}")).collect();
        more.extend(of("ranges").into_iter().map(|words| format!("ranges {words}")));
        more.extend(of("set apart").into_iter().map(|words| format!("set apart: {words}")));
        more.extend(["gauged again", "left out", "caution"].iter().flat_map(|what| of(what)));
        let points = if grouped { review.chart.points.len() } else { self.series.readings.len() };
        let few = points < SOUND;
        Answer {
            id: "chance",
            asked: "Is it only chance?",
            state: match (quiet, few) {
                (false, _) => Mark::Caution,
                (true, true) => Mark::Note,
                (true, false) => Mark::Clear,
            },
            answer: chance,
            more,
        }
    }
}

/// Why nothing is told, in the words of a page.
fn nothing(series: &Series) -> String {
    if series.unclear.is_empty() {
        return why_nothing(series);
    }
    let all: Vec<String> = series.unclear.iter().map(u32::to_string).collect();
    format!(
        "edges or offsets of stations {} were changed: say which of them turns it",
        all.join(", ")
    )
}
