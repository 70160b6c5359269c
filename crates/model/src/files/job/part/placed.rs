//! Features that lie on others: filled in from what they lie on, and judged against it.

mod grooves;
mod threads;
mod undercuts;
mod walls;

use super::stretches::Stretches;
use super::{FeatureKind, Part};
use crate::Length;
use crate::files::keys::Keys;
use crate::standards::Refusal;
use crate::standards::undercut::UndercutForm;

/// Fills in what follows from other features and says what cannot be. `behind_threads` has the form
/// of each undercut whose sizes follow from a thread.
pub(super) fn resolve(keys: &Keys<'_>, part: &mut Part, behind_threads: &[Option<UndercutForm>]) {
    let stretches = Stretches::of(part);
    let on = On { keys, stretches };
    on.walls(part);
    on.front_face(part);
    on.crossing(part);
    for index in 0..part.features.len() {
        match part.features[index].kind {
            FeatureKind::Groove => on.groove(part, index),
            FeatureKind::Undercut => {
                on.undercut(part, index, behind_threads.get(index).copied().flatten());
            }
            FeatureKind::Thread => on.thread(part, index),
            FeatureKind::Knurl => on.knurl(part, index),
            _ => {}
        }
    }
    on.overlaps(part);
}

/// The features' ground: the stretches of the part.
struct On<'k, 'p> {
    keys: &'k Keys<'p>,
    stretches: Stretches,
}

impl On<'_, '_> {
    fn say(&self, index: usize, key: &str, message: impl Into<String>, help: impl Into<String>) {
        self.keys.trouble(&format!("feature[{index}].{key}"), message, help);
    }

    fn refuse(&self, index: usize, key: &str, refusal: Refusal) {
        self.say(index, key, refusal.message, refusal.help);
    }

    fn shown(&self, length: Length) -> String {
        length.shown(self.keys.units())
    }
}
