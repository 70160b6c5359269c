//! Ways of loading beside each other: what a part costs, how long a person is bound, from which quantity
//! each is worth its capital.
//!
//! Programming, overhead and margin are left out: they stay the same whichever way is taken, and no
//! overhead goes away with a minute saved. Time that a lathe stands until someone comes is left out too.

use crate::account::{self, Line, Wear};
use crate::bought::{self, Bought};
use crate::course::{Bars, Course};
use crate::quote::{proven, rates};
use crate::refusal::Refusal;
use crate::sensitivity::{self, Scales, Sensitivity};
use calc::bar::Division;
use calc::worth;
use model::files::job::Job;
use model::files::shop::{Investment, Rates, Shop, Way, WayKind};
use model::quantity::{Probability, Seconds};
use model::{Length, Money};
use plan::Answer;

/// What a way costs.
#[derive(Debug, Clone, PartialEq)]
pub struct WayCost {
    /// The way.
    pub way: Way,
    /// How bars run through the lathe.
    pub course: Course,
    /// The material of one order.
    pub bought: Bought,
    /// What one order costs, line by line.
    pub lines: Vec<Line>,
    /// What a good part costs by these lines, in the coin; parts of a cent count.
    pub each: f64,
    /// Lathe time for a good part, setting up with it.
    pub lathe: Seconds,
    /// A person's time for a good part, setting up and gauging with it.
    pub person: Seconds,
    /// Capital by the year, and upkeep.
    pub fixed: Money,
    /// All of it for a year.
    pub a_year: Money,
    /// What a good part costs when the year's quantity bears the capital.
    pub each_with_capital: f64,
    /// Beside the best way with less fixed cost; none for the way with the least.
    pub beside: Option<Beside>,
}

/// A way beside the best of those with less fixed cost a year: step by step, so that no dear way is made to
/// look good by a poor one.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Beside {
    /// Which way that is.
    pub other: usize,
    /// What it costs more to buy; negative where it costs less.
    pub capital: Money,
    /// What it saves in a year, upkeep taken off; negative where it costs more.
    pub saved_a_year: Money,
    /// Parts a year from which it is the cheaper one, capital and interest counted; none where it never is.
    pub break_even: Option<f64>,
    /// Years until it has paid itself back, without interest; none where it never does.
    pub payback: Option<f64>,
    /// Net present worth of buying it.
    pub worth: Money,
    /// The rate of return; none where there is none.
    pub rate_of_return: Option<f64>,
}

/// The answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Loading {
    /// Each way, as the shop file has them.
    pub ways: Vec<WayCost>,
    /// The way with the least fixed cost a year.
    pub least: usize,
    /// The way that costs least in a year, capital with it.
    pub cheapest: usize,
    /// Interest, years and quantity.
    pub investment: Investment,
    /// Parts of one order.
    pub order: u32,
    /// How the worth of the way with the most fixed cost moves; none where there is only one way.
    pub sensitivity: Option<Sensitivity>,
    /// What has no price and is not in it, in words.
    pub left_out: Vec<String>,
}

/// Compares the ways of loading of a shop for a job like this one; `parts_a_year` stands in for the
/// shop's quantity.
///
/// # Errors
/// Where a stop stands against the plan, or a file does not say what is needed.
pub fn loading(
    job: &Job,
    answer: &Answer,
    shop: &Shop,
    parts_a_year: Option<u32>,
) -> Result<Loading, Refusal> {
    let rates = rates(shop)?;
    proven(answer)?;
    let mut investment = shop.investment.ok_or_else(|| {
        let help = "add `[investment]` with `interest`, `years` and `parts_a_year`";
        Refusal::shop("investment", "the shop file does not say by what ways are judged", help)
    })?;
    investment.parts_a_year = parts_a_year.unwrap_or(investment.parts_a_year).max(1);
    if shop.ways.is_empty() {
        let help = "add a `[[way]]` for each, such as `kind = \"gripper\"`";
        return Err(Refusal::shop("way", "the shop file has no way of loading", help));
    }
    let order = investment.order.unwrap_or(job.file.order.quantity).max(1);
    let parts = account::to_make(order, rates);
    let wear = Wear::of(job, answer);
    let mut bases = Vec::new();
    for (index, way) in shop.ways.iter().enumerate() {
        let course = course(job, answer, rates, way, index)?;
        let bought = bought::buy(job, shop, &course.bars, parts)?;
        bases.push(Base { way, course, bought });
    }
    let given = Given { rates, wear: &wear, investment, order, bases: &bases };
    let ways = given.reckon(&Scales::NOMINAL);
    let least = least_fixed(&ways);
    let cheapest = lowest(&ways, |it| it.a_year.cents());
    let sensitivity = sensitivity::of(&given, &ways);
    Ok(Loading {
        least,
        cheapest,
        investment,
        order,
        sensitivity,
        left_out: left_out(&wear, rates, &ways),
        ways,
    })
}

/// A way with what does not hang on money.
pub(crate) struct Base<'a> {
    way: &'a Way,
    course: Course,
    bought: Bought,
}

/// Everything that the ways are reckoned from.
pub(crate) struct Given<'a> {
    rates: &'a Rates,
    wear: &'a Wear,
    investment: Investment,
    order: u32,
    bases: &'a [Base<'a>],
}

impl Given<'_> {
    /// The ways with some figures scaled, each beside the best with less fixed cost.
    pub(crate) fn reckon(&self, scales: &Scales) -> Vec<WayCost> {
        let mut ways: Vec<WayCost> = self.bases.iter().map(|base| self.one(base, scales)).collect();
        let mut order: Vec<usize> = (0..ways.len()).collect();
        order.sort_by_key(|index| ways[*index].fixed);
        let mut best = None;
        for index in order {
            ways[index].beside = best.and_then(|other| self.beside(&ways, index, other, scales));
            if ways[index].beside.is_none_or(|it| it.worth >= Money::ZERO) {
                best = Some(index);
            }
        }
        ways
    }

    /// The worth of one way beside another with some figures scaled.
    pub(crate) fn worth(&self, index: usize, other: usize, scales: &Scales) -> Option<Money> {
        let ways: Vec<WayCost> = self.bases.iter().map(|base| self.one(base, scales)).collect();
        self.beside(&ways, index, other, scales).map(|it| it.worth)
    }

    fn parts_a_year(&self, scales: &Scales) -> f64 {
        f64::from(self.investment.parts_a_year) * scales.quantity
    }

    fn interest(&self, scales: &Scales) -> f64 {
        self.investment.interest * scales.interest
    }

    fn one(&self, base: &Base<'_>, scales: &Scales) -> WayCost {
        let mut rates = self.rates.clone();
        rates.person_hour = rates.person_hour.times(scales.person_hour);
        rates.lathe_hour = rates.lathe_hour.times(scales.lathe_hour);
        let mut bought = base.bought.clone();
        bought.bars = bought.bars.times(scales.material);
        bought.rests = bought.rests.times(scales.material);
        bought.scrap = bought.scrap.map(|scrap| scrap.times(scales.material));
        let mut course = base.course;
        course.attention = (course.attention * scales.attention).min(1.0);
        let mut way = base.way.clone();
        way.capital = way.capital.times(scales.capital);
        way.resale = way.resale.times(scales.capital);
        let work = course.work(account::to_make(self.order, &rates));
        let lines = account::making(&course, &work, self.wear, &bought, &rates);
        let good = f64::from(self.order);
        let each = account::sum(&lines).amount() / good;
        let gauged = account::gauged(&work, &rates).unwrap_or_default();
        let lathe = course.set_up + account::taken(&work, self.wear, &rates);
        let person = course.set_up + account::attended(&course, &work, self.wear, &rates) + gauged;
        let (interest, years) = (self.interest(scales), self.investment.years);
        let capital = worth::yearly_capital(way.capital, way.resale, interest, years);
        let fixed = capital.unwrap_or_default() + way.upkeep;
        let parts = self.parts_a_year(scales);
        WayCost {
            a_year: fixed + Money::nearest(each * parts),
            each_with_capital: each + fixed.amount() / parts,
            way,
            course,
            bought,
            lines,
            each,
            lathe: lathe * (1.0 / good),
            person: person * (1.0 / good),
            fixed,
            beside: None,
        }
    }

    /// None where the figures are beyond all measure.
    fn beside(
        &self,
        ways: &[WayCost],
        index: usize,
        other: usize,
        scales: &Scales,
    ) -> Option<Beside> {
        let (way, base) = (&ways[index], &ways[other]);
        let parts = self.parts_a_year(scales);
        let capital = way.way.capital - base.way.capital;
        let resale = way.way.resale - base.way.resale;
        let saved_a_year =
            Money::nearest((base.each - way.each) * parts) - (way.way.upkeep - base.way.upkeep);
        let mut flows = vec![Money::ZERO - capital];
        flows.extend((0..self.investment.years).map(|_| saved_a_year));
        if let Some(last) = flows.last_mut() {
            *last = *last + resale;
        }
        let line = |way: &WayCost| worth::Line { fixed: way.fixed, each: way.each };
        Some(Beside {
            other,
            capital,
            saved_a_year,
            break_even: worth::break_even(line(base), line(way)),
            payback: worth::payback(capital, saved_a_year),
            worth: worth::present_worth(&flows, self.interest(scales)).ok()?,
            // Less to buy and dearer to run is borrowing, which has a rate but no return.
            rate_of_return: worth::rate_of_return(&flows).filter(|_| capital > Money::ZERO),
        })
    }
}

/// How bars run through the lathe with a way of loading.
fn course(
    job: &Job,
    answer: &Answer,
    rates: &Rates,
    way: &Way,
    index: usize,
) -> Result<Course, Refusal> {
    let plan = Course::of_plan(job, answer, rates);
    let bars = bars(job, answer, way, &plan.bars);
    if bars.parts == 0 {
        let message = format!("{}: a bar of {} gives no part", way.name, shown(job, bars.length));
        let key = format!("way[{index}].bar_length");
        return Err(Refusal::shop(key, message, "write a longer bar, or a shorter remnant"));
    }
    // Behind the spindle only a magazine holds and guards a bar.
    let longest = answer.bar.longest_blank;
    if way.kind != WayKind::Magazine && bars.length + bars.tolerance > longest {
        let message = format!(
            "{}: a bar of {} would hang out behind the spindle, the longest is {}",
            way.name,
            shown(job, bars.length + bars.tolerance),
            shown(job, longest)
        );
        let key = format!("way[{index}].bar_length");
        return Err(Refusal::shop(key, message, "write a shorter bar"));
    }
    Ok(Course {
        bars,
        feed: way.feed.unwrap_or(plan.feed),
        hand: way.hand,
        change: way.change.unwrap_or(plan.change),
        load: way.load.unwrap_or(plan.load),
        saw: way.saw,
        set_up: plan.set_up + way.set_up,
        attention: way.attention.map_or(plan.attention, Probability::ratio),
        ..plan
    })
}

fn bars(job: &Job, answer: &Answer, way: &Way, plan: &Bars) -> Bars {
    let division = answer.bar.division;
    match way.kind {
        WayKind::Slug => {
            let parts = division.parts_per_advance.max(1);
            let length = division.shortest_blank(parts) + plan.tolerance;
            Bars { length, parts, ..*plan }
        }
        WayKind::Stop | WayKind::Gripper => {
            let division = leaving(division, way.remnant);
            let length = way.bar_length.unwrap_or(plan.length);
            Bars {
                division,
                length,
                parts: division.parts_per_bar(length - plan.tolerance),
                ..*plan
            }
        }
        WayKind::Magazine => {
            let division = leaving(division, way.remnant);
            let length = way.bar_length.unwrap_or(job.file.bar.length);
            let parts = division.parts_per_bar(length - plan.tolerance);
            Bars { division, length, parts, sawn: false, ..*plan }
        }
    }
}

/// A division that leaves at least this much of a bar: stub and grip together.
fn leaving(division: Division, remnant: Option<Length>) -> Division {
    let Some(remnant) = remnant else { return division };
    let least_grip = (remnant - division.jaw_clearance).max(Length::ZERO);
    Division { jaw_clearance: remnant - least_grip, least_grip, ..division }
}

fn shown(job: &Job, length: Length) -> String {
    length.shown(job.file.units)
}

fn least_fixed(ways: &[WayCost]) -> usize {
    lowest(ways, |it| it.fixed.cents())
}

/// Where the lowest stands, the first of several alike.
fn lowest(ways: &[WayCost], of: impl Fn(&WayCost) -> i64) -> usize {
    let all = ways.iter().enumerate();
    all.min_by_key(|(_, it)| of(it)).map_or(0, |(index, _)| index)
}

fn left_out(wear: &Wear, rates: &Rates, ways: &[WayCost]) -> Vec<String> {
    let mut left_out = wear.lacks.clone();
    if rates.gauging.is_none() {
        left_out.push("gauging: the shop file does not say how often and how long".to_owned());
    }
    if ways.iter().any(|it| it.bought.scrap.is_none()) {
        left_out.push("scrap: the shop file has no price for this material's".to_owned());
    }
    left_out.push("programming, overhead and margin, which no way of loading changes".to_owned());
    left_out.push("time that the lathe stands until someone comes".to_owned());
    left_out
}
