//! Whole features of a part: one put in, one taken out.

use super::{Desk, Done, Wished, edit, fields};
use crate::serve::shelf::Shelf;
use model::files::FileKind;

/// A wish to put a feature of the part in, or to take one out.
#[derive(Debug, Clone)]
pub(in super::super) enum Reshape {
    /// At this place from 0, with these keys.
    Put(usize, Vec<(String, String)>),
    /// The one at this place.
    Take(usize),
}

/// The list of features in a job file.
pub(in super::super) const FEATURES: &str = "part.feature";

impl Desk {
    /// As [`Self::wished`], for a wish about a whole feature.
    fn reshaped(&self, folder: &Shelf, wish: &Reshape) -> Result<Wished, (String, String)> {
        let unknown = || ("there is no such file".to_owned(), String::new());
        let file = self.file(FileKind::Job).ok_or_else(unknown)?;
        let text = match wish {
            Reshape::Take(place) => edit::list::take_out(&file.text, FEATURES, *place),
            Reshape::Put(place, values) => {
                let facts: Vec<_> = values
                    .iter()
                    .map(|(key, _)| fields::fact(FileKind::Job, &format!("{FEATURES}[].{key}")))
                    .collect::<Option<_>>()
                    .ok_or_else(|| ("there is no such key".to_owned(), String::new()))?;
                let values: Vec<_> = values
                    .iter()
                    .zip(&facts)
                    .map(|((key, typed), fact)| (key.as_str(), &fact.kind, typed.as_str()))
                    .collect();
                edit::list::put(&file.text, FEATURES, *place, &values)
            }
        };
        self.judged(folder, FileKind::Job, text.map_err(|why| (why, String::new()))?)
    }

    /// The answer as it would be with a feature put in or taken out, nothing saved.
    pub(in super::super) fn try_shape(&mut self, folder: &Shelf, wish: &Reshape) -> Done {
        let wished = self.reshaped(folder, wish);
        self.tried(folder, FileKind::Job, wished)
    }

    /// Puts a feature in or takes one out, and saves that. `was` is the number of features that the page showed.
    pub(in super::super) fn reshape(
        &mut self,
        folder: &Shelf,
        wish: &Reshape,
        was: Option<usize>,
    ) -> Done {
        let elsewhere = self.read_anew(folder);
        let Some(file) = self.file(FileKind::Job).cloned() else {
            return Done::Refused("there is no such file".to_owned(), String::new());
        };
        let there = fields::features(&file.text);
        // A place means another feature once somebody else put one in or took one out.
        if was.is_some_and(|was| was != there) {
            let why = format!("the part was changed elsewhere: it has {there} features now");
            return Done::Refused(why, "look at it anew, and decide".to_owned());
        }
        let wished = self.reshaped(folder, wish);
        match wished.and_then(|(text, _)| self.save(folder, FileKind::Job, None, text)) {
            Ok(()) if elsewhere => Done::Merged(self.laid(folder), file.name),
            Ok(()) => Done::Shown(self.laid(folder)),
            Err((why, mend)) => Done::Refused(why, mend),
        }
    }
}
