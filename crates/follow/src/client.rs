//! Follows one device over the network.

use crate::document::{BadDocument, Devices, Document};
use crate::follower::{Follower, Place, Refused};
use crate::happening::Happening;
use crate::http::{self, Address, Bounds, NoAnswer};
use crate::watch::{Unclear, Watch};
use std::fmt;
use std::time::Duration;

/// Follows one device over the network.
#[derive(Debug, Clone)]
pub struct Client {
    address: Address,
    bounds: Bounds,
    follower: Follower,
}

/// Why nothing was learned this time. All but [`Trouble::Unclear`] pass by themselves, perhaps.
#[derive(Debug)]
pub enum Trouble {
    /// No answer.
    NoAnswer(NoAnswer),
    /// An answer that is no document.
    Document(BadDocument),
    /// A document that says nothing of what was asked.
    Refused(Refused),
    /// It is not clear what to watch.
    Unclear(Unclear),
}

impl fmt::Display for Trouble {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Trouble::NoAnswer(why) => why.fmt(f),
            Trouble::Document(why) => why.fmt(f),
            Trouble::Unclear(why) => why.fmt(f),
            Trouble::Refused(Refused::Agent(errors)) => {
                let told: Vec<String> =
                    errors.iter().map(|it| format!("{}: {}", it.code, it.words)).collect();
                write!(f, "the agent refuses: {}", told.join("; "))
            }
            Trouble::Refused(Refused::NotStreams) => {
                f.write_str("the agent answers something else than was asked")
            }
            Trouble::Refused(Refused::Backward(next)) => {
                write!(f, "the agent's numbers go backward, to {next}")
            }
        }
    }
}

impl std::error::Error for Trouble {}

impl From<NoAnswer> for Trouble {
    fn from(why: NoAnswer) -> Trouble {
        Trouble::NoAnswer(why)
    }
}

impl From<BadDocument> for Trouble {
    fn from(why: BadDocument) -> Trouble {
        Trouble::Document(why)
    }
}

/// What an agent has: its answer to `probe`.
///
/// # Errors
/// No answer, or another one.
pub fn probe(address: &Address, bounds: Bounds) -> Result<Devices, Trouble> {
    match Document::read(&http::get(address, "probe", bounds)?)? {
        Document::Devices(devices) => Ok(devices),
        Document::Errors(errors) => Err(Trouble::Refused(Refused::Agent(errors))),
        Document::Streams(_) => Err(Trouble::Refused(Refused::NotStreams)),
    }
}

impl Client {
    /// Asks the agent what it has, and begins to follow the device of this name or uuid; goes on at
    /// a place that was kept.
    ///
    /// # Errors
    /// No answer, or one from which it is not clear what to watch.
    pub fn of(
        address: Address,
        device: Option<&str>,
        place: Option<Place>,
        bounds: Bounds,
    ) -> Result<Client, Trouble> {
        let devices = probe(&address, bounds)?;
        let watch = Watch::of(&devices, device).map_err(Trouble::Unclear)?;
        Ok(Client { address, bounds, follower: Follower::new(watch, place) })
    }

    /// Asks once, and gives what has happened since the last time.
    ///
    /// # Errors
    /// See [`Trouble`]; then the place stays, and [`Client::wait`] grows.
    pub fn look(&mut self) -> Result<Vec<Happening>, Trouble> {
        let query = self.follower.request().query();
        let read = http::get(&self.address, &query, self.bounds)
            .map_err(Trouble::from)
            .and_then(|bytes| Document::read(&bytes).map_err(Trouble::from));
        match read {
            Ok(document) => self.follower.take(document).map_err(Trouble::Refused),
            Err(trouble) => {
                self.follower.failed();
                Err(trouble)
            }
        }
    }

    /// Where one is; see [`Follower::place`].
    pub const fn place(&self) -> Option<Place> {
        self.follower.place()
    }

    /// What the agent's clock showed with its last answer; see [`Follower::clock`].
    pub fn clock(&self) -> Option<&str> {
        self.follower.clock()
    }

    /// How long to wait before looking again.
    pub fn wait(&self) -> Duration {
        self.follower.wait()
    }
}
