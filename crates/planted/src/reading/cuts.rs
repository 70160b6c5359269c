//! The cuts of a text.

use super::{Line, Reading};
use model::Length;
use model::files::tools::ToolKind;

/// A blade this near to the axis, as X counts, or beyond it has parted the bar.
const CENTER: Length = Length::from_um(1500);

impl Line {
    /// Whether the blade goes through to the axis here, from a known place.
    pub fn parts_off(&self) -> bool {
        let (Some(from), Some(to)) = (self.before.x, self.after.x) else { return false };
        let beyond = from.is_negative() != to.is_negative();
        self.feeds()
            && self.with(ToolKind::Parting)
            && (to.abs() <= CENTER || beyond)
            && from.abs() > CENTER
            && self.before.z == self.after.z
    }

    /// Whether an edge cuts here.
    pub fn cuts(&self) -> bool {
        self.feeds()
            && matches!(
                self.after.kind,
                Some(ToolKind::Turning | ToolKind::Boring | ToolKind::Parting | ToolKind::Grooving)
            )
            && self.after.turning
    }
}

impl Reading<'_> {
    /// The part-offs.
    pub fn part_offs(&self) -> Vec<usize> {
        self.find(Line::parts_off)
    }

    /// The rapid move before a line with the same tool in the same program, where it is the last
    /// move before it.
    pub fn rapid_before(&self, index: usize) -> Option<usize> {
        let before = (0..index).rev().find(|other| self.lines[*other].moves())?;
        let (line, other) = (&self.lines[index], &self.lines[before]);
        let same = line.program == other.program && line.after.station == other.after.station;
        (same && other.rapid()).then_some(before)
    }

    /// The blanks's outside, as X counts: diameter, or across corners.
    pub fn outside(&self) -> Option<Length> {
        Some(self.good.setup.bar.as_ref()?.reach() * 2)
    }
}
