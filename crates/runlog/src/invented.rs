//! A year of a shop that does not exist, for demos, tests and measurements. Every figure is invented.
//!
//! The same year and seed give the same events, byte for byte.

mod chance;
mod shop;

use chance::Chance;
use model::record::event::{
    EdgeWhy, Fills, Loaded, Measured, OffsetAxis, Planned, Reading, SetUp, StopWhy, Stopped, Work,
};
use model::record::{Event, Lapse, Name, Racked, RackedKind, Stamp, What};
use model::{Length, Money};
use shop::{JOBS, LATHES, PERSONS, Part};

/// How much of a year is invented.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Year {
    /// The year.
    pub year: i16,
    /// What chance hangs on.
    pub seed: u64,
    /// Days of it that are worked, from January 2 on.
    pub days: u32,
}

/// Tells every event of the days, in order.
pub fn year(of: Year, tell: &mut dyn FnMut(Event)) {
    let mut shop = Shop::new(of);
    for day in 0..of.days {
        // Five days of seven are worked, whatever the calendar calls them.
        if day % 7 < 5 {
            shop.day(day, tell);
        }
    }
}

const MINUTE: i64 = 60_000;
const DAY: i64 = 24 * 60 * MINUTE;

struct Lathe {
    name: Name,
    /// Position in the list of jobs that it works through.
    job: usize,
    order: Option<Running>,
    /// How far its tools have worn since the last edge change, in parts.
    worn: u32,
    /// What the offset has taken back.
    offset: i64,
}

/// An order at work.
#[derive(Clone)]
struct Running {
    name: Name,
    part: Part,
    left: u32,
    bar: u32,
    gauged: u32,
    heat: Name,
}

struct Shop {
    start: i64,
    lathes: Vec<Lathe>,
    books: Books,
}

/// What all lathes share.
struct Books {
    chance: Chance,
    told: u64,
    racked: u32,
    heats: u32,
}

/// A clock of one lathe, with what it tells.
struct Hand<'t> {
    now: i64,
    lathe: Name,
    job: Option<Name>,
    person: Name,
    told: &'t mut u64,
    events: &'t mut Vec<Event>,
}

impl Hand<'_> {
    fn tell(&mut self, what: What) {
        *self.told += 1;
        self.events.push(Event {
            id: Name::from(format!("demo-{:07}", self.told).as_str()),
            at: Stamp::from_ms(self.now),
            lathe: Some(self.lathe.clone()),
            job: self.job.clone(),
            person: Some(self.person.clone()),
            what,
            note: None,
        });
    }

    fn after(&mut self, ms: i64) -> &mut Self {
        self.now += ms;
        self
    }
}

impl Shop {
    fn new(of: Year) -> Shop {
        let lathes = LATHES.iter().enumerate().map(|(index, name)| Lathe {
            name: Name::from(*name),
            job: index,
            order: None,
            worn: 0,
            offset: 0,
        });
        let books = Books { chance: Chance::new(of.seed), told: 0, racked: 0, heats: 0 };
        Shop { start: january_2(of.year), lathes: lathes.collect(), books }
    }

    fn day(&mut self, day: u32, tell: &mut dyn FnMut(Event)) {
        let mut events = Vec::new();
        let morning = self.start + i64::from(day) * DAY + 6 * 60 * MINUTE;
        for (index, lathe) in self.lathes.iter_mut().enumerate() {
            let person = PERSONS[(index + day as usize / 5) % PERSONS.len()];
            let late = self.books.chance.between(0, 20) * MINUTE;
            self.books.lathe_day(lathe, person, morning + late, &mut events);
        }
        // Lathes work beside each other: their events come as they happen.
        events.sort_by_key(|event: &Event| event.at);
        events.into_iter().for_each(tell);
    }
}

impl Books {
    fn lathe_day(
        &mut self,
        lathe: &mut Lathe,
        person: &str,
        morning: i64,
        events: &mut Vec<Event>,
    ) {
        let evening = morning + (10 * 60 + self.chance.between(0, 90)) * MINUTE;
        let mut told = self.told;
        let mut hand = Hand {
            now: morning,
            lathe: lathe.name.clone(),
            job: lathe.order.as_ref().map(|order| order.name.clone()),
            person: Name::from(person),
            told: &mut told,
            events,
        };
        if lathe.order.as_ref().is_some_and(|order| order.bar > 0) {
            hand.tell(What::Started);
        }
        while hand.now < evening {
            match &lathe.order {
                None => self.open(lathe, &mut hand),
                Some(order) if order.left == 0 => close(lathe, &mut hand),
                Some(order) if order.bar == 0 => self.load(lathe, &mut hand),
                Some(_) => self.part(lathe, &mut hand),
            }
        }
        if lathe.order.as_ref().is_some_and(|order| order.bar > 0) {
            hand.tell(stopped(StopWhy::Shift));
        }
        self.told = told;
    }

    fn open(&mut self, lathe: &mut Lathe, hand: &mut Hand<'_>) {
        let part = JOBS[lathe.job % JOBS.len()];
        lathe.job += LATHES.len();
        let number = lathe.job;
        let name = Name::from(format!("{}-{:03}", part.name, number).as_str());
        let quantity = (self.chance.between(4, 30) * 25) as u32;
        let bars = quantity.div_ceil(part.per_bar);
        hand.job = Some(name.clone());
        hand.tell(What::OrderOpened {
            quantity,
            planned: Planned {
                bars: Some(bars),
                bar_length: Some(Length::from_mm(1000)),
                running: Some(Lapse::from_ms(part.cycle_ms).times(quantity)),
                set_up: Some(Lapse::from_s(35 * 60)),
                edges: Some(quantity.div_ceil(part.edge_parts)),
                part_cost: Some(Money::from_cents(part.cost_cents)),
            },
        });
        let set_up = self.chance.between(25, 60) * MINUTE;
        hand.after(set_up).tell(What::SetUpDone(Box::new(SetUp {
            parts_per_bar: Some(part.per_bar),
            part_time: Some(Lapse::from_ms(part.cycle_ms)),
            edges: [(1, part.edge_parts)].into(),
            fills: [(Fills::Catcher, part.catcher)].into(),
            gauge_every: Some(part.gauge_every),
            never_longer: Some(Lapse::from_s(45 * 60)),
            ..SetUp::default()
        })));
        hand.tell(What::TimeSpent { work: Work::SetUp, time: Lapse::from_ms(set_up) });
        (lathe.worn, lathe.offset) = (0, 0);
        self.heats += 1;
        let heat =
            format!("{} {}", (b'A' + (self.heats % 8) as u8) as char, 1000 + self.heats * 37);
        lathe.order = Some(Running {
            name,
            part,
            left: quantity,
            bar: 0,
            gauged: 0,
            heat: Name::from(heat.as_str()),
        });
    }

    fn load(&mut self, lathe: &mut Lathe, hand: &mut Hand<'_>) {
        let Some(order) = &mut lathe.order else { return };
        let minutes = self.chance.between(2, 9);
        hand.after(minutes * MINUTE).tell(What::BarLoaded(Box::new(Loaded {
            heat: Some(order.heat.clone()),
            material: Some(Name::from(order.part.material)),
            size: Some(Length::from_mm(order.part.bar_mm)),
            length: Some(Length::from_mm(1000)),
            ..Loaded::default()
        })));
        let time = Lapse::from_ms(minutes * MINUTE);
        hand.tell(What::TimeSpent { work: Work::Attention, time });
        hand.tell(What::Emptied { what: Fills::Catcher });
        hand.tell(What::Started);
        order.bar = order.part.per_bar;
    }

    fn part(&mut self, lathe: &mut Lathe, hand: &mut Hand<'_>) {
        let Some(order) = &mut lathe.order else { return };
        let part = order.part;
        let spread = self.chance.between(-part.cycle_ms / 50, part.cycle_ms / 50);
        hand.after(part.cycle_ms + spread).tell(What::PartsMade { parts: 1 });
        order.left -= 1;
        order.bar -= 1;
        order.gauged += 1;
        lathe.worn += 1;
        if order.gauged >= part.gauge_every {
            order.gauged = 0;
            let made = part.per_bar - order.bar;
            gauge(&mut self.chance, (&mut lathe.worn, &mut lathe.offset), &part, made, hand);
        }
        if lathe.worn >= part.edge_parts {
            lathe.worn = 0;
            lathe.offset = 0;
            hand.tell(stopped(StopWhy::Edge));
            hand.after(6 * MINUTE).tell(What::EdgeChanged { station: 1, why: EdgeWhy::Planned });
            hand.tell(What::Started);
        }
        if self.chance.once_in(900) {
            trouble(&mut self.chance, hand);
        }
        if order.bar == 0 || order.left == 0 {
            order.bar = 0;
            hand.tell(stopped(if order.left == 0 { StopWhy::Order } else { StopWhy::Bar }));
            self.end_bar(hand, &part);
        }
    }

    fn end_bar(&mut self, hand: &mut Hand<'_>, part: &Part) {
        let length = Length::from_um(self.chance.between(61_000, 66_000));
        // Somebody must come first.
        hand.after(self.chance.between(1, 12) * MINUTE);
        hand.tell(What::BarEnded { remnant: Some(length) });
        if self.chance.once_in(12) {
            self.racked += 1;
            hand.tell(What::PutOnRack(Box::new(Racked {
                item: Name::from(format!("R{}", self.racked).as_str()),
                kind: RackedKind::Remnant,
                material: Some(Name::from(part.material)),
                size: Some(Length::from_mm(part.bar_mm)),
                length,
                count: 1,
                heat: None,
                place: Some(Name::from("shelf 3")),
            })));
        }
    }
}

fn stopped(why: StopWhy) -> What {
    What::Stopped(Stopped { why, block: None })
}

fn close(lathe: &mut Lathe, hand: &mut Hand<'_>) {
    hand.tell(What::OrderClosed);
    hand.after(10 * MINUTE);
    lathe.order = None;
}

/// The diameter grows as the edge wears; chance moves it, and the person takes it back with the offset.
fn gauge(
    chance: &mut Chance,
    (worn, offset): (&mut u32, &mut i64),
    part: &Part,
    made: u32,
    hand: &mut Hand<'_>,
) {
    let drift = i64::from(*worn) * part.drift_nm;
    let size = part.diameter_nm + drift + *offset + chance.around() * part.noise_nm / 1000;
    let half = part.tolerance_nm / 2;
    hand.tell(What::SizeMeasured(Box::new(Measured {
        feature: Name::from("1"),
        // The gauge shows whole micrometers.
        reading: Reading::Size(Length::from_um((size + 500).div_euclid(1000))),
        low: Some(Length::from_nm(part.diameter_nm - half)),
        high: Some(Length::from_nm(part.diameter_nm + half)),
        part: Some(made),
        gauge: Some(Name::from("micrometer 0-25")),
    })));
    let time = Lapse::from_s(90);
    hand.tell(What::TimeSpent { work: Work::Gauging, time });
    if size - part.diameter_nm > half {
        let why = Some(Name::from("diameter 1 too large"));
        hand.tell(What::PartsScrapped { parts: 1, why });
    }
    if size - part.diameter_nm > half / 2 {
        let by = -(drift + *offset);
        *offset += by;
        let by = Length::from_nm(by);
        hand.tell(What::OffsetMoved { station: 1, axis: OffsetAxis::X, by });
    }
}

fn trouble(chance: &mut Chance, hand: &mut Hand<'_>) {
    let why = [StopWhy::Alarm, StopWhy::Chips, StopWhy::Size, StopWhy::Hand];
    let why = why[chance.between(0, 3) as usize];
    let block =
        (why == StopWhy::Alarm).then(|| Name::from(chance.between(20, 80).to_string().as_str()));
    hand.tell(What::Stopped(Stopped { why, block }));
    let minutes = chance.between(5, 90);
    let time = Lapse::from_ms(minutes * MINUTE / 2);
    hand.after(minutes * MINUTE).tell(What::TimeSpent { work: Work::Mending, time });
    if why == StopWhy::Alarm {
        hand.tell(What::PartsScrapped { parts: 1, why: Some(Name::from("stopped in the cut")) });
    }
    hand.tell(What::Started);
}

/// Midnight of January 2 in UTC.
fn january_2(year: i16) -> i64 {
    let text = format!("{year:04}-01-02T00:00:00Z");
    text.parse().map_or(0, |time: jiff::Timestamp| time.as_millisecond())
}
