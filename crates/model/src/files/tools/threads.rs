//! What a tool makes of threads and knurls, and whether it works in a bore.

use super::{Hand, ToolKind};
use crate::Length;
use crate::files::keys::{Choice as _, Keys};
use crate::standards::knurl::Knurl;

/// The pitches that a tap or a thread edge makes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pitches {
    /// The one pitch of a tap, or of a thread edge with a full profile.
    pub pitch: Option<Length>,
    /// Smallest and largest pitch of a thread edge that cuts many.
    pub range: (Option<Length>, Option<Length>),
    /// Which way round a tap winds.
    pub hand: Hand,
}

impl Pitches {
    /// Whether it makes this pitch; none where the file does not say.
    pub fn makes(&self, pitch: Length) -> Option<bool> {
        if let Some(one) = self.pitch {
            return Some((one - pitch).abs() <= SAME);
        }
        let (least, most) = self.range;
        (least.is_some() || most.is_some()).then(|| {
            least.is_none_or(|least| least <= pitch + SAME)
                && most.is_none_or(|most| pitch <= most + SAME)
        })
    }

    /// Whether the edge has the whole profile of its one pitch, crest and ground.
    pub const fn is_full(&self) -> bool {
        self.pitch.is_some()
    }
}

/// Pitches of threads to the inch are no round lengths.
const SAME: Length = Length::from_um(1);

/// The keys that say which pitches a tool makes.
pub(super) fn pitches(keys: &Keys<'_>) -> Pitches {
    let length = |key, meaning| {
        keys.length(key, meaning, Length::from_um(50)..=Length::from_mm(25)).optional()
    };
    let pitches = Pitches {
        pitch: length("pitch", "pitch of a tap, or of a thread edge with a full profile"),
        range: (
            length("least_pitch", "smallest pitch of a thread edge that cuts many"),
            length("most_pitch", "largest pitch of a thread edge that cuts many"),
        ),
        hand: keys.choice("hand", "which way round a tap winds").or(Hand::Right),
    };
    if let (Some(least), Some(most)) = pitches.range
        && most < least
    {
        let message =
            format!("the largest pitch is below the smallest, {}", least.shown(keys.units()));
        keys.trouble("most_pitch", message, "write the larger one here");
    }
    pitches
}

/// The knurl of a knurling tool, by its designation.
pub(super) fn knurl(keys: &Keys<'_>) -> Option<Knurl> {
    let meaning = "the knurl that a knurling tool rolls, such as \"RAA 0.8\" (DIN 82)";
    let text = keys.text("knurl", meaning).optional()?;
    match Knurl::read(&text) {
        Ok(knurl) => Some(knurl),
        Err(refusal) => {
            keys.trouble("knurl", refusal.message, &refusal.help);
            None
        }
    }
}

/// Whether a grooving or threading tool works in a bore.
pub(super) fn inside(keys: &Keys<'_>, kind: ToolKind) -> bool {
    let inside =
        keys.flag("inside", "whether a grooving or threading tool works in a bore").or(false);
    let either = matches!(kind, ToolKind::Grooving | ToolKind::Threading);
    if inside && !either && keys.sound("kind") {
        let message = format!("a {} tool has no `inside`", kind.word());
        keys.trouble("inside", message, "take this line out; a boring tool always works in a bore");
    }
    inside && either
}
