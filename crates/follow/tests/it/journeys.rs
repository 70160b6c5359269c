//! Parts are counted once each, whatever happens on the way.

use super::agent::{Agent, serve};
use follow::document::{Devices, Document};
use follow::follower::{Follower, Place, Request};
use follow::happening::{Gap, State};
use follow::http::Bounds;
use follow::{Address, Client, Happening, Watch, What};
use proptest::prelude::*;
use std::collections::BTreeMap;
use std::time::Duration;

fn quick() -> Bounds {
    Bounds { time: Duration::from_millis(400), ..Bounds::default() }
}

/// A log that keeps each id once, as the store does.
#[derive(Default)]
struct Log {
    kept: BTreeMap<follow::happening::Id, What>,
    begun: Option<Place>,
    last: Option<Place>,
}

impl Log {
    fn record(&mut self, happened: Vec<Happening>) {
        for it in happened {
            self.last = self.last.or(self.begun).map(|place| place.after(&it));
            // The first stays: of a gap that is told again the end may have moved on.
            let kept = *self.kept.entry(it.id).or_insert(it.what);
            assert!(kept == it.what || it.id.gap, "{kept:?} became {:?}", it.what);
        }
    }

    fn parts(&self) -> u64 {
        let more = |what: &What| match what {
            What::Parts { more, .. } => *more,
            _ => 0,
        };
        self.kept.values().map(more).sum()
    }

    fn gaps(&self) -> Vec<Gap> {
        let gap = |what: &What| match what {
            What::Gap(gap) => Some(*gap),
            _ => None,
        };
        self.kept.values().filter_map(gap).collect()
    }
}

fn watch(agent: &Agent) -> Watch {
    Watch::of(&devices(agent), None).unwrap()
}

fn devices(agent: &Agent) -> Devices {
    match Document::read(agent.probe().as_bytes()) {
        Ok(Document::Devices(devices)) => devices,
        other => panic!("{other:?}"),
    }
}

/// Asks the agent directly, without a socket.
fn look(follower: &mut Follower, agent: &Agent) -> Vec<Happening> {
    let answer = match follower.request() {
        Request::Current => agent.current(),
        Request::Sample { from, count } => agent.sample(from, count as usize),
    };
    follower.take(Document::read(answer.as_bytes()).unwrap()).unwrap()
}

#[test]
fn a_shift_over_the_network_with_everything_that_goes_wrong() {
    let (agent, address) = serve(Agent::new(1_700_000_000, 40));
    let address = Address::read(&address).unwrap();
    let mut client = Client::of(address.clone(), Some("lathe-1"), None, quick()).unwrap();
    let mut log = Log::default();
    let act = |what: &dyn Fn(&mut Agent)| what(&mut agent.lock().unwrap());

    act(&|it| it.make(3));
    log.record(client.look().unwrap());
    assert_eq!(log.parts(), 0, "what was made before the first look is not counted now");
    act(&|it| {
        it.state("ACTIVE");
        it.make(5);
    });
    log.record(client.look().unwrap());
    assert_eq!(log.parts(), 5);
    assert!(log.kept.values().any(|it| *it == What::State(State::Running)));

    // The place is kept; this side dies and asks for the same again.
    let place = client.place();
    act(&|it| it.make(2));
    log.record(client.look().unwrap());
    let mut again = Client::of(address.clone(), None, place, quick()).unwrap();
    log.record(again.look().unwrap());
    assert_eq!(log.parts(), 7, "a repeat counts once");

    // The line breaks off within an answer, then nothing comes at all; waits grow.
    let calm = again.wait();
    act(&|it| it.hang_up = true);
    assert!(again.look().is_err());
    act(&|it| (it.hang_up, it.silent) = (false, true));
    assert!(again.look().is_err());
    assert!(again.look().is_err());
    assert!(again.wait() > calm);
    act(&|it| {
        it.silent = false;
        it.chunked = true;
        it.make(4);
    });
    log.record(again.look().unwrap());
    assert_eq!((log.parts(), again.wait()), (11, calm));

    // More than the buffer holds: the count bridges what was lost.
    act(&|it| it.make(60));
    for _ in 0..3 {
        log.record(again.look().unwrap());
    }
    assert_eq!(log.parts(), 71);
    assert!(matches!(log.gaps().as_slice(), [Gap::Overrun { .. }]), "{:?}", log.gaps());

    // The agent starts anew, and the machine made parts meanwhile.
    act(&|it| it.restart(1_700_009_999, 6));
    for _ in 0..3 {
        log.record(again.look().unwrap());
    }
    assert_eq!(log.parts(), 77);
    assert!(log.gaps().contains(&Gap::Restart { before: 1_700_000_000 }));

    // Someone sets the counter back; that is told and counts nothing.
    act(&|it| it.set_back(0));
    act(&|it| it.make(2));
    act(&|it| it.state("PROGRAM_COMPLETED"));
    log.record(again.look().unwrap());
    assert_eq!(log.parts(), 79);
    assert!(log.kept.values().any(|it| matches!(it, What::CountSetBack { to: 0, .. })));
    assert!(log.kept.values().any(|it| *it == What::State(State::Ended)));
}

#[test]
fn nobody_there_is_told_and_waits_grow_to_a_minute() {
    let agent = Agent::new(5, 10);
    let mut follower = Follower::new(watch(&agent), None);
    let mut before = follower.wait();
    for _ in 0..12 {
        follower.failed();
        assert!(follower.wait() >= before && follower.wait() <= Duration::from_mins(1));
        before = follower.wait();
    }
    assert_eq!(before, Duration::from_mins(1));
    look(&mut follower, &agent);
    assert!(follower.wait() < Duration::from_secs(3));
    let nowhere = Address::read("http://127.0.0.1:1").unwrap();
    assert!(Client::of(nowhere, None, None, quick()).is_err());
}

#[test]
fn what_to_watch_is_asked_where_it_is_not_clear() {
    let mut found = devices(&Agent::new(5, 10));
    assert_eq!(Watch::of(&found, None).unwrap().parts.as_deref(), Some("pc"));
    assert!(Watch::of(&found, Some("lathe-2")).unwrap_err().to_string().contains("lathe-1"));
    found.devices.push(found.devices[0].clone());
    assert!(Watch::of(&found, None).is_err());
    found.devices.pop();
    let second = found.devices[0].items[2].clone();
    found.devices[0].items.push(second);
    assert!(Watch::of(&found, None).unwrap_err().to_string().contains("EXECUTION"));
    found.devices[0].items.clear();
    assert!(Watch::of(&found, None).is_err());
}

/// What may happen between two looks.
#[derive(Debug, Clone)]
enum Step {
    Make(u64),
    Look,
    Restart(u64),
    Die(usize),
    State(bool),
}

fn steps() -> impl Strategy<Value = Vec<Step>> {
    let step = prop_oneof![
        4 => (0_u64..30).prop_map(Step::Make),
        6 => Just(Step::Look),
        1 => (0_u64..9).prop_map(Step::Restart),
        2 => (0_usize..6).prop_map(Step::Die),
        2 => any::<bool>().prop_map(Step::State),
    ];
    prop::collection::vec(step, 1..60)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// However parts, looks, overruns and restarts of either side follow each other: in the end the
    /// log holds exactly what the machine made since the first look.
    #[test]
    fn every_part_is_counted_once(steps in steps(), buffer in 2_usize..60) {
        let mut agent = Agent::new(100, buffer);
        let mut follower = Follower::new(watch(&agent), None);
        let mut log = Log::default();
        log.record(look(&mut follower, &agent));
        let begun = agent.total;
        log.begun = follower.place();
        for step in steps {
            match step {
                Step::Make(parts) => agent.make(parts),
                Step::State(runs) => agent.state(if runs { "ACTIVE" } else { "FEED_HOLD" }),
                Step::Restart(parts) => agent.restart(agent.instance + 1, parts),
                Step::Look => log.record(look(&mut follower, &agent)),
                // This side dies within what it records, and begins behind the last that it kept.
                Step::Die(recorded) => {
                    let mut happened = look(&mut follower, &agent);
                    happened.truncate(recorded);
                    log.record(happened);
                    follower = Follower::new(watch(&agent), log.last.or(log.begun));
                }
            }
        }
        for _ in 0..40 {
            log.record(look(&mut follower, &agent));
        }
        prop_assert_eq!(log.parts(), agent.total - begun);
    }
}
