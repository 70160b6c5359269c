//! The T words.

use super::{Planted, planted};
use crate::reading::{Line, Reading};
use crate::seed::Seed;
use model::files::tools::{Station, ToolKind};
use nc::blocks::Said;

fn calls(reading: &Reading<'_>, kind: Option<ToolKind>) -> Vec<usize> {
    reading.find(|line| {
        let written = line.word('T').is_some_and(|word| word.term.is_none());
        written && line.after.kind.is_some() && kind.is_none_or(|kind| line.with(kind))
    })
}

/// A T word of this form.
fn tool_word(reading: &Reading<'_>, station: u32, offset: u32) -> String {
    let control = &reading.good.setup.control;
    let digits = control.numbers.tool_offset_digits as usize;
    if digits == 0 { format!("T{station}") } else { format!("T{station:02}{offset:0digits$}") }
}

fn called(reading: &Reading<'_>, index: usize, station: u32, offset: u32) -> Option<Planted> {
    let line = &reading.lines[index];
    let word: &Said = line.word('T')?;
    planted(reading, index, &[line.edit(word.span, &tool_word(reading, station, offset))])
}

/// Every call of a kind of tool names another station instead.
fn all_called(reading: &Reading<'_>, kind: ToolKind, other: &Station) -> Option<Planted> {
    let calls = calls(reading, Some(kind));
    let text = tool_word(reading, other.number, other.offset);
    let edits: Vec<_> = calls
        .iter()
        .filter_map(|index| {
            let line: &Line = &reading.lines[*index];
            Some(line.edit(line.word('T')?.span, &text))
        })
        .collect();
    planted(reading, *calls.first()?, &edits)
}

pub(super) fn blade_is_another_tool(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    (!reading.advances().is_empty()).then_some(())?;
    all_called(reading, ToolKind::Parting, reading.station(ToolKind::Turning)?)
}

pub(super) fn gripper_is_another_tool(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    (!reading.advances().is_empty()).then_some(())?;
    all_called(reading, ToolKind::Gripper, reading.station(ToolKind::Turning)?)
}

pub(super) fn turning_tool_is_the_gripper(
    reading: &Reading<'_>,
    _seed: &mut Seed,
) -> Option<Planted> {
    all_called(reading, ToolKind::Turning, reading.station(ToolKind::Gripper)?)
}

/// A station that the tools file says nothing of.
pub(super) fn empty_station(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let setup = &reading.good.setup;
    let tools = setup.tools.as_ref()?;
    let stations = setup.lathe.as_ref()?.turret.stations;
    let empty = (1..=stations).find(|number| tools.station(*number).is_none())?;
    let chosen = seed.one(&calls(reading, Some(ToolKind::Turning)))?;
    called(reading, chosen, empty, empty)
}

pub(super) fn offset_of_another(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let control = &reading.good.setup.control;
    let chosen = seed.one(&calls(reading, None))?;
    let station = reading.lines[chosen].after.station?;
    let tools = reading.good.setup.tools.as_ref()?;
    let other = tools.stations.iter().find(|other| other.number != station)?;
    let own = tools.station(station)?.offset;
    (other.offset != own && control.numbers.tool_offset_digits > 0).then_some(())?;
    called(reading, chosen, station, other.offset)
}

pub(super) fn offset_zero(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    (reading.good.setup.control.numbers.tool_offset_digits > 0).then_some(())?;
    let chosen = seed.one(&calls(reading, None))?;
    // An offset that is called later, before the tool works, would mend it.
    let line = &reading.lines[chosen];
    (line.after.offset > 0).then_some(())?;
    called(reading, chosen, line.after.station?, 0)
}
