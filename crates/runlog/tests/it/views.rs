//! Every way to an answer gives the same: live, from a snapshot, from scratch, in memory, and by the oracle.

use crate::oracle::{Oracle, Quantities};
use crate::shop::{Shop, at};
use model::Length;
use model::record::event::{
    EdgeWhy, FollowWhy, Followed, Loaded, OffsetAxis, Planned, SetUp, StopWhy, Stopped, Work,
};
use model::record::{Event, Lapse, LatheNow, Name, Racked, RackedKind, State, Tally, What};
use proptest::prelude::*;
use runlog::live::Keep;
use runlog::wire::{Line, parse_line};
use runlog::{Live, Log, Query, Told};

const LATHES: [&str; 2] = ["L1", "L2"];
const JOBS: [&str; 2] = ["pin", "knob"];
const ITEMS: [&str; 2] = ["R1", "R2"];

fn what() -> impl Strategy<Value = What> {
    let name = |names: &'static [&'static str]| prop::sample::select(names).prop_map(Name::from);
    let why = prop::sample::select(&[StopWhy::Bar, StopWhy::Alarm, StopWhy::NotKnown][..]);
    prop_oneof![
        2 => (1_u32..500).prop_map(|quantity| What::OrderOpened { quantity, planned: Planned::default() }),
        1 => Just(What::OrderClosed),
        2 => any::<bool>().prop_map(|edge| {
            let edges: std::collections::BTreeMap<u32, u32> = if edge { [(1, 50)].into() } else { [].into() };
            What::SetUpDone(Box::new(SetUp { sizes: edges.clone(), edges, parts_per_bar: Some(30), ..SetUp::default() }))
        }),
        3 => prop::option::of(name(&ITEMS)).prop_map(|from| {
            What::BarLoaded(Box::new(Loaded { from, ..Loaded::default() }))
        }),
        2 => Just(What::BarEnded { remnant: None }),
        8 => (0_u32..4).prop_map(|parts| What::PartsMade { parts }),
        3 => (0_u32..20).prop_map(|parts| What::CountRead { parts }),
        1 => (0_u32..3).prop_map(|parts| What::PartsScrapped { parts, why: None }),
        3 => Just(What::Started),
        3 => why.prop_map(|why| What::Stopped(Stopped { why, block: None })),
        1 => (1_u32..3).prop_map(|station| {
            What::OffsetMoved { station, axis: OffsetAxis::X, by: Length::from_um(-8) }
        }),
        2 => (1_u32..3).prop_map(|station| What::EdgeChanged { station, why: EdgeWhy::Worn }),
        2 => (name(&ITEMS), 1_u32..4, 1_i64..3, any::<bool>()).prop_map(|(item, count, length, stock)| {
            let kind = if stock { RackedKind::Stock } else { RackedKind::Remnant };
            let length = Length::from_mm(length * 100);
            What::PutOnRack(Box::new(Racked {
                item, kind, material: None, size: None, length, count, heat: None, place: None,
            }))
        }),
        1 => (name(&ITEMS), 1_u32..3).prop_map(|(item, count)| What::OffRack { item, count }),
        1 => prop::option::of(0_u64..90).prop_map(|to| {
            What::Followed(Followed { why: FollowWhy::Gap, from: Some(3), to })
        }),
        1 => (0_i64..90).prop_map(|s| What::TimeSpent { work: Work::Attention, time: Lapse::from_s(s) }),
    ]
}

#[derive(Debug, Clone)]
enum Step {
    /// Seconds by which the store's clock goes on, how late the event is told, lathe, whether the job is named, what.
    Tell(i64, i64, usize, Option<usize>, What),
    /// Correct one of the events so far: take it away, or put something of its kind in its place.
    Correct(prop::sample::Index, Option<What>),
    /// The store's clock is set back.
    Back(i64),
    /// Someone looks.
    Look,
    /// The program starts anew.
    Reopen,
}

fn step() -> impl Strategy<Value = Step> {
    let late = prop_oneof![4 => Just(0_i64), 1 => 0_i64..600];
    prop_oneof![
        16 => (0_i64..40, late, 0_usize..2, prop::option::weighted(0.3, 0_usize..2), what())
            .prop_map(|(on, late, lathe, job, what)| Step::Tell(on, late, lathe, job, what)),
        2 => (any::<prop::sample::Index>(), prop::option::of(what()))
            .prop_map(|(which, instead)| Step::Correct(which, instead)),
        1 => (0_i64..3000).prop_map(Step::Back),
        4 => Just(Step::Look),
        1 => Just(Step::Reopen),
    ]
}

struct Play {
    shop: Shop,
    live: Live,
    clock: i64,
    number: u32,
}

const KEEP: Keep = Keep { every: 7, worth: 5 };

impl Play {
    fn new() -> Play {
        let shop = Shop::in_memory();
        let live = Live::open_keeping(&shop.log, KEEP).unwrap();
        Play { shop, live, clock: 0, number: 0 }
    }

    fn go(&mut self, step: Step) {
        match step {
            Step::Tell(on, delay, lathe, job, what) => {
                self.clock += on;
                self.tell(delay, Some(LATHES[lathe]), job.map(|job| JOBS[job]), what);
            }
            Step::Correct(which, instead) => {
                let events: Vec<_> = self.shop.all();
                let real: Vec<_> = events
                    .iter()
                    .filter(|it| !matches!(it.event.what, What::Corrected { .. }))
                    .collect();
                if real.is_empty() {
                    return;
                }
                let one = &real[which.index(real.len())].event;
                let instead = instead.filter(|what| what.kind() == one.what.kind()).map(Box::new);
                self.tell(0, None, None, What::Corrected { event: one.id.clone(), instead });
            }
            Step::Back(by) => self.clock -= by,
            Step::Look => {
                self.live.refresh(&self.shop.log).unwrap();
                self.live.save(&self.shop.log).unwrap();
            }
            Step::Reopen => {
                self.shop.log = self.shop.reopened();
                self.live = Live::open_keeping(&self.shop.log, KEEP).unwrap();
            }
        }
    }

    fn tell(&mut self, delay: i64, lathe: Option<&str>, job: Option<&str>, what: What) {
        self.number += 1;
        self.shop.set_clock(self.clock);
        // What cannot do without a job has one.
        let job = match what.kind() {
            "order-opened" | "order-closed" | "set-up" => job.or(Some("pin")),
            _ => job,
        };
        let event = Event {
            id: Name::from(format!("e{}", self.number).as_str()),
            at: at(self.clock - delay),
            lathe: lathe.map(Name::from),
            job: job.map(Name::from),
            person: None,
            what,
            note: None,
        };
        self.shop.log.record(&[Told { event, sent: Some(at(self.clock)) }]).unwrap();
    }
}

fn quantities(tally: Option<&Tally>) -> Quantities {
    let Some(tally) = tally.cloned() else { return Quantities::default() };
    Quantities {
        quantity: tally.quantity,
        made: tally.made,
        scrapped: tally.scrapped,
        bars: tally.bars,
        edges: tally.edges,
        racked: tally.racked,
        running: tally.running,
        stops: tally.stops,
        spent: tally.spent,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, ..ProptestConfig::default() })]

    #[test]
    fn rebuilt_live_and_looked_through_are_the_same(steps in prop::collection::vec(step(), 1..120)) {
        let mut play = Play::new();
        for step in steps {
            play.go(step);
        }
        let log = &play.shop.log;
        play.live.refresh(log).unwrap();
        let all = play.shop.all();
        let state = State::of(&all);
        prop_assert_eq!(play.live.state(), &state, "live");
        let rebuilt = Live::rebuild(log).unwrap();
        prop_assert_eq!(rebuilt.state(), &state, "from scratch");
        let opened = Live::open_keeping(log, KEEP).unwrap();
        prop_assert_eq!(opened.state(), &state, "from a snapshot");

        let oracle = Oracle::of(&all);
        let end = oracle.end();
        for name in LATHES {
            let unknown = LatheNow::default();
            let lathe = state.lathes.get(name).unwrap_or(&unknown);
            prop_assert_eq!(&lathe.job, &oracle.job(name, end), "job on {}", name);
            let made = lathe.bar.as_ref().map(|bar| bar.made);
            prop_assert_eq!(made, oracle.made_in_bar(name, end), "parts of the bar in {}", name);
            for station in 1..3 {
                prop_assert_eq!(lathe.edges.get(&station).copied(), oracle.worn(name, station, false), "{} {}", name, station);
                prop_assert_eq!(lathe.drifted.get(&station).copied(), oracle.worn(name, station, true), "{} {}", name, station);
            }
        }
        for job in JOBS {
            prop_assert_eq!(quantities(state.order(job)), oracle.quantities(job), "{}", job);
        }
        for item in ITEMS {
            prop_assert_eq!(state.rack.get(item).map_or(0, |it| it.count), oracle.on_rack(item), "{}", item);
        }
        traced_alike(log, &all, &state)?;
        exported_alike(log)?;
    }

    #[test]
    fn an_event_as_a_line_is_the_same_event(what in what(), at_ms in -1_000_000_000_000_i64..4_000_000_000_000, note in prop::option::of("[a-z\"\\\\é ]{1,20}")) {
        let event = Event {
            id: Name::from("x"),
            at: model::record::Stamp::from_ms(at_ms),
            lathe: Some(Name::from("L \"1\"")),
            job: None,
            person: None,
            what,
            note: note.as_deref().and_then(Name::parse),
        };
        let line = parse_line(&Line::of_event(&event)).unwrap();
        prop_assert_eq!(line.event, event);
    }

    #[test]
    fn no_line_makes_the_reader_panic(text in "\\PC{0,60}") {
        let _ = parse_line(&text);
    }
}

/// The bar that is traced for a time has the parts that the state had at that time.
fn traced_alike(
    log: &Log,
    all: &[model::record::Recorded],
    state: &State,
) -> Result<(), TestCaseError> {
    for name in LATHES {
        let Some(last) = all
            .iter()
            .filter(|it| it.event.lathe.as_deref() == Some(name))
            .map(|it| it.order)
            .max()
        else {
            continue;
        };
        let found = log.bar_at(name, last.time).unwrap();
        // Where the clock was set back there may be several; the last is of the present clock.
        let traced = found.last().and_then(|traced| traced.bar.as_ref());
        let bar = state.lathes.get(name).and_then(|lathe| lathe.bar.as_ref());
        prop_assert_eq!(traced.map(|bar| bar.made), bar.map(|bar| bar.made), "{}", name);
    }
    Ok(())
}

fn exported_alike(log: &Log) -> Result<(), TestCaseError> {
    let mut text = Vec::new();
    log.export(&mut text).unwrap();
    let other = Shop::in_memory();
    let mut copy = other.log;
    let imported = copy.import(&mut text.as_slice(), "export").unwrap();
    prop_assert_eq!((imported.added, imported.known), (log.count().unwrap(), 0));
    prop_assert_eq!(
        copy.events(&Query::default()).unwrap(),
        log.events(&Query::default()).unwrap()
    );
    let again = copy.import(&mut text.as_slice(), "export").unwrap();
    prop_assert_eq!((again.added, again.known), (0, log.count().unwrap()));
    Ok(())
}
