//! Starts and stops, and what a person does at a lathe.

use super::book::Teller;
use super::given::{Shop, names};
use crate::commands::{Ended, Trouble};
use clap::Args;
use clap::builder::{PossibleValuesParser, TypedValueParser};
use model::files::keys::Choice;
use model::record::event::{EdgeWhy, Fills, OffsetAxis, StopWhy, Stopped, Work};
use model::record::{Lapse, What};

/// The words of a choice, as the log has them.
fn words<C: Choice + Send + Sync>() -> impl TypedValueParser<Value = C> {
    let all = C::words()
        .iter()
        .map(|(word, _, meaning)| clap::builder::PossibleValue::new(*word).help(*meaning));
    PossibleValuesParser::new(all).try_map(|text| {
        let found = C::words().iter().find(|(word, _, _)| *word == text);
        found.map(|(_, choice, _)| *choice).ok_or("no such word")
    })
}

/// The lathe runs.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log start \"Lathe 1\"")]
pub(super) struct Start {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    #[command(flatten)]
    teller: Teller,
}

impl Start {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        book.tell(Some(&lathe), None, What::Started);
        book.close()
    }
}

/// The lathe stands. Told again, the reason or the block of the same stop is added.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log stop \"Lathe 1\" alarm --block 34")]
pub(super) struct Stop {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// Why.
    #[arg(value_name = "WHY", default_value = "not-known", value_parser = words::<StopWhy>())]
    why: StopWhy,
    /// The line of the program that was not done: 34, or O2081.nc:7 in another file.
    #[arg(long, value_name = "BLOCK")]
    block: Option<String>,
    #[command(flatten)]
    teller: Teller,
}

impl Stop {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let block = names(self.block.as_ref())?;
        book.tell(Some(&lathe), None, What::Stopped(Stopped { why: self.why, block }));
        book.close()
    }
}

/// An edge was changed.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log edge \"Lathe 1\" 3 worn")]
pub(super) struct Edge {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// Its station.
    #[arg(value_name = "STATION")]
    station: u32,
    /// Why.
    #[arg(value_name = "WHY", default_value = "planned", value_parser = words::<EdgeWhy>())]
    why: EdgeWhy,
    #[command(flatten)]
    teller: Teller,
}

impl Edge {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        book.tell(Some(&lathe), None, What::EdgeChanged { station: self.station, why: self.why });
        book.close()
    }
}

/// A tool's offset was changed.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log offset \"Lathe 1\" 1 x -0.012")]
pub(super) struct Offset {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// The station.
    #[arg(value_name = "STATION")]
    station: u32,
    /// The axis; X is on the diameter.
    #[arg(value_name = "AXIS", value_parser = words::<OffsetAxis>())]
    axis: OffsetAxis,
    /// By how much, with its sign.
    #[arg(value_name = "LENGTH", allow_hyphen_values = true)]
    by: String,
    #[command(flatten)]
    teller: Teller,
}

impl Offset {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let by = shop.length(&self.by)?;
        let what = What::OffsetMoved { station: self.station, axis: self.axis, by };
        book.tell(Some(&lathe), None, what);
        book.close()
    }
}

/// The parts catcher or the chip room was emptied.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log emptied \"Lathe 1\" catcher")]
pub(super) struct Emptied {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// What.
    #[arg(value_name = "WHAT", value_parser = words::<Fills>())]
    what: Fills,
    #[command(flatten)]
    teller: Teller,
}

impl Emptied {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        book.tell(Some(&lathe), None, What::Emptied { what: self.what });
        book.close()
    }
}

/// A person worked on the job of a lathe.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log spent \"Lathe 1\" set-up 35")]
pub(super) struct Spent {
    /// The lathe.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// What the time went into.
    #[arg(value_name = "WORK", value_parser = words::<Work>())]
    work: Work,
    /// Minutes.
    #[arg(value_name = "MINUTES")]
    minutes: f64,
    #[command(flatten)]
    teller: Teller,
}

impl Spent {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        if !(0.0..=10_000.0).contains(&self.minutes) {
            let message = format!("{} minutes is no time that a person works", self.minutes);
            return Err(Trouble::outside(message, "write minutes, such as 35 or 1.5"));
        }
        let mut book = self.teller.book(shop)?;
        let lathe = book.lathe(&self.lathe)?;
        let time = Lapse::from_ms((self.minutes * 60_000.0).round() as i64);
        book.tell(Some(&lathe), None, What::TimeSpent { work: self.work, time });
        book.close()
    }
}
