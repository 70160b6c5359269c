#![doc = include_str!("feature_not_planned.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;
use model::files::keys::Choice as _;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let features = &planned.job.file.part.features;
    let missing = &planned.process.open.missing;
    let line = |value: usize, message: String| Line {
        value: Spread::exact(value as f64),
        limit: Limit::Most(0.0),
        unit: "",
        source: "what the process makes with the tools of the tools file",
        message,
        remedy: "",
        key: "part.feature",
    };
    if missing.is_empty() {
        let message = "Every feature of the part is planned.".to_owned();
        return out.line(line(0, message));
    }
    for missing in missing {
        let kind = features.get(missing.feature).map_or("", |feature| feature.kind.word());
        let message =
            format!("Feature {} of the part ({kind}) is not cut. {}", missing.feature + 1, missing.why);
        let value = planned.process.open.missing.len();
        out.about_feature(missing.feature, &missing.remedy, line(value, message));
    }
}
