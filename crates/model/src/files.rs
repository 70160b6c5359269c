//! The files a job is made of. Each key stands once, in the reader of its file: name, meaning,
//! unit and range there give the reading, the messages, the JSON Schema and the docs.

pub mod control;
pub mod gripper;
pub mod job;
pub mod keys;
pub mod lathe;
pub mod material;
pub mod shop;
pub mod stock;
pub mod tools;

pub use control::Control;
pub use gripper::Gripper;
pub use job::Job;
pub use keys::{KeyFact, KeyKind, Origin};
pub use lathe::Lathe;
pub use material::Material;
pub use shop::Shop;
pub use stock::Stock;
pub use tools::Tools;

use crate::Diagnostic;
use crate::Units;

/// What a reader gives: the value where nothing was wrong, and all that was wrong.
#[derive(Debug)]
pub struct Read<T> {
    /// The value; none where a message stands in the way of using it.
    pub value: Option<T>,
    /// Every trouble of the file, in the order of its text.
    pub diagnostics: Vec<Diagnostic>,
}

/// The kinds of file, as `barwright schema` names them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FileKind {
    /// One order of one part from one bar on one lathe.
    Job,
    /// A lathe: travels, spindle, chuck, turret.
    Lathe,
    /// A gripper (bar puller).
    Gripper,
    /// What stands at each turret station.
    Tools,
    /// The words of one control.
    Control,
    /// A bar material.
    Material,
    /// What the shop has beside its lathes: saw and rack.
    Shop,
    /// What blanks are to be cut for.
    Stock,
}

impl FileKind {
    /// All kinds, in reading order.
    pub const ALL: [FileKind; 8] = [
        FileKind::Job,
        FileKind::Lathe,
        FileKind::Gripper,
        FileKind::Tools,
        FileKind::Control,
        FileKind::Material,
        FileKind::Shop,
        FileKind::Stock,
    ];

    /// The word for it on the command line.
    pub const fn word(self) -> &'static str {
        match self {
            FileKind::Job => "job",
            FileKind::Lathe => "lathe",
            FileKind::Gripper => "gripper",
            FileKind::Tools => "tools",
            FileKind::Control => "control",
            FileKind::Material => "material",
            FileKind::Shop => "shop",
            FileKind::Stock => "stock",
        }
    }

    /// Every key of such a file, in reading order.
    pub fn keys(self) -> Vec<KeyFact> {
        self.keys_in(Units::Mm)
    }

    /// The same for a file in these units: some figures that are no lengths have another unit in an inch file.
    pub fn keys_in(self, units: Units) -> Vec<KeyFact> {
        match self {
            FileKind::Job => keys::describe(job::keys, units),
            FileKind::Lathe => keys::describe(lathe::keys, units),
            FileKind::Gripper => keys::describe(gripper::keys, units),
            FileKind::Tools => keys::describe(tools::keys, units),
            FileKind::Control => keys::describe(control::keys, units),
            FileKind::Material => keys::describe(material::keys, units),
            FileKind::Shop => keys::describe(shop::keys, units),
            FileKind::Stock => keys::describe(stock::keys, units),
        }
    }
}
