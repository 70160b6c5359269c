//! A timetable of visits as text.

use super::lines::paragraph;
use crate::attend::Attended;
use crate::commands::visits::{Answer, Told};
use std::fmt::Write as _;
use visits::figures::Simulated;
use visits::simulate::Figure;
use visits::timetable::{Doing, Timetable};
use visits::words;

/// The answer: who goes where next, what is lost, every visit, what each lathe and person does.
pub(crate) fn visits(answer: &Answer) -> String {
    let mut text = String::new();
    let days = if answer.days == 1 { "1 day".to_owned() } else { format!("{} days", answer.days) };
    let _ = writeln!(text, "{}, from {} for {days}", answer.shop, answer.from.replace('T', " "));
    match &answer.what_if {
        None => text += &whole(&answer.as_is),
        Some((what, changed)) => {
            text += &paragraph("  as it is: ", &verdict(&answer.as_is.attended.timetable));
            if let Some(simulated) = &answer.as_is.simulated {
                text += &paragraph("  as it is: ", &running(simulated));
            }
            let _ = writeln!(text, "\nWhat if: {what}");
            text += &paragraph("  ", &difference(&answer.as_is, changed));
            text += &whole(changed);
        }
    }
    text
}

fn whole(told: &Told) -> String {
    let attended = &told.attended;
    let (setting, timetable) = (&attended.setting, &attended.timetable);
    let mut text = format!("\n{}", paragraph("  ", &verdict(timetable)));
    text += "\nWho goes where next, and why\n";
    for next in &timetable.next {
        text += &paragraph("  ", &words::next(setting, timetable, next));
    }
    text += &table_of_visits(attended);
    text += &table_of_lathes(attended);
    text += &table_of_people(attended);
    if let Some(simulated) = &told.simulated {
        text += &table_of_runs(attended, simulated);
    }
    text += &learned(attended);
    text += &not_known(attended);
    text
}

/// What the lathes' logs taught.
fn learned(attended: &Attended) -> String {
    let mut text = String::new();
    for item in &attended.learned {
        if text.is_empty() {
            text += "\nLearned from the log, and counted with\n";
        }
        text += &paragraph("  - ", &format!("{} ({})", item.words, item.lathe));
    }
    text
}

/// What nobody knows about how long lathes may be left; what lathes have in common is said once.
fn not_known(attended: &Attended) -> String {
    let mut lines: Vec<(String, Vec<&str>)> = Vec::new();
    for item in &attended.not_known {
        let line = format!("{}: {}", item.what, item.why);
        match lines.iter_mut().find(|(known, _)| *known == line) {
            Some((_, lathes)) => lathes.push(&item.lathe),
            None => lines.push((line, vec![&item.lathe])),
        }
    }
    let mut text = String::new();
    for (line, lathes) in lines {
        if text.is_empty() {
            text += "\nUnproven: how long a lathe may be left\n";
        }
        text += &paragraph("  - ", &format!("{} ({})", line, lathes.join(", ")));
    }
    text
}

/// What is lost, and what is proven of that.
fn verdict(timetable: &Timetable) -> String {
    let lathes = timetable.lanes.len() as i64;
    let lost = words::span(timetable.lost);
    let of = words::span(lathes * timetable.horizon);
    let tick = timetable.tick.seconds();
    if timetable.is_proven() {
        return format!(
            "spindles lose {lost} of {of}, standing or attended; proven: no timetable in steps of {tick} s loses less"
        );
    }
    format!(
        "spindles lose {lost} of {of}, standing or attended; unproven whether a timetable loses less: none loses less than {}, so that at most {} can be gained",
        words::span(timetable.least_lost),
        words::span(timetable.lost - timetable.least_lost)
    )
}

fn difference(as_is: &Told, changed: &Told) -> String {
    let (before, after) = (&as_is.attended.timetable, &changed.attended.timetable);
    let less = before.lost - after.lost;
    let hours = match less {
        0 => "spindles lose just as much".to_owned(),
        1.. => format!("spindles lose {} less", words::span(less)),
        _ => format!("spindles lose {} more", words::span(-less)),
    };
    let mut text = format!("{hours} by these timetables");
    let surely = before.least_lost - after.lost;
    if surely > 0 && !before.is_proven() {
        text += &format!(", and {} less than by any timetable without it", words::span(surely));
    }
    if let (Some(before), Some(after)) = (&as_is.simulated, &changed.simulated) {
        let (before, after) = (before.figures().running.mean, after.figures().running.mean);
        text += &format!(
            "; in the simulated runs they run {:.1} percent of the time instead of {:.1}",
            100.0 * after,
            100.0 * before
        );
    }
    text
}

fn table_of_visits(attended: &Attended) -> String {
    let (setting, timetable) = (&attended.setting, &attended.timetable);
    let clock = &setting.clock;
    let mut rows = vec![
        ["from", "to", "who", "lathe", "stood", "runs until", "what is done"].map(str::to_owned),
    ];
    for visit in &timetable.visits {
        let stood = visit.start - visit.stands_at;
        rows.push([
            words::time(clock, visit.start),
            words::time(clock, visit.end),
            setting.people[visit.person].person.name.clone(),
            setting.lathes[visit.lathe].name.clone(),
            if stood == 0 { "-".to_owned() } else { words::span(stood) },
            words::time(clock, visit.runs_until),
            words::works(&visit.works) + if visit.last { "; completes the order" } else { "" },
        ]);
    }
    format!("\nVisits\n{}", table(&rows, 4..5))
}

fn table_of_lathes(attended: &Attended) -> String {
    let (setting, timetable) = (&attended.setting, &attended.timetable);
    let mut rows = vec![["lathe", "runs", "attended", "stands", "visits"].map(str::to_owned)];
    for (index, lathe) in setting.lathes.iter().enumerate() {
        let time = |is: fn(Doing) -> bool| words::span(timetable.time_of(index, is));
        rows.push([
            lathe.name.clone(),
            time(|doing| doing == Doing::Runs),
            time(|doing| matches!(doing, Doing::Attended(_))),
            time(|doing| doing == Doing::Stands),
            timetable.visits.iter().filter(|visit| visit.lathe == index).count().to_string(),
        ]);
    }
    format!("\nLathes\n{}", table(&rows, 1..5))
}

fn table_of_people(attended: &Attended) -> String {
    let (setting, timetable) = (&attended.setting, &attended.timetable);
    let mut rows = vec![["person", "there", "walking and at lathes", "visits"].map(str::to_owned)];
    for (index, crew) in setting.people.iter().enumerate() {
        rows.push([
            crew.person.name.clone(),
            words::span(timetable.there(index)),
            words::span(timetable.busy(index)),
            timetable.visits.iter().filter(|visit| visit.person == index).count().to_string(),
        ]);
    }
    format!("\nPeople\n{}", table(&rows, 1..4))
}

/// The first line of what was simulated.
fn running(simulated: &Simulated) -> String {
    let running = simulated.figures().running;
    format!(
        "{} simulated runs of {} days with chance {}: spindles run {:.1} ± {:.2} percent of all time; one run of ten is below {:.1}, one above {:.1}",
        simulated.runs.len(),
        simulated.days,
        simulated.seed,
        100.0 * running.mean,
        100.0 * running.half,
        100.0 * running.low,
        100.0 * running.high
    )
}

fn table_of_runs(attended: &Attended, simulated: &Simulated) -> String {
    let figures = simulated.figures();
    let setting = &attended.setting;
    let mut rows = vec![
        ["lathe", "runs %", "one of ten", "to", "waits %", "attended %", "visits a day"]
            .map(str::to_owned),
    ];
    let percent = |share: f64| format!("{:.1}", 100.0 * share);
    let mean = |figure: &Figure| format!("{:.1} ± {:.2}", 100.0 * figure.mean, 100.0 * figure.half);
    for (lathe, of) in setting.lathes.iter().zip(&figures.lathes) {
        rows.push([
            lathe.name.clone(),
            mean(&of.running),
            percent(of.running.low),
            percent(of.running.high),
            percent(of.waiting.mean),
            percent(of.attended.mean),
            format!("{:.1}", of.visits.mean),
        ]);
    }
    let mut text =
        format!("\nSimulated\n{}{}", paragraph("  ", &running(simulated)), table(&rows, 1..7));
    for (crew, busy) in setting.people.iter().zip(&figures.people) {
        let name = &crew.person.name;
        let _ = match busy {
            Some(busy) => writeln!(
                text,
                "  {name} walks and attends {} percent of the hours there",
                mean(busy)
            ),
            None => writeln!(text, "  {name} is not there"),
        };
    }
    text
}

/// Rows in columns; those in `right` end alike.
fn table<const COLUMNS: usize>(
    rows: &[[String; COLUMNS]],
    right: std::ops::Range<usize>,
) -> String {
    let width =
        |column: usize| rows.iter().map(|row| row[column].chars().count()).max().unwrap_or(0);
    let widths: Vec<usize> = (0..COLUMNS).map(width).collect();
    let mut text = String::new();
    for row in rows {
        let cells: Vec<String> = row
            .iter()
            .enumerate()
            .map(|(column, cell)| {
                let width = widths[column];
                if right.contains(&column) {
                    format!("{cell:>width$}")
                } else {
                    format!("{cell:<width$}")
                }
            })
            .collect();
        let _ = writeln!(text, "  {}", cells.join("  ").trim_end());
    }
    text
}
