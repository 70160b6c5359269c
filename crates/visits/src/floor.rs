//! The floor of a shop in seconds, as the simulation runs it.

use crate::chance::Scatter;

/// A visit and the run behind it, in seconds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turn {
    /// How long someone is there.
    pub service: f64,
    /// How long the lathe then runs by itself.
    pub run: f64,
}

/// Stops that nobody planned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stops {
    /// Running time between them, on average; they come at any moment alike.
    pub every: f64,
    /// How long someone is there for one.
    pub takes: f64,
    /// How that scatters.
    pub scatter: Scatter,
}

/// A lathe.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorLathe {
    /// When it stands first.
    pub stands_at: f64,
    /// Its turns, which begin anew when all were made; never empty.
    pub turns: Vec<Turn>,
    /// How its running times scatter.
    pub run: Scatter,
    /// Stops that nobody planned.
    pub stops: Option<Stops>,
}

/// A person.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorPerson {
    /// When this person is there, in order.
    pub spans: Vec<(f64, f64)>,
    /// Whether this person attends each of the lathes.
    pub attends: Vec<bool>,
}

/// Where someone who is free goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// Where a minute of walking and attending gives most running time.
    MostRunning,
    /// To the lathe that has stood longest.
    FirstStood,
}

/// A shop to be simulated.
#[derive(Debug, Clone, PartialEq)]
pub struct Floor {
    /// How long.
    pub horizon: f64,
    /// The lathes.
    pub lathes: Vec<FloorLathe>,
    /// The people.
    pub people: Vec<FloorPerson>,
    /// The walk from each place to each other: the lathes in their order, then the door.
    pub walk: Vec<Vec<f64>>,
    /// How the times of attending scatter.
    pub service: Scatter,
    /// Where someone who is free goes.
    pub rule: Rule,
}
