//! The page of the visits: the timetable with its bound, who goes where when and why, what if, simulated runs.

mod otherwise;
mod scatter;
mod tables;

pub use otherwise::{Asked, Offered};
pub use scatter::Runs;
pub use tables::csv;

use super::attended::{self, Floor, Why};
use super::frame::Frame;
use super::job::{Piece, piece, place};
use super::lane::{self, Window};
use super::say::{counted, sentence};
use maud::{Markup, html};
use visits::words;

/// What the page shows.
#[derive(Debug, Clone, Copy)]
pub struct Shown<'a> {
    /// The shop as it is.
    pub floor: Floor<'a>,
    /// The shop with what would be otherwise.
    pub changed: Changed<'a>,
    /// What simulated runs came to: as it is, and changed.
    pub runs: [Runs<'a>; 2],
    /// What was asked for.
    pub asked: &'a Asked,
}

/// The shop as it would be.
#[derive(Debug, Clone, Copy)]
pub enum Changed<'a> {
    /// Nothing is to be otherwise.
    No,
    /// What it would be is being looked for, or cannot be.
    Not(Why<'a>),
    /// In words, what would be otherwise, and the shop then.
    There(&'a str, Floor<'a>),
}

const QUESTIONS: [(&str, &str); 6] = [
    ("lost", "How long do spindles stand?"),
    ("who", "Who goes where, when, and why?"),
    ("otherwise", "What if?"),
    ("picture", "What does the day look like?"),
    ("scatter", "And when times scatter?"),
    ("unknown", "What is not known?"),
];

/// Every piece of the page.
pub fn pieces(shown: &Shown<'_>) -> Vec<Piece> {
    vec![
        piece("name", html! { (shown.floor.name) }),
        piece("as-of", as_of(shown)),
        piece("lost", lost(shown)),
        piece("who", who(shown)),
        piece("otherwise", otherwise::beside(shown)),
        piece("picture", picture(shown)),
        piece("scatter", scatter::scatter(shown)),
        piece("unknown", attended::not_known(&shown.floor)),
    ]
}

/// What may be tried in the shop as it stands.
pub fn offered(offered: &Offered<'_>) -> Piece {
    piece(OFFERED, otherwise::blanks(&Asked::default(), offered))
}

/// The piece of the blanks. A script keeps what was filled in.
const OFFERED: &str = "offered";

/// The pieces while there is no timetable.
pub fn without(why: Why<'_>) -> Vec<Piece> {
    let mut pieces = vec![piece("as-of", why.said("/visits"))];
    pieces
        .extend(QUESTIONS.map(|(id, _)| piece(id, html! { p class="none" { "No answer yet." } })));
    pieces
}

/// The page around its pieces.
pub fn page(
    frame: &Frame<'_>,
    name: &str,
    pieces: &[Piece],
    asked: &Asked,
    offered: &Offered<'_>,
) -> String {
    let body = html! {
        section class="band" aria-label="The shop" {
            div class="title" { h1 { "Visits: " span data-piece="name" { (name) } } span class="trial-word" hidden[!asked.is_otherwise()] { "trial, not saved" } }
            div class="news" role="status" aria-live="polite" {}
            (place(pieces, "as-of"))
        }
        main id="content" class="questions visits" {
            @for (id, question) in QUESTIONS {
                section class="question" id={ (id) "-asked" } aria-labelledby={ (id) "-question" } {
                    h2 id={ (id) "-question" } { (question) }
                    div class="told" {
                        @if id == "lost" { (otherwise::begins(asked)) }
                        @if id == "otherwise" {
                            @let digest = pieces.iter().find(|piece| piece.id == OFFERED).map(Piece::digest);
                            div data-piece=(OFFERED) data-digest=[digest] { (otherwise::blanks(asked, offered)) }
                        }
                        (place(pieces, id))
                    }
                }
            }
        }
    };
    frame.page(&["shop.js"], &body)
}

/// The page with every stretch of every lane as a table; `asked` leads back.
pub fn stretches(frame: &Frame<'_>, floor: &Floor<'_>, asked: &Asked) -> String {
    let body = html! {
        main id="content" class="questions plain visits" {
            h1 { (frame.title) }
            p { "From " (floor.from.replace('T', " ")) ", " (counted(floor.days, "day")) "." }
            (tables::stretches(floor))
            p { a href={ "/visits?" (asked.address()) } { "To the visits" } }
        }
    };
    frame.page(&[], &body)
}

/// The shop of which visits, picture and files are shown.
fn of<'a>(shown: &'a Shown<'a>) -> &'a Floor<'a> {
    match &shown.changed {
        Changed::There(_, floor) => floor,
        _ => &shown.floor,
    }
}

fn as_of(shown: &Shown<'_>) -> Markup {
    let floor = &shown.floor;
    let all = floor.setting.lathes.len() as i64 * floor.timetable.horizon;
    html! {
        dl class="firsts" {
            div { dt { "From" } dd { (floor.from.replace('T', " ")) } }
            div { dt { "For" } dd { (counted(floor.days, "day")) } }
            div { dt { "Visits" } dd { (floor.timetable.visits.len()) } }
            div class="leave" { dt { "Spindles lose" } dd { (words::span(floor.timetable.lost)) } }
            div { dt { "of" } dd { (words::span(all)) } }
        }
    }
}

fn lost(shown: &Shown<'_>) -> Markup {
    let floor = &shown.floor;
    let lathes = floor.setting.lathes.len() as i64;
    html! {
        p class="answer" {
            "Spindles lose " strong { (words::span(floor.timetable.lost)) } " of "
            (words::span(lathes * floor.timetable.horizon)) ", standing or attended."
        }
        p { (attended::verdict(floor)) }
        (super::working::working("lost", &html! {
            p {
                "Lost is all time in which a lathe has work and does not run. A lathe is visited when it stands, never before. "
                "The bound puts a price on every moment of a person's time and lets each lathe choose its visits for itself; "
                "no real timetable runs more than that, whatever the prices (weak duality of the Lagrangian relaxation)."
            }
            (tables::lathes(floor))
        }))
    }
}

/// Every visit, by person, with calendars.
fn who(shown: &Shown<'_>) -> Markup {
    let floor = of(shown);
    let asked = shown.asked.address();
    html! {
        @if let Changed::There(words, _) = &shown.changed {
            p class="answer" { "With " strong { (words) } ":" }
        }
        @for next in &floor.timetable.next {
            @let person = next.person;
            @let count = floor.timetable.visits.iter().filter(|visit| visit.person == person).count();
            section class="of-person" aria-labelledby={ "person-" (person) } {
                h3 id={ "person-" (person) } { (floor.person(person)) }
                p { (words::next(floor.setting, floor.timetable, next)) }
                p {
                    (sentence(&counted(count as u32, "visit"))) ", walking and at lathes for "
                    (words::span(floor.timetable.busy(person))) " of the " (words::span(floor.timetable.there(person)))
                    " that " (floor.person(person)) " is there. "
                    a class="file" href={ "/visits.ics?person=" (person) "&" (asked) } { "Calendar of " (floor.person(person)) }
                }
                @if count > 0 { (tables::of_person(floor, person)) }
            }
        }
        p class="files" {
            "All visits: "
            a class="file" href={ "/visits.ics?" (asked) } { "calendar (iCalendar)" } ", "
            a class="file" href={ "/visits.csv?" (asked) } { "table (CSV)" } ", "
            a class="file" href={ "/visits.svg?" (asked) } { "picture (SVG)" } "."
        }
    }
}

fn picture(shown: &Shown<'_>) -> Markup {
    let floor = of(shown);
    let window = Window { from: 0, to: floor.timetable.horizon };
    html! {
        output class="lane-says" aria-live="off" { "Point at a stretch of a lane, or go along with the arrows." }
        (lane::signs())
        div class="lathes" {
            (lane::clock(floor, window))
            @for lathe in 0..floor.setting.lathes.len() {
                h3 id={ "lathe-" (lathe + 1) } { a href=(floor.way(lathe)) { (floor.lathe(lathe)) } }
                (lane::lane(floor, lathe, window))
            }
            @for person in 0..floor.setting.people.len() {
                h3 { (floor.person(person)) " (" (floor.letters(person)) ")" }
                (lane::person(floor, person, window))
            }
        }
        // As heavy as the picture: it has an address of its own.
        p class="more" { a href={ "/visits/stretches?" (shown.asked.address()) } { "The same as a table" } }
    }
}
