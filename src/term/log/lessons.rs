//! What the log teaches, in words.

use crate::commands::{CONFIDENCE, Lesson, TaughtEdge};
use calc::spread::Spread;
use model::files::job::Learned;
use model::files::job::learned::Records;
use model::quantity::Seconds;
use model::{Length, Units};
use std::fmt::Write as _;

/// Every lathe and job that was asked for.
pub(crate) fn lessons(lessons: &[Lesson], units: Units) -> String {
    if lessons.is_empty() {
        return "No lathe has a job on it; one begins with `barwright log setup`.\n".to_owned();
    }
    let each: Vec<String> = lessons.iter().map(|it| lesson(it, units)).collect();
    each.join("\n")
}

fn lesson(lesson: &Lesson, units: Units) -> String {
    let file =
        lesson.file.as_ref().map_or_else(String::new, |(path, _)| format!(" ({})", path.display()));
    let mut text = format!("{}, {}{file}\n", lesson.lathe, lesson.job);
    let known = lesson.file.as_ref().map(|(_, job)| &job.file.learned);
    let mut say = |what: &str, words: String, switched: &str| {
        for (index, line) in
            super::super::lines::wrapped(&(words + switched), 74).iter().enumerate()
        {
            let _ = writeln!(text, "  {:<10} {line}", if index == 0 { what } else { "" });
        }
    };
    let taught = &lesson.taught;
    let of = |records: Option<&Records>| switched(known, records);
    let cycle = taught.cycle.as_ref().map_or_else(Clone::clone, |it| {
        let next = it.next(CONFIDENCE).unwrap_or(it.value);
        format!(
            "planned times {:.4} ({}), the next cycle {}; from {} cycles{}",
            it.value.nominal,
            range(it.value, 4),
            range(next, 4),
            it.count,
            apart(it.set_apart)
        )
    });
    say("cycle", cycle, &of(known.and_then(|it| it.cycle.as_ref()).map(|it| &it.records)));
    let load = taught.load.as_ref().map_or_else(Clone::clone, |it| {
        let minutes = |time: Seconds| time.s() / 60.0;
        let next = it.in_seconds().next(CONFIDENCE).unwrap_or(it.in_seconds().value);
        format!(
            "{:.2} min ({}), the next {} min; from {} loads{}",
            minutes(it.value.nominal),
            range(it.value.map(minutes), 2),
            range(next.map(|s| s / 60.0), 2),
            it.count,
            apart(it.set_apart)
        )
    });
    say("load", load, &of(known.and_then(|it| it.load.as_ref()).map(|it| &it.records)));
    let gripper = taught.gripper.as_ref().map_or_else(Clone::clone, |it| {
        let shown = |length: Length| length.shown(units);
        format!(
            "short by {} ({} to {}), deviation {} ({} to {}); from {} pulls",
            shown(it.bias.nominal),
            shown(it.bias.low),
            shown(it.bias.high),
            shown(it.deviation.nominal),
            shown(it.deviation.low),
            shown(it.deviation.high),
            it.count
        )
    });
    say("gripper", gripper, &of(known.and_then(|it| it.gripper.as_ref()).map(|it| &it.records)));
    for (station, edge) in &taught.edges {
        let used = known.and_then(|it| it.edges.iter().find(|it| it.station == *station));
        say(&format!("edge {station}"), of_edge(edge), &of(used.map(|it| &it.records)));
    }
    for words in &taught.left_out {
        say("left out", words.clone(), "");
    }
    text
}

fn of_edge(edge: &TaughtEdge) -> String {
    let minutes = |time: Seconds| time.s() / 60.0;
    match &edge.life {
        Err(why) => why.clone(),
        Ok(life) => format!(
            "half cut for {:.1} min ({}), nineteen of twenty for {:.1} at least, one of twenty for {:.1}; from {} worn and {} changed before",
            minutes(life.half.nominal),
            range(life.half.map(minutes), 1),
            life.unfavorable().map_or(0.0, minutes),
            minutes(life.life.high),
            edge.worn,
            edge.early
        ),
    }
}

fn range(it: Spread<f64>, decimals: usize) -> String {
    format!("{:.decimals$} to {:.decimals$}", it.low, it.high)
}

fn apart(count: u32) -> String {
    if count == 0 { String::new() } else { format!(", {count} set apart as not of the rest") }
}

/// Whether the job file has it, and uses it.
fn switched(known: Option<&Learned>, records: Option<&Records>) -> String {
    match (known, records) {
        (None, _) => String::new(),
        (_, None) => "; not in the job".to_owned(),
        (_, Some(records)) => {
            let used = if records.used { "used" } else { "not used" };
            format!("; in the job from {}, {used}", records.count)
        }
    }
}
