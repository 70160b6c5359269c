//! The blanks of one entry: names, figures, lengths and words, each read with its limits.

use super::Refused;
use model::files::keys::Choice;
use model::record::{Name, Stamp};
use model::{Length, Units};
use std::collections::BTreeMap;

/// From what to what a length may be.
pub(super) type Range = (Length, Length);

/// A bar in a spindle or on the rack. The trade's bars end at 6 m, tubes at 12 m (common practice).
pub(super) const BAR: Range = (Length::from_nm(1), Length::from_mm(20_000));
/// Across a bar.
pub(super) const SIZE: Range = (Length::from_nm(1), Length::from_mm(1000));
/// What is left of a bar; nothing may be left.
pub(super) const LEFT: Range = (Length::ZERO, Length::from_mm(20_000));
/// A size that is gauged; a runout may be nothing, a place in depth may be below nothing.
pub(super) const GAUGED: Range = (Length::from_mm(-2000), Length::from_mm(2000));
/// A move of an offset. More is a new tool, no move.
pub(super) const MOVE: Range = (Length::from_mm(-50), Length::from_mm(50));
/// Parts in one entry.
pub(super) const MOST_PARTS: u32 = 100_000;

/// What was filled in, by the names of the blanks; what is empty is left out.
#[derive(Debug, Clone, Default)]
pub(in super::super) struct Filled(BTreeMap<String, String>);

impl Filled {
    pub(in super::super) fn of(all: impl IntoIterator<Item = (String, String)>) -> Filled {
        let kept = all.into_iter().map(|(key, value)| (key, value.trim().to_owned()));
        Filled(kept.filter(|(_, value)| !value.is_empty()).collect())
    }

    pub(in super::super) fn text(&self, key: &str) -> Option<&str> {
        self.0.get(key).map(String::as_str)
    }

    pub(super) fn name(&self, key: &str) -> Result<Option<Name>, Refused> {
        let Some(text) = self.text(key) else { return Ok(None) };
        let why = || {
            let mend = "write a short text in one line";
            Refused::new(format!("{} has several lines or over 100 characters", shown(key)), mend)
        };
        Name::parse(text).map(Some).ok_or_else(why)
    }

    pub(super) fn needed(&self, key: &str) -> Result<Name, Refused> {
        self.name(key)?.ok_or_else(|| missing(key))
    }

    fn units(&self) -> Units {
        if self.text("units") == Some("inch") { Units::Inch } else { Units::Mm }
    }

    pub(super) fn length(
        &self,
        key: &str,
        (least, most): Range,
    ) -> Result<Option<Length>, Refused> {
        let Some(text) = self.text(key) else { return Ok(None) };
        let units = self.units();
        let mend = match units {
            Units::Mm => "write a length such as 12.5, or 0.5 in",
            Units::Inch => "write a length such as 0.5, 1/2 or 12.7 mm",
        };
        // A comma is what many keyboards have where others have a point.
        let pointed = text.replace(',', ".");
        let length = Length::parse_with_unit(&pointed, units)
            .map_err(|why| Refused::new(format!("{} {text}: {why}", shown(key)), mend))?;
        if length < least || length > most {
            let (what, least, most) = (shown(key), least.shown(units), most.shown(units));
            let why =
                format!("{what} cannot be {}: it goes from {least} to {most}", length.shown(units));
            return Err(Refused::new(why, mend));
        }
        Ok(Some(length))
    }

    pub(super) fn needed_length(&self, key: &str, range: Range) -> Result<Length, Refused> {
        self.length(key, range)?.ok_or_else(|| missing(key))
    }

    pub(super) fn count(&self, key: &str, least: u32, most: u32) -> Result<Option<u32>, Refused> {
        let Some(text) = self.text(key) else { return Ok(None) };
        let number = text.parse::<u32>().ok().filter(|number| (least..=most).contains(number));
        let why = || {
            let why = format!("{} cannot be {text}", shown(key));
            Refused::new(why, format!("write a whole number from {least} to {most}"))
        };
        number.map(Some).ok_or_else(why)
    }

    pub(super) fn needed_count(&self, key: &str, least: u32, most: u32) -> Result<u32, Refused> {
        self.count(key, least, most)?.ok_or_else(|| missing(key))
    }

    /// One of the words of a choice.
    pub(super) fn word<C: Choice>(&self, key: &str) -> Result<Option<C>, Refused> {
        let Some(text) = self.text(key) else { return Ok(None) };
        let found = C::words().iter().find(|(word, _, _)| *word == text);
        let why = || {
            let words: Vec<&str> = C::words().iter().map(|(word, _, _)| *word).collect();
            Refused::new(
                format!("{} cannot be {text}", shown(key)),
                format!("take one of {}", words.join(", ")),
            )
        };
        found.map(|(_, choice, _)| Some(*choice)).ok_or_else(why)
    }

    pub(super) fn needed_word<C: Choice>(&self, key: &str) -> Result<C, Refused> {
        self.word(key)?.ok_or_else(|| missing(key))
    }

    /// A number that is no length.
    pub(super) fn number(&self, key: &str, most: f64) -> Result<f64, Refused> {
        let text = self.text(key).ok_or_else(|| missing(key))?;
        let number = text.replace(',', ".").parse::<f64>().ok();
        let why = || {
            let why = format!("{} cannot be {text}", shown(key));
            Refused::new(why, format!("write a number from 0 to {most}"))
        };
        number.filter(|number| (0.0..=most).contains(number)).ok_or_else(why)
    }

    /// A time of the client's clock: whole milliseconds since 1970.
    pub(in super::super) fn stamp(&self, key: &str) -> Result<Option<Stamp>, Refused> {
        // The years that a log can keep.
        const YEARS: std::ops::RangeInclusive<i64> = 0..=253_402_300_799_999;
        let Some(text) = self.text(key) else { return Ok(None) };
        let ms = text.parse::<i64>().ok().filter(|ms| YEARS.contains(ms));
        let why =
            || Refused::new(format!("{} is no time of a clock", shown(key)), "load the page anew");
        ms.map(|ms| Some(Stamp::from_ms(ms))).ok_or_else(why)
    }
}

pub(super) fn missing(key: &str) -> Refused {
    Refused::new(format!("{} is missing", shown(key)), "fill it in")
}

/// The name of a blank in a sentence.
fn shown(key: &str) -> String {
    format!("“{}”", key.replace(['-', '_'], " "))
}
