//! What an order has cost so far, by what the log recorded, beside what its plan reckons for the whole order.

use crate::account::{self, Item, Line, Wear, for_time};
use crate::bought;
use crate::course::Course;
use crate::quote;
use crate::refusal::Refusal;
use model::files::job::Job;
use model::files::shop::{Rates, Shop};
use model::quantity::Seconds;
use model::record::event::{StopWhy, Work};
use model::record::{Lapse, Tally};
use model::{Length, Money};
use plan::Answer;

/// One line of the order so far.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Compared {
    /// What it is for.
    pub item: Item,
    /// What it came to.
    pub was: Money,
    /// What the plan reckons for the whole order.
    pub planned: Money,
}

/// What an order has cost so far.
#[derive(Debug, Clone, PartialEq)]
pub struct Spent {
    /// Line by line: setting up, material, lathe, edges, attention, gauging.
    pub lines: Vec<Compared>,
    /// Good parts that the plan is reckoned for: those ordered, else those made.
    pub quantity: u32,
    /// Good parts so far: what was spent is shared by these.
    pub good: u32,
    /// What is not in it, in words.
    pub left_out: Vec<String>,
}

impl Spent {
    /// Both sums: what it came to, what was planned.
    pub fn sums(&self) -> (Money, Money) {
        (
            self.lines.iter().map(|line| line.was).sum(),
            self.lines.iter().map(|line| line.planned).sum(),
        )
    }

    /// What one part came to, and what was planned, in the coin; parts of a cent count. None before the first part.
    pub fn each(&self) -> Option<(f64, f64)> {
        let (was, planned) = self.sums();
        let share = |money: Money, parts: u32| money.amount() / f64::from(parts);
        (self.good > 0).then(|| (share(was, self.good), share(planned, self.quantity)))
    }
}

/// Reckons what an order has cost by the shop's rates. Programming, overhead, margin and scrap that was sold are left
/// out on both sides.
///
/// # Errors
/// Where a stop stands against the plan, or a file does not say what is needed.
pub fn spent(job: &Job, answer: &Answer, shop: &Shop, tally: &Tally) -> Result<Spent, Refusal> {
    let rates = quote::rates(shop)?;
    quote::proven(answer)?;
    let course = Course::of_plan(job, answer, rates);
    let wear = Wear::of(job, answer);
    let quantity = tally.quantity.unwrap_or(tally.good()).max(1);
    let parts = account::to_make(quantity, rates);
    let work = course.work(parts);
    let bought = bought::buy(job, shop, &course.bars, parts)?;
    let planned = account::making(&course, &work, &wear, &bought, rates);
    let by_length = price_by_length(&course, parts, bought.taken());
    let mut lines = vec![
        (Item::SetUp, for_time(rates.lathe_hour + rates.person_hour, time(tally, &[Work::SetUp]))),
        (Item::Material, material(tally, &course, by_length, rates)),
        (Item::Run, for_time(rates.lathe_hour, seconds(tally.running + waited(tally)))),
        (Item::Edges, Money::nearest(mean_edge(job, answer, &wear) * f64::from(tally.edges))),
        (
            Item::Attention,
            for_time(rates.person_hour, time(tally, &[Work::Attention, Work::Mending])),
        ),
    ];
    if rates.gauging.is_some() {
        lines.push((Item::Gauging, for_time(rates.person_hour, time(tally, &[Work::Gauging]))));
    }
    let compared = |(item, was): (Item, Money)| {
        let of = planned.iter().filter(|line: &&Line| line.item == item);
        Compared { item, was, planned: of.map(|line| line.money).sum() }
    };
    Ok(Spent {
        lines: lines.into_iter().map(compared).collect(),
        quantity,
        good: tally.good(),
        left_out: left_out(tally, &wear),
    })
}

fn seconds(lapse: Lapse) -> Seconds {
    Seconds::from_s(lapse.s())
}

/// How long lathes stood that the order kept: not the night in which nobody was there, nor what came after its last
/// part.
fn waited(tally: &Tally) -> Lapse {
    let kept = |why: &StopWhy| !matches!(why, StopWhy::Shift | StopWhy::Order);
    tally.stops.iter().filter(|(why, _)| kept(why)).map(|(_, (_, lapse))| *lapse).sum()
}

/// A person's time for these.
fn time(tally: &Tally, works: &[Work]) -> Seconds {
    seconds(works.iter().filter_map(|work| tally.spent.get(work)).copied().sum())
}

/// Price of a millimeter of blank, as the plan buys it: kerf, trim and ends are in it, rests that go back are not.
fn price_by_length(course: &Course, parts: u32, bars: Money) -> f64 {
    let lengths = course.bars.lengths(parts).unwrap_or_default();
    let whole: Length = lengths.iter().map(|(length, count)| *length * i64::from(*count)).sum();
    if whole > Length::ZERO { bars.amount() / whole.mm() } else { 0.0 }
}

/// Bars that went into the spindle, less what went back to the rack. One of which nobody told the length counts as the
/// plan's.
fn material(tally: &Tally, course: &Course, by_length: f64, rates: &Rates) -> Money {
    let untold = course.bars.length * i64::from(tally.bars_without_length);
    let used = (tally.bar_length + untold).mm() - rates.rest_credit * tally.racked.mm();
    Money::nearest(by_length * used)
}

/// Price of an edge in the mean of those that the plan wears out.
fn mean_edge(job: &Job, answer: &Answer, wear: &Wear) -> f64 {
    let priced = answer.edges.iter().filter(|edge| {
        job.tools.station(edge.station).is_some_and(|station| station.edge_price.is_some())
    });
    let lives = priced.filter_map(|edge| edge.parts.as_ref().ok()).filter(|parts| parts.low > 0);
    let edges: f64 = lives.map(|parts| 1.0 / f64::from(parts.low)).sum();
    if edges > 0.0 { wear.price / edges } else { 0.0 }
}

fn left_out(tally: &Tally, wear: &Wear) -> Vec<String> {
    let mut left_out = wear.lacks.clone();
    if tally.bars_without_length > 0 {
        left_out.push(format!(
            "the length of {} that nobody told: the plan's is taken",
            if tally.bars_without_length == 1 {
                "one bar".to_owned()
            } else {
                format!("{} bars", tally.bars_without_length)
            }
        ));
    }
    for (work, words) in
        [(Work::SetUp, "setting up"), (Work::Attention, "attention"), (Work::Gauging, "gauging")]
    {
        if !tally.spent.contains_key(&work) {
            left_out.push(format!("{words}: nobody recorded time for it"));
        }
    }
    if tally.stops.contains_key(&StopWhy::Shift) || tally.stops.contains_key(&StopWhy::Order) {
        left_out.push(
            "time that lathes stood because nobody was there, or because the order was complete"
                .to_owned(),
        );
    }
    left_out.push("a bar in the spindle counts whole, and the present run not yet".to_owned());
    left_out.push(
        "edges count at the mean price of those planned: the sum does not say of which station each was"
            .to_owned(),
    );
    left_out.push("programming, overhead and scrap sold, on both sides".to_owned());
    left_out
}
