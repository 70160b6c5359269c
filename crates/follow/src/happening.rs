//! What happened on a machine, in words that a log can keep.

use std::fmt;

/// Which observation a happening comes from: the run of the agent and the number in it. It is the
/// same whenever the same observation comes again, so that a log counts it once.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Id {
    /// The agent's `instanceId`.
    pub instance: u64,
    /// The observation's sequence number; of a gap the first that is missing, 0 at a new run.
    pub sequence: u64,
    /// Whether it is the gap at this number, and not the observation.
    pub gap: bool,
}

impl fmt::Display for Id {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let gap = if self.gap { "gap-" } else { "" };
        write!(f, "mtconnect-{}-{gap}{}", self.instance, self.sequence)
    }
}

/// One happening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Happening {
    /// Which observation it comes from.
    pub id: Id,
    /// When it was, as the agent writes it (xs:dateTime, mostly UTC).
    pub time: String,
    /// What happened.
    pub what: What,
}

/// What happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// So many more parts were counted.
    Parts {
        /// How many more than before.
        more: u64,
        /// What the counter shows.
        total: u64,
        /// Whether they fell into a gap, so that when each was made is not known.
        in_gap: bool,
    },
    /// The counter shows less than before: someone set it back, or it began anew. What was made
    /// before it was set back, unseen, is not known.
    CountSetBack {
        /// What it showed.
        from: u64,
        /// What it shows.
        to: u64,
    },
    /// What the control does changed.
    State(State),
    /// The bar has ended.
    BarEnded,
    /// Observations were lost: the agent's buffer ran over, or the agent started anew.
    Gap(Gap),
}

/// What a control does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum State {
    /// A program runs.
    Running,
    /// Nothing runs; it could be started.
    Ready,
    /// The program waits by itself for something else.
    Waiting,
    /// The program was held or stopped, by a person or by a fault.
    Stopped,
    /// The program stopped itself, by a stop in its text.
    ProgramStopped,
    /// The program has ended.
    Ended,
    /// It is not told.
    Unknown,
}

impl State {
    /// From the word of an `Execution` event. READY, ACTIVE and INTERRUPTED stand with their meaning
    /// in what was seen of the standard; the others are from memory. A word that is not known is
    /// [`State::Unknown`].
    pub fn of(word: &str) -> State {
        match word {
            "ACTIVE" => State::Running,
            "READY" => State::Ready,
            "WAIT" => State::Waiting,
            "INTERRUPTED" | "STOPPED" | "FEED_HOLD" => State::Stopped,
            "PROGRAM_STOPPED" | "OPTIONAL_STOP" | "PROGRAM_OPTIONAL_STOP" => State::ProgramStopped,
            "PROGRAM_COMPLETED" => State::Ended,
            _ => State::Unknown,
        }
    }

    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            State::Running => "running",
            State::Ready => "ready",
            State::Waiting => "waiting",
            State::Stopped => "stopped",
            State::ProgramStopped => "program-stopped",
            State::Ended => "ended",
            State::Unknown => "unknown",
        }
    }
}

/// Why observations are missing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gap {
    /// The agent's buffer no longer held them: the first and the last that are missing.
    Overrun {
        /// First that is missing.
        from: u64,
        /// Last that is missing.
        to: u64,
    },
    /// The agent started anew; this was its run before.
    Restart {
        /// Its `instanceId` then.
        before: u64,
    },
}
