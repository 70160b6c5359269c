//! Visits in plain words.

use crate::clock::Clock;
use crate::course::Work;
use crate::setting::Setting;
use crate::timetable::{Entry, Instead, Next, Stood, Timetable};

/// A time of the wall clock; with its day where that is not the day of now.
pub fn time(clock: &Clock, seconds: i64) -> String {
    let at = clock.at(seconds);
    let shown = format!("{:02}:{:02}", at.hour(), at.minute());
    if at.date() == clock.today() { shown } else { format!("{} {shown}", day(clock, seconds)) }
}

/// The day of the week and of the month, as `Wed 2`.
pub fn day(clock: &Clock, seconds: i64) -> String {
    let date = clock.at(seconds).date();
    let names = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];
    format!("{} {}", names[date.weekday().to_monday_zero_offset() as usize], date.day())
}

/// A span of time, as `1 h 05 min` or `4 min`; below ten minutes with seconds where there are some.
pub fn span(seconds: i64) -> String {
    let minutes = (seconds + 30) / 60;
    match seconds {
        ..60 => format!("{seconds} s"),
        60..600 if seconds % 60 != 0 => format!("{} min {:02} s", seconds / 60, seconds % 60),
        _ if minutes < 60 => format!("{minutes} min"),
        _ => format!("{} h {:02} min", minutes / 60, minutes % 60),
    }
}

/// What is to be done, as `load a bar, change the edges of stations 1 and 8`.
pub fn works(works: &[Work]) -> String {
    let mut stations: Vec<u32> = works.iter().filter_map(|work| work.station()).collect();
    stations.sort_unstable();
    let edges = match stations.as_slice() {
        [] => None,
        [station] => Some(Work::Edge(*station).to_string()),
        [some @ .., last] => {
            let some: Vec<String> = some.iter().map(u32::to_string).collect();
            Some(format!("change the edges of stations {} and {last}", some.join(", ")))
        }
    };
    let others = works.iter().filter(|work| work.station().is_none());
    let mut each: Vec<String> = others.map(Work::to_string).collect();
    let loads = usize::from(works.contains(&Work::Load));
    each.splice(loads..loads, edges);
    if each.is_empty() { "start it again".to_owned() } else { each.join(", ") }
}

/// Why a visit is where it is, one or two sentences.
pub fn why(setting: &Setting, visit: &Entry) -> String {
    let clock = &setting.clock;
    let who = &setting.people[visit.person].person.name;
    let stands = time(clock, visit.stands_at);
    let stood = span(visit.start - visit.stands_at);
    let since = if visit.stands_at == 0 {
        "It stands".to_owned()
    } else {
        format!("It stands from {stands}")
    };
    let why = match visit.stood {
        Stood::No => format!("It stops at {stands}, and {who} is there."),
        Stood::NobodyThere => {
            format!("{since}: nobody who attends it is there until {}.", time(clock, visit.leaves))
        }
        Stood::Busy(Some(lathe)) if visit.leaves > visit.stands_at => {
            let name = &setting.lathes[lathe].name;
            format!("{since}, {stood}: {who} is at {name} until {}.", time(clock, visit.leaves))
        }
        Stood::Busy(None) if visit.leaves > visit.stands_at => {
            format!("{since}, {stood}: {who} comes to work at {}.", time(clock, visit.leaves))
        }
        Stood::Busy(_) => format!("{since}, {stood}, while {who} walks there."),
    };
    let parts = if visit.parts == 1 { "part" } else { "parts" };
    let then = if visit.last {
        format!(
            "Then {} {parts} complete its order at {}.",
            visit.parts,
            time(clock, visit.runs_until)
        )
    } else {
        format!("Then it runs until {}.", time(clock, visit.runs_until))
    };
    format!("{why} {then}")
}

/// Where a person goes next and what it would cost to go elsewhere first.
pub fn next(setting: &Setting, timetable: &Timetable, next: &Next) -> String {
    let who = &setting.people[next.person].person.name;
    let Some(visit) = next.visit.map(|index| &timetable.visits[index]) else {
        return format!(
            "{who} has nowhere to go before {}.",
            time(&setting.clock, timetable.horizon)
        );
    };
    let clock = &setting.clock;
    let lathe = &setting.lathes[visit.lathe].name;
    let mut text = format!(
        "{who} goes to {lathe}, there at {}: {}. {}",
        time(clock, visit.start),
        works(&visit.works),
        why(setting, visit)
    );
    let (alike, worse): (Vec<_>, Vec<_>) = next.instead.iter().partition(|it| it.loses == 0);
    let name = |lathe: usize| setting.lathes[lathe].name.as_str();
    if !worse.is_empty() {
        let each: Vec<String> = worse
            .iter()
            .map(|it: &&Instead| {
                let about = if it.proven { "" } else { "about " };
                format!("{} {about}{}", name(it.lathe), span(it.loses))
            })
            .collect();
        text += &format!(
            " First to another lathe would lose more by {}: {}.",
            time(clock, timetable.horizon),
            each.join(", ")
        );
    }
    if !alike.is_empty() {
        let each: Vec<&str> = alike.iter().map(|it| name(it.lathe)).collect();
        text += &format!(" First to {} would lose no more.", each.join(" or "));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_to_be_done_reads_well() {
        use Work::{Catcher, Edge, Load};
        assert_eq!(works(&[Load]), "load a bar");
        assert_eq!(works(&[Edge(8)]), "change the edge of station 8");
        let all = [Load, Edge(8), Edge(1), Edge(3), Catcher];
        assert_eq!(
            works(&all),
            "load a bar, change the edges of stations 1, 3 and 8, empty the catcher"
        );
        assert_eq!(works(&[Edge(2), Catcher]), "change the edge of station 2, empty the catcher");
    }

    #[test]
    fn spans_are_told_as_one_says_them() {
        let told = [5, 60, 65, 600, 3570, 3600, 93_600].map(span);
        assert_eq!(
            told,
            ["5 s", "1 min", "1 min 05 s", "10 min", "1 h 00 min", "1 h 00 min", "26 h 00 min"]
        );
    }
}
