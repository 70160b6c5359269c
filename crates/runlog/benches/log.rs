//! How fast the log confirms, folds and answers, beside plain ways. Run `cargo bench -p barwright-runlog`.
//!
//! `BARWRIGHT_BENCH_FOLDER` says where the files lie: how fast events are confirmed hangs on that disk alone.

#![allow(
    clippy::unwrap_used,
    clippy::disallowed_methods,
    clippy::disallowed_macros,
    reason = "a measurement"
)]

use model::record::{Corrections, Name, Stamp, State, What, visits};
use runlog::invented::{Year, year};
use runlog::wire::Line;
use runlog::{Live, Log, Query, Recorder, Told};
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Barrier};
use std::time::{Duration, Instant};

fn main() {
    let folder = std::env::var_os("BARWRIGHT_BENCH_FOLDER").map(PathBuf::from);
    let folder =
        folder.map_or_else(|| tempfile::tempdir().unwrap(), |it| tempfile::tempdir_in(it).unwrap());
    confirmed(folder.path());
    a_million(folder.path());
}

fn told(id: &str) -> Told {
    Told::now(Name::from(id), What::PartsMade { parts: 1 }, Stamp::from_ms(0)).at_lathe("Lathe 1")
}

fn rate(what: &str, events: u32, time: Duration) {
    println!("{what:<66}{:>9.0} events/s", f64::from(events) / time.as_secs_f64());
}

/// Each event confirmed when it is on the disk.
fn confirmed(folder: &Path) {
    let plain = 300;
    let mut log = Log::create(&folder.join("plain.barlog")).unwrap();
    let start = Instant::now();
    for number in 0..plain {
        log.record(&[told(&number.to_string())]).unwrap();
    }
    rate("plain way: one commit an event, one client", plain, start.elapsed());
    for clients in [8, 64, 256] {
        let path = folder.join(format!("{clients}.barlog"));
        let recorder = Recorder::start(Log::create(&path).unwrap());
        let each = 12_000 / clients;
        let barrier = Arc::new(Barrier::new(clients as usize + 1));
        let threads: Vec<_> = (0..clients)
            .map(|client| {
                let (recorder, barrier) = (recorder.clone(), Arc::clone(&barrier));
                std::thread::spawn(move || {
                    barrier.wait();
                    for number in 0..each {
                        recorder.record(vec![told(&format!("{client}-{number}"))]).unwrap();
                    }
                })
            })
            .collect();
        barrier.wait();
        let start = Instant::now();
        for thread in threads {
            thread.join().unwrap();
        }
        let what = format!("one writer, {clients} clients, each waits for each of its events");
        rate(&what, each * clients, start.elapsed());
    }
    let recorder = Recorder::start(Log::create(&folder.join("groups.barlog")).unwrap());
    let start = Instant::now();
    for group in 0..200 {
        recorder
            .record((0..100).map(|number| told(&format!("{group}-{number}"))).collect())
            .unwrap();
    }
    rate(
        "one client that tells 100 at once, as after a time without network",
        20_000,
        start.elapsed(),
    );
}

/// Milliseconds that this thread has had a processor, where the system tells it: on a machine that others use too,
/// the clock on the wall says little.
fn on_processor() -> Option<f64> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split(' ').next()?.parse::<f64>().ok().map(|ns| ns / 1e6)
}

fn once<T>(what: &str, run: impl FnOnce() -> T) -> T {
    let (start, before) = (Instant::now(), on_processor());
    let value = run();
    let own = before.zip(on_processor()).map_or(String::new(), |(before, after)| {
        format!(", {:.1} on the processor", after - before)
    });
    println!("{what:<66}{:>9.1} ms{own}", start.elapsed().as_secs_f64() * 1e3);
    value
}

/// The middle and the worst of many.
fn often(what: &str, mut run: impl FnMut(usize)) {
    let mut times: Vec<f64> = (0..200)
        .map(|number| {
            let start = Instant::now();
            run(number);
            start.elapsed().as_secs_f64() * 1e3
        })
        .collect();
    times.sort_by(f64::total_cmp);
    println!("{what:<66}{:>9.3} ms, worst of 200 {:.3}", times[100], times[199]);
}

fn a_million(folder: &Path) {
    let lines = folder.join("year.jsonl");
    let mut count = 0_u32;
    {
        let mut out = std::io::BufWriter::new(std::fs::File::create(&lines).unwrap());
        // Some years of the invented shop, until it is a million.
        year(Year { year: 2020, seed: 8, days: 3000 }, &mut |event| {
            if count < 1_000_000 {
                count += 1;
                writeln!(out, "{}", Line::of_event(&event)).unwrap();
            }
        });
    }
    let path = folder.join("million.barlog");
    let mut log = Log::create(&path).unwrap();
    once("import of a million lines", || {
        let file = std::fs::File::open(&lines).unwrap();
        log.import(&mut std::io::BufReader::new(file), "year").unwrap()
    });
    let size = std::fs::metadata(&path).unwrap().len() as f64 / 1e6;
    println!("{count} events, {size:.0} MB");
    let all = log.events(&Query::default()).unwrap();
    let corrections: Corrections = all.iter().collect();
    let state = once("fold of a million events in memory", || {
        let mut state = State::default();
        for recorded in &all {
            state.take(recorded, &corrections);
        }
        state
    });
    let plain = once("plain way: parts added up by job and lathe, nothing else", || {
        let mut sums = std::collections::BTreeMap::<_, u64>::new();
        for recorded in &all {
            if let What::PartsMade { parts } = recorded.event.what {
                *sums.entry((&recorded.event.job, &recorded.event.lathe)).or_default() +=
                    u64::from(parts);
            }
        }
        sums
    });
    assert!(plain.len() > 10);
    let mut live =
        once("the same fold from the file, without a snapshot", || Live::rebuild(&log).unwrap());
    assert_eq!(live.state(), &state);
    live.save(&log).unwrap();
    once("the state from its snapshot, as a command opens it", || Live::open(&log).unwrap());
    once("quick look over the file (once a day)", || {
        log.look_over(runlog::store::Depth::Quick).unwrap();
    });
    questions(&mut log, &mut live, &all);
}

fn questions(log: &mut Log, live: &mut Live, all: &[model::record::Recorded]) {
    println!("questions at a million events:");
    let lathe = Name::from("Lathe 2");
    let job = all[700_000].event.job.clone();
    let last = all.last().unwrap().order.time;
    let mut number = 0;
    let mut now = 0;
    often("  one part more: confirmed, state brought up, next visits", |_| {
        number += 1;
        log.record(&[told(&format!("more-{number}"))]).unwrap();
        live.refresh(log).unwrap();
        let lathe = &live.state().lathes["Lathe 1"];
        let order = lathe.job.as_ref().and_then(|job| live.state().order(job));
        now += visits(lathe, order).len();
    });
    assert!(now > 0);
    often("  nothing new: state, next visits of all lathes", |_| {
        live.refresh(log).unwrap();
        for lathe in live.state().lathes.values() {
            now += visits(lathe, None).len();
        }
    });
    let ask = |query: Query| move |log: &Log| log.events(&query).unwrap().len();
    let lists: [(&str, Query); 5] = [
        ("  the last 50 events", Query::default()),
        ("  the last 50 of a lathe", Query { lathe: Some(lathe.clone()), ..Query::default() }),
        ("  the last 50 of a job", Query { job: job.clone(), ..Query::default() }),
        (
            "  the last 50 stops of a lathe",
            Query { lathe: Some(lathe.clone()), kind: Some("stopped"), ..Query::default() },
        ),
        (
            "  the last 50 sizes of a job",
            Query { job, kind: Some("size-measured"), ..Query::default() },
        ),
    ];
    for (what, query) in lists {
        let ask = ask(Query { last: Some(50), ..query });
        often(what, |_| assert!(ask(log) > 0));
    }
    let span = last.since(all[0].order.time).ms();
    often("  from a part's time to its heat number", |number| {
        let time = Stamp::from_ms(all[0].order.time.ms() + span / 200 * number as i64 + 3_600_000);
        assert!(log.bar_at("Lathe 1", time).unwrap().len() <= 1);
    });
    let heats: Vec<Name> = all
        .iter()
        .filter_map(|recorded| match &recorded.event.what {
            What::BarLoaded(loaded) => loaded.heat.clone(),
            _ => None,
        })
        .collect();
    often("  from a heat number to its bars and parts", |number| {
        let heat = &heats[heats.len() / 200 * number];
        assert!(!log.bars_of_heat(heat).unwrap().is_empty());
    });
    often("  an event told an hour late, state brought up", |number| {
        let mut delayed = told(&format!("late-{number}"));
        delayed.event.at = Stamp::from_ms(0);
        delayed.sent = Some(Stamp::from_ms(3_600_000));
        log.record(&[delayed]).unwrap();
        assert!(live.refresh(log).unwrap());
    });
}
