//! `[variables]` and `[counter]` of a control file: what programs count with, and what clears it.

use super::code::{self, Code};
use crate::files::keys::Keys;

/// The control's variables.
#[derive(Debug, Clone, PartialEq)]
pub struct Variables {
    /// First and last of the common variables that power-off clears.
    pub volatile: (u32, u32),
    /// Whether reset clears those too.
    pub reset_clears_volatile: bool,
    /// First and last of the common variables that are kept.
    pub kept: (u32, u32),
    /// Deepest nesting of subprogram calls.
    pub call_depth: usize,
    /// Whether a subprogram called by M98 has local variables of its own.
    pub call_makes_locals: bool,
}

pub(super) fn keys(keys: &Keys<'_>) -> Variables {
    let number = 100..=9999;
    let range = |first, last, of: [i64; 2]| {
        let low = keys.count(first, "first variable of this range", number.clone()).or(of[0]);
        let high = keys.count(last, "last variable of this range", number.clone()).or(of[1]);
        if high < low {
            keys.trouble(
                last,
                format!("this range ends before it starts, at {low}"),
                "write the larger number here",
            );
        }
        (low as u32, high as u32)
    };
    let volatile = range("volatile_first", "volatile_last", [100, 199]);
    let kept = range("kept_first", "kept_last", [500, 999]);
    if volatile.0 <= kept.1 && kept.0 <= volatile.1 {
        let (first, last) = kept;
        let message = format!("these variables are among those that are kept, {first} to {last}");
        keys.trouble("volatile_last", message, "end one range before the other begins");
    }
    Variables {
        volatile,
        reset_clears_volatile: keys
            .flag("reset_clears_volatile", "whether reset clears the volatile variables")
            .or(false),
        kept,
        call_depth: keys.count("call_depth", "deepest nesting of subprogram calls", 1..=100).or(4)
            as usize,
        call_makes_locals: keys
            .flag(
                "call_makes_locals",
                "whether M98 gives the subprogram local variables of its own",
            )
            .or(false),
    }
}

/// The control's own part counter.
#[derive(Debug, Clone, PartialEq)]
pub struct Counter {
    /// System variable that reads the parts made.
    pub made: u32,
    /// System variable that reads the parts wanted.
    pub wanted: Option<u32>,
    /// The words that step it.
    pub counted_by: Vec<Code>,
}

pub(super) fn counter(keys: &Keys<'_>) -> Counter {
    let number = 1000..=99_999;
    Counter {
        made: keys
            .count("made", "system variable that reads the parts made", number.clone())
            .required() as u32,
        wanted: keys
            .count("wanted", "system variable that reads the parts wanted", number)
            .optional()
            .map(|number| number as u32),
        counted_by: code::list(keys, "counted_by", "words that step the counter"),
    }
}
