//! Recorded events: what really happened at the lathes, and what follows from it.
//!
//! Everything that is shown of the shop is a pure fold over recorded events: [`State`] is what stands now,
//! [`Tally`] what an order has used, [`bars`](fn@bars) which parts came of which heat number. Nobody keeps a
//! second account that could drift from the events.
//!
//! Events are told by many clients, some late, some with a wrong clock. [`Order`] is the one order in which all of
//! them are folded: first how often the store's own clock had been set back, then the time, then the place in the
//! log. A correction changes what an earlier event says, at that event's place ([`Corrections`]).
//!
//! Read in this order: [`stamp`], [`event`], [`correction`], [`lathe`], [`tally`], [`rack`], [`state`], [`trace`],
//! [`visit`].

pub mod correction;
pub mod event;
pub mod lathe;
pub mod name;
pub mod rack;
pub mod stamp;
pub mod state;
pub mod tally;
pub mod trace;
pub mod visit;

pub use correction::Corrections;
pub use event::{Event, Order, Recorded, What};
pub use lathe::{BarNow, LatheNow, Runs};
pub use name::Name;
pub use rack::{Racked, RackedKind};
pub use stamp::{Lapse, Stamp};
pub use state::State;
pub use tally::Tally;
pub use trace::{BarRun, bars};
pub use visit::{Due, Reason, visits};
