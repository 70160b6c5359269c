//! A shop as its pages show it, and what they say of it in the same words.

use super::band;
use super::frame::address;
use super::marks::{self, State};
use super::say::sentence;
use maud::{Markup, html};
use model::Diagnostic;
use model::record::Lapse;
use model::record::event::StopWhy;
use visits::course::Work;
use visits::setting::{Learned, NotKnown, Setting};
use visits::timetable::{Doing, Timetable};
use visits::words;

/// A shop with its timetable.
#[derive(Debug, Clone, Copy)]
pub struct Floor<'a> {
    /// What it is called.
    pub name: &'a str,
    /// What its clock shows when the timetable begins, as `2026-12-01T06:00`.
    pub from: &'a str,
    /// How many days the timetable reaches.
    pub days: u32,
    /// Seconds from then until now; none where nobody knows what its clock shows.
    pub now: Option<i64>,
    /// Whether the timetable goes on from what the log says.
    pub by_log: bool,
    /// Its lathes and people.
    pub setting: &'a Setting,
    /// Who goes where when.
    pub timetable: &'a Timetable,
    /// What nobody knows about how long lathes may be left.
    pub not_known: &'a [NotKnown],
    /// What the log taught, and counts here.
    pub learned: &'a [Learned],
    /// Each lathe in its place.
    pub lathes: &'a [AtLathe],
}

/// A lathe beside its timetable.
#[derive(Debug, Clone, Default)]
pub struct AtLathe {
    /// The job on it, as its address has it; none where the shop file names none of this folder.
    pub job: Option<String>,
    /// What the part is called.
    pub part: Option<String>,
    /// What the log says of it.
    pub logged: Logged,
}

/// What the log says that a lathe does.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub enum Logged {
    /// There is no log, or none that can be read.
    #[default]
    NoLog,
    /// The log does not say whether it runs.
    NotSaid {
        /// Whether the log has anything of this lathe.
        known: bool,
    },
    /// It runs.
    Runs {
        /// For so long.
        since: Lapse,
        /// Parts made of the bar, and left in it where that is known.
        bar: Option<(u32, Option<u32>)>,
        /// Parts of the order still to be made.
        order_left: Option<u32>,
        /// What someone must come for next, in words.
        next: Option<String>,
        /// In how many seconds, where that is known.
        at: Option<i64>,
    },
    /// It stands.
    Stopped {
        /// For so long.
        since: Lapse,
        /// Why.
        why: StopWhy,
        /// At which block.
        block: Option<String>,
    },
}

impl Logged {
    /// Whether the log has anything of the lathe.
    pub(super) const fn knows(&self) -> bool {
        !matches!(self, Logged::NoLog | Logged::NotSaid { known: false })
    }
}

/// Why there is no timetable.
#[derive(Debug, Clone, Copy)]
pub enum Why<'a> {
    /// It is being looked for.
    Looks,
    /// Files cannot be used as they stand.
    Files(&'a [Diagnostic]),
    /// Something else is missing: what, and what to do.
    Outside(&'a str, &'a str),
}

impl Why<'_> {
    /// As a page says it; `page` is where another start is asked for.
    pub(super) fn said(self, page: &str) -> Markup {
        html! {
            @match self {
                Why::Looks => p class="looks" {
                    "The timetable is being looked for, some seconds. It stands here as soon as it is there; without scripts, load the page anew."
                },
                Why::Files(diagnostics) => (band::trouble(diagnostics)),
                Why::Outside(message, help) => section class="trouble" aria-label="What stands in the way" {
                    p { (sentence(message)) "." }
                    @if !help.is_empty() { p { (sentence(help)) "." } }
                    form method="get" action=(page) class="begin" {
                        label for="begin-from" { "The timetable begins" }
                        input type="datetime-local" id="begin-from" name="from" required;
                        button type="submit" { "Look for it" }
                    }
                },
            }
        }
    }
}

impl Floor<'_> {
    /// A time of the wall clock.
    pub(super) fn time(&self, seconds: i64) -> String {
        words::time(&self.setting.clock, seconds)
    }

    /// The moment that the page is about.
    pub(super) fn at(&self) -> i64 {
        self.now.unwrap_or(0).clamp(0, self.timetable.horizon)
    }

    pub(super) fn lathe(&self, lathe: usize) -> &str {
        &self.setting.lathes[lathe].name
    }

    pub(super) fn person(&self, person: usize) -> &str {
        &self.setting.people[person].person.name
    }

    /// The page to which a lathe leads: where one stands at it, if the log knows it; else its job; else its lane
    /// among the visits.
    pub(super) fn way(&self, lathe: usize) -> String {
        let beside = self.lathes.get(lathe);
        match beside.and_then(|it| it.job.as_deref()) {
            _ if beside.is_some_and(|it| it.logged.knows()) => {
                format!("/lathe/{}", address(self.lathe(lathe)).replace('/', "%2F"))
            }
            Some(job) => format!("/job/{}", address(job)),
            None => format!("/visits#lathe-{}", lathe + 1),
        }
    }

    /// As many letters of a person's name as tell that person from all others.
    pub(super) fn letters(&self, person: usize) -> String {
        let whole = self.person(person).chars().count();
        let letters =
            |count: usize, it: usize| -> String { self.person(it).chars().take(count).collect() };
        let others = || (0..self.setting.people.len()).filter(|it| *it != person);
        let alone =
            |count: &usize| others().all(|it| letters(*count, it) != letters(*count, person));
        letters((1..whole).find(alone).unwrap_or(whole), person)
    }

    /// What a lathe does at the moment that the page is about.
    pub(super) fn doing(&self, lathe: usize) -> Option<(i64, i64, Doing)> {
        let at = self.at();
        let lane = &self.timetable.lanes[lathe];
        lane.iter().find(|(from, to, _)| *from <= at && at < *to).or(lane.last()).copied()
    }

    /// What a lathe does now and until when: a state, and a sentence by the timetable.
    pub(super) fn by_timetable(&self, lathe: usize) -> (Standing, String) {
        let Some((_, to, doing)) = self.doing(lathe) else {
            return (Standing::Done, "has nothing to do.".to_owned());
        };
        let next = self
            .timetable
            .visits
            .iter()
            .find(|visit| visit.lathe == lathe && visit.start >= self.at());
        let then = next.map_or_else(
            || format!("Nobody comes before {}.", self.time(self.timetable.horizon)),
            |visit| {
                let who = self.person(visit.person);
                let does = does(&visit.works);
                format!("At {} {who} {does}.", self.time(visit.start))
            },
        );
        match doing {
            Doing::Runs => (Standing::Runs, format!("runs until {}. {then}", self.time(to))),
            Doing::Stands => (Standing::Stands, format!("stands. {then}")),
            Doing::Done => (Standing::Done, "has its order complete.".to_owned()),
            Doing::Attended(index) => {
                let visit = &self.timetable.visits[index];
                let until = self.time(visit.end);
                let text = format!(
                    "has {} at it until {until}: {}.",
                    self.person(visit.person),
                    words::works(&visit.works)
                );
                (Standing::Attended, text)
            }
        }
    }
}

/// What a lathe does, as one word with a mark.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It runs by itself.
    Runs,
    /// Someone is at it.
    Attended,
    /// It stands.
    Stands,
    /// Its order is complete.
    Done,
}

impl Standing {
    /// The word.
    pub(super) const fn word(self) -> &'static str {
        match self {
            Standing::Runs => "runs",
            Standing::Attended => "attended",
            Standing::Stands => "stands",
            Standing::Done => "done",
        }
    }
}

/// What someone does at a lathe, behind that person's name: `loads a bar, changes the edge of station 3`.
fn does(works: &[Work]) -> String {
    let text = words::works(works);
    let verbs = [
        ("load ", "loads "),
        ("change ", "changes "),
        ("gauge ", "gauges "),
        ("empty ", "empties "),
        ("clear ", "clears "),
        ("look ", "looks "),
        ("start ", "starts "),
    ];
    let third = |part: &str| {
        let verb = verbs.iter().find_map(|(verb, third)| Some((part.strip_prefix(verb)?, third)));
        // In `gauge and move` both are to be said of that person.
        verb.map_or(part.to_owned(), |(rest, third)| {
            format!("{third}{}", rest.replace("and move ", "and moves "))
        })
    };
    text.split(", ").map(third).collect::<Vec<_>>().join(", ")
}

/// How sure the figures of a timetable are, as a mark with its sentence.
pub(super) fn verdict(floor: &Floor<'_>) -> Markup {
    let timetable = floor.timetable;
    let tick = timetable.tick.seconds();
    html! {
        @if timetable.is_proven() {
            (marks::mark(State::Clear)) " Proven: no timetable in steps of " (tick) " s loses less."
        } @else {
            (marks::mark(State::Unproven)) " Whether another timetable loses less is not proven. None loses less than "
            (words::span(timetable.least_lost)) ", so that at most "
            (words::span(timetable.lost - timetable.least_lost)) " can be gained."
        }
    }
}

/// What is not known of how long lathes may be left; what they have in common is said once.
pub(super) fn not_known(floor: &Floor<'_>) -> Markup {
    let all = floor.not_known;
    let mut lines: Vec<(&str, &str, Vec<&str>)> = Vec::new();
    for one in all {
        match lines.iter_mut().find(|line| (line.0, line.1) == (&one.what, &one.why)) {
            Some((_, _, lathes)) => lathes.push(&one.lathe),
            None => lines.push((&one.what, &one.why, vec![&one.lathe])),
        }
    }
    html! {
        @if lines.is_empty() { p { "Every limit of every plan is known." } }
        @else {
            p class="answer" {
                (marks::mark(State::Unproven)) " How long lathes may be left is not proven in "
                (super::say::counted(lines.len() as u32, "thing")) "."
            }
            ul class="open" {
                @for (what, why, lathes) in &lines {
                    li { strong { (lathes.join(", ")) } ": " (super::say::words(what)) ": " (super::say::words(why)) "." }
                }
            }
        }
        @if !floor.learned.is_empty() {
            p { "Learned from the log, and counted with:" }
            ul { @for one in floor.learned { li { strong { (one.lathe) } ": " (one.words) } } }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_person_does_is_said_of_that_person() {
        let works = [Work::Load, Work::Edge(3), Work::Size(4), Work::Catcher];
        assert_eq!(
            does(&works),
            "loads a bar, changes the edge of station 3, gauges and moves the offset of station 4, empties the catcher"
        );
        assert_eq!(does(&[Work::Look, Work::Chips]), "looks at it, clears the chips");
        assert_eq!(does(&[]), "starts it again");
    }
}
