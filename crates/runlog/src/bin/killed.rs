//! Kills a writing process again and again, and looks whether the log kept its promises. For developers.
//!
//! `killed TIMES [SEED] [FOLDER]` starts a process of its own that makes a log or goes on with it, tells events from
//! several threads and says which were confirmed; it is killed with SIGKILL at a random time. Then the log must be
//! sound, hold every confirmed event once, and count rightly; what was told last is told again.
//!
//! What this does not show: a power cut. The operating system lives on and writes what it was given.
#![forbid(unsafe_code)]
#![allow(clippy::disallowed_macros, reason = "a program for developers that tells what it found")]

use model::record::event::Loaded;
use model::record::{Name, Stamp, What};
use runlog::{Live, Log, Recorder, Told};
use std::collections::BTreeSet;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::Path;
use std::process::{Command, ExitCode, Stdio};
use std::sync::mpsc;
use std::thread;
use std::time::Duration;

const THREADS: u64 = 3;
/// How long one waits for the first confirmation.
const PATIENCE: Duration = Duration::from_secs(30);
/// Every third process is killed so many microseconds after it was started, at most; the others so many after they
/// confirmed something, at most.
const LATEST_US: [u64; 2] = [80_000, 40_000];

fn main() -> ExitCode {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let words: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let done = match words.as_slice() {
        ["write", file, run] => write(Path::new(file), run),
        [times] => campaign(times, "1", None),
        [times, seed] => campaign(times, seed, None),
        [times, seed, folder] => campaign(times, seed, Some(Path::new(folder))),
        _ => Err("use: killed TIMES [SEED] [FOLDER]".to_owned()),
    };
    match done {
        Ok(()) => ExitCode::SUCCESS,
        Err(why) => {
            eprintln!("{why}");
            ExitCode::FAILURE
        }
    }
}

fn id(run: &str, thread: u64, number: u64) -> String {
    format!("{run}-{thread}-{number}")
}

fn told(id: &str, number: u64, now: Stamp) -> Told {
    // Now and then a bar goes in, so that other rows are written too.
    let what = if number.is_multiple_of(25) {
        What::BarLoaded(Box::new(Loaded { heat: Some(Name::from(id)), ..Loaded::default() }))
    } else {
        What::PartsMade { parts: 1 }
    };
    let lathe = id.rsplit_once('-').map_or("L", |(lathe, _)| lathe);
    Told::now(Name::from(id), what, now).at_lathe(lathe)
}

/// The process that is killed: tells without end, and says what was confirmed.
fn write(file: &Path, run: &str) -> Result<(), String> {
    let log = if file.exists() { Log::open(file) } else { Log::create(file) };
    let log = log.map_err(|error| format!("{error}; {}", error.mend))?;
    let now = log.now();
    let recorder = Recorder::start(log);
    let threads: Vec<_> = (0..THREADS)
        .map(|thread| {
            let (recorder, run) = (recorder.clone(), run.to_owned());
            thread::spawn(move || -> Result<(), String> {
                for number in 0.. {
                    let id = id(&run, thread, number);
                    let told = told(&id, number, now);
                    recorder.record(vec![told]).map_err(|error| error.to_string())?;
                    let line = format!("{id}\n");
                    let mut out = std::io::stdout().lock();
                    out.write_all(line.as_bytes())
                        .and_then(|()| out.flush())
                        .map_err(|it| it.to_string())?;
                }
                Ok(())
            })
        })
        .collect();
    for thread in threads {
        thread.join().map_err(|_| "a thread broke".to_owned())??;
    }
    Ok(())
}

#[derive(Default)]
struct Found {
    kills: u32,
    in_making: u32,
    before_first: u32,
    confirmed: u64,
    unconfirmed_but_kept: u64,
    again: u64,
}

fn campaign(times: &str, seed: &str, folder: Option<&Path>) -> Result<(), String> {
    let times: u32 = times.parse().map_err(|_| format!("{times} is no number"))?;
    let mut chance: u64 = seed.parse().map_err(|_| format!("{seed} is no number"))?;
    let own = std::env::temp_dir().join(format!("barwright-killed-{}", std::process::id()));
    let folder = folder.map_or(own, Path::to_path_buf);
    std::fs::create_dir_all(&folder).map_err(|error| error.to_string())?;
    let mut found = Found::default();
    let mut file = folder.join("0.barlog");
    for kill in 0..times {
        // Every fiftieth process makes the log itself, and may be killed while it does.
        if kill % 50 == 0 {
            file = folder.join(format!("{kill}.barlog"));
        }
        chance =
            chance.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let writing = kill % 3 != 0;
        let after = Duration::from_micros((chance >> 33) % LATEST_US[usize::from(writing)]);
        one(&file, &format!("run{kill}"), (writing, after), &mut found)
            .map_err(|why| format!("kill {kill} of {}: {why}", file.display()))?;
    }
    std::fs::remove_dir_all(&folder).map_err(|error| error.to_string())?;
    println!("{} processes killed while they wrote", found.kills);
    println!(
        "  {} before the log was made, {} before they confirmed anything",
        found.in_making, found.before_first
    );
    println!("  {} events confirmed: every one is there, once", found.confirmed);
    println!("  {} written and not yet confirmed: there, once", found.unconfirmed_but_kept);
    println!("  {} told again: each counts once", found.again);
    Ok(())
}

fn one(
    file: &Path,
    run: &str,
    (writing, after): (bool, Duration),
    found: &mut Found,
) -> Result<(), String> {
    let program = std::env::current_exe().map_err(|error| error.to_string())?;
    let mut child = Command::new(program)
        .args(["write", &file.display().to_string(), run])
        .stdout(Stdio::piped())
        .spawn()
        .map_err(|error| error.to_string())?;
    let out = child.stdout.take().ok_or("no output")?;
    let (send, confirmed) = mpsc::channel();
    let reader = thread::spawn(move || {
        let mut out = BufReader::new(out);
        let mut line = String::new();
        // A line that was cut off was not said.
        while out.read_line(&mut line).is_ok_and(|read| read > 0) && line.ends_with('\n') {
            let _ = send.send(line.trim_end().to_owned());
            line.clear();
        }
    });
    let first = if writing { confirmed.recv_timeout(PATIENCE).ok() } else { None };
    thread::sleep(after);
    child.kill().map_err(|error| error.to_string())?;
    let status = child.wait().map_err(|error| error.to_string())?;
    if status.code().is_some() {
        return Err(format!("the writer ended by itself: {status}"));
    }
    reader.join().map_err(|_| "the reader broke")?;
    found.kills += 1;
    let confirmed: BTreeSet<String> = first.into_iter().chain(confirmed).collect();
    found.confirmed += confirmed.len() as u64;
    found.before_first += u32::from(confirmed.is_empty());
    if !file.exists() {
        found.in_making += 1;
        return if confirmed.is_empty() { Ok(()) } else { Err("the log is gone".to_owned()) };
    }
    check(file, run, &confirmed, found)
}

fn check(
    file: &Path,
    run: &str,
    confirmed: &BTreeSet<String>,
    found: &mut Found,
) -> Result<(), String> {
    let text = |error: runlog::Error| format!("{error}; {}", error.mend);
    let mut log = Log::open(file).map_err(text)?;
    log.look_over(runlog::store::Depth::Whole).map_err(text)?;
    for id in confirmed {
        if log.event(id).map_err(text)?.is_none() {
            return Err(format!("{id} was confirmed and is not there"));
        }
    }
    let now = log.now();
    for thread in 0..THREADS {
        let said = (0..=confirmed.len() as u64)
            .take_while(|number| confirmed.contains(&id(run, thread, *number)))
            .count() as u64;
        // What was told last and not confirmed may be there or not; what would have come next is not.
        found.unconfirmed_but_kept +=
            u64::from(log.event(&id(run, thread, said)).map_err(text)?.is_some());
        if log.event(&id(run, thread, said + 1)).map_err(text)?.is_some() {
            return Err(format!("thread {thread} went on without waiting"));
        }
        for number in said.saturating_sub(2)..=said {
            let id = id(run, thread, number);
            let mut told = told(&id, number, now);
            if let Some(known) = log.event(&id).map_err(text)? {
                told.event.at = known.event.at;
            }
            log.record(&[told]).map_err(text)?;
            found.again += 1;
        }
        counts(&log, run, thread, said + 1).map_err(|why| format!("thread {thread}: {why}"))?;
    }
    Ok(())
}

/// What the log says of a thread's lathe is what the thread told, each event once.
fn counts(log: &Log, run: &str, thread: u64, told: u64) -> Result<(), String> {
    let live = Live::open(log).map_err(|error| error.to_string())?;
    let lathe = live.state().lathes.get(format!("{run}-{thread}").as_str());
    let made = lathe.and_then(|lathe| lathe.bar.as_ref()).map_or(0, |bar| u64::from(bar.made));
    let wanted = (told - 1) % 25;
    if made == wanted { Ok(()) } else { Err(format!("{made} parts of the last bar, not {wanted}")) }
}
