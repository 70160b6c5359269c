//! Orders and set-ups.

use super::book::Teller;
use super::given::{Shop, job, name, names};
use crate::commands::prove::job as job_of;
use crate::commands::{Ended, Trouble, priced};
use clap::Args;
use cost::Asked;
use model::Money;
use model::files::job::Job;
use model::record::event::{Fills, Planned, SetUp};
use model::record::{Lapse, Name, What};
use plan::Answer;
use plan::walk_away::Kind;
use std::path::{Path, PathBuf};

/// Open an order: so many parts of a job.
///
/// With --plan, what it should take is planned from the job file, to be held against what it took. Opened while it
/// is open, an order has a new quantity.
#[derive(Debug, Args)]
#[command(
    after_help = "Example:\n  barwright log order detent-pin --plan demo/detent-pin/detent-pin.job.toml"
)]
pub(super) struct Order {
    /// What the order is called.
    #[arg(value_name = "JOB")]
    job: String,
    /// Parts wanted; left out, as the job file says.
    #[arg(value_name = "QUANTITY", required_unless_present = "plan")]
    quantity: Option<u32>,
    /// The job file.
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
    /// The shop file, for what a part should cost by its rates, without margin.
    #[arg(long, value_name = "FILE", requires = "plan")]
    shop: Option<PathBuf>,
    #[command(flatten)]
    teller: Teller,
}

impl Order {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let (planned, quantity) = match &self.plan {
            Some(path) => planned_order(job_of(path)?, self.quantity, self.shop.as_deref())?,
            None => (Planned::default(), self.quantity.unwrap_or_default()),
        };
        let mut book = self.teller.book(shop)?;
        let job = name(&self.job)?;
        let what = What::OrderOpened { quantity, planned };
        book.tell(None, Some(&job), what);
        book.close()
    }
}

/// What an order of a job file should take, and how many parts it is of: so many, else as the file says.
///
/// # Errors
/// Where the shop's file cannot be used.
pub(crate) fn planned_order(
    mut job: Job,
    quantity: Option<u32>,
    shop: Option<&Path>,
) -> Result<(Planned, u32), Trouble> {
    let quantity = quantity.unwrap_or(job.file.order.quantity);
    job.file.order.quantity = quantity;
    let answer = plan::plan(&job);
    let mut planned = planned_of(&answer);
    if let Some(path) = shop {
        planned.part_cost = part_cost(&job, &answer, path)?;
    }
    Ok((planned, quantity))
}

/// What a part of the order should cost by the rates of a shop, without margin; none where a stop stands against
/// the plan.
fn part_cost(job: &Job, answer: &Answer, shop: &Path) -> Result<Option<Money>, Trouble> {
    let shop = priced::shop(shop, "check the path")?;
    let asked = Asked { quantities: vec![job.file.order.quantity], made_before: false };
    match cost::quote(job, answer, &shop, &asked) {
        Ok(quote) => {
            let ordered = quote.priced.iter().find(|it| it.ordered);
            Ok(ordered.map(|it| it.cost.times(1.0 / f64::from(it.quantity))))
        }
        Err(refusal) => priced::trouble(job, &shop, refusal).map_or(Ok(None), Err),
    }
}

fn planned_of(answer: &Answer) -> Planned {
    let edges: Option<Vec<u32>> = answer.edges.iter().map(|edge| edge.edges).collect();
    Planned {
        bars: answer.bar.blanks,
        bar_length: Some(answer.bar.blank),
        running: Some(Lapse::nearest(answer.times.order)).filter(|time| *time > Lapse::ZERO),
        set_up: None,
        edges: edges.map(|edges| edges.iter().sum()),
        part_cost: None,
    }
}

/// Close an order: it is done with.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log close detent-pin")]
pub(super) struct Close {
    /// The order.
    #[arg(value_name = "JOB")]
    job: String,
    #[command(flatten)]
    teller: Teller,
}

impl Close {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut book = self.teller.book(shop)?;
        let job = job(book.state(), &self.job)?;
        book.tell(None, Some(&job), What::OrderClosed);
        book.close()
    }
}

/// The lathe is set up for a job.
///
/// With --plan, the plan says how many parts a bar gives, how long a part takes, what each edge lasts and what fills:
/// from that the log knows when someone must come next. With --program, the log knows what to do after a stop.
#[derive(Debug, Args)]
#[command(after_help = "Example:\n  barwright log setup \"Lathe 1\" detent-pin \
        --plan demo/detent-pin/detent-pin.job.toml --program demo/detent-pin/expected/O2080.nc")]
pub(super) struct SetUpLathe {
    /// The lathe; a name that the log does not know begins a new one.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// The job.
    #[arg(value_name = "JOB")]
    job: String,
    /// The job file.
    #[arg(long, value_name = "FILE")]
    plan: Option<PathBuf>,
    /// The program that runs.
    #[arg(long, value_name = "FILE")]
    program: Option<PathBuf>,
    /// Parts that one bar gives.
    #[arg(long, value_name = "PARTS")]
    per_bar: Option<u32>,
    /// A part is gauged every so many.
    #[arg(long, value_name = "PARTS")]
    gauge_every: Option<u32>,
    #[command(flatten)]
    teller: Teller,
}

impl SetUpLathe {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let mut set_up = match &self.plan {
            Some(path) => planned_set_up(path, &job_of(path)?)?,
            None => SetUp::default(),
        };
        set_up.parts_per_bar = self.per_bar.or(set_up.parts_per_bar);
        set_up.gauge_every = self.gauge_every.or(set_up.gauge_every);
        if let Some(path) = &self.program {
            name_program(&mut set_up, path)?;
        }
        let mut book = self.teller.book(shop)?;
        let (lathe, job) = (name(&self.lathe)?, name(&self.job)?);
        book.tell(Some(&lathe), Some(&job), What::SetUpDone(Box::new(set_up)));
        book.close()
    }
}

/// The program that runs, and by what it is known again.
///
/// # Errors
/// Where it cannot be read.
pub(crate) fn name_program(set_up: &mut SetUp, path: &Path) -> Result<(), Trouble> {
    set_up.program = names(Some(&full(path)))?;
    set_up.digest = Some(digest_of(path)?);
    Ok(())
}

/// A set-up with what the plan of a job says about it, and where its file is.
///
/// # Errors
/// Where that path is no name.
pub(crate) fn planned_set_up(path: &Path, job: &Job) -> Result<SetUp, Trouble> {
    let answer = plan::plan(job);
    let per_advance = answer.bar.division.parts_per_advance.max(1);
    let part_time =
        Lapse::from_ms(Lapse::nearest(answer.times.cycle).ms() / i64::from(per_advance));
    let mut set_up = SetUp {
        job_file: names(Some(&full(path)))?,
        parts_per_bar: Some(answer.bar.parts_per_bar),
        part_time: Some(part_time),
        ..SetUp::default()
    };
    for limit in &answer.walk_away.limits {
        match limit.kind {
            Kind::Edge(station) => {
                set_up.edges.insert(station, limit.parts);
            }
            Kind::Catcher => {
                set_up.fills.insert(Fills::Catcher, limit.parts);
            }
            Kind::Chips => {
                set_up.fills.insert(Fills::Chips, limit.parts);
            }
            Kind::Size(station) => {
                set_up.sizes.insert(station, limit.parts);
            }
            Kind::Gauge => set_up.gauge_every = Some(limit.parts),
            Kind::NeverLonger => set_up.never_longer = Some(Lapse::nearest(limit.at)),
            Kind::Order | Kind::Bar | Kind::Back => {}
        }
    }
    Ok(set_up)
}

/// A path that is right from another folder too.
fn full(path: &Path) -> String {
    path.canonicalize().unwrap_or_else(|_| path.to_owned()).display().to_string()
}

/// By what a program is known again: its length and a sum over its bytes (FNV-1a).
pub(super) fn digest_of(path: &Path) -> Result<Name, Trouble> {
    let source =
        crate::files::Disk::text(path).map_err(|why| Trouble::outside(why, "check the path"))?;
    let bytes = source.bytes();
    let sum = bytes.iter().fold(0xcbf2_9ce4_8422_2325_u64, |sum, byte| {
        (sum ^ u64::from(*byte)).wrapping_mul(0x0100_0000_01b3)
    });
    Ok(Name::from(format!("{}-{sum:016x}", bytes.len()).as_str()))
}
