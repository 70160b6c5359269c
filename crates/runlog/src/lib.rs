//! Keeps recorded events in one `SQLite` file a shop, append-only, and gives them back in order.
//!
//! **Promises.** What was confirmed is on the disk. An event counts once, however often it is told. Nothing is
//! changed or taken away; a correction is an event. A damaged file is told, never mended in silence.
//!
//! **Invariant:** what events mean is known to [`model::record`] alone; this package keeps them, and runs its folds.
//!
//! Read in this order: [`store`], [`append`], [`recorder`], [`query`], [`live`], [`trace`],
//! [`backup`], [`exchange`], [`wire`].
//!
//! ```
//! use model::record::{Name, What};
//! use runlog::{Log, Told};
//! let folder = tempfile::tempdir().unwrap();
//! let mut log = Log::create(&folder.path().join("shop.barlog")).unwrap();
//! let told = Told::now(Name::from("p-1"), What::PartsMade { parts: 1 }, log.now()).at_lathe("Lathe 1");
//! assert!(!log.record(std::slice::from_ref(&told)).unwrap()[0].known);
//! assert!(log.record(&[told]).unwrap()[0].known, "told twice, it counts once");
//! assert_eq!(log.count().unwrap(), 1);
//! ```
#![forbid(unsafe_code)]

pub mod append;
pub mod backup;
pub mod error;
pub mod exchange;
pub mod invented;
pub mod live;
pub mod query;
pub mod recorder;
pub mod store;
pub mod trace;
mod upgrade;
pub mod wire;

pub use append::{Kept, Told};
pub use error::{Error, Kind};
pub use live::Live;
pub use query::Query;
pub use recorder::Recorder;
pub use store::{Clock, Log};
pub use trace::Traced;
