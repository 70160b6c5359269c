#![doc = include_str!("face_stock_thin.md")]

use super::{Limit, Line, Out, Planned};
use calc::spread::Spread;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, bar) = (planned.job, planned.bar);
    let Some(least) = bar.least_face_stock else { return };
    let stock = bar.division.face_stock;
    let units = job.file.units;
    out.line(Line {
        value: Spread::exact(stock.mm()),
        limit: Limit::Least(least.mm()),
        unit: "mm",
        source: "scatter of the gripper's pulls (gripper file), normal distribution",
        message: format!(
            "With {} of face stock, one bar in {:.0} loses a part to a short pull; the job allows one in {:.0}, which takes {}.",
            stock.shown(units),
            1.0 / bar.chance_of_loss.ratio().max(1e-12),
            1.0 / job.file.advance.risk.ratio(),
            least.shown(units)
        ),
        remedy: "Raise the face stock, or find out why the gripper scatters.",
        key: "advance.face_stock",
    });
}
