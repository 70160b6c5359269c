//! `[read_ahead]` of a control file: how far the control reads ahead of the motion.

use super::code::{self, Code};
use crate::files::keys::Keys;

/// How far the control reads ahead of the motion.
#[derive(Debug, Clone, PartialEq)]
pub struct ReadAhead {
    /// Least blocks read ahead.
    pub least: usize,
    /// Most blocks read ahead.
    pub most: usize,
    /// Words at which reading waits until all before them is done.
    pub stoppers: Vec<Code>,
    /// Whether a block that starts with the skip sign stops reading too.
    pub skip_sign_stops: bool,
}

pub(super) fn keys(keys: &Keys<'_>) -> ReadAhead {
    let least = keys.count("least_blocks", "least blocks read ahead", 0..=1000).or(0);
    let most = keys.count("most_blocks", "most blocks read ahead", 0..=1000).required();
    if keys.sound("least_blocks") && keys.sound("most_blocks") && most < least {
        let message = format!("the most blocks read ahead cannot be fewer than the least, {least}");
        keys.trouble("most_blocks", message, "write the larger number here");
    }
    ReadAhead {
        least: least as usize,
        most: most as usize,
        stoppers: code::list(
            keys,
            "stoppers",
            "words at which reading waits until all before is done",
        ),
        skip_sign_stops: keys
            .flag("skip_sign_stops", "whether a block that starts with the skip sign stops reading")
            .or(false),
    }
}
