#![doc = include_str!("feature_not_planned.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;
use model::files::keys::Choice as _;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let part = &planned.job.file.part;
    let missing = &planned.process.missing;
    let first = missing.first();
    let message = match first {
        Some(one) => {
            let feature = one.feature.and_then(|index| Some((index, part.features.get(index)?)));
            let which = feature.map_or(String::new(), |(index, feature)| {
                format!("Feature {} of the part ({}): ", index + 1, feature.kind.word())
            });
            let more = match missing.len() - 1 {
                0 => String::new(),
                1 => " One more is not cut.".to_owned(),
                more => format!(" {more} more are not cut."),
            };
            format!("{which}{} {}{more}", one.why, one.mend)
        }
        None => "Every feature of the part is cut.".to_owned(),
    };
    out.line(Line {
        value: Spread::exact(missing.len() as f64),
        limit: Limit::Most(0.0),
        unit: "",
        source: "the tools on the turret against the drawing",
        message,
        remedy: "Put such a tool on the turret, add `later = true` to the feature if another operation cuts it, or prove a program of your own with this job.",
        key: "part.feature",
    });
}
