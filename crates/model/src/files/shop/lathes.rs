//! `[[lathe]]` of a shop file: what each lathe runs, and how long it runs by itself.

use super::minutes;
use crate::files::keys::Keys;
use crate::quantity::Seconds;

/// What says how long a lathe runs by itself.
#[derive(Debug, Clone, PartialEq)]
pub enum Runs {
    /// A job file, which is planned.
    Job(String),
    /// The answer that `plan` wrote.
    Answer(String),
    /// The shop knows it: from cycle start of a new bar until someone must come.
    Each(Seconds),
}

/// A lathe on the floor.
#[derive(Debug, Clone, PartialEq)]
pub struct FloorLathe {
    /// What it is called.
    pub name: String,
    /// What says how long it runs by itself.
    pub runs: Runs,
    /// Bars until its order is complete; none where the job or the answer says it, or without end.
    pub bars: Option<u32>,
    /// When it stands next, from now; zero where it stands.
    pub stands_in: Seconds,
    /// What loading takes at this lathe; none for what it takes elsewhere.
    pub load: Option<Seconds>,
    /// How far a running time may be shorter or longer than planned, as a share of it.
    pub run_scatter: f64,
    /// Running time between stops that nobody planned, in the middle; none where there are none.
    pub stops_every: Option<Seconds>,
    /// How long someone is there for such a stop, in the middle.
    pub stop_takes: Seconds,
}

/// Every key of a `[[lathe]]`.
pub(super) fn lathe(keys: &Keys<'_>) -> FloorLathe {
    FloorLathe {
        name: keys.text("name", "what the lathe is called").required(),
        runs: runs(keys),
        bars: keys
            .count("bars", "bars until the order is complete, the next one with them; left out, as the job says, or without end", 1..=100_000)
            .optional()
            .map(|count| count as u32),
        stands_in: minutes(keys, "stands_in", "when it stands next, from now; left out, it stands", 0.0..=100_000.0)
            .unwrap_or_default(),
        load: minutes(keys, "load", "what loading takes at this lathe; left out, as [attend] says", 0.0..=480.0),
        run_scatter: keys
            .number("run_scatter", "how far a running time may be shorter or longer than planned, as a share of it", "", 0.0..=0.9)
            .or(0.0),
        stops_every: keys
            .number("stops_every", "hours of running between stops that nobody planned, on average; left out, there are none", "hours", 0.01..=100_000.0)
            .optional()
            .map(|hours| Seconds::from_s(hours * 3600.0)),
        stop_takes: Seconds::from_s(
            keys.number("stop_takes", "how long someone is there for such a stop, on average", "minutes", 0.1..=10_000.0)
                .or(10.0)
                * 60.0,
        ),
    }
}

fn runs(keys: &Keys<'_>) -> Runs {
    let job =
        keys.text("job", "its job file, by path from this one's folder; it is planned").optional();
    let answer = keys
        .text("answer", "the answer.json that `plan` wrote, by path from this file's folder")
        .optional();
    let each = minutes(
        keys,
        "runs",
        "how long it runs by itself from the first cycle of a new bar, where no job says it",
        0.1..=100_000.0,
    );
    let said = [keys.has("job"), keys.has("answer"), keys.has("runs")];
    let help = "write one of `job`, `answer` and `runs`";
    let written = ["job", "answer", "runs"].into_iter().filter(|key| keys.stands(key)).count();
    if written > 1 {
        let last = ["runs", "answer"].into_iter().find(|key| keys.stands(key));
        let message = "how long the lathe runs is said twice";
        keys.trouble(last.unwrap_or("job"), message, help);
    } else if !said.contains(&true) {
        keys.trouble("name", "nothing says how long this lathe runs by itself", help);
    }
    match (job, answer, each) {
        (Some(job), _, _) => Runs::Job(job),
        (_, Some(answer), _) => Runs::Answer(answer),
        (_, _, each) => Runs::Each(each.unwrap_or_default()),
    }
}
