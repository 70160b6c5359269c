//! Times in the time of this place.

use jiff::civil::{Date, DateTime, Time};
use jiff::tz::TimeZone;
use jiff::{Timestamp, ZonedDateTime};
use model::record::{Lapse, Stamp};

fn zoned(stamp: Stamp) -> Option<ZonedDateTime> {
    Timestamp::from_millisecond(stamp.ms())
        .ok()
        .map(|time| time.to_zoned_datetime(TimeZone::system()))
}

/// `2026-12-01 14:30`, in the time of this place.
pub(crate) fn shown(stamp: Stamp) -> String {
    zoned(stamp).map_or_else(
        || runlog::wire::stamp_text(stamp),
        |time| time.strftime("%Y-%m-%d %H:%M").to_string(),
    )
}

/// `2026-12-01`, in the time of this place.
pub(crate) fn day(stamp: Stamp) -> String {
    shown(stamp).split(' ').next().unwrap_or_default().to_owned()
}

/// `14:30` on the same day as now, else with its day.
pub(super) fn near(stamp: Stamp, now: Stamp) -> String {
    let text = shown(stamp);
    match (text.split_once(' '), shown(now).split_once(' ')) {
        (Some((day, time)), Some((today, _))) if day == today => time.to_owned(),
        _ => text,
    }
}

/// `3 d 2 h`, `2 h 10 min`, `12 min`, `40 s`.
pub(super) fn lapse(lapse: Lapse) -> String {
    let s = lapse.ms() / 1000;
    match (s / 3600, s / 60 % 60, s % 60) {
        (0, 0, s) => format!("{s} s"),
        (0, min, _) => format!("{min} min"),
        (48.., _, _) => format!("{} d {} h", s / 86_400, s / 3600 % 24),
        (h, 0, _) => format!("{h} h"),
        (h, min, _) => format!("{h} h {min} min"),
    }
}

/// A time that a person typed: of today, of a day, a day from its first minute, or with a zone.
pub(crate) fn parse(text: &str, now: Stamp) -> Option<Stamp> {
    let text = text.trim();
    let stamp = |time: Timestamp| Stamp::from_ms(time.as_millisecond());
    if let Ok(time) = text.parse::<Timestamp>() {
        return Some(stamp(time));
    }
    let local = |time: DateTime| {
        time.to_zoned_datetime(TimeZone::system()).ok().map(|it| stamp(it.timestamp()))
    };
    // The library reads the time of a whole date too.
    let only_time = !text.contains('-');
    if let Some(time) = text.parse::<Time>().ok().filter(|_| only_time) {
        return local(zoned(now)?.date().to_datetime(time));
    }
    match text.parse::<DateTime>() {
        Ok(time) => local(time),
        Err(_) => local(text.parse::<Date>().ok()?.to_datetime(Time::midnight())),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_are_read_as_people_write_them() {
        let now = parse("2026-12-01 09:00", Stamp::default()).unwrap();
        assert_eq!(parse("14:30", now), parse("2026-12-01 14:30", now));
        assert_eq!(parse("2026-12-01T14:30:00Z", now).unwrap().ms(), 1_796_135_400_000);
        assert_eq!(parse("2026-12-01", now), parse("2026-12-01 00:00", now));
        assert_eq!(shown(parse("2025-02-03 14:30", now).unwrap()), "2025-02-03 14:30");
        assert_eq!(shown(parse("2026-12-01 14:30", now).unwrap()), "2026-12-01 14:30");
        assert_eq!(near(parse("14:30", now).unwrap(), now), "14:30");
        for text in ["", "noon", "25:00", "2026-13-01", "14:30 tomorrow"] {
            assert_eq!(parse(text, now), None, "{text}");
        }
    }

    #[test]
    fn lapses_are_short() {
        let shown: Vec<String> =
            [0, 59, 60, 3599, 3600, 7860, 172_799, 183_600].map(|s| lapse(Lapse::from_s(s))).into();
        assert_eq!(
            shown,
            ["0 s", "59 s", "1 min", "59 min", "1 h", "2 h 11 min", "47 h 59 min", "2 d 3 h"]
        );
    }
}
