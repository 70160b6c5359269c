//! The chuck's words and the waits for it.

use super::{Planted, planted};
use crate::reading::{Advance, Reading};
use crate::seed::Seed;
use model::files::control::Does;
use nc::blocks::Said;

/// One of the advances.
pub(super) fn advance(reading: &Reading<'_>, seed: &mut Seed) -> Option<Advance> {
    let advances = reading.advances();
    let index = seed.between(0, advances.len() as i64 - 1);
    advances.into_iter().nth(index.max(0) as usize)
}

fn opening(reading: &Reading<'_>) -> Option<f64> {
    Some(reading.good.setup.lathe.as_ref()?.chuck.open.s())
}

fn closing(reading: &Reading<'_>) -> Option<f64> {
    Some(reading.good.setup.lathe.as_ref()?.chuck.close.s())
}

/// The wait between the opening and the pull, where the control needs it and nothing else passes
/// the time.
fn open_wait(reading: &Reading<'_>, seed: &mut Seed) -> Option<usize> {
    let advance = advance(reading, seed)?;
    let needed = !reading.confirmed(Does::ChuckOpen) && opening(reading)? > 0.0;
    reading.only_dwell(advance.open, *advance.pulls.first()?).filter(|_| needed)
}

fn close_wait(reading: &Reading<'_>, seed: &mut Seed) -> Option<usize> {
    let advance = advance(reading, seed)?;
    let needed = !reading.confirmed(Does::ChuckClose) && closing(reading)? > 0.0;
    reading.only_dwell(advance.close, *advance.leave.first()?).filter(|_| needed)
}

fn dropped(reading: &Reading<'_>, line: usize) -> Option<Planted> {
    planted(reading, line, &reading.emptied(line))
}

/// A quarter of what it takes, as seconds behind the letter that stands there.
fn shortened(reading: &Reading<'_>, line: usize, seconds: f64) -> Option<Planted> {
    let short = seconds / 4.0;
    let word = time_of(reading, line)?;
    let figure = if word.letter == b'P' {
        format!("P{}", (short * 1000.0).floor())
    } else {
        format!("{}{short:.3}", char::from(word.letter))
    };
    planted(reading, line, &[reading.lines[line].edit(word.span, &figure)])
}

fn time_of<'r>(reading: &'r Reading<'_>, line: usize) -> Option<&'r Said> {
    let line = reading.lines.get(line)?;
    ['X', 'U', 'P'].into_iter().find_map(|letter| line.word(letter))
}

pub(super) fn dwell_after_open_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    dropped(reading, open_wait(reading, seed)?)
}

pub(super) fn dwell_after_open_too_short(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    shortened(reading, open_wait(reading, seed)?, opening(reading)?)
}

pub(super) fn dwell_after_open_in_thousandths(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    let line = open_wait(reading, seed)?;
    let word = time_of(reading, line).filter(|word| word.letter != b'P')?;
    let whole = reading.lines[line].dwell()?.ceil();
    planted(reading, line, &[reading.lines[line].edit(word.span, &format!("P{whole}"))])
}

pub(super) fn dwell_after_close_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    dropped(reading, close_wait(reading, seed)?)
}

pub(super) fn dwell_after_close_too_short(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    shortened(reading, close_wait(reading, seed)?, closing(reading)?)
}

pub(super) fn open_and_close_swapped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { open, close, .. } = advance(reading, seed)?;
    let edits = [swap(reading, open, close)?, swap(reading, close, open)?];
    planted(reading, open, &edits)
}

/// A line's only word replaced by that of another line.
fn swap(reading: &Reading<'_>, line: usize, by: usize) -> Option<crate::edit::Edit> {
    let word = reading.lines[line].words.first()?;
    Some(reading.lines[line].edit(word.span, &reading.code(by)))
}

pub(super) fn never_opened(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    dropped(reading, advance(reading, seed)?.open)
}

pub(super) fn never_closed(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    dropped(reading, advance(reading, seed)?.close)
}

pub(super) fn opened_before_gripper_is_on(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    let Advance { open, on, .. } = advance(reading, seed)?;
    let mut edits = reading.emptied(open);
    edits.push(reading.inserted_before(on, &reading.code(open))?);
    planted(reading, open, &edits)
}

pub(super) fn gripper_leaves_before_close(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    let Advance { close, leave, .. } = advance(reading, seed)?;
    let mut edits = reading.emptied(close);
    edits.push(reading.inserted_behind(*leave.first()?, &reading.code(close))?);
    planted(reading, close, &edits)
}

pub(super) fn pull_before_open(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { open, pulls, .. } = advance(reading, seed)?;
    let mut edits = reading.emptied(open);
    edits.push(reading.inserted_behind(*pulls.last()?, &reading.code(open))?);
    planted(reading, open, &edits)
}
