//! Follows a machine by the open standard `MTConnect` (ANSI/MTC1.4): how many parts it made, whether it
//! runs, and what was missed in between.
//!
//! An agent keeps the last observations in a buffer, each with a sequence number, and answers three
//! requests: `probe` (what there is), `current` (how it stands), `sample` (what happened from a number
//! on). It tells `instanceId`, which changes when it starts anew, and then its numbers begin again.
//!
//! **Invariant:** what an agent sends is never trusted: sizes are limited, nothing panics, and an
//! observation that comes twice gives the same [`happening::Id`] twice, so that a log counts it once.
//! This package knows no job, no lathe and no log; it only reads, and never writes to a machine.
//!
//! Read in this order: [`document`] (what an agent says), [`watch`] (which items count),
//! [`happening`], [`follower`] (what follows from it, without a socket), [`http`], [`client`].
#![forbid(unsafe_code)]

pub mod client;
pub mod document;
pub mod follower;
pub mod happening;
pub mod http;
pub mod watch;

pub use client::Client;
pub use follower::{Follower, Place};
pub use happening::{Happening, What};
pub use http::Address;
pub use watch::Watch;
