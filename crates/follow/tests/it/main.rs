//! Following a machine, against a stand-in agent, and against what no agent should send.
#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::disallowed_methods,
    reason = "tests fail where anything is not as it should be"
)]

mod agent;
mod hostile;
mod journeys;
mod schema;
