#![doc = include_str!("feature_not_planned.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;
use model::files::keys::Choice as _;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let part = &planned.job.file.part;
    let index = part.not_planned();
    let message = match index {
        Some(index) => format!(
            "Feature {} of the part ({}) is not cut by what this version plans.",
            index + 1,
            part.features[index].kind.word()
        ),
        None => "Every feature of the part is planned.".to_owned(),
    };
    out.line(Line {
        value: Spread::exact(f64::from(u8::from(index.is_some()))),
        limit: Limit::Most(0.0),
        unit: "",
        source: "what this version plans: cylinders that never get smaller toward the chuck, and chamfers",
        message,
        remedy: "Add `later = true` to it if another operation cuts it, or prove a program of your own with this job.",
        key: "part.feature",
    });
}
