//! `[[hours]]` and `[[holiday]]` of a shop file: when someone may be there.

use crate::choices;
use crate::files::keys::{Choice as _, Keys};
use std::fmt;

choices! {
    /// A day of the week.
    Weekday {
        Monday = "mon": "Monday",
        Tuesday = "tue": "Tuesday",
        Wednesday = "wed": "Wednesday",
        Thursday = "thu": "Thursday",
        Friday = "fri": "Friday",
        Saturday = "sat": "Saturday",
        Sunday = "sun": "Sunday",
    }
}

/// A time of day on the wall clock, in whole minutes from midnight; 24:00 is the end of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct TimeOfDay(u16);

impl TimeOfDay {
    /// Hours and minutes; none beyond 24:00.
    pub const fn new(hour: u16, minute: u16) -> Option<TimeOfDay> {
        let minutes = hour.saturating_mul(60).saturating_add(minute);
        if minute < 60 && minutes <= 24 * 60 { Some(TimeOfDay(minutes)) } else { None }
    }

    /// Reads `07:30`.
    pub fn parse(text: &str) -> Option<TimeOfDay> {
        let (hour, minute) = text.split_once(':')?;
        let digits = |text: &str| !text.is_empty() && text.bytes().all(|it| it.is_ascii_digit());
        let sound = digits(hour) && hour.len() <= 2 && digits(minute) && minute.len() == 2;
        if !sound {
            return None;
        }
        TimeOfDay::new(hour.parse().ok()?, minute.parse().ok()?)
    }

    /// Minutes from midnight, 0 to 1440.
    pub const fn minutes(self) -> u16 {
        self.0
    }
}

impl fmt::Display for TimeOfDay {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:02}:{:02}", self.0 / 60, self.0 % 60)
    }
}

/// Part of a day in which someone is there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DaySpan {
    /// Its start.
    pub from: TimeOfDay,
    /// Its end; where it is not later than the start, it lies on the next day.
    pub to: TimeOfDay,
}

impl DaySpan {
    /// Reads `07:00-12:00`.
    pub fn parse(text: &str) -> Option<DaySpan> {
        let (from, to) = text.split_once('-')?;
        let span =
            DaySpan { from: TimeOfDay::parse(from.trim())?, to: TimeOfDay::parse(to.trim())? };
        (span.from != span.to && span.from.minutes() < 24 * 60).then_some(span)
    }

    /// Minutes from the midnight that its day begins with until its end.
    pub const fn end_minutes(self) -> u16 {
        if self.to.minutes() > self.from.minutes() {
            self.to.minutes()
        } else {
            self.to.minutes() + 24 * 60
        }
    }

    /// Whether these follow each other in a day, the last ending before the first of the next day begins.
    pub fn follow(spans: &[DaySpan]) -> bool {
        let overlap = spans.windows(2).any(|pair| pair[1].from.minutes() < pair[0].end_minutes());
        let over_midnight = match (spans.first(), spans.last()) {
            (Some(first), Some(last)) => last.end_minutes() > 24 * 60 + first.from.minutes(),
            _ => false,
        };
        !overlap && !over_midnight
    }
}

impl fmt::Display for DaySpan {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{}", self.from, self.to)
    }
}

/// Staffed hours that persons share.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hours {
    /// What they are called.
    pub name: String,
    /// On which days.
    pub days: Vec<Weekday>,
    /// The spans of such a day, in their order; what lies between them is a break.
    pub spans: Vec<DaySpan>,
}

/// Days on which nobody is there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holiday {
    /// What it is called.
    pub name: String,
    /// Its first day, as `2026-12-25`.
    pub date: String,
    /// Its last day; none where it is one day.
    pub until: Option<String>,
}

/// Every key of an `[[hours]]`.
pub(super) fn hours(keys: &Keys<'_>) -> Hours {
    let hours = Hours {
        name: keys.text("name", "what these hours are called").required(),
        days: days(keys),
        spans: spans(keys),
    };
    if !DaySpan::follow(&hours.spans) && keys.sound("spans") {
        let help = "write them in the order of the day, none beginning before the last one ends";
        keys.trouble("spans", "these spans overlap or are out of order", help);
    }
    hours
}

fn days(keys: &Keys<'_>) -> Vec<Weekday> {
    let texts = keys.texts("days", "on which days: mon, tue, wed, thu, fri, sat, sun");
    let mut days = Vec::new();
    for text in texts.required() {
        match Weekday::words().iter().find(|(word, _, _)| *word == text) {
            Some((_, day, _)) if days.contains(day) => {
                let message = format!("the day \"{text}\" stands here twice");
                keys.trouble("days", message, "write each day once");
            }
            Some((_, day, _)) => days.push(*day),
            None => {
                let message = format!("there is no day \"{text}\"");
                keys.trouble("days", message, "write mon, tue, wed, thu, fri, sat or sun");
            }
        }
    }
    days
}

fn spans(keys: &Keys<'_>) -> Vec<DaySpan> {
    let texts = keys.texts("spans", "when on such a day, as \"07:00-12:00\"").required();
    let mut spans = Vec::new();
    for text in texts {
        match DaySpan::parse(&text) {
            Some(span) => spans.push(span),
            None => {
                let message = format!("\"{text}\" is no span of a day");
                let help = "write two times of the wall clock such as \"07:00-12:00\"; \"22:00-06:00\" ends on the next day";
                keys.trouble("spans", message, help);
                keys.spoil("spans");
            }
        }
    }
    spans
}

/// Every key of a `[[holiday]]`.
pub(super) fn holiday(keys: &Keys<'_>) -> Holiday {
    let holiday = Holiday {
        name: keys.text("name", "what the holiday is called").or("holiday".to_owned()),
        date: keys.date("date", "its first day").required(),
        until: keys.date("until", "its last day; left out, it is one day").optional(),
    };
    // Dates of one form sort as text.
    let backward = holiday.until.as_ref().is_some_and(|until| *until < holiday.date);
    if backward && keys.sound("date") && keys.sound("until") {
        keys.trouble("until", "the last day lies before the first", "exchange the two dates");
    }
    holiday
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_and_spans_are_read_exactly() {
        assert_eq!(TimeOfDay::parse("07:30").unwrap().minutes(), 450);
        assert_eq!(TimeOfDay::parse("24:00").unwrap().to_string(), "24:00");
        for wrong in ["24:01", "7:60", "7", "7:5", ":30", "-1:00", "07:30:00", "070:30"] {
            assert_eq!(TimeOfDay::parse(wrong), None, "{wrong}");
        }
        assert_eq!(DaySpan::parse("22:00-06:00").unwrap().end_minutes(), 30 * 60);
        assert_eq!(DaySpan::parse("00:00 - 24:00").unwrap().end_minutes(), 24 * 60);
        for wrong in ["07:00", "07:00-07:00", "24:00-02:00", "07:00–12:00"] {
            assert_eq!(DaySpan::parse(wrong), None, "{wrong}");
        }
    }
}
