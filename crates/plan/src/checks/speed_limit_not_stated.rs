#![doc = include_str!("speed_limit_not_stated.md")]

use super::{Limit, Line, Out, Planned};
use crate::acts::Acts;
use calc::spread::Spread;
use model::Level;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let job = planned.job;
    let stated = job.file.cutting.max_speed.is_some();
    let line = Line {
        value: Spread::exact(Acts::new(job, planned.bar).clamp().rpm()),
        limit: Limit::Most(job.lathe.max_speed().rpm()),
        unit: "rev/min",
        source: "highest speed of spindle and chuck (lathe file), and of the job",
        message: "The job states no highest speed for this bar and its support; only the lathe's own limits the program.".to_owned(),
        remedy: "Write max_speed under [cutting], from the bar's length, liner and straightness.",
        key: "cutting",
    };
    out.judged(line, (!stated).then_some(Level::Caution));
}
