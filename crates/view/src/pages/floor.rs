//! What the pages about the whole shop share: points in time, the blanks that every entry carries, and the page that
//! begins a log.

use super::Role;
use super::frame::Frame;
use maud::{Markup, html};
use model::Units;
use model::record::{Lapse, Name, Stamp};

/// How points in time are written, as of the present.
#[derive(Clone, Copy)]
pub struct Times<'a> {
    /// The present.
    pub now: Stamp,
    /// A point in time in the time of this place, as `2026-12-01 14:30`.
    pub shown: &'a dyn Fn(Stamp) -> String,
}

impl Times<'_> {
    /// `14:30` on the same day as now, else with its day.
    pub fn near(&self, stamp: Stamp) -> String {
        let (text, now) = ((self.shown)(stamp), (self.shown)(self.now));
        match (text.split_once(' '), now.split_once(' ')) {
            (Some((day, time)), Some((today, _))) if day == today => time.to_owned(),
            _ => text,
        }
    }

    /// How long it is since then, as a person says it.
    pub fn ago(&self, stamp: Stamp) -> String {
        lapse(self.now.since(stamp))
    }
}

/// `3 d 2 h`, `2 h 10 min`, `12 min`, `40 s`.
pub fn lapse(lapse: Lapse) -> String {
    let s = lapse.ms() / 1000;
    match (s / 3600, s / 60 % 60, s % 60) {
        (0, 0, s) => format!("{s} s"),
        (0, min, _) => format!("{min} min"),
        (48.., _, _) => format!("{} d {} h", s / 86_400, s / 3600 % 24),
        (h, 0, _) => format!("{h} h"),
        (h, min, _) => format!("{h} h {min} min"),
    }
}

/// Who tells on this device, and what every entry must carry.
#[derive(Clone, Copy)]
pub struct Teller<'a> {
    /// What a change must carry.
    pub token: &'a str,
    /// Who taps; none where nobody was chosen.
    pub person: Option<&'a Name>,
    /// The units in which lengths are typed and shown.
    pub units: Units,
    /// An id that no other entry has.
    pub id: &'a dyn Fn() -> String,
}

impl Teller<'_> {
    /// The blanks that nobody sees: kind of event, an id of its own, and what is known besides. A form with them goes
    /// to `/record`; scripts that let it wait for the network take the same blanks.
    pub fn hidden(&self, event: &str, known: &[(&str, &str)]) -> Markup {
        let person = self.person.map(|name| ("person", name.text()));
        let id = (self.id)();
        let all = [
            ("token", self.token),
            ("event", event),
            ("id", &id),
            ("units", units_word(self.units)),
        ];
        html! {
            @for (key, value) in all.iter().chain(known).chain(&person) {
                @if !value.is_empty() { input type="hidden" name=(key) value=(value); }
            }
        }
    }
}

/// Who taps on this device, and in which units: chosen once, remembered by the device.
pub fn device(teller: &Teller<'_>, people: &[String], no_people: Option<&str>) -> Markup {
    let unknown = teller.person.filter(|name| !people.iter().any(|one| **one == *name.text()));
    let units = [(Units::Mm, "mm"), (Units::Inch, "inch")];
    html! {
        details class="device" id="device" {
            summary {
                @match teller.person {
                    Some(name) => { "Told by " (name) ", lengths in " (units_word(teller.units)) }
                    None => "Who are you?",
                }
            }
            form method="post" action="/device" {
                input type="hidden" name="token" value=(teller.token);
                label { "Name"
                    select name="person" {
                        option value="" { "nobody in particular" }
                        @for name in people { option selected[teller.person.is_some_and(|it| it.text() == name)] { (name) } }
                        @if let Some(name) = unknown { option selected { (name) } }
                    }
                }
                label { "or another name" input class="words" name="other" maxlength="100" autocomplete="off"; }
                label { "Lengths in"
                    select name="units" {
                        @for (unit, word) in units { option selected[unit == teller.units] { (word) } }
                    }
                }
                button type="submit" { "Remember on this device" }
                @if let Some(why) = no_people { p class="more" { "No names are offered: " (why) "." } }
            }
        }
    }
}

/// The units as a blank has them.
pub const fn units_word(units: Units) -> &'static str {
    match units {
        Units::Mm => "mm",
        Units::Inch => "inch",
    }
}

/// The page of a shop that has no log yet.
pub fn begin(frame: &Frame<'_>, path: &str) -> String {
    let body = html! {
        main id="content" class="folder" {
            h1 { (frame.title) }
            p {
                "What happens at the lathes is kept in one file: bars with their heat numbers, parts, stops, sizes. "
                "It would be " code { (path) } ", and nothing in it is ever changed or taken away."
            }
            @if frame.may(Role::Change) {
                form method="post" action="/log" {
                    input type="hidden" name="token" value=(frame.token);
                    button type="submit" { "Begin the log" }
                }
            }
            p class="more" { "Where the shop has one already, start the server with " code { "--log FILE" } "." }
        }
    };
    frame.page(&[], &body)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_today_are_written_without_their_day() {
        // Days of 100 seconds.
        let shown = |stamp: Stamp| format!("day-{} {}", stamp.ms() / 100_000, stamp.ms() % 100_000);
        let times = Times { now: Stamp::from_ms(250_000), shown: &shown };
        assert_eq!(times.near(Stamp::from_ms(210_000)), "10000");
        assert_eq!(times.near(Stamp::from_ms(190_000)), "day-1 90000");
        assert_eq!(times.ago(Stamp::from_ms(190_000)), "1 min");
        assert_eq!(times.ago(Stamp::from_ms(260_000)), "0 s");
    }
}
