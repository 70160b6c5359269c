//! How the worth of a way of loading moves when one figure is lower or higher than thought.

use crate::loading::{Given, WayCost};
use model::Money;

/// How far each figure is moved to both sides, as a share of it.
pub const STEP: f64 = 0.25;

/// What each figure is multiplied by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scales {
    /// Parts a year.
    pub quantity: f64,
    /// An hour of a person.
    pub person_hour: f64,
    /// An hour of the lathe.
    pub lathe_hour: f64,
    /// Share of a person while the lathe works.
    pub attention: f64,
    /// Material and scrap.
    pub material: f64,
    /// What a way costs to buy, and its resale.
    pub capital: f64,
    /// Interest.
    pub interest: f64,
}

impl Scales {
    /// All figures as they are.
    pub const NOMINAL: Scales = Scales {
        quantity: 1.0,
        person_hour: 1.0,
        lathe_hour: 1.0,
        attention: 1.0,
        material: 1.0,
        capital: 1.0,
        interest: 1.0,
    };
}

/// A figure that is moved.
type Moved = (&'static str, fn(&mut Scales, f64));

const FIGURES: [Moved; 7] = [
    ("parts a year", |scales, by| scales.quantity = by),
    ("hour of a person", |scales, by| scales.person_hour = by),
    ("hour of the lathe", |scales, by| scales.lathe_hour = by),
    ("attention", |scales, by| scales.attention = by),
    ("material", |scales, by| scales.material = by),
    ("capital", |scales, by| scales.capital = by),
    ("interest", |scales, by| scales.interest = by),
];

/// What one figure does.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Swing {
    /// The figure.
    pub figure: &'static str,
    /// Worth when it is lower by [`STEP`].
    pub lower: Money,
    /// Worth when it is higher by as much.
    pub higher: Money,
}

/// How the worth of one way moves.
#[derive(Debug, Clone, PartialEq)]
pub struct Sensitivity {
    /// The way with the most fixed cost a year.
    pub way: usize,
    /// The way that it is compared to.
    pub other: usize,
    /// Its worth as things are thought.
    pub worth: Money,
    /// Each figure, that which moves it most first.
    pub swings: Vec<Swing>,
}

pub(crate) fn of(given: &Given<'_>, ways: &[WayCost]) -> Option<Sensitivity> {
    let compared = ways.iter().enumerate().filter_map(|(way, it)| Some((way, it.beside?)));
    let (way, beside) = compared.max_by_key(|(way, _)| ways[*way].fixed)?;
    let other = beside.other;
    let at = |change: fn(&mut Scales, f64), by: f64| {
        let mut scales = Scales::NOMINAL;
        change(&mut scales, by);
        given.worth(way, other, &scales)
    };
    let swing = |(figure, change): &Moved| {
        let (lower, higher) = (at(*change, 1.0 - STEP)?, at(*change, 1.0 + STEP)?);
        Some(Swing { figure, lower, higher })
    };
    let mut swings: Vec<Swing> = FIGURES.iter().filter_map(swing).collect();
    swings
        .sort_by_key(|it| std::cmp::Reverse((it.higher.cents() - it.lower.cents()).unsigned_abs()));
    Some(Sensitivity { way, other, worth: beside.worth, swings })
}
