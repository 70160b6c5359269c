//! The nouns: exact lengths, quantities, the files a job is made of, findings, recorded events.
//!
//! **Invariant:** this crate knows no formula, no NC word and no disk. Lengths that a count or a
//! position depends on are [`Length`]s, whole numbers of nanometers.
//!
//! The one frame of all positions: `z` runs along the spindle axis, positive away from the chuck,
//! with zero at the finished front face of the part; `r` is the distance from that axis.
//!
//! Read in this order: [`length`], [`money`], [`quantity`], [`source`], [`diagnostic`], [`finding`],
//! [`standards`], [`files`], [`record`].
#![forbid(unsafe_code)]

pub mod diagnostic;
pub mod files;
pub mod finding;
pub mod insert;
pub mod length;
pub mod money;
pub mod page;
pub mod quantity;
pub mod record;
pub mod source;
pub mod standards;

pub use diagnostic::Diagnostic;
pub use finding::{Finding, Level, Unproven};
pub use length::{Length, Units};
pub use money::Money;
pub use source::{Files, Source, Span};
