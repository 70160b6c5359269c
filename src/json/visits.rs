//! The JSON of a timetable of visits: times of the wall clock, spans in s.

use crate::attend::Attended;
use crate::commands::visits::{Answer, Told};
use serde_json::{Value, json};
use visits::figures::Simulated;
use visits::simulate::Figure;
use visits::timetable::{Doing, Entry, Stood, Timetable};
use visits::words;

/// The answer; `what_if` is the same shop with one thing otherwise.
pub(crate) fn visits(answer: &Answer) -> Value {
    let mut value = told(&answer.as_is);
    let head = json!({ "shop": answer.shop, "from": answer.from, "days": answer.days });
    if let (Value::Object(value), Value::Object(mut head)) = (&mut value, head) {
        head.append(value);
        *value = head;
        let what_if = answer.what_if.as_ref().map(|(words, changed)| {
            let mut what_if = told(changed);
            what_if["what"] = json!(words);
            what_if
        });
        value.insert("what_if".to_owned(), json!(what_if));
    }
    value
}

fn told(told: &Told) -> Value {
    let attended = &told.attended;
    let (setting, timetable) = (&attended.setting, &attended.timetable);
    json!({
        "tick_s": timetable.tick.seconds(),
        "lost_s": timetable.lost,
        "least_lost_s": timetable.least_lost,
        "proven": timetable.is_proven(),
        "next": timetable.next.iter().map(|next| json!({
            "person": setting.people[next.person].person.name,
            "lathe": next.visit.map(|index| &setting.lathes[timetable.visits[index].lathe].name),
            "start": next.visit.map(|index| shown(attended, timetable.visits[index].start)),
            "why": words::next(setting, timetable, next),
            "instead": next.instead.iter().map(|it| json!({
                "lathe": setting.lathes[it.lathe].name,
                "loses_s": it.loses,
                "proven": it.proven,
            })).collect::<Vec<_>>(),
        })).collect::<Vec<_>>(),
        "visits": timetable.visits.iter().map(|it| visit(attended, it)).collect::<Vec<_>>(),
        "lathes": setting.lathes.iter().enumerate().map(|(index, lathe)| json!({
            "name": lathe.name,
            "runs_s": timetable.time_of(index, |doing| doing == Doing::Runs),
            "stands_s": timetable.time_of(index, |doing| doing == Doing::Stands),
            "attended_s": timetable.time_of(index, |doing| matches!(doing, Doing::Attended(_))),
            "done_s": timetable.time_of(index, |doing| doing == Doing::Done),
            "lane": lane(attended, index),
        })).collect::<Vec<_>>(),
        "people": setting.people.iter().enumerate().map(|(index, crew)| json!({
            "name": crew.person.name,
            "there_s": timetable.there(index),
            "busy_s": timetable.busy(index),
        })).collect::<Vec<_>>(),
        "simulated": told.simulated.as_ref().map(|it| simulated(attended, it)),
        "learned": attended.learned.iter().map(|it| json!({ "lathe": it.lathe, "words": it.words })).collect::<Vec<_>>(),
        "unproven": attended.not_known.iter().map(|it| json!({
            "lathe": it.lathe,
            "what": it.what,
            "why": it.why,
        })).collect::<Vec<_>>(),
    })
}

/// A time of the wall clock.
fn shown(attended: &Attended, seconds: i64) -> String {
    attended.setting.clock.at(seconds).to_string()
}

fn visit(attended: &Attended, visit: &Entry) -> Value {
    let setting = &attended.setting;
    json!({
        "person": setting.people[visit.person].person.name,
        "lathe": setting.lathes[visit.lathe].name,
        "leaves": shown(attended, visit.leaves),
        "start": shown(attended, visit.start),
        "end": shown(attended, visit.end),
        "do": visit.works.iter().map(|work| work.word()).collect::<Vec<_>>(),
        "words": words::works(&visit.works),
        "runs_until": shown(attended, visit.runs_until),
        "parts": visit.parts,
        "order_complete": visit.last,
        "stood_s": visit.start - visit.stands_at,
        "stood_because": match &visit.stood {
            Stood::No => "it did not",
            Stood::NobodyThere => "nobody there",
            Stood::Busy(_) => "busy",
        },
        "why": words::why(setting, visit),
    })
}

fn lane(attended: &Attended, lathe: usize) -> Value {
    let timetable: &Timetable = &attended.timetable;
    let stretch = |&(from, to, doing): &(i64, i64, Doing)| {
        let does = match doing {
            Doing::Runs => "runs",
            Doing::Stands => "stands",
            Doing::Attended(_) => "attended",
            Doing::Done => "done",
        };
        json!({ "from": shown(attended, from), "to": shown(attended, to), "does": does })
    };
    timetable.lanes[lathe].iter().map(stretch).collect()
}

fn simulated(attended: &Attended, simulated: &Simulated) -> Value {
    let figures = simulated.figures();
    let setting = &attended.setting;
    json!({
        "runs": simulated.runs.len(),
        "days": simulated.days,
        "seed": simulated.seed,
        "running": figure(&figures.running),
        "lathes": setting.lathes.iter().zip(&figures.lathes).map(|(lathe, of)| json!({
            "name": lathe.name,
            "running": figure(&of.running),
            "waiting": figure(&of.waiting),
            "attended": figure(&of.attended),
            "visits_per_day": figure(&of.visits),
        })).collect::<Vec<_>>(),
        "people": setting.people.iter().zip(&figures.people).map(|(crew, busy)| json!({
            "name": crew.person.name,
            "busy": busy.as_ref().map(figure),
        })).collect::<Vec<_>>(),
    })
}

/// Shares of the time, or visits a day: the mean, half of its 95 % range, and what one run of ten is below and above.
fn figure(figure: &Figure) -> Value {
    json!({ "mean": figure.mean, "half": figure.half, "low": figure.low, "high": figure.high })
}
