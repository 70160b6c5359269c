//! A shop as timetable and simulation see it: from its file, with what each lathe does.

use crate::chance::Scatter;
use crate::clock::Clock;
use crate::course::{Course, Leg};
use crate::floor::{Floor, FloorLathe, FloorPerson, Rule, Stops, Turn};
use crate::problem::{self, Problem, Tick};
use crate::staffed::{self, Span};
use model::files::Shop;
use model::files::shop::{Attend, DOOR, Holiday, Hours, Person};
use model::quantity::Seconds;

/// Visits of one lathe that a timetable can hold.
pub const MOST_VISITS: usize = 1_500;
/// Turns of a lathe that a simulation goes through before it begins anew.
const MOST_TURNS: usize = 20_000;

/// A lathe and its work.
#[derive(Debug, Clone, PartialEq)]
pub struct Lathe {
    /// What it is called.
    pub name: String,
    /// What it does.
    pub course: Course,
    /// When it stands next, from now.
    pub stands_in: Seconds,
    /// How far a running time may be shorter or longer, as a share of it.
    pub run_scatter: f64,
    /// Running time between stops that nobody planned, and how long someone is there for one, on average.
    pub stops: Option<(Seconds, Seconds)>,
}

/// A person and the hours of that person.
#[derive(Debug, Clone, PartialEq)]
pub struct Crew {
    /// The person.
    pub person: Person,
    /// When that person is there.
    pub hours: Hours,
}

/// What nobody knows about how long a lathe may be left, and was left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotKnown {
    /// The lathe.
    pub lathe: String,
    /// What is not known.
    pub what: String,
    /// Why.
    pub why: String,
}

/// A figure of the log that a lathe's course rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Learned {
    /// The lathe.
    pub lathe: String,
    /// The figure in words.
    pub words: String,
}

/// A shop from now on.
#[derive(Debug, Clone)]
pub struct Setting {
    /// Its wall clock.
    pub clock: Clock,
    /// Its lathes.
    pub lathes: Vec<Lathe>,
    /// Its people.
    pub people: Vec<Crew>,
    /// Days on which nobody is there.
    pub holidays: Vec<Holiday>,
    /// What attending takes.
    pub attend: Attend,
    /// The walk from each place to each other: the lathes in their order, then the door.
    pub walk: Vec<Vec<Seconds>>,
}

impl Setting {
    /// The shop of a file; a course for each of its lathes, in their order.
    pub fn new(shop: &Shop, clock: Clock, courses: Vec<Course>) -> Setting {
        let lathes = shop.lathes.iter().zip(courses).map(|(lathe, course)| Lathe {
            name: lathe.name.clone(),
            course,
            stands_in: lathe.stands_in,
            run_scatter: lathe.run_scatter,
            stops: lathe.stops_every.map(|every| (every, lathe.stop_takes)),
        });
        let hours = |person: &Person| shop.hours.iter().find(|hours| hours.name == person.hours);
        let people = shop.people.iter().filter_map(|person| {
            Some(Crew { person: person.clone(), hours: hours(person)?.clone() })
        });
        Setting {
            clock,
            lathes: lathes.collect(),
            people: people.collect(),
            holidays: shop.holidays.clone(),
            attend: shop.attend,
            walk: walks(shop),
        }
    }

    /// When each person is there.
    pub fn staffed(&self, horizon: Seconds) -> Vec<Vec<Span>> {
        let spans = |crew: &Crew| {
            staffed::spans(
                &self.clock,
                &crew.person,
                &crew.hours,
                &self.holidays,
                horizon.s() as i64,
            )
        };
        self.people.iter().map(spans).collect()
    }

    /// What each lathe does until then.
    pub fn legs(&self, horizon: Seconds) -> Vec<Vec<Leg>> {
        let legs = |lathe: &Lathe| lathe.course.legs(&self.attend, horizon, MOST_VISITS + 1);
        self.lathes.iter().map(legs).collect()
    }

    /// A lathe that may want more visits until then than a timetable can hold.
    pub fn too_often(&self, horizon: Seconds) -> Option<&Lathe> {
        let legs = self.legs(horizon);
        let many = legs.iter().position(|legs| legs.len() > MOST_VISITS);
        many.map(|index| &self.lathes[index])
    }

    fn attends(&self, crew: &Crew) -> Vec<bool> {
        let names = &crew.person.lathes;
        self.lathes.iter().map(|lathe| names.is_empty() || names.contains(&lathe.name)).collect()
    }

    /// The problem of the timetable until then.
    pub fn problem(&self, horizon: Seconds, tick: Tick) -> Problem {
        let lathes = self.lathes.iter().zip(self.legs(horizon)).map(|(lathe, legs)| {
            problem::Lathe { stands_at: tick.up(lathe.stands_in), steps: tick.steps(&legs) }
        });
        let people = self.people.iter().zip(self.staffed(horizon)).map(|(crew, spans)| {
            problem::Person { spans: tick.spans(&spans), attends: self.attends(crew) }
        });
        let walk = self.walk.iter().map(|row| row.iter().map(|walk| tick.up(*walk)).collect());
        let horizon = (horizon.s() / f64::from(tick.seconds())) as problem::Ticks;
        Problem::new(horizon, lathes.collect(), people.collect(), walk.collect())
    }

    /// The floor for a simulation that long: orders like those of now follow each other without end.
    pub fn floor(&self, horizon: Seconds, rule: Rule) -> Floor {
        let service = Scatter::Between { least: self.attend.quickest, most: self.attend.slowest };
        let lathes = self.lathes.iter().map(|lathe| {
            let course = Course { parts_left: None, begun: None, ..lathe.course.clone() };
            let legs = course.legs(&self.attend, horizon, MOST_TURNS);
            let turn = |leg: &Leg| Turn { service: leg.service.s(), run: leg.run.s() };
            let scatter = lathe.run_scatter;
            FloorLathe {
                stands_at: lathe.stands_in.s(),
                turns: legs.iter().map(turn).collect(),
                run: Scatter::Between { least: 1.0 - scatter, most: 1.0 + scatter },
                stops: lathe.stops.map(|(every, takes)| Stops {
                    every: every.s(),
                    takes: takes.s(),
                    scatter: Scatter::Exponential,
                }),
            }
        });
        let people =
            self.people.iter().zip(self.staffed(horizon)).map(|(crew, spans)| FloorPerson {
                spans: spans.into_iter().map(|(from, to)| (from as f64, to as f64)).collect(),
                attends: self.attends(crew),
            });
        let walk = self.walk.iter().map(|row| row.iter().map(|walk| walk.s()).collect());
        Floor {
            horizon: horizon.s(),
            lathes: lathes.collect(),
            people: people.collect(),
            walk: walk.collect(),
            service,
            rule,
        }
    }
}

/// The walks of a shop, without ways around that are shorter.
fn walks(shop: &Shop) -> Vec<Vec<Seconds>> {
    let names: Vec<&str> =
        shop.lathes.iter().map(|lathe| lathe.name.as_str()).chain([DOOR]).collect();
    let mut walk = vec![vec![shop.attend.walk; names.len()]; names.len()];
    for (place, row) in walk.iter_mut().enumerate() {
        row[place] = Seconds::default();
    }
    let place = |name: &str| names.iter().position(|it| *it == name);
    for it in &shop.walks {
        if let (Some(from), Some(to)) = (place(&it.from), place(&it.to)) {
            walk[from][to] = it.takes;
            walk[to][from] = it.takes;
        }
    }
    for over in 0..names.len() {
        for from in 0..names.len() {
            for to in 0..names.len() {
                let around = walk[from][over] + walk[over][to];
                if around.s() < walk[from][to].s() {
                    walk[from][to] = around;
                }
            }
        }
    }
    walk
}
