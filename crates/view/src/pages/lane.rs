//! A lathe along the clock: the bar in it being used up. Its signs stand in `docs/design-language.md`.
//!
//! Places along the clock are shares of the width, so that lanes are as wide as the page; heights of a lane are
//! hundredths of it, how high it is stands in the style.

use super::attended::{Floor, Logged};
use crate::svg::figure;
use maud::{Markup, html};
use visits::timetable::Doing;
use visits::words;

/// The foot on which a bar stands, and how high a new one is, in hundredths of a lane.
const FOOT: f64 = 82.0;
const NEW: f64 = 54.0;

/// The room of a flag's letters on a narrow page, in hundredths of the width.
const LETTERS: f64 = 3.0;

/// The stretch of time that lanes show, in seconds from the start of the timetable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Window {
    /// Its start.
    pub from: i64,
    /// Its end.
    pub to: i64,
}

impl Window {
    fn share(self, seconds: i64) -> f64 {
        let length = (self.to - self.from).max(1) as f64;
        100.0 * (seconds - self.from) as f64 / length
    }

    fn percent(self, seconds: i64) -> String {
        format!("{:.2}%", self.share(seconds).clamp(0.0, 100.0))
    }

    fn clip(self, from: i64, to: i64) -> Option<(i64, i64)> {
        let (from, to) = (from.max(self.from), to.min(self.to));
        (from < to).then_some((from, to))
    }
}

/// One stretch of a lane, in words and figures.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Stretch {
    pub(super) from: i64,
    pub(super) to: i64,
    pub(super) doing: Doing,
    /// Parts that the bar still gives, at its start and at its end, as a share of a whole bar.
    pub(super) left: (f64, f64),
}

/// The stretches of a lathe with the bar being used up.
pub(super) fn stretches(floor: &Floor<'_>, lathe: usize) -> Vec<Stretch> {
    let course = &floor.setting.lathes[lathe].course;
    let whole = f64::from(course.parts_per_bar.max(1));
    // What is in the bar when the lathe stands first.
    let begun = course.begun.as_ref();
    let mut left = begun.map_or(0.0, |begun| (1.0 - f64::from(begun.in_bar) / whole).max(0.0));
    let mut parts = 0.0;
    let mut stretches = Vec::new();
    for &(from, to, doing) in &floor.timetable.lanes[lathe] {
        let before = left;
        match doing {
            Doing::Attended(index) => {
                let visit = &floor.timetable.visits[index];
                if visit.works.contains(&visits::course::Work::Load) {
                    left = 1.0;
                }
                parts = f64::from(visit.parts) / whole;
            }
            Doing::Runs if stretches.is_empty() => {
                // What is in a bar that was loaded before is reckoned back from its end.
                let each = course.cycle.s().max(course.first.s() / whole);
                let start = (left + (to - from) as f64 / each.max(1.0) / whole).min(1.0);
                stretches.push(Stretch { from, to, doing, left: (start, left) });
                continue;
            }
            Doing::Runs => left = (left - parts).max(0.0),
            Doing::Stands | Doing::Done => {}
        }
        let start = if matches!(doing, Doing::Runs) { before } else { left };
        // Where the horizon cuts a run, so much of the bar is not yet used up.
        stretches.push(Stretch {
            from,
            to,
            doing,
            left: (start, cut_off(floor, (from, to), (start, left), &stretches)),
        });
    }
    stretches
}

fn cut_off(
    floor: &Floor<'_>,
    (from, to): (i64, i64),
    (start, end): (f64, f64),
    before: &[Stretch],
) -> f64 {
    let Some(Doing::Attended(index)) = before.last().map(|it| it.doing) else { return end };
    let whole = floor.timetable.visits[index].runs_until - from;
    if start <= end || whole <= to - from {
        end
    } else {
        start + (end - start) * (to - from) as f64 / whole as f64
    }
}

/// What a stretch says.
pub(super) fn said(floor: &Floor<'_>, lathe: usize, it: &Stretch) -> String {
    let name = floor.lathe(lathe);
    let (from, to) = (floor.time(it.from), floor.time(it.to));
    match it.doing {
        Doing::Runs => {
            format!("{name} runs by itself from {from} to {to}, {}", words::span(it.to - it.from))
        }
        Doing::Stands => {
            format!("{name} stands from {from} to {to}, {}", words::span(it.to - it.from))
        }
        Doing::Done => format!("{name}: its order is complete from {from} on"),
        Doing::Attended(index) => {
            let visit = &floor.timetable.visits[index];
            let who = floor.person(visit.person);
            format!("{who} is at {name} from {from} to {to}: {}", words::works(&visit.works))
        }
    }
}

/// Hours along the top, with the day where it changes.
pub(super) fn clock(floor: &Floor<'_>, window: Window) -> Markup {
    let ticks = hours(floor, window);
    html! {
        svg class="clock" width="100%" aria-hidden="true" {
            defs { g id="behind" { (behind(floor, window)) } }
            @for (at, words) in &ticks {
                line class="hour" x1=(window.percent(*at)) x2=(window.percent(*at)) y1="70%" y2="100%" {}
                text x=(window.percent(*at)) y="58%" text-anchor=(anchor(window.share(*at))) { (words) }
            }
        }
    }
}

fn anchor(share: f64) -> &'static str {
    match share {
        ..2.0 => "start",
        98.0.. => "end",
        _ => "middle",
    }
}

/// Full hours of the wall clock, at most thirteen, each with its words.
fn hours(floor: &Floor<'_>, window: Window) -> Vec<(i64, String)> {
    let length = (window.to - window.from) / 3600;
    let every = [1, 2, 3, 6, 12, 24].into_iter().find(|every| length / every <= 12).unwrap_or(24);
    let clock = &floor.setting.clock;
    (window.from..=window.to)
        .step_by(60)
        .filter_map(|second| {
            let at = clock.at(second);
            let full = at.minute() == 0 && i64::from(at.hour()) % every == 0;
            let midnight = || format!("{} 0", words::day(clock, second));
            full.then(|| (second, if at.hour() == 0 { midnight() } else { at.hour().to_string() }))
        })
        .collect()
}

/// Hours in which nobody is in the shop, and full hours, behind everything.
fn behind(floor: &Floor<'_>, window: Window) -> Markup {
    let mut there: Vec<(i64, i64)> = floor.timetable.staffed.concat();
    there.sort_unstable();
    let mut nobody = Vec::new();
    let mut at = window.from;
    for (from, to) in there {
        nobody.extend(window.clip(at, from));
        at = at.max(to);
    }
    nobody.extend(window.clip(at, window.to));
    let nobody = nobody.into_iter().map(|(from, to)| boxed(window, (from, to), (0.0, 100.0)));
    let hours = hours(floor, window);
    let hours = hours.iter().map(|(at, _)| format!("M{}V100", upright(window, *at, 0.0)));
    stretched(
        "behind",
        &html! {
            path class="nobody" d=(nobody.collect::<String>()) {}
            path class="hour" d=(hours.collect::<String>()) {}
        },
    )
}

/// Thousandths of the width, and hundredths of the height: one shape says many places.
fn stretched(class: &str, inside: &Markup) -> Markup {
    html! {
        svg class=(class) width="100%" height="100%" viewBox="0 0 1000 100" preserveAspectRatio="none" { (inside) }
    }
}

/// A place along the clock in thousandths of the width.
fn along(window: Window, seconds: i64) -> String {
    figure((100.0 * window.share(seconds)).round() / 10.0)
}

/// Where an upright line begins, so far from the top.
fn upright(window: Window, seconds: i64, top: f64) -> String {
    format!("{} {}", along(window, seconds), figure(top))
}

/// A rectangle from one time to another, between two heights.
fn boxed(window: Window, (from, to): (i64, i64), (top, bottom): (f64, f64)) -> String {
    let (left, right) = (along(window, from), along(window, to));
    let (top, bottom) = (figure(top), figure(bottom));
    format!("M{left} {bottom}V{top}H{right}V{bottom}z")
}

/// Where we are now.
fn now(floor: &Floor<'_>, window: Window) -> Markup {
    html! {
        @if let Some(now) = floor.now.filter(|now| (window.from..=window.to).contains(now)) {
            line class="now" x1=(window.percent(now)) x2=(window.percent(now)) y1="0" y2="100%" {}
        }
    }
}

/// The lane of a lathe. Every stretch leads to the lathe's page; one of them is in the order of the keyboard, the
/// arrows lead to the others. The script gives all of them the way of that one: written out it would be a tenth of
/// the page.
pub(super) fn lane(floor: &Floor<'_>, lathe: usize, window: Window) -> Markup {
    let shown: Vec<Stretch> = stretches(floor, lathe)
        .into_iter()
        .filter(|it| window.clip(it.from, it.to).is_some())
        .collect();
    let first = shown.iter().position(|it| it.to > floor.at()).unwrap_or(0);
    let way = floor.way(lathe);
    // What a lathe does before anybody was there is known from the log alone.
    let unsure = !matches!(floor.lathes.get(lathe).map(|it| &it.logged), Some(Logged::Runs { .. }));
    html! {
        svg class="lane" width="100%" role="group" aria-label={ (floor.lathe(lathe)) " along the clock" } {
            use href="#behind" {}
            (stretched("worn", &html! {
                @for (index, it) in shown.iter().enumerate() {
                    @let way = (index == first).then_some(&way);
                    a href=[way] tabindex=[way.map(|_| "0")] aria-label=(said(floor, lathe, it)) {
                        (drawn(window, it, it.from == 0 && unsure))
                    }
                }
            }))
            (flags(floor, window, &shown))
            (now(floor, window))
        }
    }
}

/// What stands on the foot line for a stretch.
fn drawn(window: Window, it: &Stretch, unsure: bool) -> Markup {
    let (from, to) = (it.from.max(window.from), it.to.min(window.to));
    let y = |left: f64| figure(FOOT - NEW * left);
    let low = |top: f64, bottom: f64| boxed(window, (from, to), (top, bottom));
    let (class, path) = match it.doing {
        Doing::Runs => {
            let (left, right) = (along(window, it.from), along(window, it.to));
            let (high, end) = (y(it.left.0), y(it.left.1));
            let wedge = format!("M{left} {FOOT}V{high}L{right} {end}V{FOOT}z");
            (if unsure { "runs unsure" } else { "runs" }, wedge)
        }
        Doing::Stands => ("stands", low(FOOT - 9.0, FOOT)),
        Doing::Done => ("done", low(FOOT - 3.0, FOOT)),
        Doing::Attended(_) => ("attended", low(FOOT, 100.0)),
    };
    let (left, right) = (window.share(from), window.share(to));
    html! {
        // The whole height can be touched, however little of the bar is left.
        rect x=(figure(10.0 * left)) width=(figure(10.0 * (right - left))) {}
        path class=(class) d=(path) {}
    }
}

/// A flag where a person is needed, with the letters of the name; where flags stand close, letters that were just
/// said are not said again.
fn flags(floor: &Floor<'_>, window: Window, shown: &[Stretch]) -> Markup {
    let mut last: Option<(f64, usize)> = None;
    let flags: Vec<(i64, Option<String>)> = shown
        .iter()
        .filter_map(|it| match it.doing {
            Doing::Attended(index) if it.from >= window.from => Some((it.from, index)),
            _ => None,
        })
        .map(|(at, index)| {
            let (share, person) = (window.share(at), floor.timetable.visits[index].person);
            // Where they have no room, or the same person comes again at once, no letters.
            let near = |gap: f64, (end, who): (f64, usize)| {
                share - end < gap || who == person && share - end < 1.5 * gap
            };
            let words = last.is_none_or(|last| !near(LETTERS, last)).then(|| floor.letters(person));
            if words.is_some() {
                last = Some((share, person));
            }
            (at, words)
        })
        .collect();
    let staffs = flags.iter().map(|(at, _)| format!("M{}V100", upright(window, *at, 4.0)));
    html! {
        (stretched("behind", &html! { path class="staff" d=(staffs.collect::<String>()) {} }))
        @for (at, words) in flags {
            @if let Some(words) = words {
                text class="flag" x=(window.percent(at)) dx="0.25em" y="20%" { (words) }
            }
        }
    }
}

/// What the signs of the lanes stand for.
pub(super) fn signs() -> Markup {
    let signs = [
        ("runs", "M0 2L22 11H0Z", "the bar, getting shorter: runs by itself"),
        ("runs unsure", "M1 2L21 10H1Z", "runs, as far as the shop file says"),
        ("stands", "M0 6H22V11H0Z", "stands"),
        ("attended", "M6 1H16V11H6Z", "someone is at it; a flag says who"),
        ("done", "M0 9H22V11H0Z", "order complete"),
    ];
    html! {
        ul class="lane-signs" {
            @for (class, path, words) in signs {
                li { svg class="worn lane-sign" viewBox="0 0 22 12" aria-hidden="true" { path class=(class) d=(path) {} } (words) }
            }
            li { svg class="worn lane-sign" viewBox="0 0 22 12" aria-hidden="true" { path class="nobody" d="M0 1H22V11H0Z" {} } "nobody is in the shop" }
        }
    }
}

/// When a person is there, and at which lathes.
pub(super) fn person(floor: &Floor<'_>, person: usize, window: Window) -> Markup {
    let there = &floor.timetable.staffed[person];
    // What each is about stands in the lanes of the lathes.
    let visits = floor.timetable.visits.iter().filter(|visit| visit.person == person);
    let visits = visits.filter_map(|visit| window.clip(visit.leaves, visit.end));
    let visits = visits.map(|span| boxed(window, span, (25.0, 75.0)));
    html! {
        svg class="lane who" width="100%" aria-hidden="true" {
            use href="#behind" {}
            @for &(from, to) in there {
                @if let Some((from, to)) = window.clip(from, to) {
                    line class="there" x1=(window.percent(from)) x2=(window.percent(to)) y1="50%" y2="50%" {}
                }
            }
            (stretched("behind", &html! { path class="attended" d=(visits.collect::<String>()) {} }))
            (now(floor, window))
        }
    }
}
