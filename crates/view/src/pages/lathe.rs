//! The page at one lathe: what is on it, what to do next, and the entries that a person taps there.
//!
//! Read in this order: [`now`] (what stands), [`after`] (what to do after a stop), [`tell`] (what happened).

mod after;
mod now;
mod tell;

pub use after::{After, Known};
pub use now::due_in_words;

use super::floor::{Teller, Times};
use super::frame::{Frame, address};
use crate::sizes::Size;
use maud::{Markup, html};
use model::Units;
use model::record::{LatheNow, Name, Racked, Tally};

/// What stands at one lathe.
#[derive(Clone, Copy)]
pub struct Shown<'a> {
    /// The lathe.
    pub name: &'a Name,
    /// What the log says of it.
    pub now: &'a LatheNow,
    /// The order of the job on it.
    pub order: Option<&'a Tally>,
    /// Points in time.
    pub times: Times<'a>,
    /// Who tells.
    pub teller: Teller<'a>,
}

/// One entry that was recorded, in words.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its id.
    pub id: String,
    /// When it was.
    pub when: String,
    /// What it says.
    pub words: String,
    /// Whether it was taken back.
    pub taken_back: bool,
}

/// What the blanks of the page offer.
#[derive(Debug, Clone, Default)]
pub struct Offered {
    /// Jobs of the folder, by their names.
    pub jobs: Vec<String>,
    /// Programs of the folder, by their paths from it.
    pub programs: Vec<String>,
    /// What lies on the rack.
    pub rack: Vec<Racked>,
    /// What of the part is gauged; empty where the job cannot be read.
    pub sizes: Vec<Size>,
    /// The stations of the turret and what stands there; empty where the job cannot be read.
    pub stations: Vec<(u32, String)>,
    /// Why the job's files say nothing, where they do not.
    pub no_job: Option<String>,
}

/// Everything the page shows.
#[derive(Clone, Copy)]
pub struct AtLathe<'a> {
    /// What stands.
    pub shown: Shown<'a>,
    /// The blanks for the person on this device.
    pub who: &'a Markup,
    /// What blanks offer.
    pub offered: &'a Offered,
    /// What to do after the stop.
    pub after: &'a After<'a>,
    /// The line at which it was reset, where it was started since and its count was not read.
    pub reset: Option<&'a str>,
    /// The newest entries, the last first.
    pub entries: &'a [Entry],
}

impl AtLathe<'_> {
    const fn units(&self) -> Units {
        self.shown.teller.units
    }
}

/// The lathes, one a line; `unset` are those of the shop of which nothing was recorded yet.
pub fn list(frame: &Frame<'_>, lathes: &[Shown<'_>], unset: &[String]) -> String {
    let body = html! {
        main id="content" class="floor" {
            h1 { "At which lathe?" }
            div data-piece="lathes" {
                @if lathes.is_empty() && unset.is_empty() {
                    p class="none" { "The log knows no lathe yet, and no file of the shop names one." }
                }
                ul class="lathes" {
                    @for lathe in lathes {
                        li class=(now::state(lathe)) {
                            a href={ "/lathe/" (address(lathe.name)) } {
                                strong { (lathe.name) }
                                span { (now::job(lathe)) ", " (now::runs(lathe)) }
                            }
                        }
                    }
                    @for name in unset {
                        li class="not-known" { a href={ "/lathe/" (address(name)) } { strong { (name) } span { "nothing recorded yet" } } }
                    }
                }
            }
            form class="another" method="get" action="/lathe/" {
                label for="another" { "Another lathe" }
                input id="another" class="words" name="name" maxlength="100" required autocomplete="off";
                button type="submit" { "Open its page" }
            }
        }
    };
    frame.page(&["live.js"], &body)
}

/// The page of one lathe.
pub fn page(frame: &Frame<'_>, at: &AtLathe<'_>) -> String {
    let body = html! {
        main id="content" class="floor" data-lathe=(at.shown.name) {
            h1 { (at.shown.name) }
            div class="news" role="status" aria-live="polite" {}
            div data-piece="asked" { p class="more asked" { "As the log stood at " (at.shown.times.near(at.shown.times.now)) "." } }
            div data-piece="now" { (now::now(&at.shown, at.reset)) }
            div class="beside-each" {
                div {
                    section aria-labelledby="after" {
                        h2 id="after" { "What to do now?" }
                        div data-piece="after" { (after::after(at)) }
                    }
                    section aria-labelledby="happened" {
                        h2 id="happened" { "What happened?" }
                        div data-piece="tell" { (tell::tell(at)) }
                    }
                    // Below what is tapped: what comes and goes must not shift it under a finger.
                    section class="waiting" aria-labelledby="waiting" hidden {
                        h2 id="waiting" { "Not yet told to the server" }
                        ol {}
                        p class="more" { "Kept on this device, with their times. What stands above does not have them yet." }
                    }
                }
                div {
                    section aria-labelledby="next" {
                        h2 id="next" { "When must someone come next?" }
                        div data-piece="next" { (now::next(&at.shown)) }
                    }
                    section aria-labelledby="last" {
                        h2 id="last" { "What was recorded last?" }
                        div data-piece="last" { (last(at)) }
                    }
                }
            }
            (at.who)
            p class="more keeps" id="keeps" {
                "Without a script every entry goes to the server at once, and waits for it."
            }
        }
    };
    frame.page(&["lathe.js"], &body)
}

/// The newest entries, each with the way to take it back. It stays in the log.
fn last(at: &AtLathe<'_>) -> Markup {
    let teller = &at.shown.teller;
    html! {
        @if at.entries.is_empty() { p class="none" { "Nothing yet." } }
        ol class="entries" {
            @for entry in at.entries {
                li class=[entry.taken_back.then_some("taken-back")] {
                    span { time { (entry.when) } " " (entry.words) }
                    form method="post" action="/record" data-says={ "taken back: " (entry.words) } {
                        (teller.hidden("corrected", &[("lathe", at.shown.name), ("of", &entry.id)]))
                        @if entry.taken_back {
                            button type="submit" name="instead" value="same" aria-label={ "Put back: " (entry.words) } { "Put back" }
                        } @else {
                            button type="submit" aria-label={ "Take back: " (entry.words) } { "Take back" }
                        }
                    }
                }
            }
        }
    }
}
