#![doc = include_str!("chips_fill_room.md")]

use super::{Limit, Line, Out, Planned};
use crate::walk_away;

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let (job, bar) = (planned.job, planned.bar);
    let what = "whether the chips of a bar find room";
    let Some(room) = job.lathe.catching.chips_liters else {
        return out.unproven(what, "the lathe file does not say how much room there is (`chips` under [catching])");
    };
    let Some(each) = walk_away::chips_of_part(job, bar) else {
        return out.unproven(
            what,
            format!("the material file of {} does not say how loose its chips lie (`chip_bulk`)", job.material.name),
        );
    };
    let parts = f64::from(bar.parts_per_bar.min(job.file.order.quantity));
    let liters = each.map(|each| each * parts);
    out.line(Line {
        value: liters,
        limit: Limit::Most(room),
        unit: "L",
        source: "volume of bar less part, times how loose the chips lie (material file), 30 % to either side; room of the lathe file",
        message: format!(
            "The chips of one bar take {:.1} liters ({:.1} to {:.1}); there is room for {room:.1}.",
            liters.nominal, liters.low, liters.high
        ),
        remedy: "Clear the chips before the bar is finished, or saw shorter blanks.",
        key: "bar.length",
    });
}
