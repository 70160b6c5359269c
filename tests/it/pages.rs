//! The pages: what the server answers and refuses, and whole journeys in a real browser.

mod access;
mod bars;
mod browser;
mod changes;
mod choices;
mod colors;
mod heads;
mod journeys;
mod lathe;
mod loading;
mod looks;
#[cfg(feature = "sheets")]
mod papers;
mod part;
mod pieces;
mod rack;
mod record;
mod refusals;
mod server;
mod shop;
mod shop_by_log;
mod sights;
mod sizes;
mod slow;
mod terminal;
mod tls;
