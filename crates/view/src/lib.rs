//! .
#![forbid(unsafe_code)]
