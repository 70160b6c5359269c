//! Holes on the axis: spotting, drilling, reaming and tapping.

mod drilling;
mod open;
mod tapping;

use super::threads::Thread;
use super::{Cutting, Missing, Process, threads};
use crate::cuts::{Speed, Work};
use calc::{hole, motion, tolerance};
use model::Length;
use model::files::job::{Feature, FeatureKind};
use model::files::tools::{Hand, Station, ToolKind};
use model::quantity::{FeedPerRev, SpindleSpeed, SurfaceSpeed};

/// What there is to drill, as deep as it must stay a full cylinder.
struct Hole<'j> {
    index: usize,
    feature: &'j Feature,
    /// Smallest and largest diameter that the drawing allows.
    limits: (Length, Length),
    /// Depth of the full cylinder, from the finished front face.
    deep: Length,
    /// Whether the drill's point must not go deeper than that, as at the ground of a bore.
    flat: bool,
    through: bool,
}

impl Hole<'_> {
    /// How deep a drill makes a full cylinder, and how deep its point goes.
    fn depths(&self, drill: &Station) -> (Length, Length) {
        let point = drill.point_length();
        if self.flat { (self.deep - point, self.deep) } else { (self.deep, self.deep + point) }
    }
}

/// One hole with the tools that make it.
struct Drilled<'j> {
    hole: Hole<'j>,
    drill: &'j Station,
    reamer: Option<&'j Station>,
}

/// Spots, drills and reams every hole of the part, and drills in front of a bore; the wider hole first,
/// in whose cone the narrower drill starts.
pub(super) fn drilled(cutting: &Cutting<'_>, process: &mut Process) {
    let mut chosen: Vec<Drilled<'_>> = Vec::new();
    for hole in to_drill(cutting) {
        let feature = Some(hole.index);
        match choose(cutting, hole) {
            Ok(drilled) => chosen.push(drilled),
            Err((why, mend)) => process.missing.push(Missing { feature, why, mend }),
        }
    }
    let width = |drilled: &Drilled<'_>| drilled.drill.diameter.unwrap_or_default();
    chosen.sort_by_key(|drilled| std::cmp::Reverse(width(drilled)));
    if let Some(first) = chosen.first() {
        match drilling::spotted(cutting, first) {
            Some(spot) => process.take(spot),
            None => process.unproven.extend(open::unguided(cutting, first)),
        }
    }
    let mut from = Length::ZERO;
    for drilled in &chosen {
        process.take(drilling::drilling(cutting, drilled, from));
        from = from.max(drilled.hole.depths(drilled.drill).0);
        process.unproven.extend(open::in_the_stub(cutting, drilled));
        process.unproven.extend(open::may_cut_large(cutting, drilled));
    }
    for drilled in &chosen {
        if let Some(reamer) = drilled.reamer {
            process.take(drilling::reaming(cutting, drilled, reamer));
        }
    }
}

/// Taps every inside thread for which a tap stands there.
pub(super) fn tapped(cutting: &Cutting<'_>, process: &mut Process) {
    for thread in threads::of(cutting, true) {
        if let Some(tap) = tap_for(cutting, &thread) {
            process.take(tapping::tapping(cutting, &thread, tap));
            process.unproven.extend(open::by_moves(cutting, tap));
        }
    }
}

/// The tap that makes a thread, where one stands on the turret.
pub(super) fn tap_for<'j>(cutting: &Cutting<'j>, thread: &Thread<'_>) -> Option<&'j Station> {
    let near = |one: Length, other: Length| (one - other).abs() <= Length::from_um(5);
    let form = &thread.form;
    let hand = if form.left_hand { Hand::Left } else { Hand::Right };
    cutting.job.tools.stations.iter().find(|station| {
        station.kind == ToolKind::Tap
            && form.starts == 1
            && station.pitches.hand == hand
            && station.diameter.is_some_and(|diameter| near(diameter, form.nominal))
            && station.pitches.makes(form.pitch) == Some(true)
    })
}

/// How far from the front face a tap's end goes for the full thread to reach its end.
pub(super) fn tap_end(tap: &Station, thread: &Thread<'_>) -> Length {
    // A plug tap, where the file does not say: common practice.
    thread.feature.to + tap.chamfer.unwrap_or(thread.form.pitch * 4)
}

/// The holes to drill: those of the drawing, and one in front of a bore that none of them opens.
fn to_drill<'j>(cutting: &Cutting<'j>) -> Vec<Hole<'j>> {
    let part = &cutting.job.file.part;
    let features = || part.features.iter().enumerate().filter(|(_, feature)| !feature.later);
    let mut holes: Vec<Hole<'j>> = Vec::new();
    for (index, feature) in features().filter(|(_, it)| it.kind == FeatureKind::Hole) {
        let through = feature.through || feature.to >= part.length;
        let deep = if through { through_end(cutting, feature) } else { feature.to };
        let limits = limits(cutting, feature);
        holes.push(Hole { index, feature, limits, deep, flat: false, through });
    }
    let bores = features().filter(|(_, it)| it.kind == FeatureKind::Bore);
    let narrow =
        bores.clone().min_by_key(|(_, it)| it.diameter.min(it.start.unwrap_or(it.diameter)));
    let end = bores.map(|(_, it)| it.to).max().unwrap_or_default();
    let opened = holes.iter().any(|hole| hole.feature.to >= end);
    if let Some((index, feature)) = narrow.filter(|_| !opened) {
        let bar = cutting.job.tools.first(ToolKind::Boring);
        let stock = bar.map_or(Length::ZERO, |bar| bar.finish_stock).max(cutting.clear.half());
        let least = feature.diameter.min(feature.start.unwrap_or(feature.diameter));
        let through = feature.through || end >= part.length;
        let deep = if through { through_end(cutting, feature) } else { end - stock };
        // The bar's own shank must go in.
        let room = bar.and_then(|bar| bar.shank).unwrap_or_default();
        let limits = (room + cutting.clear.half(), least - stock * 2);
        holes.push(Hole { index, feature, limits, deep, flat: !through, through });
    }
    holes
}

/// Where a hole through the part ends as a full cylinder: a little behind the back face, inside the
/// part-off width, and as deep as tap, thread edge and reamer need it.
fn through_end(cutting: &Cutting<'_>, feature: &Feature) -> Length {
    let needed = threads::of(cutting, true)
        .filter(|thread| thread.form.nominal > feature.diameter)
        .filter_map(|thread| threads::deepest(cutting, &thread))
        .max();
    behind_the_back(cutting).max(needed.unwrap_or_default())
}

/// A little behind the back face, inside the part-off width.
pub(super) fn behind_the_back(cutting: &Cutting<'_>) -> Length {
    cutting.division.finished + cutting.clear.min(cutting.blade())
}

/// The diameters that the drawing allows; of a hole that carries a thread, those that the thread allows
/// of them.
fn limits(cutting: &Cutting<'_>, feature: &Feature) -> (Length, Length) {
    let (upper, lower) = feature.deviations;
    let (upper, lower) = if (upper, lower) == (Length::ZERO, Length::ZERO) {
        let general = tolerance::linear_medium(feature.diameter).unwrap_or_default();
        (general, -general)
    } else {
        (upper, lower)
    };
    let (least, most) = (feature.diameter + lower, feature.diameter + upper);
    let carried = threads::of(cutting, true)
        .find(|thread| thread.feature.to <= feature.to && thread.form.nominal > feature.diameter);
    let minor = carried.and_then(|thread| Some(thread.form.limits?.minor));
    let both = minor.map(|minor| (least.max(minor.least), most.min(minor.most)));
    both.filter(|(least, most)| least <= most).unwrap_or((least, most))
}

/// The tools for a hole, else what is lacking and what would do. A hole with a tolerance of its own is
/// reamed where a reamer of its size stands there.
fn choose<'j>(cutting: &Cutting<'j>, hole: Hole<'j>) -> Result<Drilled<'j>, (String, String)> {
    let shown = |length: Length| length.shown(cutting.units);
    let stations = || cutting.job.tools.stations.iter();
    let own_tolerance = hole.feature.deviations != (Length::ZERO, Length::ZERO);
    let fits = |station: &&Station| {
        station.diameter.is_some_and(|is| hole.limits.0 <= is && is <= hole.limits.1)
    };
    let is_hole = hole.feature.kind == FeatureKind::Hole;
    let reamers = stations().filter(|it| it.kind == ToolKind::Reamer);
    let reamer = reamers.filter(fits).find(|_| is_hole && (own_tolerance || hole.feature.reamed));
    if hole.feature.reamed && reamer.is_none() {
        let (least, most) = (shown(hole.limits.0), shown(hole.limits.1));
        return Err((
            "No reamer of this hole's size stands on the turret.".to_owned(),
            format!(
                "Put a reamer of {least} to {most} on the turret that reaches {}.",
                shown(hole.deep)
            ),
        ));
    }
    let (least, most) = match reamer.and_then(|reamer| reamer.diameter) {
        Some(size) => {
            let (least, most) = hole::reaming_stock(size).unwrap_or_default();
            (size - most, size - least)
        }
        None => hole.limits,
    };
    let inside = |it: &&Station| it.diameter.is_some_and(|is| least <= is && is <= most);
    let drills = || stations().filter(|it| it.kind == ToolKind::Drill).filter(inside);
    let mut hole = hole;
    if let Some(reamer) = reamer {
        through_chamfer(cutting, &mut hole, reamer)?;
    }
    let tip = |drill: &Station| hole.depths(drill).1;
    let reaches = |drill: &&Station| drill.deepest().is_some_and(|deepest| deepest >= tip(drill));
    let aim = if is_hole && reamer.is_none() { hole.feature.cut() } else { most };
    let off = |drill: &&Station| (drill.diameter.unwrap_or_default() - aim).abs();
    if let Some(drill) = drills().filter(reaches).min_by_key(off) {
        return Ok(Drilled { hole, drill, reamer });
    }
    let (low, high) = (shown(least.max(Length::ZERO)), shown(most));
    let purpose = match (reamer, is_hole) {
        (Some(reamer), _) => format!(" in front of the reamer of station {}", reamer.number),
        (None, false) => " in front of the boring tool".to_owned(),
        (None, true) => String::new(),
    };
    let deep = shown(hole.deep);
    let mend = format!(
        "Put a drill of {low} to {high} on the turret that reaches {deep} and its point, and write it in the tools file."
    );
    let Some(short) = drills().max_by_key(|drill| drill.deepest()) else {
        return Err((format!("No drill of {low} to {high} stands on the turret{purpose}."), mend));
    };
    let (number, needed) = (short.number, shown(tip(short)));
    Err(match short.deepest() {
        Some(deepest) => (
            format!(
                "The drill of station {number} reaches {}; with its point the hole is {needed} deep.",
                shown(deepest)
            ),
            mend,
        ),
        None => (
            format!("The tools file does not say how deep the drill of station {number} reaches."),
            format!("Write `reach` of station {number}: {needed} at least, with its point."),
        ),
    })
}

/// A reamer is of full size only behind its chamfer: through the part it goes so much farther; in a blind
/// hole the drawing's tolerance must have room for it.
fn through_chamfer(
    cutting: &Cutting<'_>,
    hole: &mut Hole<'_>,
    reamer: &Station,
) -> Result<(), (String, String)> {
    let chamfer = reamer.chamfer.unwrap_or_default();
    let shown = |length: Length| length.shown(cutting.units);
    if hole.through {
        let needed = cutting.division.finished + chamfer + cutting.clear.half();
        hole.deep = hole.deep.max(needed);
        return Ok(());
    }
    let room = tolerance::linear_medium(hole.feature.to).unwrap_or_default();
    if chamfer <= room {
        return Ok(());
    }
    Err((
        format!(
            "The reamer of station {} is of full size {} behind its end, and the hole's depth may be off by {}.",
            reamer.number,
            shown(chamfer),
            shown(room)
        ),
        format!("A reamer with a chamfer of {} at most would do (`chamfer`).", shown(room)),
    ))
}

/// Speed and feed of a tool on the axis, at its diameter.
pub(super) fn data(
    cutting: &Cutting<'_>,
    feature: usize,
    station: &Station,
    work: Work,
) -> Result<(SpindleSpeed, FeedPerRev), Missing> {
    let lacks = |key: &str| Missing {
        feature: Some(feature),
        why: format!("The tools file does not say the {key} of station {}.", station.number),
        mend: format!("Write `{key}` of station {}, {}.", station.number, station.name),
    };
    let data = cutting
        .data(station, work)
        .ok_or_else(|| lacks(if station.speed.is_none() { "speed" } else { "feed" }))?;
    let speed = match data.speed {
        Speed::Spindle(speed) => speed.rpm(),
        Speed::Surface(speed) => {
            let diameter = station.diameter.ok_or_else(|| lacks("diameter"))?;
            at_diameter(speed, diameter)
        }
    };
    Ok((within(cutting, station, speed), data.feed))
}

fn at_diameter(speed: SurfaceSpeed, diameter: Length) -> f64 {
    motion::spindle_speed(speed, diameter, SpindleSpeed::from_rpm(f64::INFINITY)).rpm()
}

/// No faster than lathe, job and tool allow, in whole turns a minute.
pub(super) fn within(cutting: &Cutting<'_>, station: &Station, rpm: f64) -> SpindleSpeed {
    let job = cutting.job;
    let limits = [
        Some(job.lathe.max_speed()),
        Some(job.lathe.spindle.max_speed),
        job.file.cutting.max_speed,
        station.max_speed,
    ];
    let most = limits.into_iter().flatten().map(SpindleSpeed::rpm).fold(rpm, f64::min);
    SpindleSpeed::from_rpm(most.floor().max(1.0))
}
