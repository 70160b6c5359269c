//! Threads.

use super::{Planted, planted};
use crate::reading::{Line, Reading};
use crate::seed::Seed;
use model::Length;
use nc::blocks::Said;
use nc::codes::GCode;

fn threads(line: &Line) -> bool {
    matches!(line.after.motion, Some(GCode::Thread | GCode::ThreadingCycle))
        && line.words.iter().any(Said::is_axis)
        || line.g(GCode::MultipassThread).is_some()
}

/// Lines of single passes: each further one runs again over the same thread.
fn passes(reading: &Reading<'_>) -> Vec<usize> {
    reading.find(|line| threads(line) && line.g(GCode::MultipassThread).is_none())
}

pub(super) fn lead_changed_between_passes(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    let passes = passes(reading);
    // A later pass of a run of passes with the same tool.
    let later: Vec<usize> = passes
        .iter()
        .copied()
        .filter(|pass| {
            let line = &reading.lines[*pass];
            // A stretch that goes on from another may have a lead of its own.
            let goes_on =
                line.after.motion == Some(GCode::Thread) && reading.rapid_before(*pass).is_none();
            !goes_on
                && passes.iter().any(|other| {
                    let before = &reading.lines[*other];
                    other < pass
                        && before.after.station == line.after.station
                        && before.program == line.program
                        && before.after.feed == line.after.feed
                })
        })
        .collect();
    let chosen = seed.one(&later)?;
    let line = &reading.lines[chosen];
    let lead = line.after.feed? * 1.25;
    match line.word('F') {
        Some(word) if word.term.is_none() => {
            planted(reading, chosen, &[line.edit(word.span, &format!("F{lead:.3}"))])
        }
        Some(_) => None,
        None => {
            let end = line.words.last()?.span.end;
            let place = model::Span { start: end, end };
            planted(reading, chosen, &[line.edit(place, &format!(" F{lead:.3}"))])
        }
    }
}

pub(super) fn surface_speed_in_thread(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let first = reading.find(threads).first().copied()?;
    let fixed =
        (0..first).rev().find(|index| reading.lines[*index].g(GCode::FixedSpeed).is_some())?;
    (reading.lines[fixed].program == reading.lines[first].program).then_some(())?;
    let between =
        reading.lines[fixed + 1..=first].iter().any(|line| line.g(GCode::SurfaceSpeed).is_some());
    (!between).then_some(())?;
    let line = &reading.lines[fixed];
    let _ = seed;
    planted(
        reading,
        fixed,
        &[line.edit(line.g(GCode::FixedSpeed)?.span, &reading.g(GCode::SurfaceSpeed))],
    )
}

pub(super) fn speed_changed_between_passes(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    let passes = passes(reading);
    let later: Vec<usize> = passes
        .windows(2)
        .filter(|pair| {
            let (one, other) = (&reading.lines[pair[0]], &reading.lines[pair[1]]);
            one.after.station == other.after.station
                && one.after.speed == other.after.speed
                && one.program == other.program
                && one.after.motion == other.after.motion
                && one.after.z == other.after.z
                && one.after.feed == other.after.feed
        })
        .map(|pair| pair[1])
        .collect();
    let chosen = seed.one(&later)?;
    let line = &reading.lines[chosen];
    let slower = (line.after.speed? * 0.8).round();
    (!line.after.surface).then_some(())?;
    let above =
        reading.inserted_before(chosen, &format!("{} S{slower}", reading.g(GCode::FixedSpeed)))?;
    planted(reading, chosen, &[above])
}

/// The rapid move to where the thread starts ends a hair before the face.
pub(super) fn starts_too_near(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let all = reading.find(threads);
    let chosen = seed.one(&all)?;
    let line = &reading.lines[chosen];
    let station = line.after.station;
    let lead_to = (0..chosen).rev().find(|index| {
        let other = &reading.lines[*index];
        other.rapid() && other.word('Z').is_some_and(|word| word.term.is_none())
    })?;
    let rapid = &reading.lines[lead_to];
    (rapid.after.station == station && rapid.program == line.program).then_some(())?;
    rapid.after.z.filter(|z| z.is_positive())?;
    // Each further pass starts there too.
    let all: Vec<_> = reading
        .find(|other| {
            other.rapid()
                && other.after.station == station
                && other.after.z == rapid.after.z
                && other.word('Z').is_some_and(|word| word.term.is_none())
        })
        .into_iter()
        .filter_map(|index| {
            let other = &reading.lines[index];
            let text = reading.length_word(other, 'Z', Length::from_um(100));
            Some(other.edit(other.word('Z')?.span, &text))
        })
        .collect();
    planted(reading, lead_to, &all)
}

pub(super) fn lead_too_coarse_for_axis(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let all = reading
        .find(|line| threads(line) && line.word('F').is_some_and(|word| word.term.is_none()));
    let chosen = seed.one(&all)?;
    let line = &reading.lines[chosen];
    let lathe = reading.good.setup.lathe.as_ref()?;
    let word = line.word('F')?;
    let unit = line.after.units.nanometers() as f64 / 1e6;
    let lead = word.value * 20.0;
    let turns = line.after.speed?;
    let axis = lathe.rapid.in_thread.unwrap_or(lathe.rapid.z).mm_per_min();
    (!line.after.surface && lead * unit * turns > axis * 1.01).then_some(())?;
    planted(reading, chosen, &[line.edit(word.span, &format!("F{lead:.3}"))])
}
