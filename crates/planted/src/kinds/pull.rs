//! The drawing of the bar.

use super::chuck::advance;
use super::{Planted, planted};
use crate::edit::Edit;
use crate::reading::{Line, Reading};
use crate::seed::Seed;
use model::Length;
use model::files::control::WithoutPoint;
use nc::blocks::Said;
use nc::codes::GCode;

/// The only pull of an advance: its line, its word along Z and how far it goes.
struct Pull {
    line: usize,
    word: Said,
    by: Length,
}

fn pull(reading: &Reading<'_>, seed: &mut Seed) -> Option<Pull> {
    let advance = advance(reading, seed)?;
    let [line] = advance.pulls.as_slice() else { return None };
    let of = &reading.lines[*line];
    let word = *of.word('Z').or(of.word('W')).filter(|word| word.term.is_none())?;
    let by = of.after.z? - of.before.z?;
    by.is_positive().then_some(Pull { line: *line, word, by })
}

/// The pull goes so far instead.
fn drawn(reading: &Reading<'_>, pull: &Pull, by: Length) -> Option<Planted> {
    let line = &reading.lines[pull.line];
    let absolute = pull.word.letter == b'Z' && !line.after.incremental;
    let figure = if absolute { line.before.z? + by } else { by };
    let text = reading.length_word(line, char::from(pull.word.letter), figure);
    planted(reading, pull.line, &[line.edit(pull.word.span, &text)])
}

pub(super) fn pull_sign_wrong(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    drawn(reading, &pull, -pull.by)
}

pub(super) fn pull_at_rapid(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    let setup = &reading.good.setup;
    let rapid = setup.lathe.as_ref()?.rapid.z.mm_per_min();
    (rapid > setup.gripper.as_ref()?.pull_speed.mm_per_min()).then_some(())?;
    let line = &reading.lines[pull.line];
    match line.g(GCode::Line) {
        Some(word) => planted(reading, pull.line, &[line.edit(word.span, "G0")]),
        None => {
            let place = model::Span { start: pull.word.span.start, end: pull.word.span.start };
            planted(reading, pull.line, &[line.edit(place, "G0 ")])
        }
    }
}

fn feed_word(line: &Line) -> Option<&Said> {
    line.word('F').filter(|word| word.term.is_none())
}

pub(super) fn pull_feed_tenfold(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    let line = &reading.lines[pull.line];
    let word = feed_word(line)?;
    let unit = line.after.units.nanometers() as f64 / 1e6;
    let fastest = reading.good.setup.gripper.as_ref()?.pull_speed.mm_per_min();
    (word.value * 10.0 * unit > fastest * 1.01 && line.after.per_minute == Some(true))
        .then_some(())?;
    let text = format!("F{}.", (word.value * 10.0).round());
    planted(reading, pull.line, &[line.edit(word.span, &text)])
}

pub(super) fn pull_short_by_face_stock(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    let face = reading.good.setup.part.as_ref()?.face_stock;
    face.is_positive().then_some(())?;
    drawn(reading, &pull, pull.by - face)
}

pub(super) fn pull_short_by_blade(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    let part = reading.good.setup.part.as_ref()?;
    (part.part_off > part.face_stock).then_some(())?;
    drawn(reading, &pull, pull.by - part.part_off)
}

pub(super) fn pull_tenfold(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    drawn(reading, &pull, pull.by * 10)
}

pub(super) fn pull_point_missing(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    counts_increments(reading)?;
    point_dropped(reading, pull.line, &pull.word)
}

/// The control takes figures without a point for whole units: the pull goes much too far.
pub(super) fn pull_point_missing_in_whole_units(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    counts_increments(reading).is_none().then_some(())?;
    point_dropped(reading, pull.line, &pull.word)
}

/// Whether the control takes figures without a point for least increments.
pub(super) fn counts_increments(reading: &Reading<'_>) -> Option<()> {
    let numbers = &reading.good.setup.control.numbers;
    (numbers.without_point == WithoutPoint::LeastIncrement).then_some(())
}

/// A word without its point, where the control takes it for another length.
pub(super) fn point_dropped(reading: &Reading<'_>, line: usize, word: &Said) -> Option<Planted> {
    let line_of = &reading.lines[line];
    let text = reading.text(line_of, word.span);
    let number = word.written().filter(|number| number.point)?;
    let whole = Said::length(word, line_of.after.units)?;
    let without = text.replace('.', "");
    let digits: f64 = without.trim_start_matches(|c: char| c.is_ascii_alphabetic()).parse().ok()?;
    let control = &reading.good.setup.control;
    let unit = match control.numbers.without_point {
        WithoutPoint::LeastIncrement => control.increment(line_of.after.units).nm(),
        WithoutPoint::WholeUnits => line_of.after.units.nanometers(),
    };
    let read = Length::from_nm((digits * unit as f64).round() as i64);
    (read != whole && number.digits != 0).then_some(())?;
    planted(reading, line, &[line_of.edit(word.span, &without)])
}

pub(super) fn pull_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    (reading.advances().len() == 1).then_some(())?;
    planted(reading, pull.line, &reading.emptied(pull.line))
}

pub(super) fn pull_twice(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let pull = pull(reading, seed)?;
    let line = &reading.lines[pull.line];
    let distance = pull.word.letter == b'W' || line.after.incremental;
    let again =
        reading.inserted_behind(pull.line, &reading.code(pull.line)).filter(|_| distance)?;
    planted(reading, pull.line, &[again])
}

/// The word for feed per minute left out: the feed counts turns of a spindle that stands.
pub(super) fn per_minute_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let advance = advance(reading, seed)?;
    let program = reading.lines[advance.call].program;
    let lines: Vec<usize> = reading.find(|line| {
        line.g(GCode::FeedPerMinute).is_some() && line.before.per_minute == Some(false)
    });
    let all = reading.find(|line| line.g(GCode::FeedPerMinute).is_some());
    let chosen = *lines.iter().find(|line| {
        all.len() == 1
            && reading.lines[**line].program == program
            && **line >= advance.call
            && **line < advance.open
    })?;
    let line = &reading.lines[chosen];
    planted(reading, chosen, &[line.edit(line.g(GCode::FeedPerMinute)?.span, "")])
}

/// The word for feed per revolution left out behind an advance: a cut takes its feed per minute.
pub(super) fn per_revolution_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| line.g(GCode::FeedPerRevolution).is_some());
    let edits: Vec<Edit> = lines
        .iter()
        .filter_map(|index| {
            let line = &reading.lines[*index];
            Some(line.edit(line.g(GCode::FeedPerRevolution)?.span, ""))
        })
        .collect();
    advance(reading, seed)?;
    reading.lines.iter().any(|line| line.g(GCode::FeedPerMinute).is_some()).then_some(())?;
    planted(reading, *lines.first()?, &edits)
}
