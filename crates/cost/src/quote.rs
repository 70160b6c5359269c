//! A quote: the account and the price of each quantity.

use crate::account::{self, Item, Line, Wear};
use crate::bought::{self, Bought};
use crate::certainty::{self, Certainty};
use crate::course::{Course, Work};
use crate::refusal::Refusal;
use calc::worth::price_for_margin;
use model::Money;
use model::files::job::Job;
use model::files::shop::{Rates, Shop};
use model::finding::Verdict;
use model::quantity::Seconds;
use plan::Answer;

/// What is asked for beside what the files say.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Asked {
    /// Quantities instead of the shop's; the order's own is always quoted.
    pub quantities: Vec<u32>,
    /// Whether the part was made before, so that its program is there.
    pub made_before: bool,
}

/// The price of one quantity, with all that it rests on; `C` is how far it holds, or nothing where that
/// was not asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct Priced<C = Certainty> {
    /// Good parts for the customer.
    pub quantity: u32,
    /// Whether it is the order's own quantity.
    pub ordered: bool,
    /// What lathe and person do.
    pub work: Work,
    /// How long the lathe is taken while the order runs, without setting up.
    pub lathe: Seconds,
    /// A person's time: setting up, attention, gauging.
    pub person: Seconds,
    /// The material.
    pub bought: Bought,
    /// What it costs, line by line.
    pub lines: Vec<Line>,
    /// The sum of the lines.
    pub cost: Money,
    /// The price of the whole quantity.
    pub price: Money,
    /// Why the price is not what the margin alone gives.
    pub raised: Option<Raised>,
    /// How far the cost may be off.
    pub certainty: C,
}

/// Why a price is higher than its margin alone gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Raised {
    /// An order is never charged less.
    Minimum,
    /// A smaller quantity would cost more.
    SmallerQuantity,
}

impl<C> Priced<C> {
    /// What the price leaves over the cost.
    pub fn margin(&self) -> Money {
        self.price - self.cost
    }

    /// Price of one part, in the coin; parts of a cent count.
    pub fn each(&self) -> f64 {
        self.price.amount() / f64::from(self.quantity)
    }

    /// What a line comes to.
    pub fn of(&self, item: Item) -> Money {
        self.lines.iter().filter(|line| line.item == item).map(|line| line.money).sum()
    }
}

/// A quote.
#[derive(Debug, Clone, PartialEq)]
pub struct Quote<C = Certainty> {
    /// Each quantity, the smallest first.
    pub priced: Vec<Priced<C>>,
    /// How bars run through the lathe.
    pub course: Course,
    /// What a part takes of the edges.
    pub wear: Wear,
    /// What has no price and is not in it, in words.
    pub left_out: Vec<String>,
}

/// Quotes a job by its plan.
///
/// # Errors
/// Where a stop stands against the plan, or a file does not say what is needed.
pub fn quote(job: &Job, answer: &Answer, shop: &Shop, asked: &Asked) -> Result<Quote, Refusal> {
    each(job, answer, shop, asked, certainty::reckon)
}

/// The same prices without how far they hold, which takes longer than all the rest.
///
/// # Errors
/// As [`quote`].
pub fn prices(
    job: &Job,
    answer: &Answer,
    shop: &Shop,
    asked: &Asked,
) -> Result<Quote<()>, Refusal> {
    each(job, answer, shop, asked, |_| ())
}

fn each<C>(
    job: &Job,
    answer: &Answer,
    shop: &Shop,
    asked: &Asked,
    certain: fn(&certainty::Given<'_>) -> C,
) -> Result<Quote<C>, Refusal> {
    let rates = rates(shop)?;
    proven(answer)?;
    let basis = Basis {
        job,
        rates,
        course: Course::of_plan(job, answer, rates),
        wear: Wear::of(job, answer),
        made_before: asked.made_before,
    };
    let quantities = quantities(job, rates, asked);
    let mut materials = Vec::new();
    for quantity in &quantities {
        let parts = account::to_make(*quantity, rates);
        materials.push(bought::buy(job, shop, &basis.course.bars, parts)?);
    }
    cheapest_upward(&mut materials);
    let mut priced: Vec<Priced<C>> = Vec::new();
    for (quantity, bought) in quantities.iter().zip(materials) {
        let before = priced.last().map(|it| it.price);
        priced.push(one(&basis, *quantity, bought, before, certain));
    }
    let left_out = left_out(&basis, &priced);
    Ok(Quote { priced, course: basis.course, wear: basis.wear, left_out })
}

/// What every quantity rests on.
struct Basis<'a> {
    job: &'a Job,
    rates: &'a Rates,
    course: Course,
    wear: Wear,
    made_before: bool,
}

/// The rates of a shop.
pub(crate) fn rates(shop: &Shop) -> Result<&Rates, Refusal> {
    let help = "add `[rates]` with at least `lathe_hour`, `person_hour`, `set_up`, `load_bar` and `attention`";
    shop.rates.as_ref().ok_or_else(|| Refusal::shop("rates", "the shop file has no rates", help))
}

/// A program that the proof stops is not sold.
pub(crate) fn proven(answer: &Answer) -> Result<(), Refusal> {
    let proven = answer.verdict != Verdict::Stop && answer.proof.is_some();
    if proven && !answer.programs.is_empty() { Ok(()) } else { Err(Refusal::Stop) }
}

fn quantities(job: &Job, rates: &Rates, asked: &Asked) -> Vec<u32> {
    let mut quantities = if asked.quantities.is_empty() {
        rates.breaks.iter().map(|it| it.quantity).collect()
    } else {
        asked.quantities.clone()
    };
    quantities.push(job.file.order.quantity);
    quantities.retain(|quantity| *quantity > 0);
    quantities.sort_unstable();
    quantities.dedup();
    quantities
}

/// Bars for more parts do for fewer too: where they cost less after rests and scrap, they are taken.
fn cheapest_upward(materials: &mut [Bought]) {
    for index in (1..materials.len()).rev() {
        if materials[index - 1].net() > materials[index].net() {
            materials[index - 1] = materials[index].clone();
        }
    }
}

fn one<C>(
    basis: &Basis<'_>,
    quantity: u32,
    bought: Bought,
    before: Option<Money>,
    certain: fn(&certainty::Given<'_>) -> C,
) -> Priced<C> {
    let Basis { job, rates, course, wear, made_before } = basis;
    let work = course.work(account::to_make(quantity, rates));
    let programming = if *made_before { Seconds::default() } else { rates.programming };
    let mut lines = vec![Line {
        item: Item::Programming,
        money: account::for_time(rates.programming_hour, programming),
    }];
    lines.extend(account::making(course, &work, wear, &bought, rates));
    let material = account::material(&lines);
    let overhead = (account::sum(&lines) - material).times(rates.overhead)
        + material.times(rates.material_overhead);
    lines.push(Line { item: Item::Overhead, money: overhead });
    let cost = account::sum(&lines);
    let (price, raised) = price(cost, margin(quantity, rates), rates.minimum, before);
    let gauged = account::gauged(&work, rates).unwrap_or_default();
    let person = course.set_up + account::attended(course, &work, wear, rates) + gauged;
    let certainty = certain(&certainty::Given {
        quantity,
        rates,
        course,
        work: &work,
        wear,
        lines: &lines,
        price,
    });
    Priced {
        quantity,
        ordered: quantity == job.file.order.quantity,
        lathe: account::taken(&work, wear, rates),
        person,
        work,
        bought,
        lines,
        cost,
        price,
        raised,
        certainty,
    }
}

/// The margin of a quantity: that of the largest break that it reaches.
fn margin(quantity: u32, rates: &Rates) -> f64 {
    let reached = rates.breaks.iter().filter(|it| it.quantity <= quantity);
    let reached = reached.max_by_key(|it| it.quantity);
    reached.and_then(|it| it.margin).unwrap_or(rates.margin)
}

/// The price of a cost. No order is charged less than the minimum, and none less than a smaller one.
fn price(
    cost: Money,
    margin: f64,
    minimum: Money,
    before: Option<Money>,
) -> (Money, Option<Raised>) {
    // A margin that is no share below 1 is refused by the reader; then the cost stands for itself.
    let plain = price_for_margin(cost, margin).unwrap_or(cost);
    match before {
        Some(before) if before > plain && before >= minimum => (
            before,
            Some(if before == minimum { Raised::Minimum } else { Raised::SmallerQuantity }),
        ),
        _ if minimum > plain => (minimum, Some(Raised::Minimum)),
        _ => (plain, None),
    }
}

fn left_out<C>(basis: &Basis<'_>, priced: &[Priced<C>]) -> Vec<String> {
    let mut left_out = basis.wear.lacks.clone();
    let later = basis.job.file.part.features.iter().filter(|feature| feature.later).count();
    if later > 0 {
        let features =
            if later == 1 { "1 feature".to_owned() } else { format!("{later} features") };
        left_out.push(format!("{features} of the drawing that another operation cuts (`later`)"));
    }
    if basis.rates.gauging.is_none() {
        left_out.push(
            "gauging: the shop file does not say how often and how long (`gauge_every`, `gauge`)"
                .to_owned(),
        );
    }
    if priced.iter().any(|it| it.bought.scrap.is_none()) {
        left_out.push("scrap: the shop file has no `[[rates.scrap_price]]` for this material, so nothing is taken off".to_owned());
    }
    left_out.push(
        "time that the lathe stands until someone comes, packing, freight and tax".to_owned(),
    );
    left_out
}
