//! What can happen, and how it is told.

use super::name::Name;
use super::rack::Racked;
use super::stamp::{Lapse, Stamp};
use crate::choices;
use crate::length::Length;
use crate::money::Money;
use std::collections::BTreeMap;

choices! {
    /// Why a lathe stands.
    StopWhy {
        Bar = "bar": "the bar is at its end",
        Order = "order": "the order is complete",
        Edge = "edge": "an edge is worn or broken",
        Size = "size": "a size is off, or is to be gauged",
        Alarm = "alarm": "the control raised an alarm",
        Chips = "chips": "chips are in the way",
        Catcher = "catcher": "the parts catcher is full",
        Shift = "shift": "nobody is there any more",
        Hand = "hand": "someone stopped it for another reason",
        NotKnown = "not-known": "nobody said why",
    }
}

choices! {
    /// Why an edge was changed.
    EdgeWhy {
        Planned = "planned": "its parts were made",
        Worn = "worn": "it was worn before its parts were made",
        Broken = "broken": "it broke",
    }
}

choices! {
    /// An axis that an offset belongs to.
    OffsetAxis {
        X = "x": "across the bar; the amount is on the diameter",
        Z = "z": "along the bar",
    }
}

choices! {
    /// What a person's time went into.
    Work {
        SetUp = "set-up": "setting the lathe up",
        Attention = "attention": "loading, clearing, changing edges",
        Gauging = "gauging": "gauging parts",
        Mending = "mending": "looking for a trouble and mending it",
    }
}

choices! {
    /// What fills while parts are made.
    Fills {
        Catcher = "catcher": "the parts catcher",
        Chips = "chips": "the chip room",
    }
}

choices! {
    /// What a follower of a machine says of its own following.
    FollowWhy {
        Began = "began": "following began here; what was counted before is not in it",
        Gap = "gap": "the agent no longer held what came between",
        Restart = "restart": "the agent started anew",
        SetBack = "set-back": "the machine's counter was set back",
        Leap = "leap": "the machine's counter leapt by more than a lathe makes",
        BarEnd = "bar-end": "the machine says that the bar is at its end",
    }
}

/// What a follower of a machine says of its own following: no part is made by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Followed {
    /// What.
    pub why: FollowWhy,
    /// The first number that is missing, the agent's run before, or what the counter showed; where following began,
    /// the number it began from.
    pub from: Option<u64>,
    /// The last number that is missing, the agent's run now, or what the counter shows.
    pub to: Option<u64>,
}

/// What an order was to take, as it was planned.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Planned {
    /// Blanks that go into the spindle.
    pub bars: Option<u32>,
    /// Length of one blank.
    pub bar_length: Option<Length>,
    /// Time of all bars, from each first cycle start to its end, without loading.
    pub running: Option<Lapse>,
    /// Time for setting up.
    pub set_up: Option<Lapse>,
    /// Edges of all stations.
    pub edges: Option<u32>,
    /// What one part costs.
    pub part_cost: Option<Money>,
}

/// How a lathe is set up for a job, with what of the plan says when someone must come.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SetUp {
    /// Path of the job file.
    pub job_file: Option<Name>,
    /// Path of the program that runs.
    pub program: Option<Name>,
    /// Digest of that program's text, to know it again.
    pub digest: Option<Name>,
    /// Parts that one blank gives.
    pub parts_per_bar: Option<u32>,
    /// Time of one part.
    pub part_time: Option<Lapse>,
    /// Parts that the edge of each station is left to make.
    pub edges: BTreeMap<u32, u32>,
    /// Parts until a size that each station turns may have drifted to its limit.
    pub sizes: BTreeMap<u32, u32>,
    /// Parts until something is full.
    pub fills: BTreeMap<Fills, u32>,
    /// Parts from one gauging to the next.
    pub gauge_every: Option<u32>,
    /// The lathe is left alone no longer than this.
    pub never_longer: Option<Lapse>,
}

/// A bar that went into the spindle.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Loaded {
    /// What stands on its label.
    pub bar: Option<Name>,
    /// Its heat number.
    pub heat: Option<Name>,
    /// The name of its material.
    pub material: Option<Name>,
    /// Diameter, or size across flats.
    pub size: Option<Length>,
    /// Its length.
    pub length: Option<Length>,
    /// Parts that it gives; none where the set-up says it.
    pub gives: Option<u32>,
    /// The item of the rack that it was taken from.
    pub from: Option<Name>,
}

/// A stop, as far as it is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stopped {
    /// Why.
    pub why: StopWhy,
    /// The line of the main program that was not done, or of another file, such as `O2081.nc:7`.
    pub block: Option<Name>,
}

/// What a gauge said.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reading {
    /// A size.
    Size(Length),
    /// A gauge without a scale says good.
    Good,
    /// A gauge without a scale says bad.
    Bad,
}

/// One size of one part.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Measured {
    /// The feature, by its number on the sheet or its name.
    pub feature: Name,
    /// What the gauge said.
    pub reading: Reading,
    /// The drawing's limits.
    pub low: Option<Length>,
    /// The drawing's limits.
    pub high: Option<Length>,
    /// Which part of the bar it was, counted from 1.
    pub part: Option<u32>,
    /// The gauge.
    pub gauge: Option<Name>,
}

/// What happened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum What {
    /// An order of a job came in. Opened while it is open, it has a new quantity and plan.
    OrderOpened {
        /// Parts wanted.
        quantity: u32,
        /// What they were to take.
        planned: Planned,
    },
    /// An order is done with.
    OrderClosed,
    /// The lathe is set up for the job.
    SetUpDone(Box<SetUp>),
    /// A bar went into the spindle.
    BarLoaded(Box<Loaded>),
    /// The bar is out of the spindle.
    BarEnded {
        /// What is left of it, where someone measured.
        remnant: Option<Length>,
    },
    /// Parts were parted off.
    PartsMade {
        /// How many.
        parts: u32,
    },
    /// The lathe's own count was read: so many parts of this bar.
    CountRead {
        /// What it stood at.
        parts: u32,
    },
    /// Parts are no good.
    PartsScrapped {
        /// How many.
        parts: u32,
        /// Why.
        why: Option<Name>,
    },
    /// The lathe runs.
    Started,
    /// The lathe stands.
    Stopped(Stopped),
    /// An edge was changed.
    EdgeChanged {
        /// Its station.
        station: u32,
        /// Why.
        why: EdgeWhy,
    },
    /// A tool's offset was changed.
    OffsetMoved {
        /// The station.
        station: u32,
        /// The axis.
        axis: OffsetAxis,
        /// By how much, with its sign; of X on the diameter.
        by: Length,
    },
    /// A part was gauged.
    SizeMeasured(Box<Measured>),
    /// What fills was emptied.
    Emptied {
        /// What.
        what: Fills,
    },
    /// Bars came in, or a remnant went back: they lie on the rack.
    PutOnRack(Box<Racked>),
    /// Something of the rack is gone, without going into a spindle here.
    OffRack {
        /// The item.
        item: Name,
        /// How many.
        count: u32,
    },
    /// A person worked on a job.
    TimeSpent {
        /// What on.
        work: Work,
        /// How long.
        time: Lapse,
    },
    /// A follower of the machine tells of its own following.
    Followed(Followed),
    /// An earlier event is wrong.
    Corrected {
        /// Its id.
        event: Name,
        /// What it should say, of the same kind; none where it did not happen.
        instead: Option<Box<What>>,
    },
}

impl What {
    /// All kinds, as stable words for files and scripts.
    pub const KINDS: [&'static str; 19] = [
        "order-opened",
        "order-closed",
        "set-up",
        "bar-loaded",
        "bar-ended",
        "parts-made",
        "count-read",
        "parts-scrapped",
        "started",
        "stopped",
        "edge-changed",
        "offset-moved",
        "size-measured",
        "emptied",
        "put-on-rack",
        "off-rack",
        "time-spent",
        "followed",
        "corrected",
    ];

    /// The word of its kind.
    pub const fn kind(&self) -> &'static str {
        match self {
            What::OrderOpened { .. } => "order-opened",
            What::OrderClosed => "order-closed",
            What::SetUpDone(_) => "set-up",
            What::BarLoaded(_) => "bar-loaded",
            What::BarEnded { .. } => "bar-ended",
            What::PartsMade { .. } => "parts-made",
            What::CountRead { .. } => "count-read",
            What::PartsScrapped { .. } => "parts-scrapped",
            What::Started => "started",
            What::Stopped(_) => "stopped",
            What::EdgeChanged { .. } => "edge-changed",
            What::OffsetMoved { .. } => "offset-moved",
            What::SizeMeasured(_) => "size-measured",
            What::Emptied { .. } => "emptied",
            What::PutOnRack(_) => "put-on-rack",
            What::OffRack { .. } => "off-rack",
            What::TimeSpent { .. } => "time-spent",
            What::Followed(_) => "followed",
            What::Corrected { .. } => "corrected",
        }
    }

    /// What an event of this kind cannot do without.
    pub const fn needs(&self) -> Needs {
        match self {
            What::OrderOpened { .. } | What::OrderClosed => Needs::Job,
            What::SetUpDone(_) => Needs::LatheAndJob,
            What::BarLoaded(_)
            | What::BarEnded { .. }
            | What::CountRead { .. }
            | What::Started
            | What::Stopped(_)
            | What::EdgeChanged { .. }
            | What::OffsetMoved { .. }
            | What::Emptied { .. }
            | What::Followed(_) => Needs::Lathe,
            What::PartsMade { .. }
            | What::PartsScrapped { .. }
            | What::SizeMeasured(_)
            | What::TimeSpent { .. } => Needs::LatheOrJob,
            What::PutOnRack(_) | What::OffRack { .. } | What::Corrected { .. } => Needs::Nothing,
        }
    }
}

/// What an event must name beside what happened.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needs {
    /// Nothing.
    Nothing,
    /// A lathe.
    Lathe,
    /// A job.
    Job,
    /// Both.
    LatheAndJob,
    /// One of them.
    LatheOrJob,
}

/// An event as a client tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// Made by the client, so that the same event told twice counts once.
    pub id: Name,
    /// When it happened, by the client's clock.
    pub at: Stamp,
    /// The lathe that it happened at.
    pub lathe: Option<Name>,
    /// The job; none where it is that on the lathe.
    pub job: Option<Name>,
    /// Who tells it.
    pub person: Option<Name>,
    /// What happened.
    pub what: What,
    /// In the person's own words.
    pub note: Option<Name>,
}

/// Where an event stands among all others.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Order {
    /// How often the store's clock had been found set back.
    pub clock: u32,
    /// The time that the event counts for.
    pub time: Stamp,
    /// Its place in the log, from 1.
    pub place: u64,
}

/// An event as the log has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recorded {
    /// Where it stands among all others.
    pub order: Order,
    /// When the store had it, by the store's clock.
    pub received: Stamp,
    /// The event.
    pub event: Event,
}
