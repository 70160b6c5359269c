//! Following a machine, against a stand-in agent, and against what no agent should send.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "tests reckon the plain way, read and write their files, and stop where their world is wrong"
)]

mod agent;
mod hostile;
mod journeys;
mod schema;
