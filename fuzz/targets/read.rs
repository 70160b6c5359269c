//! Any bytes are read: no panic, and all that holds for every text.
#![no_main]

#[path = "../../crates/nc/tests/holds/holds.rs"]
#[allow(dead_code, reason = "shared with another target")]
mod holds;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::check(bytes));
