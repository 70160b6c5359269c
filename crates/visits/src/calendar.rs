//! The timetable as a calendar (iCalendar, RFC 5545).
//!
//! Written by hand, since the small libraries for it fold lines one octet too late and the large ones bring a clock
//! of their own. Held to a general-purpose calendar library by `tests/calendars/read_by.py`.

use crate::clock::Clock;
use crate::setting::Setting;
use crate::timetable::{Entry, Timetable};
use crate::words;
use jiff::civil::DateTime;

/// Most octets of a line, without its end (RFC 5545, 3.1).
const LINE: usize = 75;

/// A calendar with one event a visit; of one person, or of all.
///
/// Where the shop's time zone is known, times are in UTC; else they are what the wall clock shows wherever the
/// calendar is read ("floating", RFC 5545, 3.3.5).
pub fn write(
    setting: &Setting,
    timetable: &Timetable,
    shop: &str,
    person: Option<usize>,
) -> String {
    let mut text = String::new();
    let mut line = |content: &str| fold(content, &mut text);
    line("BEGIN:VCALENDAR");
    line("VERSION:2.0");
    line("PRODID:-//Barwright//visits//EN");
    line("CALSCALE:GREGORIAN");
    let visits = timetable.visits.iter().enumerate();
    for (number, visit) in visits.filter(|(_, visit)| person.is_none_or(|it| it == visit.person)) {
        let lathe = &setting.lathes[visit.lathe].name;
        let who = &setting.people[visit.person].person.name;
        line("BEGIN:VEVENT");
        line(&format!("UID:{}", uid(setting, visit, number, shop)));
        line(&format!("DTSTAMP:{}", stamp(&setting.clock)));
        line(&format!("DTSTART:{}", time(&setting.clock, visit.start)));
        line(&format!("DTEND:{}", time(&setting.clock, visit.end)));
        line(&format!(
            "SUMMARY:{}",
            escape(&format!("{who}: {lathe}: {}", words::works(&visit.works)))
        ));
        line(&format!("LOCATION:{}", escape(lathe)));
        line(&format!("DESCRIPTION:{}", escape(&words::why(setting, visit))));
        line("TRANSP:OPAQUE");
        line("END:VEVENT");
    }
    line("END:VCALENDAR");
    text
}

/// The same for the same visit of the same timetable, and no other's.
fn uid(setting: &Setting, visit: &Entry, number: usize, shop: &str) -> String {
    let plain = |text: &str| -> String {
        let letters = text.bytes().map(|byte| match byte {
            b'a'..=b'z' | b'A'..=b'Z' | b'0'..=b'9' => char::from(byte).to_string(),
            byte => format!("-{byte:02x}"),
        });
        letters.collect()
    };
    let (stamp, lathe) = (stamp(&setting.clock), visit.lathe + 1);
    format!("{stamp}-{}-lathe{lathe}@{}.barwright", number + 1, plain(shop))
}

/// When the timetable was made: its now. A stamp is in UTC (RFC 5545, 3.8.7.2); where the zone is not known, the
/// wall clock's figures are taken for it.
fn stamp(clock: &Clock) -> String {
    format!("{}Z", figures(clock.utc(0).unwrap_or_else(|| clock.at(0))))
}

fn time(clock: &Clock, seconds: i64) -> String {
    match clock.utc(seconds) {
        Some(utc) => format!("{}Z", figures(utc)),
        None => figures(clock.at(seconds)),
    }
}

fn figures(at: DateTime) -> String {
    let (date, time) = (at.date(), at.time());
    format!(
        "{:04}{:02}{:02}T{:02}{:02}{:02}",
        date.year(),
        date.month(),
        date.day(),
        time.hour(),
        time.minute(),
        time.second()
    )
}

/// A text value (RFC 5545, 3.3.11). Other controls than the line's end have no place in one.
fn escape(text: &str) -> String {
    let mut escaped = String::new();
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => escaped.extend(['\\', c]),
            '\n' => escaped.push_str("\\n"),
            c if c.is_control() => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}

/// A content line: a line of more than 75 octets goes on in lines that begin with a blank, which counts; no
/// character is cut.
fn fold(content: &str, text: &mut String) {
    let mut octets = 0;
    for c in content.chars() {
        if octets + c.len_utf8() > LINE {
            text.push_str("\r\n ");
            octets = 1;
        }
        text.push(c);
        octets += c.len_utf8();
    }
    text.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_are_folded_at_75_octets_and_no_character_is_cut() {
        for letter in ["x", "ä", "老", "🔧"] {
            for length in 0..200 {
                let content = letter.repeat(length);
                let mut text = String::new();
                fold(&content, &mut text);
                assert!(text.ends_with("\r\n"));
                assert!(text.split("\r\n").all(|line| line.len() <= 75));
                assert_eq!(text.trim_end_matches("\r\n").replace("\r\n ", ""), content);
            }
        }
    }

    #[test]
    fn what_means_something_in_a_calendar_is_escaped() {
        assert_eq!(escape("a,b;c\\d\ne\tf"), "a\\,b\\;c\\\\d\\ne f");
    }
}
