//! The account of an order: what each thing costs, in whole cents.

use crate::bought::Bought;
use crate::course::{Course, Work};
use model::Money;
use model::files::job::Job;
use model::files::shop::Rates;
use model::quantity::Seconds;
use plan::Answer;

/// What a line is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Item {
    /// A person at the desk, once for a part.
    Programming,
    /// Lathe and person while the order is set up.
    SetUp,
    /// Bars, less rests that go back to the rack.
    Material,
    /// What chips, stubs and ends are sold for: not above zero.
    Scrap,
    /// The lathe while it works and while it stands for bars and edges.
    Run,
    /// Edges used up.
    Edges,
    /// A person: looking after the lathe, loading it, changing edges.
    Attention,
    /// A person who gauges.
    Gauging,
    /// What is put on work and material.
    Overhead,
}

impl Item {
    /// A stable word for scripts.
    pub const fn word(self) -> &'static str {
        match self {
            Item::Programming => "programming",
            Item::SetUp => "set-up",
            Item::Material => "material",
            Item::Scrap => "scrap",
            Item::Run => "run",
            Item::Edges => "edges",
            Item::Attention => "attention",
            Item::Gauging => "gauging",
            Item::Overhead => "overhead",
        }
    }

    /// What it is, for a person.
    pub const fn name(self) -> &'static str {
        match self {
            Item::Programming => "programming",
            Item::SetUp => "setting up",
            Item::Material => "material",
            Item::Scrap => "scrap sold",
            Item::Run => "lathe",
            Item::Edges => "edges",
            Item::Attention => "attention",
            Item::Gauging => "gauging",
            Item::Overhead => "overhead",
        }
    }
}

/// One line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// What it is for.
    pub item: Item,
    /// What it comes to.
    pub money: Money,
}

/// What a part takes of the edges.
#[derive(Debug, Clone, PartialEq)]
pub struct Wear {
    /// Price of what a part uses up, in the coin; parts of a cent count.
    pub price: f64,
    /// Time of lathe and person for changing them.
    pub change: Seconds,
    /// Edges without a price or a life, in words.
    pub lacks: Vec<String>,
}

impl Wear {
    /// By the low end of each edge's life, at which it is changed. An edge that is not worn out at the end
    /// stays on the turret, so that an order pays for its share.
    pub fn of(job: &Job, answer: &Answer) -> Wear {
        let mut wear = Wear { price: 0.0, change: Seconds::from_s(0.0), lacks: Vec::new() };
        for edge in &answer.edges {
            let lack =
                |why: &str| format!("edges of station {}, {}: {why}", edge.station, edge.name);
            let station = job.tools.station(edge.station);
            let parts = match &edge.parts {
                Ok(parts) if parts.low > 0 => parts,
                Ok(_) => {
                    wear.lacks.push(lack("an edge does not last for one part"));
                    continue;
                }
                Err(why) => {
                    wear.lacks.push(lack(&why.why));
                    continue;
                }
            };
            let low = f64::from(parts.low);
            match station.and_then(|station| station.edge_price) {
                Some(price) => wear.price += price / low,
                None => wear
                    .lacks
                    .push(lack("the tools file does not say what one costs (`edge_price`)")),
            }
            match station.and_then(|station| station.edge_change) {
                Some(change) => wear.change += change * (1.0 / low),
                None => wear.lacks.push(lack(
                    "the tools file does not say how long a change takes (`edge_change`)",
                )),
            }
        }
        wear
    }
}

/// Parts to be made, so that as many as ordered are good.
pub fn to_make(ordered: u32, rates: &Rates) -> u32 {
    let lost = f64::from(ordered) * rates.scrap.ratio() / (1.0 - rates.scrap.ratio());
    // A hair below a whole part is that part: 2 % of 98 good ones are 2 lost ones.
    let lost = (lost - 1e-9).ceil().max(0.0) as u32;
    ordered.saturating_add(rates.set_up_parts).saturating_add(lost)
}

/// An hourly rate for a time.
pub(crate) fn for_time(hour: Money, time: Seconds) -> Money {
    hour.times(time.s() / 3600.0)
}

/// How long the lathe works: the plan's time, as it is on the shop's floor.
pub fn running(work: &Work, rates: &Rates) -> Seconds {
    work.running * rates.time_factor
}

/// A person's time at the lathe while the order runs, without gauging.
pub fn attended(course: &Course, work: &Work, wear: &Wear, rates: &Rates) -> Seconds {
    running(work, rates) * course.attention + work.by_hand + wear.change * f64::from(work.parts)
}

/// How long the lathe is taken while the order runs.
pub fn taken(work: &Work, wear: &Wear, rates: &Rates) -> Seconds {
    running(work, rates) + work.standing + wear.change * f64::from(work.parts)
}

/// A person's time for gauging; none where the shop says nothing of it.
pub fn gauged(work: &Work, rates: &Rates) -> Option<Seconds> {
    let gauging = rates.gauging?;
    Some(gauging.time * f64::from(work.parts.div_ceil(gauging.every.max(1))))
}

/// What making the parts costs: everything but programming and overhead.
pub fn making(
    course: &Course,
    work: &Work,
    wear: &Wear,
    bought: &Bought,
    rates: &Rates,
) -> Vec<Line> {
    let both = rates.lathe_hour + rates.person_hour;
    let line = |item, money| Line { item, money };
    vec![
        line(Item::SetUp, for_time(both, course.set_up)),
        line(Item::Material, bought.taken()),
        line(Item::Scrap, Money::ZERO - bought.scrap.unwrap_or_default()),
        line(Item::Run, for_time(rates.lathe_hour, taken(work, wear, rates))),
        line(Item::Edges, Money::nearest(wear.price * f64::from(work.parts))),
        line(Item::Attention, for_time(rates.person_hour, attended(course, work, wear, rates))),
        line(Item::Gauging, for_time(rates.person_hour, gauged(work, rates).unwrap_or_default())),
    ]
}

/// The sum of lines.
pub fn sum(lines: &[Line]) -> Money {
    lines.iter().map(|line| line.money).sum()
}

/// What of these lines is material, scrap taken off; the others are work.
pub(crate) fn material(lines: &[Line]) -> Money {
    let of = lines.iter().filter(|line| matches!(line.item, Item::Material | Item::Scrap));
    of.map(|line| line.money).sum()
}
