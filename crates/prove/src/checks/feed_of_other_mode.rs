#![doc = include_str!("feed_of_other_mode.md")]

use crate::event::{Moment, What};
use crate::report::Out;

pub(super) fn check(moment: &Moment<'_>, out: &mut Out<'_>) {
    if moment.what == What::FeedOfOtherMode {
        out.found(
            "This cut takes a feed that was given in the other mode: a number per minute now counts per revolution, or the other way round.",
            "Write a new F where the mode of the feed changes.",
        );
    }
}
