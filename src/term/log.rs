//! The log's answers on a terminal.

mod faults;
mod lessons;
mod reviewed;
mod said;
mod spent;
pub(crate) mod time;

pub(crate) use faults::lines as fault_lines;
pub(crate) use lessons::lessons;
pub(crate) use reviewed::{parts_at, reviewed, reviewed_lines, why_nothing};
pub use said::{event, events};
pub use spent::spent;

use super::counted;
use super::lines::paragraph;
use model::files::keys::Choice as _;
use model::record::event::{Measured, Reading, StopWhy};
use model::record::{
    BarNow, BarRun, Due, LatheNow, Name, Racked, Reason, Recorded, Runs, Stamp, State, Tally,
    visits,
};
use model::{Length, Units};
use prove::reentry::Entry;
use runlog::{Kept, Traced};
use std::fmt::Write as _;
use time::{lapse, near, shown};

/// What was recorded, and what stands at the lathe then.
pub fn kept(kept: &[Kept], state: &State, units: Units) -> String {
    let mut text = String::new();
    for kept in kept {
        let known = if kept.known { ", told before: it counts once" } else { "" };
        let _ = writeln!(text, "recorded: {}{known}", event(&kept.recorded.event, units));
    }
    let lathe = kept.first().and_then(|kept| kept.recorded.event.lathe.clone());
    if let Some((name, now)) = lathe.and_then(|name| state.lathes.get_key_value(&name)) {
        let _ = writeln!(text, "{name}: {}", short(now, state));
    }
    text
}

/// One line of what stands.
fn short(now: &LatheNow, state: &State) -> String {
    let mut parts = Vec::new();
    if let Some(bar) = &now.bar {
        let left = now.left_in_bar().map_or(String::new(), |left| format!(", {left} left in it"));
        parts.push(format!("{} of this bar{left}", counted(bar.made, "part")));
    }
    if let Some(order) = now.job.as_ref().and_then(|job| state.order(job)) {
        parts.push(of_order(order));
    }
    if parts.is_empty() { "nothing made yet".to_owned() } else { parts.join("; ") }
}

fn of_order(order: &Tally) -> String {
    match order.quantity {
        Some(quantity) => {
            format!("{} good of {quantity}, {} to make", order.good(), order.left().unwrap_or(0))
        }
        None => format!("{} good, nobody recorded how many are wanted", order.good()),
    }
}

/// What stands on a lathe.
pub fn lathe(name: &Name, now: &LatheNow, state: &State, at: Stamp, units: Units) -> String {
    let mut text = format!("{name}: {}\n", runs(&now.runs, at));
    let order = now.job.as_ref().and_then(|job| state.order(job));
    let job = match (&now.job, order) {
        (None, _) => "none that anybody recorded".to_owned(),
        (Some(job), None) => job.to_string(),
        (Some(job), Some(order)) => format!("{job}, {}", of_order(order)),
    };
    text += &paragraph("  job   ", &job);
    let bar = now.bar.as_ref().map_or("none".to_owned(), |bar| {
        let left = now.left_in_bar().map_or(String::new(), |left| format!(", {left} left"));
        format!("{}; {} made{left}", of_bar(bar, units, at), bar.made)
    });
    text += &paragraph("  bar   ", &bar);
    let due: Vec<String> = visits(now, order).iter().map(|due| of_due(due, at)).collect();
    if !due.is_empty() {
        text += &paragraph("  next  ", &due.join("; "));
    }
    text
}

fn runs(runs: &Runs, at: Stamp) -> String {
    match runs {
        Runs::NotKnown => "nobody recorded whether it runs".to_owned(),
        Runs::Since(since) => {
            format!("runs since {} ({})", near(*since, at), lapse(at.since(*since)))
        }
        Runs::Stopped(since, stopped) => {
            let block =
                stopped.block.as_ref().map_or(String::new(), |block| format!(", at block {block}"));
            format!(
                "stands since {} ({}): {}{block}",
                near(*since, at),
                lapse(at.since(*since)),
                meaning(stopped.why)
            )
        }
    }
}

fn meaning(why: StopWhy) -> &'static str {
    StopWhy::words().iter().find(|(_, one, _)| *one == why).map_or("", |(_, _, meaning)| meaning)
}

fn heat(name: Option<&Name>) -> String {
    name.map_or("heat number not recorded".to_owned(), |heat| format!("heat {heat}"))
}

fn of_bar(bar: &BarNow, units: Units, at: Stamp) -> String {
    let loaded = &bar.loaded;
    let mut words = vec![heat(loaded.heat.as_ref())];
    words.extend(loaded.bar.as_ref().map(|label| format!("label {label}")));
    words.extend(loaded.material.as_ref().map(ToString::to_string));
    words.extend(sizes_of(loaded.size, loaded.length, units));
    format!("{}, in since {}", words.join(", "), near(bar.since, at))
}

fn sizes_of(size: Option<Length>, length: Option<Length>, units: Units) -> Option<String> {
    match (size, length) {
        (Some(size), Some(length)) => {
            Some(format!("{} x {}", size.shown(units), length.shown(units)))
        }
        (Some(size), None) => Some(format!("{} across", size.shown(units))),
        (None, Some(length)) => Some(format!("{} long", length.shown(units))),
        (None, None) => None,
    }
}

fn of_due(due: &Due, now: Stamp) -> String {
    let what = due.reason.to_string();
    if matches!(due.reason, Reason::Stands(_)) {
        return what;
    }
    let at = due
        .at
        .map(|at| if at <= now { "now".to_owned() } else { format!("about {}", near(at, now)) });
    match (due.parts, at) {
        (Some(0), _) => format!("{what} now"),
        (Some(parts), Some(at)) => format!("{what} in {}, {at}", counted(parts, "part")),
        (Some(parts), None) => format!("{what} in {}", counted(parts, "part")),
        (None, Some(at)) => format!("{what}: {at}"),
        (None, None) => what,
    }
}

/// Who must go where next.
pub fn next(all: &[(Name, Vec<Due>)], now: Stamp) -> String {
    let mut text = String::new();
    for (name, dues) in all {
        let list: Vec<String> = dues.iter().map(|due| of_due(due, now)).collect();
        let list = if list.is_empty() {
            "nothing that the log knows of".to_owned()
        } else {
            list.join("; ")
        };
        text += &paragraph(&format!("{name}: "), &list);
    }
    if text.is_empty() { "The log knows no lathe yet.\n".to_owned() } else { text }
}

/// What to do after a stop.
pub fn after(lathe: &Name, now: &LatheNow, entry: &Entry, block: &str) -> String {
    let holds = match (entry.chuck_open, entry.gripped) {
        (false, false) => "The chuck holds the bar.",
        (false, true) => "Chuck and gripper hold the bar.",
        (true, true) => "ONLY THE GRIPPER holds the bar.",
        (true, false) => "NOTHING holds the bar.",
    };
    let mut text = format!("{lathe}, stopped at block {block} and reset:\n");
    text += &paragraph("  ", holds);
    let parts = u32::try_from(entry.count_error.unsigned_abs()).unwrap_or(u32::MAX);
    let count = match entry.count_error {
        0 => "the count stays right".to_owned(),
        1.. => format!("{} not counted", counted(parts, "part")),
        _ => format!("{} too many counted", counted(parts, "part")),
    };
    let top = match entry.troubles.as_slice() {
        [] => count,
        troubles => format!("DANGER, {}; {count}", troubles.join(", ")),
    };
    text += &paragraph("  A start from the top: ", &top);
    let made = now.bar.as_ref().map_or("the parts made of this bar".to_owned(), |bar| {
        format!("the parts that are off this bar (the log has {})", bar.made)
    });
    text += &paragraph("  Instead: ", &entry.advice_counting(&made));
    text + "  The person on site decides; guards shut, first block by block with reduced rapids.\n"
}

/// A line an order.
pub fn orders(all: &[(&Name, &Tally)]) -> String {
    let mut text = String::new();
    let widest = all.iter().map(|(job, _)| job.chars().count()).max().unwrap_or(0);
    for (job, order) in all {
        let closed = if order.closed.is_some() { ", closed" } else { "" };
        let _ = writeln!(
            text,
            "{:widest$}  {}, {} scrapped, {}, ran {}{closed}",
            job.text(),
            of_order(order),
            order.scrapped,
            counted(order.bars, "bar"),
            lapse(order.running)
        );
    }
    if text.is_empty() { "No order is open.\n".to_owned() } else { text }
}

/// An order with all its quantities.
pub fn order(job: &Name, order: &Tally, units: Units) -> String {
    let planned = &order.planned;
    let mut text = format!("{job}: {}\n", of_order(order));
    let mut line = |what: &str, was: String, plan: Option<String>| {
        let plan = plan.map_or(String::new(), |plan| format!("planned {plan}"));
        let _ = writeln!(text, "{}", format!("  {what:<18}{was:<26}{plan}").trim_end());
    };
    line("made", order.made.to_string(), order.quantity.map(|quantity| quantity.to_string()));
    line("scrapped", order.scrapped.to_string(), None);
    line("bars", order.bars.to_string(), planned.bars.map(|bars| bars.to_string()));
    let length = match order.bars_without_length {
        0 => order.bar_length.shown(units),
        bars => format!("{} and {} not told", order.bar_length.shown(units), counted(bars, "bar")),
    };
    let all = planned.bars.zip(planned.bar_length).map(|(bars, one)| one * i64::from(bars));
    line("bar used", length, all.map(|all| all.shown(units)));
    line("back to the rack", order.racked.shown(units), None);
    line("edges", order.edges.to_string(), planned.edges.map(|edges| edges.to_string()));
    line("running", lapse(order.running), planned.running.map(lapse));
    let stops: u32 = order.stops.values().map(|(count, _)| *count).sum();
    line("standing", format!("{}, {}", lapse(order.standing()), counted(stops, "stop")), None);
    for (why, (count, time)) in &order.stops {
        line(
            &format!("  {}", why.word()),
            format!("{}, {}", lapse(*time), counted(*count, "stop")),
            None,
        );
    }
    for (work, time) in &order.spent {
        let plan = (work.word() == "set-up").then_some(planned.set_up).flatten();
        line(&format!("{} time", work.word()), lapse(*time), plan.map(lapse));
    }
    if let Some((first, last)) = order.parts_between {
        line("first part", shown(first), None);
        line("last part", shown(last), None);
    }
    if let Some(cost) = planned.part_cost {
        line("a part", String::new(), Some(cost.to_string()));
    }
    text
}

/// What lies on the rack.
pub fn rack<'r>(all: impl Iterator<Item = &'r Racked>, units: Units) -> String {
    let mut text = String::new();
    for racked in all {
        let mut words = vec![format!("{} of {}", racked.count, racked.length.shown(units))];
        words.extend(racked.material.as_ref().map(ToString::to_string));
        words.extend(racked.size.map(|size| format!("{} across", size.shown(units))));
        words.push(heat(racked.heat.as_ref()));
        words.extend(racked.place.as_ref().map(ToString::to_string));
        words.push(racked.kind.word().to_owned());
        text += &paragraph(&format!("{}: ", racked.item), &words.join(", "));
    }
    if text.is_empty() { "Nothing lies on the rack.\n".to_owned() } else { text }
}

/// What was on a lathe at a time.
pub fn traced(lathe: &Name, time: Stamp, all: &[Traced], units: Units) -> String {
    let mut text = String::new();
    for traced in all {
        let bar = traced.bar.as_ref().map_or("no bar that anybody recorded".to_owned(), |bar| {
            format!("{}; {} made by then", of_bar(bar, units, time), counted(bar.made, "part"))
        });
        let job = traced.job.as_ref().map_or("no job recorded", Name::text);
        let by = traced.person.as_ref().map_or(String::new(), |it| format!(", loaded by {it}"));
        text += &paragraph(&format!("{lathe} at {}: ", shown(time)), &format!("{job}; {bar}{by}"));
    }
    if text.is_empty() {
        text = format!("{lathe} at {}: nothing was recorded by then\n", shown(time));
    }
    text
}

/// Every bar of a heat number, with its parts.
pub fn bars(heat: &str, all: &[BarRun]) -> String {
    if all.is_empty() {
        return format!("No bar of heat {heat} was loaded.\n");
    }
    let parts: u32 = all.iter().map(|run| run.made).sum();
    let count = u32::try_from(all.len()).unwrap_or(u32::MAX);
    let mut text = format!("heat {heat}: {}, {}\n", counted(count, "bar"), counted(parts, "part"));
    for run in all {
        let until = run.until.map_or("now".to_owned(), |until| near(until, run.from));
        let job = run.job.as_ref().map_or("no job recorded", Name::text);
        let by = run.person.as_ref().map_or(String::new(), |it| format!(", loaded by {it}"));
        let _ = writeln!(
            text,
            "  {} to {until}  {}  {job}  {}{by}",
            shown(run.from),
            run.lathe,
            counted(run.made, "part")
        );
    }
    text
}

/// Sizes of a job.
pub fn sizes(job: &Name, all: &[(Recorded, Measured)], units: Units) -> String {
    let mut text = format!("{job}: {} sizes\n", all.len());
    for (recorded, measured) in all {
        let (reading, judged) = match measured.reading {
            Reading::Good => ("good".to_owned(), ""),
            Reading::Bad => ("bad".to_owned(), "  OUT"),
            Reading::Size(size) => {
                let out = measured.low.is_some_and(|low| size < low)
                    || measured.high.is_some_and(|high| size > high);
                (size.shown(units), if out { "  OUT" } else { "" })
            }
        };
        let part = measured.part.map_or(String::new(), |part| format!(", part {part}"));
        let _ = writeln!(
            text,
            "  {}  feature {}: {reading}{part}{judged}",
            shown(recorded.order.time),
            measured.feature
        );
    }
    text
}

/// What is said where this computer's clock was found set back.
pub fn clock_caution(times: u32) -> String {
    match times {
        0 => String::new(),
        1 => "CAUTION: this computer's clock was set back once while events came; their order is right, \
              their times may not be.\n"
            .to_owned(),
        times => format!(
            "CAUTION: this computer's clock was set back {times} times while events came; their order is \
             right, their times may not be.\n"
        ),
    }
}
