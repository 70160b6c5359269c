//! The shop's wall clock, and seconds that pass.

use jiff::civil::{Date, DateTime};
use jiff::tz::{TimeZone, TimeZoneDatabase};
use jiff::{SignedDuration, Timestamp};
use std::fmt;

/// Why there is no clock.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum ClockError {
    /// The text is no date with a time.
    NoTime(String),
    /// The tz database has no zone of this name.
    NoZone(String),
}

impl fmt::Display for ClockError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            ClockError::NoTime(text) => write!(f, "\"{text}\" is no date with a time"),
            ClockError::NoZone(name) => write!(f, "there is no time zone \"{name}\""),
        }
    }
}

impl std::error::Error for ClockError {}

/// The wall clock of a shop, from a moment on that is called now.
///
/// Where the shop names its time zone, the hour that is put forward or back in the night lies in the seconds
/// between two times of the wall clock; else the clock is taken to run on evenly.
#[derive(Debug, Clone)]
pub struct Clock {
    now: Timestamp,
    zone: TimeZone,
    named: bool,
}

impl Clock {
    /// A clock that shows `now`, as `2026-12-01T06:30`, in the zone of this name of the tz database.
    ///
    /// # Errors
    /// Where the text is no date with a time, or there is no such zone.
    pub fn new(now: &str, zone: Option<&str>) -> Result<Clock, ClockError> {
        let (zone, named) = zone_of(zone)?;
        let no_time = || ClockError::NoTime(now.to_owned());
        let sound = now.contains(['T', 't', ' ']);
        let shown: DateTime = now.parse().map_err(|_| no_time())?;
        if !sound {
            return Err(no_time());
        }
        let now = zone.to_timestamp(shown).map_err(|_| no_time())?;
        Ok(Clock { now, zone, named })
    }

    /// What the clock of this zone shows so many seconds after the start of 1970 in UTC, as `now` of
    /// [`Clock::new`], in whole minutes.
    ///
    /// # Errors
    /// Where there is no such zone, or no such time.
    pub fn shown_at(unix: i64, zone: &str) -> Result<String, ClockError> {
        let (tz, _) = zone_of(Some(zone))?;
        let at = Timestamp::from_second(unix - unix.rem_euclid(60));
        let at = at.map_err(|_| ClockError::NoTime(unix.to_string()))?;
        let shown = tz.to_datetime(at);
        Ok(format!("{}T{:02}:{:02}", shown.date(), shown.hour(), shown.minute()))
    }

    /// Whether its zone is known, so that a moment can be told to other zones.
    pub fn is_zone_known(&self) -> bool {
        self.named
    }

    /// What the clock shows so many seconds from now.
    pub fn at(&self, seconds: i64) -> DateTime {
        self.zone.to_datetime(self.timestamp(seconds))
    }

    /// The same moment in UTC; only where the zone is known.
    pub fn utc(&self, seconds: i64) -> Option<DateTime> {
        self.named.then(|| TimeZone::UTC.to_datetime(self.timestamp(seconds)))
    }

    /// Seconds from now until the clock shows this; negative where that was before. A time that the clock leaves
    /// out when it is put forward counts as if it had gone on; one that it shows twice is the first.
    pub fn seconds_until(&self, shown: DateTime) -> i64 {
        match self.zone.to_timestamp(shown) {
            Ok(at) => at.as_second() - self.now.as_second(),
            // Beyond the year 9999.
            Err(_) => i64::MAX,
        }
    }

    /// Today.
    pub fn today(&self) -> Date {
        self.at(0).date()
    }

    fn timestamp(&self, seconds: i64) -> Timestamp {
        self.now.checked_add(SignedDuration::from_secs(seconds)).unwrap_or(Timestamp::MAX)
    }
}

fn zone_of(name: Option<&str>) -> Result<(TimeZone, bool), ClockError> {
    match name {
        None => Ok((TimeZone::UTC, false)),
        Some(name) => match TimeZoneDatabase::bundled().get(name) {
            Ok(zone) => Ok((zone, true)),
            Err(_) => Err(ClockError::NoZone(name.to_owned())),
        },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_hour_that_is_put_forward_is_no_hour() {
        // In Berlin the clock went from 2:00 to 3:00 on 2026-03-29.
        let clock = Clock::new("2026-03-28T22:00", Some("Europe/Berlin")).unwrap();
        let six = "2026-03-29T06:00".parse().unwrap();
        assert_eq!(clock.seconds_until(six), 7 * 3600);
        assert_eq!(clock.at(7 * 3600), six);
        let even = Clock::new("2026-03-28T22:00", None).unwrap();
        assert_eq!(even.seconds_until(six), 8 * 3600);
        let back = Clock::new("2026-10-24T22:00", Some("Europe/Berlin")).unwrap();
        assert_eq!(back.seconds_until("2026-10-25T06:00".parse().unwrap()), 9 * 3600);
    }

    #[test]
    fn what_is_no_time_is_said() {
        for wrong in ["", "tomorrow", "2026-02-30T06:00", "2026-12-01", "2026-12-01T25:00"] {
            assert!(matches!(Clock::new(wrong, None), Err(ClockError::NoTime(_))), "{wrong}");
        }
        let zone = Clock::new("2026-12-01T06:00", Some("Europe/Atlantis"));
        assert!(matches!(zone, Err(ClockError::NoZone(_))));
        assert_eq!(Clock::shown_at(1_795_000_000, "UTC").unwrap(), "2026-11-18T11:06");
    }
}
