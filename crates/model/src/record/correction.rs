//! Corrections: events too, that change what an earlier event says.

use super::event::{Recorded, What};
use super::name::Name;
use std::borrow::Cow;
use std::collections::HashMap;

/// What the log's corrections say; of several about one event the last holds.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Corrections(HashMap<Name, (u64, Option<What>)>);

impl Corrections {
    /// Takes in a correction; anything else is passed over.
    pub fn take(&mut self, recorded: &Recorded) {
        if let What::Corrected { event, instead } = &recorded.event.what {
            let place = recorded.order.place;
            let said = (place, instead.as_deref().cloned());
            match self.0.get_mut(event) {
                Some(known) if known.0 < place => *known = said,
                Some(_) => {}
                None => {
                    self.0.insert(event.clone(), said);
                }
            }
        }
    }

    /// `true` where nothing is corrected.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether an event is corrected.
    pub fn touch(&self, id: &str) -> bool {
        self.0.contains_key(id)
    }

    /// What counts of an event; nothing where it did not happen, and for corrections themselves.
    pub fn effective<'r>(&self, recorded: &'r Recorded) -> Option<Cow<'r, Recorded>> {
        if matches!(recorded.event.what, What::Corrected { .. }) {
            return None;
        }
        if self.0.is_empty() {
            return Some(Cow::Borrowed(recorded));
        }
        match self.0.get(&recorded.event.id) {
            None => Some(Cow::Borrowed(recorded)),
            Some((_, None)) => None,
            Some((_, Some(what))) => {
                let mut recorded = recorded.clone();
                recorded.event.what = what.clone();
                Some(Cow::Owned(recorded))
            }
        }
    }
}

impl<'r> FromIterator<&'r Recorded> for Corrections {
    fn from_iter<I: IntoIterator<Item = &'r Recorded>>(all: I) -> Corrections {
        let mut corrections = Corrections::default();
        for recorded in all {
            corrections.take(recorded);
        }
        corrections
    }
}
