//! The short words of a drawing in a feature: tolerance classes, threads, undercuts, rings, knurls and
//! drills by name.

use super::{Feature, FeatureKind};
use crate::Length;
use crate::files::keys::Keys;
use crate::standards::fit::Class;
use crate::standards::knurl::Knurl;
use crate::standards::ring::RingStandard;
use crate::standards::thread::ThreadForm;
use crate::standards::undercut::{Undercut, UndercutForm};
use crate::standards::{Refusal, drill};

/// The words as the file has them.
pub(super) struct Words {
    tolerance: Option<String>,
    thread: Option<String>,
    undercut: Option<String>,
    ring: Option<String>,
    knurl: Option<String>,
    drill: Option<String>,
}

/// Reads the words.
pub(super) fn read(keys: &Keys<'_>) -> Words {
    let word = |key, meaning| keys.text(key, meaning).optional();
    Words {
        tolerance: word("tolerance", "tolerance class of ISO 286, as \"h7\", or \"H7\" in a bore"),
        thread: word("thread", "a thread by its designation, as \"M10x1-6g\" or \"1/4-20 UNC-2A\""),
        undercut: word(
            "undercut",
            "an undercut by its designation, as \"F 0.6x0.3\" or \"DIN 76 A\"",
        ),
        ring: word("ring", "the retaining ring that a groove is for: \"DIN 471\" or \"DIN 472\""),
        knurl: word(
            "knurl",
            "a knurl by its form and pitch in mm, as \"RAA 0.8\" or \"diamond 0.8\"",
        ),
        drill: word("drill", "the drill of a hole by its name, as \"#7\", \"F\" or \"5/16\""),
    }
}

/// What a word stands for; tells why it cannot be taken.
fn taken<T>(keys: &Keys<'_>, key: &str, read: Result<T, Refusal>) -> Option<T> {
    match read {
        Ok(value) => Some(value),
        Err(Refusal { message, help }) => {
            keys.trouble(key, message, help);
            keys.spoil(key);
            None
        }
    }
}

impl Words {
    /// Fills in what the words stand for; gives the form of an undercut whose sizes follow from a
    /// thread.
    pub(super) fn fill_in(self, keys: &Keys<'_>, feature: &mut Feature) -> Option<UndercutForm> {
        if let Some(name) = &self.drill {
            feature.diameter = taken(keys, "drill", drill::diameter(name)).unwrap_or_default();
        }
        if let Some(text) = &self.tolerance {
            tolerance(keys, text, feature);
        }
        if let Some(text) = &self.thread {
            let form = taken(keys, "thread", ThreadForm::read(text, feature.inside));
            if let Some(form) = form {
                (feature.diameter, feature.pitch) = (form.nominal, form.pitch);
                feature.starts = form.starts;
                feature.form = Some(form);
            }
        }
        if let Some(text) = &self.ring {
            feature.ring = taken(keys, "ring", ring(text, feature.inside));
        }
        if let Some(text) = &self.knurl {
            feature.knurl = taken(keys, "knurl", Knurl::read(text));
        }
        let text = self.undercut?;
        let (form, size) = taken(keys, "undercut", UndercutForm::read(&text, feature.inside))?;
        if matches!(form, UndercutForm::Thread | UndercutForm::ShortThread) {
            return Some(form);
        }
        feature.undercut = taken(keys, "undercut", Undercut::din_509(form, &size));
        None
    }
}

/// The deviations of a tolerance class.
fn tolerance(keys: &Keys<'_>, text: &str, feature: &mut Feature) {
    if keys.stands("upper") || keys.stands("lower") {
        let message = "this diameter has a tolerance class and limits of its own";
        keys.trouble("tolerance", message, "keep `tolerance`, or `upper` and `lower`");
        return;
    }
    let Some(class) = taken(keys, "tolerance", Class::read(text)) else { return };
    let hole = feature.inside || matches!(feature.kind, FeatureKind::Bore | FeatureKind::Hole);
    if class.is_for_holes() != hole {
        let (is, this) = if hole { ("shafts", "a hole") } else { ("holes", "outside") };
        let message = format!("{} is a class for {is}, and this diameter is {this}", class.name());
        keys.trouble("tolerance", message, format!("write {}", class.other().name()));
        keys.spoil("tolerance");
        return;
    }
    if feature.diameter == Length::ZERO {
        // The missing diameter has its message already.
        return;
    }
    let deviations = taken(keys, "tolerance", class.deviations(feature.diameter));
    feature.deviations = deviations.unwrap_or_default();
    feature.tolerance = Some(class);
}

fn ring(text: &str, inside: bool) -> Result<RingStandard, Refusal> {
    let standard = RingStandard::read(text)?;
    match (standard, inside) {
        (RingStandard::Shaft, true) => Err(Refusal::new(
            "DIN 471 is for rings on shafts, and this groove is inside",
            "write \"DIN 472\", or take `inside` out",
        )),
        (RingStandard::Bore, false) => Err(Refusal::new(
            "DIN 472 is for rings in bores, and this groove is outside",
            "write \"DIN 471\", or `inside = true`",
        )),
        (standard, _) => Ok(standard),
    }
}
