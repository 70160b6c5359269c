#![doc = include_str!("surface_too_rough.md")]

use super::{Limit, Line, Out, Planned, judged, worst::Lacks};
use calc::finish;
use calc::spread::Spread;
use calc::station::Lack;
use model::files::job::Step;
use model::{Length, Level};
use model::quantity::{FeedPerRev, Roughness};

/// What one cut leaves on a diameter.
struct Left {
    step: Step,
    station: u32,
    ra: Spread<f64>,
    rt: f64,
    asked: Roughness,
    feed: FeedPerRev,
}

pub(super) fn check(planned: &Planned<'_>, out: &mut Out<'_>) {
    let what = "the surface against the drawing's roughness";
    let mut lacks = Lacks::default();
    let mut worst: Option<Left> = None;
    for (station, cut) in planned.mechanics.of_each_part() {
        let Some((step, asked)) = cut.finishes.and_then(|step| Some((step, step.ra?))) else { continue };
        let nose = planned.job.tools.station(station).map_or_else(Default::default, |it| it.nose_radius);
        let ideal = finish::expected_ra(cut.feed, nose).and_then(|ra| Ok((ra, finish::rt_exact(cut.feed, nose)?)));
        let Ok((ra, rt)) = ideal else {
            let why = format!(
                "station {station} has no nose radius in the tools file, or a feed beyond twice of it (`nose_radius`)"
            );
            lacks.add("finish the outside", &Lack::of("nose_radius", why));
            continue;
        };
        let here = Left { step, station, ra: ra.map(Roughness::um), rt: rt.um(), asked, feed: cut.feed };
        let used = |it: &Left| {
            let asked = it.asked.um();
            (judged(Level::Stop, it.ra, Limit::Most(asked)), it.ra.high / asked)
        };
        if worst.as_ref().is_none_or(|worst| used(&here) > used(worst)) {
            worst = Some(here);
        }
    }
    lacks.file(out, what);
    let Some(left) = worst else { return };
    let nose = planned.job.tools.station(left.station).map_or_else(Default::default, |it| it.nose_radius);
    let units = planned.job.file.units;
    let shown = |feed: FeedPerRev| format!("{} a turn", Length::nearest_mm(feed.mm()).shown(units));
    // Twice the ideal is the rough end of what good edges leave.
    let finest = finish::feed_for(Roughness::from_um(left.asked.um() / 2.0), nose);
    let limit = finest.map_or(String::new(), |feed| {
        // Rounded down to what is shown, so that what is shown keeps it.
        let step = units.nanometers() / 10_i64.pow(units.decimals() as u32);
        let down = Length::nearest_mm(feed.mm()).nm() / step * step;
        let feed = FeedPerRev::from_mm(Length::from_nm(down).mm());
        format!(" A feed up to {} keeps it even with a poor edge.", shown(feed))
    });
    out.line(Line {
        value: left.ra,
        limit: Limit::Most(left.asked.um()),
        unit: "µm",
        source: "the marks of a round nose, 1 to 2 times the ideal (common practice); Ra of the drawing",
        message: format!(
            "At {} the nose leaves Ra {:.2} µm on the diameter of {} ({:.2} to {:.2}; ideal Rt {:.2}); the drawing asks for {:.2}.{limit}",
            shown(left.feed),
            left.ra.nominal,
            left.step.diameter.shown(units),
            left.ra.low,
            left.ra.high,
            left.rt,
            left.asked.um()
        ),
        remedy: "Lower finish_feed in the tools file, or take a larger nose.",
        key: "part",
    });
}
