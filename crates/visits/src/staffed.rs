//! When each person is there, in seconds from now.

use crate::clock::Clock;
use jiff::ToSpan as _;
use jiff::civil::{Date, DateTime};
use model::files::shop::{Holiday, Hours, Person, Weekday};

/// A span of time in seconds from now: its start, and its end.
pub type Span = (i64, i64);

/// When a person is there until the horizon, in order and without touching spans.
///
/// A span belongs to the day it begins on: a night before a holiday ends on the holiday.
pub fn spans(
    clock: &Clock,
    person: &Person,
    hours: &Hours,
    holidays: &[Holiday],
    horizon: i64,
) -> Vec<Span> {
    let last = clock.at(horizon).date();
    // Yesterday's last span may end today.
    let mut day = clock.today().saturating_sub(1.day());
    let mut spans: Vec<Span> = Vec::new();
    while day <= last {
        if works(day, person, hours, holidays) {
            for span in &hours.spans {
                let from = clock.seconds_until(at(day, span.from.minutes()));
                let to = clock.seconds_until(at(day, span.end_minutes()));
                add(&mut spans, from.max(0), to.min(horizon));
            }
        }
        match day.tomorrow() {
            Ok(next) => day = next,
            Err(_) => break,
        }
    }
    spans
}

/// Whether a text is a date, as `2026-12-18`.
pub fn is_date(text: &str) -> bool {
    text.parse::<Date>().is_ok_and(|date| date.to_string() == text)
}

fn add(spans: &mut Vec<Span>, from: i64, to: i64) {
    if from >= to {
        return;
    }
    match spans.last_mut().filter(|last| last.1 >= from) {
        Some(last) => last.1 = last.1.max(to),
        None => spans.push((from, to)),
    }
}

fn works(day: Date, person: &Person, hours: &Hours, holidays: &[Holiday]) -> bool {
    // Dates of one form sort as text.
    let text = day.to_string();
    let holiday = |it: &Holiday| it.date <= text && text <= *it.until.as_ref().unwrap_or(&it.date);
    hours.days.contains(&weekday(day))
        && !holidays.iter().any(holiday)
        && !person.away.contains(&text)
}

fn weekday(day: Date) -> Weekday {
    match day.weekday() {
        jiff::civil::Weekday::Monday => Weekday::Monday,
        jiff::civil::Weekday::Tuesday => Weekday::Tuesday,
        jiff::civil::Weekday::Wednesday => Weekday::Wednesday,
        jiff::civil::Weekday::Thursday => Weekday::Thursday,
        jiff::civil::Weekday::Friday => Weekday::Friday,
        jiff::civil::Weekday::Saturday => Weekday::Saturday,
        jiff::civil::Weekday::Sunday => Weekday::Sunday,
    }
}

/// The time of the wall clock so many minutes after the midnight with which a day begins.
fn at(day: Date, minutes: u16) -> DateTime {
    let day = day.saturating_add(i64::from(minutes / 1440).days());
    let minutes = minutes % 1440;
    day.at((minutes / 60) as i8, (minutes % 60) as i8, 0, 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use model::files::shop::DaySpan;

    fn hours(days: &[Weekday], spans: &[&str]) -> Hours {
        let spans = spans.iter().map(|it| DaySpan::parse(it).unwrap()).collect();
        Hours { name: "h".to_owned(), days: days.to_vec(), spans }
    }

    fn person(away: &[&str]) -> Person {
        let away = away.iter().map(|&it| it.to_owned()).collect();
        Person { name: "p".to_owned(), hours: "h".to_owned(), lathes: Vec::new(), away }
    }

    const H: i64 = 3600;

    #[test]
    fn a_week_with_a_holiday_and_a_day_away() {
        use Weekday::{Friday, Thursday, Wednesday};
        // 2026-12-23 is a Wednesday.
        let clock = Clock::new("2026-12-23T08:00", None).unwrap();
        let hours = hours(&[Wednesday, Thursday, Friday], &["07:00-12:00", "12:30-16:00"]);
        let holiday = Holiday { name: "x".to_owned(), date: "2026-12-25".to_owned(), until: None };
        let got = spans(&clock, &person(&[]), &hours, &[holiday], 72 * H);
        let half = H / 2;
        let thursday = [(23 * H, 28 * H), (28 * H + half, 32 * H)];
        let wednesday = [(0, 4 * H), (4 * H + half, 8 * H)];
        assert_eq!(got, [wednesday, thursday].concat());
        let got = spans(&clock, &person(&["2026-12-23"]), &hours, &[], 30 * H);
        assert_eq!(got, [(23 * H, 28 * H), (28 * H + half, 30 * H)]);
    }

    #[test]
    fn a_night_is_one_span_over_midnight_and_over_the_change_of_the_clock() {
        let every = [Weekday::Saturday, Weekday::Sunday];
        let nights = hours(&every, &["22:00-06:00"]);
        let clock = Clock::new("2026-03-28T23:00", Some("Europe/Berlin")).unwrap();
        let got = spans(&clock, &person(&[]), &nights, &[], 20 * H);
        assert_eq!(got, [(0, 6 * H)], "one hour of the night is put forward");
        // From the middle of a span that began yesterday.
        let clock = Clock::new("2026-07-05T03:00", None).unwrap();
        let got = spans(&clock, &person(&[]), &nights, &[], 10 * H);
        assert_eq!(got, [(0, 3 * H)]);
        let always = hours(&every, &["00:00-24:00"]);
        let clock = Clock::new("2026-07-04T00:00", None).unwrap();
        assert_eq!(spans(&clock, &person(&[]), &always, &[], 60 * H), [(0, 48 * H)]);
    }
}
