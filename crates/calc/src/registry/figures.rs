//! The figures of one case, read as the calculation asks for them.

use super::CaseError;
use model::quantity::{Density, FeedPerRev, FeedRate, Seconds, SpindleSpeed, SurfaceSpeed};
use model::{Length, Units};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// The figures a case gives, each as the decimal text of its source.
pub type Given = BTreeMap<String, String>;

/// One pass over the figures of a case; remembers which were asked for.
pub(super) struct Figures<'g> {
    given: &'g Given,
    asked: RefCell<BTreeSet<String>>,
}

impl<'g> Figures<'g> {
    pub(super) fn new(given: &'g Given) -> Figures<'g> {
        Figures { given, asked: RefCell::default() }
    }

    /// A figure that nothing asked for.
    pub(super) fn unused(&self) -> Option<String> {
        let asked = self.asked.borrow();
        self.given.keys().find(|key| !asked.contains(*key)).cloned()
    }

    fn found(&self, key: &str) -> Option<&'g str> {
        self.asked.borrow_mut().insert(key.to_owned());
        self.given.get(key).map(String::as_str)
    }

    pub(super) fn text(&self, key: &str) -> Result<&'g str, CaseError> {
        self.found(key).ok_or_else(|| CaseError::Key(key.to_owned()))
    }

    fn optional(&self, key: &str) -> Result<Option<f64>, CaseError> {
        let read = |text: &str| text.parse().ok().filter(|number: &f64| number.is_finite());
        self.found(key)
            .map(|text| read(text).ok_or_else(|| CaseError::Key(key.to_owned())))
            .transpose()
    }

    pub(super) fn number(&self, key: &str) -> Result<f64, CaseError> {
        self.optional(key)?.ok_or_else(|| CaseError::Key(key.to_owned()))
    }

    pub(super) fn number_or(&self, key: &str, other: f64) -> Result<f64, CaseError> {
        Ok(self.optional(key)?.unwrap_or(other))
    }

    pub(super) fn count(&self, key: &str) -> Result<u32, CaseError> {
        self.text(key)?.parse().map_err(|_| CaseError::Key(key.to_owned()))
    }

    pub(super) fn count_or(&self, key: &str, other: u32) -> Result<u32, CaseError> {
        if self.given.contains_key(key) { self.count(key) } else { Ok(other) }
    }

    /// `key_mm` or `key_in`.
    pub(super) fn length(&self, key: &str) -> Result<Length, CaseError> {
        self.optional_length(key)?.ok_or_else(|| CaseError::Key(format!("{key}_mm")))
    }

    pub(super) fn length_or_zero(&self, key: &str) -> Result<Length, CaseError> {
        Ok(self.optional_length(key)?.unwrap_or_default())
    }

    pub(super) fn optional_length(&self, key: &str) -> Result<Option<Length>, CaseError> {
        for (end, units) in [("mm", Units::Mm), ("in", Units::Inch)] {
            let key = format!("{key}_{end}");
            if let Some(text) = self.found(&key) {
                return Length::parse(text, units).map(Some).map_err(|_| CaseError::Key(key));
            }
        }
        Ok(None)
    }

    /// Several numbers, parted by blanks.
    pub(super) fn numbers(&self, key: &str) -> Result<Vec<f64>, CaseError> {
        let read = |text: &str| text.parse().ok().filter(|number: &f64| number.is_finite());
        let numbers = self.text(key)?.split_whitespace().map(read).collect::<Option<_>>();
        numbers.ok_or_else(|| CaseError::Key(key.to_owned()))
    }

    /// Several lengths under `key_mm` or `key_in`, parted by blanks.
    pub(super) fn lengths(&self, key: &str) -> Result<Vec<Length>, CaseError> {
        let (mm, inch) = (format!("{key}_mm"), format!("{key}_in"));
        let (key, units) =
            if self.given.contains_key(&inch) { (inch, Units::Inch) } else { (mm, Units::Mm) };
        let read = |text: &str| Length::parse(text, units).ok();
        let lengths = self.text(&key)?.split_whitespace().map(read).collect::<Option<_>>();
        lengths.ok_or(CaseError::Key(key))
    }

    /// A figure under the first of these keys that is there, times that key's factor.
    pub(super) fn scaled(&self, keys: &[(&str, f64)]) -> Result<f64, CaseError> {
        for (key, factor) in keys {
            if let Some(number) = self.optional(key)? {
                return Ok(number * factor);
            }
        }
        Err(CaseError::Key(keys.first().map(|(key, _)| (*key).to_owned()).unwrap_or_default()))
    }

    pub(super) fn density(&self) -> Result<Density, CaseError> {
        // 1 lb/in³ from 1 lb = 0.45359237 kg and 1 in = 25.4 mm.
        let pounds = 0.453_592_37 / (25.4e-3 * 25.4e-3 * 25.4e-3);
        let keys = [("density_kg_per_m3", 1.0), ("density_lb_per_in3", pounds)];
        self.scaled(&keys).map(Density::from_kg_per_m3)
    }

    pub(super) fn surface_speed(&self) -> Result<SurfaceSpeed, CaseError> {
        let keys = [("surface_speed_m_per_min", 1.0), ("surface_speed_ft_per_min", 0.3048)];
        self.scaled(&keys).map(SurfaceSpeed::from_m_per_min)
    }

    pub(super) fn feed_per_rev(&self) -> Result<FeedPerRev, CaseError> {
        let keys = [("feed_mm_per_rev", 1.0), ("feed_in_per_rev", 25.4)];
        self.scaled(&keys).map(FeedPerRev::from_mm)
    }

    pub(super) fn feed_rate(&self, key: &str) -> Result<FeedRate, CaseError> {
        let (mm, m, inch) =
            (format!("{key}_mm_per_min"), format!("{key}_m_per_min"), format!("{key}_in_per_min"));
        self.scaled(&[(&mm, 1.0), (&m, 1000.0), (&inch, 25.4)]).map(FeedRate::from_mm_per_min)
    }

    pub(super) fn speed(&self, key: &str) -> Result<SpindleSpeed, CaseError> {
        self.number(&format!("{key}_rpm")).map(SpindleSpeed::from_rpm)
    }

    /// The highest spindle speed; none where it is not given.
    pub(super) fn clamp(&self) -> Result<SpindleSpeed, CaseError> {
        let clamp = self.optional("clamp_rpm")?.unwrap_or(f64::INFINITY);
        Ok(SpindleSpeed::from_rpm(clamp))
    }

    pub(super) fn seconds(&self, key: &str) -> Result<Seconds, CaseError> {
        self.number(&format!("{key}_s")).map(Seconds::from_s)
    }
}
