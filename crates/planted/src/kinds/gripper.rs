//! The gripper's way onto the stub and off it.

use super::chuck::advance;
use super::{Planted, planted};
use crate::edit::Edit;
use crate::reading::{Advance, Reading};
use crate::seed::Seed;
use model::files::gripper::Style;
use model::files::tools::ToolKind;
use model::{Length, Span};
use nc::codes::GCode;

fn style(reading: &Reading<'_>) -> Option<Style> {
    Some(reading.good.setup.gripper.as_ref()?.style)
}

/// The jaw face, where Z counts from the finished face as in all programs here.
fn jaw(reading: &Reading<'_>) -> Option<Length> {
    reading.good.setup.jaw_face()
}

/// The gripper's place along Z changed by so much, wherever a line of its approach names it.
fn moved(reading: &Reading<'_>, advance: &Advance, by: Length) -> Option<Planted> {
    let at = reading.lines[advance.on].after.z?;
    let mut edits: Vec<Edit> = Vec::new();
    for index in &advance.approach {
        let line = &reading.lines[*index];
        let Some(word) = line.word('Z').filter(|word| word.term.is_none()) else { continue };
        if line.after.z == Some(at) && !line.after.incremental {
            edits.push(line.edit(word.span, &reading.length_word(line, 'Z', at + by)));
        }
    }
    (edits.len() == 1).then_some(())?;
    planted(reading, advance.on, &edits)
}

pub(super) fn too_near_jaws(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let advance = advance(reading, seed)?;
    let at = reading.lines[advance.on].after.z?;
    let gap = reading.good.setup.gripper.as_ref()?.jaw_gap;
    let by = jaw(reading)? - at + gap.half().half();
    by.is_negative().then_some(())?;
    moved(reading, &advance, by)
}

pub(super) fn engaged_too_little(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let advance = advance(reading, seed)?;
    let setup = &reading.good.setup;
    let at = reading.lines[advance.on].after.z?;
    let front = jaw(reading)? + setup.part.as_ref()?.jaw_clearance;
    let little = setup.gripper.as_ref()?.least_engagement.half();
    moved(reading, &advance, front - little - at)
}

pub(super) fn goes_on_at_rapid(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { on, approach, .. } = advance(reading, seed)?;
    let line = &reading.lines[on];
    // Where the last move is a second one on the stub, the first decides.
    let feeds = approach.iter().filter(|index| reading.lines[**index].feeds()).count();
    let word = line.g(GCode::Line).filter(|_| feeds == 1)?;
    planted(reading, on, &[line.edit(word.span, "G0")])
}

/// The gripper is taken to the turret's place without leaving the stub first.
pub(super) fn leaves_not(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { leave, close, .. } = advance(reading, seed)?;
    // Where the way home follows, it takes the gripper off.
    let behind = reading.lines[close..].iter().take_while(|line| line.with(ToolKind::Gripper));
    behind.take(12).all(|line| !line.moves_otherwise()).then_some(())?;
    let edits: Vec<Edit> = leave.iter().flat_map(|line| reading.emptied(*line)).collect();
    planted(reading, *leave.first()?, &edits)
}

/// A gripper that goes across leaves along the bar instead, or the other way round.
pub(super) fn leaves_wrong_way(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { leave, .. } = advance(reading, seed)?;
    let first = *leave.first()?;
    let safe_z = reading.good.setup.lathe.as_ref()?.turret.index_z;
    let line = &reading.lines[first];
    let text = match style(reading)? {
        Style::Radial => reading.length_word(line, 'Z', safe_z),
        Style::Axial => {
            let side = reading.good.setup.gripper.as_ref()?.clear_x;
            reading.length_word(line, 'X', side)
        }
    };
    let way =
        reading.inserted_before(first, &format!("{} {text}", rapid(line.before.incremental)?))?;
    planted(reading, first, &[way])
}

fn rapid(incremental: bool) -> Option<&'static str> {
    (!incremental).then_some("G0")
}

/// The gripper comes to the stub at the wrong end of the way: Z is typed without its sign.
pub(super) fn misses_the_stub(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let advance = advance(reading, seed)?;
    let at = reading.lines[advance.on].after.z?;
    at.is_negative().then_some(())?;
    moved(reading, &advance, -at * 2)
}

/// The words of the move onto the stub left out: the chuck opens with the gripper beside the bar.
pub(super) fn goes_on_not(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let Advance { on, approach, .. } = advance(reading, seed)?;
    let feeds = approach.iter().filter(|index| reading.lines[**index].feeds()).count();
    (feeds == 1 && reading.lines[on].feeds()).then_some(())?;
    let line = &reading.lines[on];
    let axes: Vec<Span> =
        line.words.iter().filter(|word| word.is_axis()).map(|word| word.span).collect();
    let edits: Vec<Edit> = axes.into_iter().map(|span| line.edit(span, "")).collect();
    planted(reading, on, &edits)
}
