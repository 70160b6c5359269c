//! The advance of the bar in a text.

use super::Reading;
use model::files::control::Does;
use model::files::tools::ToolKind;

/// One drawing of the bar: every field is the index of a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advance {
    /// Where the gripper is called.
    pub call: usize,
    /// The moves from there to the stub, in order.
    pub approach: Vec<usize>,
    /// The last of them: the gripper is on behind it.
    pub on: usize,
    /// Where the chuck opens.
    pub open: usize,
    /// The moves while it is open.
    pub pulls: Vec<usize>,
    /// Where it closes.
    pub close: usize,
    /// The moves behind it with the gripper still at work.
    pub leave: Vec<usize>,
}

impl Reading<'_> {
    /// Every advance whose lines stand in one program, one behind the other, each chuck word on a
    /// line that does nothing else; none where the order needs no advance.
    pub fn advances(&self) -> Vec<Advance> {
        let part = self.good.setup.part.as_ref();
        if part.is_none_or(|part| part.quantity <= part.parts_per_advance) {
            return Vec::new();
        }
        let opens = self.find(|line| line.does(Does::ChuckOpen).is_some());
        opens.into_iter().filter_map(|open| self.advance(open)).collect()
    }

    fn advance(&self, open: usize) -> Option<Advance> {
        let program = self.lines[open].program;
        let here = |index: &usize| {
            let line = &self.lines[*index];
            line.program == program && line.with(ToolKind::Gripper)
        };
        let alone = |index: usize| self.lines[index].words.len() == 1;
        let moves = |index: &usize| self.lines[*index].moves();
        let before: Vec<usize> = (0..open).rev().take_while(here).collect();
        let call = before.iter().copied().find(|index| self.lines[*index].word('T').is_some())?;
        let approach: Vec<usize> = (call..open).filter(moves).collect();
        let behind: Vec<usize> = (open + 1..self.lines.len()).take_while(here).collect();
        let close = behind
            .iter()
            .copied()
            .find(|index| self.lines[*index].does(Does::ChuckClose).is_some())?;
        let pulls: Vec<usize> = (open + 1..close).filter(moves).collect();
        let until = behind.iter().copied().find(|index| {
            *index > close
                && (!self.lines[*index].steps.is_empty() || self.lines[*index].number.is_some())
        });
        let end = until.unwrap_or(open + 1 + behind.len());
        let leave: Vec<usize> = (close + 1..end).filter(moves).collect();
        let plain = alone(open) && alone(close) && !pulls.is_empty() && !leave.is_empty();
        let on = *approach.last()?;
        plain.then_some(Advance { call, approach, on, open, pulls, close, leave })
    }

    /// The only dwell between two lines, where nothing else stands between them.
    pub fn only_dwell(&self, from: usize, to: usize) -> Option<usize> {
        let between: Vec<usize> = (from + 1..to).collect();
        match between.as_slice() {
            [one] if self.lines[*one].dwell().is_some() => Some(*one),
            _ => None,
        }
    }
}
