//! Any bytes are read and printed: the text comes back and reads as the same tree.
#![no_main]

#[path = "../../crates/nc/tests/holds/holds.rs"]
#[allow(dead_code, reason = "shared with another target")]
mod holds;

libfuzzer_sys::fuzz_target!(|bytes: &[u8]| holds::print_and_read(bytes));
