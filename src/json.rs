//! The JSON that scripts and editors rely on.

mod choice;
mod loading;
pub mod log;
mod mechanics;
mod outline;
mod plan;
mod playback;
mod prove;
mod quote;
mod sarif;
mod schema;
mod stock;
mod visits;

pub use loading::loading;
pub use outline::outline;
pub use plan::{answer, learned};
pub use playback::playback;
pub use prove::{finding, proof};
pub use quote::{cost, quote, refused};
pub use sarif::sarif;
pub use schema::schema;
pub use stock::cut_lists;
pub(crate) use visits::visits;

use serde_json::Value;

/// JSON as text, indented, with a line end.
pub fn text(value: &Value) -> String {
    // A `Value` always has a text: its keys are strings.
    let mut text = serde_json::to_string_pretty(value).unwrap_or_default();
    text.push('\n');
    text
}
