//! The pages: what the server answers and refuses, and whole journeys in a real browser.

mod browser;
mod journeys;
mod refusals;
mod server;
mod sights;
