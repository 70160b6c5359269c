//! The JSON of what the log teaches: lengths in mm, times in s.

use crate::commands::{CONFIDENCE, Lesson, TaughtEdge};
use calc::learned::{EdgeLife, Estimate};
use calc::spread::Spread;
use model::Length;
use model::files::job::learned::Records;
use model::quantity::Seconds;
use serde_json::{Value, json};

/// Every lathe and job: each figure with its range, or `why_not`.
pub(crate) fn lessons(lessons: &[Lesson]) -> Value {
    lessons.iter().map(lesson).collect()
}

fn lesson(lesson: &Lesson) -> Value {
    let taught = &lesson.taught;
    let known = lesson.file.as_ref().map(|(_, job)| &job.file.learned);
    let load = taught.load.as_ref().map(Estimate::in_seconds).map_err(Clone::clone);
    let edge = |(station, edge): (&u32, &TaughtEdge)| {
        let used = known.and_then(|it| it.edges.iter().find(|it| it.station == *station));
        of_edge(*station, edge, used.map(|it| &it.records))
    };
    json!({
        "lathe": lesson.lathe.text(),
        "job": lesson.job.text(),
        "job_file": lesson.file.as_ref().map(|(path, _)| path.display().to_string()),
        "cycle": mean(&taught.cycle, "", known.and_then(|it| it.cycle.as_ref()).map(|it| &it.records)),
        "load": mean(&load, "_s", known.and_then(|it| it.load.as_ref()).map(|it| &it.records)),
        "gripper": match &taught.gripper {
            Err(why) => json!({ "enough": false, "why_not": why }),
            Ok(it) => json!({
                "enough": true,
                "bias_mm": range(it.bias.map(Length::mm)),
                "deviation_mm": range(it.deviation.map(Length::mm)),
                "count": it.count,
                "used": used(known.and_then(|it| it.gripper.as_ref()).map(|it| &it.records)),
            }),
        },
        "edges": taught.edges.iter().map(edge).collect::<Vec<_>>(),
        "left_out": taught.left_out,
    })
}

fn mean(of: &Result<Estimate<f64>, String>, unit: &str, records: Option<&Records>) -> Value {
    match of {
        Err(why) => json!({ "enough": false, "why_not": why }),
        Ok(it) => json!({
            "enough": true,
            format!("value{unit}"): range(it.value),
            format!("next{unit}"): it.next(CONFIDENCE).ok().map(range),
            format!("deviation{unit}"): it.deviation,
            "count": it.count,
            "set_apart": it.set_apart,
            "used": used(records),
        }),
    }
}

fn of_edge(station: u32, edge: &TaughtEdge, records: Option<&Records>) -> Value {
    let life = edge.life.as_ref().ok();
    let bounded = |time: Seconds| Some(time.s()).filter(|s| s.is_finite());
    json!({
        "station": station,
        "enough": life.is_some(),
        "why_not": edge.life.as_ref().err(),
        "worn": edge.worn,
        "early": edge.early,
        "cutting_s": edge.cutting.s(),
        "half_s": life.map(|it| json!({
            "value": it.half.nominal.s(), "low": it.half.low.s(), "high": bounded(it.half.high),
        })),
        "low_s": life.and_then(EdgeLife::unfavorable).map(Seconds::s),
        "high_s": life.map(|it| it.life.high.s()),
        "shape": life.map(|it| it.shape),
        "used": used(records),
    })
}

fn range(it: Spread<f64>) -> Value {
    json!({ "value": it.nominal, "low": it.low, "high": it.high })
}

fn used(records: Option<&Records>) -> bool {
    records.is_some_and(|it| it.used)
}
