//! Events and states as JSON: how they stand in the file, in exports and in what scripts send.
//!
//! Lengths are whole nanometers and times whole milliseconds or RFC 3339, so that nothing is rounded on the way.
//! The keys are a promise: more may come, none goes.

mod event;
mod state;
mod value;

pub use event::{Line, detail, parse_line, what};
pub(crate) use state::{read_state, state_text};
pub use value::{Wrong, stamp_of, stamp_text};
