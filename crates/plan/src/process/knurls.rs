//! Knurls: rolled with a wheel that is fed in at the front of the knurl and then along it.

use super::{Cutting, Missing, Process};
use crate::cuts::{Operation, Speed, Work};
use calc::motion;
use model::files::job::Feature;
use model::files::tools::{Station, ToolKind};
use model::quantity::SpindleSpeed;
use model::standards::knurl::Knurl;

/// Rolls every knurl of the part.
pub(super) fn rolled(cutting: &Cutting<'_>, process: &mut Process) {
    for (index, feature) in cutting.job.file.part.features.iter().enumerate() {
        if let Some(knurl) = feature.knurl.filter(|_| !feature.later) {
            process.take(roll(cutting, index, feature, knurl));
        }
    }
}

fn roll(
    cutting: &Cutting<'_>,
    index: usize,
    feature: &Feature,
    knurl: Knurl,
) -> Result<Operation, Missing> {
    let lacks = |why: String, mend: String| Missing { feature: Some(index), why, mend };
    let wanted = knurl.name();
    let mut stations = cutting.job.tools.stations.iter();
    let fits = |it: &&Station| it.kind == ToolKind::Knurling && it.knurl == Some(knurl);
    let Some(station) = stations.find(fits) else {
        return Err(lacks(
            format!("No knurling tool for {wanted} stands on the turret."),
            format!("A knurling tool with `knurl = \"{wanted}\"` would roll it."),
        ));
    };
    let data = cutting.data(station, Work::Knurl).ok_or_else(|| {
        let number = station.number;
        lacks(
            format!("The tools file does not say speed and feed of station {number}."),
            format!("Write `speed` and `feed` of station {number}, {}.", station.name),
        )
    })?;
    let rpm = match data.speed {
        Speed::Spindle(speed) => speed.rpm(),
        Speed::Surface(speed) => {
            let none = SpindleSpeed::from_rpm(f64::INFINITY);
            motion::spindle_speed(speed, feature.diameter, none).rpm()
        }
    };
    let speed = super::holes::within(cutting, station, rpm);
    let width = station.width.unwrap_or_default();
    // Teeth of 90° are half a pitch high: the wheel's points stand so deep below those of the knurl.
    let ground = feature.diameter - knurl.pitch;
    // The wheel begins with half of its width on the knurl (common practice), its chuck side being
    // programmed.
    let half = width.half().min(feature.to - feature.from);
    let (begins, ends) = (-(feature.from + half), -feature.to);
    let moves = vec![
        cutting.rapid(cutting.beside, begins),
        cutting.rapid(feature.diameter + cutting.clear, begins),
        cutting.cut(ground, begins, data.feed),
        cutting.cut(ground, ends, data.feed),
        cutting.cut(feature.diameter + cutting.clear, ends, data.feed),
        cutting.rapid(cutting.beside, ends),
    ];
    Ok(Cutting::operation(Work::Knurl, "knurl", station, Speed::Spindle(speed), moves))
}
