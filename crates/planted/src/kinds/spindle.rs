//! The spindle's words, its speeds and the wait for it.

use super::chuck::advance;
use super::{Planted, planted};
use crate::edit::Edit;
use crate::reading::{Advance, Line, Reading};
use crate::seed::Seed;
use model::files::control::Does;
use model::files::tools::ToolKind;
use nc::codes::GCode;

fn start(line: &Line) -> Option<&nc::blocks::Said> {
    line.does(Does::SpindleForward).or(line.does(Does::SpindleReverse))
}

/// The last spindle stop above an advance, in the same program.
fn stop_above(reading: &Reading<'_>, advance: &Advance) -> Option<usize> {
    let program = reading.lines[advance.call].program;
    (0..advance.open).rev().find(|index| {
        let line = &reading.lines[*index];
        line.program == program && line.does(Does::SpindleStop).is_some()
    })
}

pub(super) fn stop_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let stop = stop_above(reading, &advance(reading, seed)?)?;
    let line = &reading.lines[stop];
    // Another stop would still stand in its place.
    let others = reading.find(|line| line.does(Does::SpindleStop).is_some()).len();
    let word = line.does(Does::SpindleStop).filter(|_| others == 1)?;
    planted(reading, stop, &[line.edit(word.span, "")])
}

/// Seconds that pass at most between a line and a later one: each move as if it stood at both ends,
/// each station on the way.
fn passes_at_most(reading: &Reading<'_>, from: usize, to: usize) -> Option<f64> {
    let lathe = reading.good.setup.lathe.as_ref()?;
    let mut seconds = 0.0;
    for line in &reading.lines[from..to] {
        seconds += line.dwell().unwrap_or(0.0);
        if line.before.station != line.after.station {
            seconds += lathe.turret.step.s() * f64::from(lathe.turret.stations / 2);
        }
        if line.moves() {
            let way = |from: Option<model::Length>, to: Option<model::Length>| {
                from.zip(to).map(|(from, to)| (to - from).abs().mm())
            };
            let x = way(line.before.x, line.after.x)? / 2.0;
            let z = way(line.before.z, line.after.z)?;
            let rapid = &lathe.rapid;
            let of = |way: f64, speed: f64, acceleration: f64| {
                if way > 0.0 { 60.0 * way / speed + speed / 60_000.0 / acceleration } else { 0.0 }
            };
            seconds += if line.rapid() {
                let (x_speed, z_speed) = (rapid.x.mm_per_min(), rapid.z.mm_per_min());
                of(x, x_speed, rapid.x_acceleration.m_per_s2()).max(of(
                    z,
                    z_speed,
                    rapid.z_acceleration.m_per_s2(),
                ))
            } else {
                let rate = rate(line)?;
                let slow = rapid.x_acceleration.m_per_s2().min(rapid.z_acceleration.m_per_s2());
                of(libm::hypot(x, z), rate, slow)
            };
        }
    }
    Some(seconds)
}

/// Millimeters a minute of a feed move with the feed per minute.
fn rate(line: &Line) -> Option<f64> {
    let unit = match line.after.units {
        model::Units::Mm => 1.0,
        model::Units::Inch => 25.4,
    };
    (line.after.per_minute == Some(true))
        .then_some(line.after.feed? * unit)
        .filter(|rate| *rate > 0.0)
}

pub(super) fn run_down_wait_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let advance = advance(reading, seed)?;
    let stop = stop_above(reading, &advance)?;
    let lathe = reading.good.setup.lathe.as_ref()?;
    let dwell = (stop + 1..advance.call).find(|index| reading.lines[*index].dwell().is_some())?;
    if reading.confirmed(Does::SpindleStop) {
        return None;
    }
    let line = &reading.lines[stop];
    // From the last cut on, a surface speed makes the spindle slow down on the way out.
    let cut = (0..=stop).rev().find(|index| reading.lines[*index].cuts())?;
    let (from, turns) = if line.before.surface {
        (cut + 1, line.before.clamp?.min(lathe.spindle.max_speed.rpm()))
    } else {
        (stop, line.before.speed?)
    };
    if line.before.surface && !reading.lines[cut].parts_off() {
        return None;
    }
    let needed = turns / lathe.spindle.max_speed.rpm() * lathe.spindle.run_down.s();
    let passes = passes_at_most(reading, from, advance.on + 1)?;
    let passes = passes - reading.lines[dwell].dwell()?;
    (passes * 1.1 < needed).then_some(())?;
    planted(reading, dwell, &reading.emptied(dwell))
}

pub(super) fn start_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let starts = reading.find(|line| start(line).is_some());
    let stops = reading.find(|line| line.does(Does::SpindleStop).is_some());
    // Where the spindle is started a second time, it turns from the first on.
    let once: Vec<usize> = starts
        .iter()
        .copied()
        .filter(|start| {
            let before = starts.iter().rev().find(|other| *other < start);
            before.is_none_or(|before| stops.iter().any(|stop| before < stop && stop < start))
        })
        .collect();
    let chosen = seed.one(&once)?;
    let next = starts.iter().find(|other| **other > chosen);
    let cuts = (chosen..reading.lines.len()).find(|index| reading.lines[*index].cuts())?;
    if next.is_some_and(|next| *next < cuts) || starts.len() != 1 {
        return None;
    }
    let line = &reading.lines[chosen];
    planted(reading, chosen, &[line.edit(start(line)?.span, "")])
}

/// A word that starts the spindle at some speed.
fn turn(reading: &Reading<'_>) -> Option<String> {
    let forward = reading.good.setup.control.that(Does::SpindleForward)?.word;
    Some(format!("{} S500 {forward}", reading.g(GCode::FixedSpeed)))
}

pub(super) fn started_while_gripped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { leave, .. } = advance(reading, seed)?;
    let first = *leave.first()?;
    let above = reading.inserted_before(first, &turn(reading)?)?;
    planted(reading, first, &[above])
}

pub(super) fn started_with_chuck_open(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { close, .. } = advance(reading, seed)?;
    let above = reading.inserted_before(close, &turn(reading)?)?;
    planted(reading, close, &[above])
}

pub(super) fn wrong_direction(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    // Only the tools file says which way is right.
    let tools = reading.good.setup.tools.as_ref()?;
    tools.stations.iter().any(|station| station.takes.turns.is_some()).then_some(())?;
    let control = &reading.good.setup.control;
    let forward = control.that(Does::SpindleForward)?.word;
    let reverse = control.that(Does::SpindleReverse)?.word;
    let edits: Vec<Edit> = reading
        .lines
        .iter()
        .filter_map(|line| {
            let word = start(line)?;
            let other = if line.does(Does::SpindleForward).is_some() { reverse } else { forward };
            Some(line.edit(word.span, &other.to_string()))
        })
        .collect();
    planted(reading, reading.find(|line| start(line).is_some()).first().copied()?, &edits)
}

/// A drill on the axis at constant surface speed.
pub(super) fn surface_speed_for_a_drill(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines =
        reading.find(|line| line.g(GCode::FixedSpeed).is_some() && line.with(ToolKind::Drill));
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let word = line.g(GCode::FixedSpeed)?;
    planted(reading, chosen, &[line.edit(word.span, &reading.g(GCode::SurfaceSpeed))])
}

/// Surface speed of the tool at work in m/min, where it turns or parts.
fn tool_speed(reading: &Reading<'_>, line: &Line) -> Option<f64> {
    let cuts = matches!(line.after.kind, Some(ToolKind::Turning | ToolKind::Parting));
    let tools = reading.good.setup.tools.as_ref().filter(|_| cuts)?;
    Some(tools.station(line.after.station?)?.speed?.m_per_min())
}

fn clamps(reading: &Reading<'_>) -> Vec<usize> {
    reading.find(|line| line.g(GCode::SetCoordinatesOrClamp).is_some() && line.word('S').is_some())
}

fn uses_surface_speed(reading: &Reading<'_>) -> bool {
    reading.lines.iter().any(|line| line.after.surface)
}

pub(super) fn clamp_dropped(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let clamps = clamps(reading);
    let first = *clamps.first().filter(|_| uses_surface_speed(reading))?;
    let edits: Vec<Edit> = clamps.iter().flat_map(|line| reading.emptied(*line)).collect();
    planted(reading, first, &edits)
}

pub(super) fn clamp_too_high(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lathe = reading.good.setup.lathe.as_ref()?;
    let chosen = seed.one(&clamps(reading))?;
    let line = &reading.lines[chosen];
    let word = line.word('S').filter(|word| word.value * 10.0 > lathe.max_speed().rpm())?;
    let text = format!("S{}", (word.value * 10.0).round());
    planted(reading, chosen, &[line.edit(word.span, &text)])
}

pub(super) fn fixed_for_surface(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| line.g(GCode::SurfaceSpeed).is_some());
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let word = line.g(GCode::SurfaceSpeed)?;
    // At the bar's outside the edge then runs at a fifth of its speed, or slower.
    let setup = &reading.good.setup;
    let (bar, turns) = (setup.bar.as_ref()?, line.after.speed?);
    let runs = std::f64::consts::PI * bar.size.m() * turns;
    (runs * 5.0 < tool_speed(reading, line)?).then_some(())?;
    planted(reading, chosen, &[line.edit(word.span, &reading.g(GCode::FixedSpeed))])
}

pub(super) fn surface_for_fixed(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    // What a spindle turns a minute is more than any surface runs.
    let fast = |line: &Line| line.word('S').is_some_and(|word| word.value >= 700.0);
    let lines = reading.find(|line| line.g(GCode::FixedSpeed).is_some() && fast(line));
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let word = line.g(GCode::FixedSpeed)?;
    let feet = if line.after.units == model::Units::Inch { 0.3048 } else { 1.0 };
    (line.after.speed? * feet > tool_speed(reading, line)? * 5.0).then_some(())?;
    planted(reading, chosen, &[line.edit(word.span, &reading.g(GCode::SurfaceSpeed))])
}
