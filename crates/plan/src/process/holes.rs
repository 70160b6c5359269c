//! Holes on the axis: spotting, drilling, reaming and tapping.

use super::threads::Thread;
use super::{Cutting, Missing, Process, threads};
use crate::cuts::{Cycle, CycleForm, Move, Operation, Place, Speed, Way, Work};
use calc::{hole, motion, tolerance};
use model::files::control::{Drilling, HolesAs, TapsAs};
use model::files::job::{Feature, FeatureKind};
use model::files::keys::Choice as _;
use model::files::tools::{Hand, Station, ToolKind};
use model::quantity::{FeedPerRev, SpindleSpeed, SurfaceSpeed};
use model::{Length, Unproven};

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
        match spotted(cutting, first) {
            Some(spot) => process.take(spot),
            None => process.unproven.extend(unguided(cutting, first)),
        }
    }
    let mut from = Length::ZERO;
    for drilled in &chosen {
        process.take(drilling(cutting, drilled, from));
        from = from.max(drilled.hole.depths(drilled.drill).0);
        process.unproven.extend(in_the_stub(cutting, drilled));
        process.unproven.extend(may_cut_large(cutting, drilled));
    }
    for drilled in &chosen {
        if let Some(reamer) = drilled.reamer {
            process.take(reaming(cutting, drilled, reamer));
        }
    }
}

/// Taps every inside thread for which a tap stands there.
pub(super) fn tapped(cutting: &Cutting<'_>, process: &mut Process) {
    for thread in threads::of(cutting, true) {
        if let Some(tap) = tap_for(cutting, &thread) {
            process.take(tapping(cutting, &thread, tap));
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

/// An operation on the axis: from the turret's own distance in front of the face onto it, in to where the
/// feed begins, and the moves given.
fn on_axis(
    cutting: &Cutting<'_>,
    (work, name): (Work, &'static str),
    station: &Station,
    speed: SpindleSpeed,
    start: Length,
) -> Operation {
    let ahead = cutting.job.lathe.turret.index_z.max(start);
    let moves = vec![cutting.rapid(Length::ZERO, ahead), cutting.rapid(Length::ZERO, start)];
    cutting.operation(work, name, station, Speed::Spindle(speed), moves)
}

/// A spot in the face where the first drill starts, if that drill goes deep and a spot drill stands there.
fn spotted(cutting: &Cutting<'_>, first: &Drilled<'_>) -> Option<Result<Operation, Missing>> {
    let drill = first.drill.diameter?;
    let spot = cutting.job.tools.first(ToolKind::SpotDrill)?;
    if !hole::wants_spot(first.hole.depths(first.drill).0, drill) {
        return None;
    }
    // Four fifths of the hole, so that nothing of the cone is left; common practice.
    let wide = Length::from_nm(drill.nm() / 5 * 4).min(spot.diameter?);
    let half_angle = (spot.point_angle / 2.0).to_radians();
    let deep = Length::nearest_mm(wide.half().mm() / libm::tan(half_angle));
    let (speed, feed) = match data(cutting, first.hole.index, spot, Work::Spot) {
        Ok(data) => data,
        Err(missing) => return Some(Err(missing)),
    };
    let start = cutting.clear;
    let mut operation = on_axis(cutting, (Work::Spot, "spot the face"), spot, speed, start);
    operation.moves.push(cutting.cut(Length::ZERO, -deep, feed));
    operation.moves.push(cutting.rapid(Length::ZERO, start));
    Some(Ok(operation))
}

/// Drills from `from`, where a wider hole ends already, to the bottom.
fn drilling(
    cutting: &Cutting<'_>,
    drilled: &Drilled<'_>,
    from: Length,
) -> Result<Operation, Missing> {
    let (drill, hole) = (drilled.drill, &drilled.hole);
    let (speed, feed) = data(cutting, hole.index, drill, Work::Drill)?;
    let diameter = drill.diameter.unwrap_or_default();
    let bottom = cutting.place(Length::ZERO, -hole.depths(drill).1);
    let start = cutting.place(Length::ZERO, cutting.clear - from).z;
    let peck = match drill.peck {
        Some(peck) => Some(peck),
        None => hole::peck(-bottom.z - from, diameter).unwrap_or_default(),
    };
    let increment = cutting.job.control.increment(cutting.units);
    let peck = peck.map(|peck| (increment * (peck / increment)).max(increment));
    let mut operation = on_axis(cutting, (Work::Drill, "drill"), drill, speed, start);
    let first = operation.moves.len();
    let (moves, form) = match (cutting.job.control.writing.drilling, peck) {
        (HolesAs::Moves, peck) => (pecks(cutting, start, bottom.z, peck, feed), None),
        (HolesAs::FacePeck, Some(peck)) => {
            let back = cutting.place(Length::ZERO, cutting.clear.half()).z;
            let form = CycleForm::FacePeck { bottom, peck, back, feed };
            (stuttered(cutting, start, bottom.z, (peck, back), feed), Some(form))
        }
        (HolesAs::Cycle | HolesAs::FacePeck, peck) => {
            let form = CycleForm::Drill { bottom, peck, feed };
            (cycled(cutting, start, bottom.z, peck, feed), Some(form))
        }
    };
    operation.cycles.extend(form.map(|form| Cycle { first, count: moves.len(), form }));
    operation.moves.extend(moves);
    Ok(operation)
}

/// Pecks of equal depth, all the way out after each, back in at rapid to a little above the ground.
fn pecks(
    cutting: &Cutting<'_>,
    start: Length,
    bottom: Length,
    peck: Option<Length>,
    feed: FeedPerRev,
) -> Vec<Move> {
    let whole = start - bottom;
    let count = peck.map_or(1, |peck| super::layers(whole, peck).max(1));
    let above = cutting.clear.half();
    let mut moves = Vec::new();
    for index in 1..=count {
        if index > 1 {
            let before = start - super::share(whole, index - 1, count);
            moves.push(cutting.rapid(Length::ZERO, (before + above).min(start)));
        }
        let to = if index == count { bottom } else { start - super::share(whole, index, count) };
        moves.push(cutting.cut(Length::ZERO, to, feed));
        moves.push(cutting.rapid(Length::ZERO, start));
    }
    moves.dedup_by(|next, before| next.to == before.to);
    moves
}

/// The depths that a cycle comes to in steps, the last one clipped.
fn steps(from: Length, to: Length, step: Option<Length>) -> Vec<Length> {
    let mut places = Vec::new();
    if let Some(step) = step.filter(|step| step.is_positive()) {
        let whole = (from - to - Length::from_nm(1)) / step;
        places.extend((1..=whole).map(|index| from - step * index));
    }
    places.push(to);
    places
}

/// The moves of a drilling cycle: in at rapid to the last ground, all the way out after each peck; how far
/// a control goes back is in its file.
fn cycled(
    cutting: &Cutting<'_>,
    start: Length,
    bottom: Length,
    peck: Option<Length>,
    feed: FeedPerRev,
) -> Vec<Move> {
    let control = &cutting.job.control;
    let back = control.cycles.drill_back;
    // The plain cycles without pecks know no going back.
    let stays = back.is_positive() && !(control.drilling == Drilling::Plain && peck.is_none());
    let mut moves = Vec::new();
    let mut before = start;
    for to in steps(start, bottom, peck) {
        moves.push(cutting.rapid(Length::ZERO, before));
        moves.push(cutting.cut(Length::ZERO, to, feed));
        let up = if stays && to != bottom { (to + back).min(start) } else { start };
        moves.push(cutting.rapid(Length::ZERO, up));
        before = if stays && to != bottom { up } else { to };
    }
    moves.remove(0);
    moves
}

/// The moves of the cycle that pecks along Z.
fn stuttered(
    cutting: &Cutting<'_>,
    start: Length,
    bottom: Length,
    (peck, back): (Length, Length),
    feed: FeedPerRev,
) -> Vec<Move> {
    let mut moves = Vec::new();
    for to in steps(start, bottom, Some(peck)) {
        moves.push(cutting.cut(Length::ZERO, to, feed));
        let up = if to == bottom { start } else { to + back };
        moves.push(cutting.rapid(Length::ZERO, up));
    }
    moves
}

/// In and out at feed, the spindle turning as it did: a reamer never turns back.
fn reaming(
    cutting: &Cutting<'_>,
    drilled: &Drilled<'_>,
    reamer: &Station,
) -> Result<Operation, Missing> {
    let hole = &drilled.hole;
    let (speed, feed) = data(cutting, hole.index, reamer, Work::Ream)?;
    let shown = |length: Length| length.shown(cutting.units);
    let bottom = cutting.place(Length::ZERO, -hole.deep).z;
    if reamer.deepest().is_none_or(|deepest| deepest < hole.deep) {
        let number = reamer.number;
        return Err(Missing {
            feature: Some(hole.index),
            why: match reamer.deepest() {
                Some(is) => format!("The reamer of station {number} reaches {}.", shown(is)),
                None => format!(
                    "The tools file does not say how deep the reamer of station {number} reaches."
                ),
            },
            mend: format!("Write or mend its `reach`: {} at least.", shown(hole.deep)),
        });
    }
    let mut operation = on_axis(cutting, (Work::Ream, "ream"), reamer, speed, cutting.clear);
    operation.moves.push(cutting.cut(Length::ZERO, bottom, feed));
    operation.moves.push(cutting.cut(Length::ZERO, cutting.clear, feed));
    Ok(operation)
}

/// In step with the spindle, which turns back at the bottom.
fn tapping(
    cutting: &Cutting<'_>,
    thread: &Thread<'_>,
    tap: &Station,
) -> Result<Operation, Missing> {
    let index = thread.index;
    let shown = |length: Length| length.shown(cutting.units);
    let lacks = |why: String, mend: String| Missing { feature: Some(index), why, mend };
    let lead = thread.form.pitch;
    let (speed, _) = data(cutting, index, tap, Work::Tap)?;
    let rapid = &cutting.job.lathe.rapid;
    let axis = rapid.in_thread.unwrap_or(rapid.z);
    let most = calc::thread::highest_speed(axis, lead.mm()).rpm();
    let speed = within(cutting, tap, speed.rpm().min(most));
    let end = tap_end(tap, thread);
    let open = threads::open_to(cutting, thread);
    if open < end {
        return Err(lacks(
            format!(
                "The full thread ends at {}; with the tap's chamfer its end goes to {}, but the hole is open to {}.",
                shown(thread.feature.to), shown(end), shown(open)
            ),
            "Take a tap with a shorter chamfer (`chamfer`), or drill deeper if the drawing allows it."
                .to_owned(),
        ));
    }
    if tap.deepest().is_none_or(|deepest| deepest < end) {
        let number = tap.number;
        return Err(lacks(
            match tap.deepest() {
                Some(is) => format!("The tap of station {number} reaches {}.", shown(is)),
                None => {
                    format!(
                        "The tools file does not say how deep the tap of station {number} reaches."
                    )
                }
            },
            format!("Write or mend its `reach`: {} at least.", shown(end)),
        ));
    }
    let start = threads::run_in(cutting, lead, speed);
    let mut operation = on_axis(cutting, (Work::Tap, "tap"), tap, speed, start);
    let first = operation.moves.len();
    let bottom = cutting.place(Length::ZERO, -end);
    let lead = FeedPerRev::from_mm(lead.mm());
    let out = Place { z: cutting.place(Length::ZERO, start).z, ..bottom };
    operation.moves.push(Move { to: bottom, way: Way::Thread(lead) });
    operation.moves.push(Move { to: out, way: Way::BackOut(lead) });
    if cutting.job.control.writing.tapping == TapsAs::Cycle {
        operation.cycles.push(Cycle { first, count: 2, form: CycleForm::Tap { bottom, lead } });
    }
    Ok(operation)
}

/// A deep hole whose drill finds no point in the face to start in.
fn unguided(cutting: &Cutting<'_>, first: &Drilled<'_>) -> Option<Unproven> {
    let (deep, diameter) = (first.hole.depths(first.drill).0, first.drill.diameter?);
    hole::wants_spot(deep, diameter).then(|| Unproven {
        what: format!(
            "whether the drill of {} starts on the axis and stays there: the hole is {} deep",
            diameter.shown(cutting.units),
            deep.shown(cutting.units)
        ),
        why: "no spot drill stands on the turret".to_owned(),
    })
}

/// A hole with a tolerance of its own, drilled and not reamed: a drill cuts larger than it is.
fn may_cut_large(cutting: &Cutting<'_>, drilled: &Drilled<'_>) -> Option<Unproven> {
    let hole = &drilled.hole;
    let own = hole.feature.kind == FeatureKind::Hole
        && hole.feature.deviations != (Length::ZERO, Length::ZERO);
    let room = hole.limits.1 - drilled.drill.diameter?;
    let narrow = own && drilled.reamer.is_none() && room < hole::DRILL_CUTS_LARGER;
    narrow.then(|| Unproven {
        what: format!(
            "whether the hole of {} is not too large: {} of its tolerance are left above the drill",
            hole.feature.diameter.shown(cutting.units),
            room.shown(cutting.units)
        ),
        why: format!(
            "a drill commonly cuts {} larger than it is",
            hole::DRILL_CUTS_LARGER.shown(cutting.units)
        ),
    })
}

/// A hole that goes on into the stub: the gripper then presses on a ring, and the jaws do where it goes
/// on behind their face.
fn in_the_stub(cutting: &Cutting<'_>, drilled: &Drilled<'_>) -> Option<Unproven> {
    let tip = drilled.hole.depths(drilled.drill).1;
    let into = tip - cutting.division.finished - cutting.division.part_off;
    if !drilled.hole.through || !into.is_positive() {
        return None;
    }
    let shown = |length: Length| length.shown(cutting.units);
    let diameter = shown(drilled.drill.diameter.unwrap_or_default());
    let deeper = into > cutting.division.jaw_clearance;
    let who = if deeper { "gripper and jaws" } else { "the gripper" };
    let kind = drilled.drill.kind.word();
    Some(Unproven {
        what: format!(
            "whether {who} may press on the stub: the {kind} of {diameter} goes {} into it",
            shown(into)
        ),
        why: "no file says how thick a wall they need".to_owned(),
    })
}
