//! `[writing]` of a control file: how programs are written.

use crate::choices;
use crate::files::keys::Keys;

choices! {
    /// How roughing and finishing of the outside are written.
    TurningAs {
        Moves = "moves": "each layer as moves of its own",
        Cycle = "cycle": "by the cycles of roughing and finishing along a contour",
    }
}

choices! {
    /// How threads are written.
    ThreadsAs {
        Moves = "moves": "each pass as moves of its own",
        Box = "box": "each pass as one block of the threading box",
        Cycle = "cycle": "all passes by the cycle of many passes, in two blocks",
        OneBlock = "one-block": "all passes by the cycle of many passes, in one block",
    }
}

choices! {
    /// How drilled holes are written.
    HolesAs {
        Moves = "moves": "each peck as moves of its own",
        Cycle = "cycle": "by the drilling cycle",
        FacePeck = "face-peck": "by the cycle that pecks along Z",
    }
}

choices! {
    /// How tapped holes are written.
    TapsAs {
        Moves = "moves": "in and out as thread moves, the spindle turned back between them",
        Cycle = "cycle": "by the tapping cycle",
    }
}

/// How programs are written.
#[derive(Debug, Clone, PartialEq)]
pub struct Writing {
    /// How roughing and finishing of the outside are written.
    pub turning: TurningAs,
    /// How threads are written.
    pub threads: ThreadsAs,
    /// How drilled holes are written.
    pub drilling: HolesAs,
    /// How tapped holes are written.
    pub tapping: TapsAs,
    /// Digits of a program number.
    pub program_digits: usize,
    /// Step of block numbers; none where only jump targets are numbered.
    pub number_step: Option<u32>,
    /// Words of the safe line at the start, as they stand.
    pub safe_start: Vec<String>,
    /// Whether comments stand in the program.
    pub comments: bool,
}

pub(super) fn keys(keys: &Keys<'_>) -> Writing {
    Writing {
        turning: keys
            .choice("turning", "how roughing and finishing of the outside are written")
            .or(TurningAs::Moves),
        threads: keys.choice("threads", "how threads are written").or(ThreadsAs::Moves),
        drilling: keys.choice("drilling", "how drilled holes are written").or(HolesAs::Moves),
        tapping: keys.choice("tapping", "how tapped holes are written").or(TapsAs::Moves),
        program_digits: keys.count("program_digits", "digits of a program number", 1..=8).or(4)
            as usize,
        number_step: keys
            .count(
                "number_step",
                "step of block numbers; left out, only jump targets are numbered",
                1..=100,
            )
            .optional()
            .map(|step| step as u32),
        safe_start: keys
            .texts("safe_start", "words of the safe line at the start of a program")
            .required(),
        comments: keys.flag("comments", "whether comments stand in the program").or(true),
    }
}
