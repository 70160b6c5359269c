//! `barwright log follow LATHE --agent URL`.

use super::followed::{Said, Trail};
use super::given::{Shop, lathe, told};
use crate::commands::{Ended, Outcome, Trouble, print};
use crate::term::log as term_log;
use clap::Args;
use follow::client::Trouble as NotSeen;
use follow::http::Bounds;
use follow::{Address, Client, Happening, What as Happened};
use model::record::{Event, Name, Runs, Stamp, What};
use runlog::wire::{Line, stamp_of};
use runlog::{Live, Log, Query, Told};
use serde_json::json;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::thread;
use std::time::Duration;

#[allow(clippy::doc_markdown, reason = "it is what --help prints")]
/// Follow a lathe by the open standard MTConnect: parts, starts and stops go into the log by themselves.
///
/// Each observation of the agent has an id of its own in the log, so that it counts once, however often it comes.
/// Where following left off is found in the log; what was missed in between is told and recorded as a gap. It only
/// reads, and ends with Ctrl-C.
#[derive(Debug, Args)]
#[command(
    after_help = "Examples:\n  barwright log follow \"Lathe 1\" --agent http://192.168.1.20:5000\n  \
        barwright log follow \"Lathe 1\" --agent http://192.168.1.20:5000 --device lathe-1 --once --json"
)]
pub(super) struct Follow {
    /// The lathe, as the log knows it; it must be set up.
    #[arg(value_name = "LATHE")]
    lathe: String,
    /// The agent's address.
    #[arg(long, value_name = "URL")]
    agent: String,
    /// The agent's name of the machine, or its uuid; left out, the only one that it has.
    #[arg(long, value_name = "NAME")]
    device: Option<String>,
    /// Look once, record what has happened since the last time, and end.
    #[arg(long)]
    once: bool,
}

/// A lathe being followed.
struct Following<'s> {
    shop: &'s Shop,
    log: Log,
    live: Live,
    lathe: Name,
    trail: Trail,
    bar_ended: bool,
    recorded: u32,
    /// What was last told to be wrong.
    trouble: Option<String>,
}

impl Follow {
    pub(super) fn run(self, shop: &Shop) -> Ended {
        let address = Address::read(&self.agent).ok_or_else(|| {
            let message = format!("{} is no address of an agent", self.agent);
            Trouble::outside(message, "write it as http://192.168.1.20:5000")
        })?;
        let log = shop.open()?;
        let live = Live::open(&log).map_err(told)?;
        let lathe = lathe(live.state(), &self.lathe)?;
        if live.state().lathes.get(&lathe).is_none_or(|now| now.since.is_none()) {
            let message = format!("{lathe} is not set up, so that nobody knows what it makes");
            return Err(Trouble::outside(message, "record it with `barwright log setup`"));
        }
        let trail = Trail::of(&lathe, &self.agent, self.device.as_deref().unwrap_or_default());
        let own = Query { lathe: Some(lathe.clone()), ..Query::default() };
        let place = trail.place(&log.events(&own).map_err(told)?);
        let mut following = Following {
            shop,
            log,
            live,
            lathe,
            trail,
            bar_ended: false,
            recorded: 0,
            trouble: None,
        };
        let ended = ended_by_hand();
        let device = self.device.as_deref();
        let mut waits = Duration::from_secs(2);
        let mut client = loop {
            match Client::of(address.clone(), device, place, Bounds::default()) {
                Ok(client) => break client,
                Err(unclear @ NotSeen::Unclear(_)) => return Err(not_seen(&unclear)),
                Err(trouble) if self.once => return Err(not_seen(&trouble)),
                Err(trouble) => following.tell_trouble(&trouble.to_string())?,
            }
            if wait(waits, &ended) {
                return following.end();
            }
            waits = (waits * 2).min(Duration::from_mins(1));
        };
        loop {
            let before = client.place();
            match client.look() {
                Ok(happened) => following.take(&client, before.is_none(), &happened, before)?,
                Err(trouble) if self.once => return Err(not_seen(&trouble)),
                Err(trouble) => following.tell_trouble(&trouble.to_string())?,
            }
            let next = client.wait();
            if self.once && !next.is_zero() || wait(next, &ended) {
                return following.end();
            }
        }
    }
}

impl Following<'_> {
    /// Records what a look has brought, all of it or nothing.
    fn take(
        &mut self,
        client: &Client,
        first: bool,
        happened: &[Happening],
        mut place: Option<follow::Place>,
    ) -> Result<(), Trouble> {
        if self.trouble.take().is_some() {
            self.say("the agent answers again", &json!({ "trouble": null }))?;
        }
        // Corrections and other tellers may have changed what stands.
        self.live.refresh(&self.log).map_err(told)?;
        let now = self.live.state().lathes.get(&self.lathe);
        let mut made = now.and_then(|now| now.bar.as_ref()).map(|bar| bar.made);
        let runs = now.and_then(|now| match now.runs {
            Runs::NotKnown => None,
            Runs::Since(_) => Some(true),
            Runs::Stopped(..) => Some(false),
        });
        let clock = client.clock().and_then(stamp_of);
        let mut all: Vec<Told> = Vec::new();
        if let (true, Some(begun)) = (first, client.place()) {
            for said in self.trail.begun(begun, runs) {
                all.extend(self.told(said, None, clock)?);
            }
        }
        for it in happened {
            place = place.map(|place| place.after(it));
            let total = place.and_then(|place| place.total);
            let Some(said) = self.trail.said(it, total, made, self.bar_ended) else { continue };
            match (&it.what, &said.what) {
                (Happened::BarEnded, _) => self.bar_ended = true,
                (_, What::Started) => self.bar_ended = false,
                (_, What::PartsMade { parts }) => {
                    made = made.map(|made| made.saturating_add(*parts));
                }
                (_, What::CountRead { parts }) => made = Some(*parts),
                _ => {}
            }
            all.extend(self.told(said, stamp_of(&it.time), clock)?);
        }
        if all.is_empty() {
            return Ok(());
        }
        for kept in self.log.record(&all).map_err(told)? {
            self.recorded += u32::from(!kept.known);
            let event = &kept.recorded.event;
            if self.shop.json {
                print(format!("{}\n", Line::text(&kept.recorded)).as_bytes())?;
            } else {
                let at = term_log::time::shown(kept.recorded.order.time);
                let words = term_log::event(event, self.shop.units());
                print(format!("{at}  {words}\n").as_bytes())?;
            }
        }
        Ok(())
    }

    /// An event as the agent's own clock tells it; none where the log has it already, by another follower.
    fn told(
        &self,
        said: Said,
        at: Option<Stamp>,
        clock: Option<Stamp>,
    ) -> Result<Option<Told>, Trouble> {
        if self.log.event(said.id.text()).map_err(told)?.is_some() {
            return Ok(None);
        }
        let now = self.log.now();
        // Without its clock, or without a time, what came with this answer counts as of now.
        let (at, sent) = match (at, clock) {
            (Some(at), Some(clock)) => (at.min(clock), clock),
            (None, Some(clock)) => (clock, clock),
            (_, None) => (now, now),
        };
        let age = sent.since(at);
        let on_it = self.live.state().lathes.get(&self.lathe);
        let since = on_it.and_then(|it| it.since).unwrap_or(now);
        // What is older than the set-up belongs to what was on the lathe then.
        let job = on_it.and_then(|it| it.job.clone()).filter(|_| now.since(since) >= age);
        let Said { id, what, note } = said;
        let lathe = Some(self.lathe.clone());
        let event = Event { id, at, lathe, job, person: None, what, note };
        Ok(Some(Told { event, sent: Some(sent) }))
    }

    /// Says what is wrong, once as long as it stays the same.
    fn tell_trouble(&mut self, words: &str) -> Result<(), Trouble> {
        if self.trouble.as_deref() != Some(words) {
            self.say(words, &json!({ "trouble": words }))?;
            self.trouble = Some(words.to_owned());
        }
        Ok(())
    }

    fn say(&self, words: &str, line: &serde_json::Value) -> Result<(), Trouble> {
        if self.shop.json {
            print(format!("{line}\n").as_bytes())?;
        } else {
            eprintln!("{words}; following goes on");
        }
        Ok(())
    }

    fn end(&mut self) -> Ended {
        if !self.shop.json {
            let s = if self.recorded == 1 { "" } else { "s" };
            let words = format!(
                "{}: {} event{s} recorded; the next time it goes on from here\n",
                self.lathe, self.recorded
            );
            print(words.as_bytes())?;
        }
        Ok(Outcome::Fine)
    }
}

fn not_seen(trouble: &NotSeen) -> Trouble {
    let mend = match trouble {
        NotSeen::Unclear(_) => "name the machine with --device",
        _ => "check the address, and whether the agent runs; nothing was recorded of this look",
    };
    Trouble::outside(trouble.to_string(), mend)
}

/// Waits; says whether a person ended it meanwhile.
fn wait(time: Duration, ended: &AtomicBool) -> bool {
    let step = Duration::from_millis(50);
    let mut left = time;
    while !ended.load(Ordering::Relaxed) && !left.is_zero() {
        let now = step.min(left);
        thread::sleep(now);
        left -= now;
    }
    ended.load(Ordering::Relaxed)
}

/// Becomes true with Ctrl-C. Where the system gives no such signal, the process just ends, and loses nothing.
fn ended_by_hand() -> Arc<AtomicBool> {
    let ended = Arc::new(AtomicBool::new(false));
    let told = Arc::clone(&ended);
    thread::spawn(move || {
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        if runtime.is_ok_and(|it| it.block_on(tokio::signal::ctrl_c()).is_ok()) {
            told.store(true, Ordering::Relaxed);
        }
    });
    ended
}
