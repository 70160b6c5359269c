//! The page of the shop: who goes where next, what each lathe does until when, who is there.

use super::Role;
use super::attended::{self, Floor, Logged, Standing, Why};
use super::floor::lapse;
use super::frame::Frame;
use super::job::{Piece, piece, place};
use super::lane::{self, Window};
use super::marks::{self, State};
use super::say::{counted, sentence};
use maud::{Markup, html};
use model::files::keys::Choice as _;
use model::record::event::StopWhy;
use visits::words;

/// Hours that the lanes of the shop may show; the first unless another is asked for.
pub const HOURS: [u32; 4] = [6, 3, 12, 24];

/// The window of so many hours around now.
pub fn window(floor: &Floor<'_>, hours: u32) -> Window {
    let length = i64::from(hours) * 3600;
    let end = floor.timetable.horizon;
    // A little of what was is seen, so that one knows what led to now.
    let from = (floor.at() - length / 8).clamp(0, (end - length).max(0));
    Window { from, to: (from + length).min(end) }
}

/// Every piece of the page.
pub fn pieces(floor: &Floor<'_>, hours: u32) -> Vec<Piece> {
    let window = window(floor, hours);
    vec![
        piece("name", html! { (floor.name) }),
        piece("as-of", as_of(floor)),
        piece("next", next(floor)),
        piece("lathes", lathes(floor, window)),
        piece("people", people(floor, window)),
        piece("unknown", attended::not_known(floor)),
    ]
}

/// The pieces while there is no timetable.
pub fn without(why: Why<'_>) -> Vec<Piece> {
    let mut pieces = vec![piece("as-of", why.said("/shop"))];
    pieces.extend(
        ["next", "lathes", "people", "unknown"]
            .map(|id| piece(id, html! { p class="none" { "No answer yet." } })),
    );
    pieces
}

/// The page around its pieces; `hours` is what the lanes show, `from` what was asked for.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    pieces: &[Piece],
    hours: u32,
    from: Option<&str>,
) -> String {
    let asked = [
        ("next", "Who goes where next, and why?"),
        ("lathes", "What does each lathe do, and until when?"),
        ("people", "Who is there when?"),
        ("unknown", "What is not known?"),
    ];
    let body = html! {
        section class="band shop-band" aria-label="The shop" {
            div class="title" { h1 data-piece="name" { (name) } (windows(hours, from)) }
            (place(pieces, "as-of"))
        }
        main id="content" class="shop" {
            @for (id, question) in asked {
                section class="asked" id={ (id) "-asked" } aria-labelledby={ (id) "-question" } {
                    h2 id={ (id) "-question" } { (question) }
                    @if id == "lathes" { output class="lane-says" aria-live="off" { (LANES_SAY) } }
                    (place(pieces, id))
                }
            }
            p class="more" {
                "When someone must come is reckoned, and no word that a lathe is safe to leave: guards, interlocks, fire and the rules "
                "of your place come first. Every visit of the day, and what if: "
                a href="/visits" { "Visits" } "."
            }
        }
    };
    frame.page(&["shop.js"], &body)
}

/// The page where there is no shop file; `example` is one to begin with.
pub fn without_shop(frame: &Frame<'_>, example: &str) -> String {
    let body = html! {
        main id="content" class="folder" {
            h1 { "No shop file yet" }
            p {
                "Who goes where, and what lathes do until when, is reckoned from a file " code { "shop.toml" }
                " in this folder: lathes, each with its job, people, and the hours in which they are there. This is one to begin with; "
                "every figure in it is invented."
            }
            @if frame.may(Role::Change) {
                form method="post" action="/shop/new" {
                    input type="hidden" name="token" value=(frame.token);
                    button type="submit" { "Write it into the folder" }
                }
            }
            pre class="code example" tabindex="0" aria-label="A shop file to begin with" { (example) }
            p { a href="/" { "To the jobs" } }
        }
    };
    frame.page(&["shop.js"], &body)
}

const LANES_SAY: &str = "A lane is the bar in its lathe, getting shorter; a flag stands where someone is needed. Point at a stretch, or go along with the arrows.";

/// Other windows of the lanes.
fn windows(hours: u32, from: Option<&str>) -> Markup {
    let mut offered = HOURS;
    offered.sort_unstable();
    let asked =
        from.map(|from| format!("&from={}", super::frame::address(from))).unwrap_or_default();
    html! {
        nav class="windows" aria-label="Hours that the lanes show" {
            @for one in offered {
                a href={ "/shop?hours=" (one) (asked) } aria-current=[(one == hours).then_some("true")] { (one) " h" }
            }
        }
    }
}

/// What the page is as of, and whether the log tells it.
fn as_of(floor: &Floor<'_>) -> Markup {
    let known = floor.lathes.iter().any(|it| it.logged.knows());
    html! {
        p class="as-of" {
            @let day = words::day(&floor.setting.clock, 0);
            "Reckoned from " (day.split(' ').next().unwrap_or_default()) " " (floor.from.replace('T', " ")) ". "
            @if known && floor.by_log {
                "What lathes do comes from the log, and the timetable goes on from there."
            } @else if known {
                "What lathes do now comes from the log; this timetable begins at another time and goes by the shop file."
            }
            @else {
                (marks::mark(State::Unproven)) " What lathes do now is not known: no log tells it. When each stands first is what the shop file says."
            }
        }
    }
}

fn next(floor: &Floor<'_>) -> Markup {
    html! {
        ul class="goes" {
            @for one in &floor.timetable.next { li { (goes(floor, one)) } }
        }
    }
}

/// Where one person goes, there when, what for; why, and why not elsewhere first.
fn goes(floor: &Floor<'_>, next: &visits::timetable::Next) -> Markup {
    let who = floor.person(next.person);
    let visit = next.visit.map(|index| &floor.timetable.visits[index]);
    html! {
        @match visit {
            None => p class="said" { strong { (who) } " has nowhere to go before " (floor.time(floor.timetable.horizon)) "." },
            Some(visit) => {
                p class="said" {
                    strong { (who) } " goes to " a href=(floor.way(visit.lathe)) { (floor.lathe(visit.lathe)) } ", there at "
                    strong { (floor.time(visit.start)) } ": " (words::works(&visit.works)) "."
                }
                p class="because" { (words::why(floor.setting, visit)) }
                @if !next.instead.is_empty() {
                    details class="why" id={ "instead-" (next.person) } {
                        summary { "Why not elsewhere first?" }
                        ul {
                            @for instead in &next.instead {
                                li {
                                    (floor.lathe(instead.lathe)) " first: "
                                    @if instead.loses == 0 { "spindles would lose no more" }
                                    @else { @if !instead.proven { "about " } (words::span(instead.loses)) " more would be lost" }
                                    " by " (floor.time(floor.timetable.horizon)) "."
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}

fn lathes(floor: &Floor<'_>, window: Window) -> Markup {
    html! {
        (lane::signs())
        div class="lathes" {
            (lane::clock(floor, window))
            @for lathe in 0..floor.setting.lathes.len() { (at_lathe(floor, lathe, window)) }
        }
    }
}

fn at_lathe(floor: &Floor<'_>, lathe: usize, window: Window) -> Markup {
    let (standing, planned) = floor.by_timetable(lathe);
    let beside = floor.lathes.get(lathe);
    let part = beside.and_then(|it| it.part.as_deref());
    let logged = beside.map(|it| &it.logged).filter(|it| !matches!(it, Logged::NoLog));
    html! {
        article class="of-lathe" id={ "lathe-" (lathe + 1) } {
            h3 {
                a href=(floor.way(lathe)) { (floor.lathe(lathe)) }
                @if let Some(part) = part { span class="part-on" { (part) } }
            }
            p class="said" {
                @match logged {
                    Some(logged) => (by_log(logged)),
                    None => span class={ "does " (standing.word()) } { (sentence(&planned)) },
                }
            }
            @if logged.is_some() { p class="because" { "By the timetable it " (planned) } }
            (lane::lane(floor, lathe, window))
        }
    }
}

/// What the log says of a lathe.
fn by_log(logged: &Logged) -> Markup {
    html! {
        @match logged {
            Logged::NoLog => {}
            Logged::NotSaid { .. } => { (marks::mark(State::Unproven)) " The log does not say whether it runs." }
            Logged::Stopped { since, why, block } => {
                span class={ "does " (Standing::Stands.word()) } { "Stands" } " for " (lapse(*since)) ": " (meaning(*why))
                @if let Some(block) = block { ", at block " code { (block) } } "."
            }
            Logged::Runs { since, bar, order_left, next, at } => {
                span class={ "does " (Standing::Runs.word()) } { "Runs" } " for " (lapse(*since)) "."
                @if let Some((made, left)) = bar {
                    " " (sentence(&super::say::parts(*made))) " made of this bar"
                    @if let Some(left) = left { ", " (left) " left in it" } "."
                }
                @if let Some(left) = order_left { " " (sentence(&counted(*left, "part"))) " of the order left." }
                @match (next, at) {
                    (Some(next), Some(0)) => { " Someone must come now: " (next) "." }
                    (Some(next), Some(at)) => { " Someone must come in " strong { (words::span(*at)) } ": " (next) "." }
                    (Some(next), None) => {
                        " Someone must come next: " (next) "; " (marks::mark(State::Unproven)) " when is not known, since nobody recorded how long a part takes."
                    }
                    (None, _) => { " " (marks::mark(State::Unproven)) " When someone must come is not known." }
                }
            }
        }
    }
}

fn meaning(why: StopWhy) -> &'static str {
    StopWhy::words()
        .iter()
        .find(|(_, it, _)| *it == why)
        .map_or("nobody said why", |(_, _, meaning)| meaning)
}

fn people(floor: &Floor<'_>, window: Window) -> Markup {
    html! {
        div class="people" {
            @for person in 0..floor.setting.people.len() {
                article class="of-person" {
                    h3 { (floor.person(person)) " (" (floor.letters(person)) ")" }
                    p class="said" { (there(floor, person)) }
                    (lane::person(floor, person, window))
                }
            }
        }
    }
}

/// Until when a person is there, or from when on.
fn there(floor: &Floor<'_>, person: usize) -> String {
    let at = floor.at();
    let spans = &floor.timetable.staffed[person];
    let begin = spans.iter().find(|(_, to)| *to > at);
    match begin {
        None => format!("Not there before {}.", floor.time(floor.timetable.horizon)),
        Some((from, to)) if *from <= at => {
            let then = spans.iter().find(|(from, _)| from >= to);
            let then = then.map(|(from, to)| {
                format!(", then from {} to {}", floor.time(*from), floor.time(*to))
            });
            format!("There until {}{}.", floor.time(*to), then.unwrap_or_default())
        }
        Some((from, to)) => {
            format!("Comes at {}, there until {}.", floor.time(*from), floor.time(*to))
        }
    }
}
