//! The contour that roughing and finishing cycles follow: some blocks of the same program, read
//! ahead without the lathe doing anything.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use crate::action::{Arc, Ask, Feed, Path};
use crate::event::{CycleTrouble, Point, Spot, What};
use crate::nose::Side;
use model::Length;
use nc::tree::ItemKind;

/// Most blocks that a contour may have.
const MOST_BLOCKS: u32 = 5000;
/// How far a chord may lie inside the arc it stands for, in millimeters.
const CHORD_MM: f64 = 0.0005;

/// A contour as read.
#[derive(Debug, Default)]
pub(super) struct Contour {
    /// Its moves.
    pub(super) legs: Vec<Leg>,
    /// Whether its first block names both axes: the sign that pockets are to be cut too.
    pub(super) names_both: bool,
}

/// One move of a contour.
#[derive(Debug, Clone, Copy)]
pub(super) struct Leg {
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) path: Path,
    pub(super) feed: Feed,
    pub(super) spot: Spot,
    /// The side of the contour on which the nose goes, where one is asked for.
    pub(super) side: Option<Side>,
}

impl Interpreter<'_> {
    /// The contour that `P` and `Q` name, as it would run from where the tool stands. Where it
    /// follows at once, reading goes on behind it: it runs inside cycles only.
    pub(super) fn contour(
        &mut self,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) -> Contour {
        let (Some(first), Some(last)) = (words.whole(b'P'), words.whole(b'Q')) else {
            Self::lacks(spot, CycleTrouble::NoContour, reading);
            return Contour::default();
        };
        let (program, here) = (self.at.program, self.at.block);
        let start = self.library.search(program, here, first);
        let end = start.and_then(|start| self.library.search(program, start, last));
        let (Some(start), Some(end)) = (start, end) else {
            let missing = if start.is_none() { first } else { last };
            reading.fault(spot, What::NoTarget(missing));
            return Contour::default();
        };
        if end < start {
            Self::lacks(spot, CycleTrouble::ContourBackward, reading);
            return Contour::default();
        }
        let legs = self.read_contour(start, end, spot, reading);
        if start == here {
            self.at.block = end + 1;
        }
        Contour { legs, names_both: self.names_both(start) }
    }

    fn names_both(&self, block: u32) -> bool {
        let tree = &self.library.trees()[self.library.program(self.at.program).tree];
        let Some(block) = tree.blocks.get(block as usize) else { return false };
        let names = |letters: [u8; 2]| {
            tree.items_of(block).iter().any(
                |item| matches!(item.kind, ItemKind::Word(word) if letters.contains(&word.letter)),
            )
        };
        names([b'X', b'U']) && names([b'Z', b'W'])
    }

    fn read_contour(&self, start: u32, end: u32, spot: Spot, reading: &mut Reading) -> Vec<Leg> {
        let mut reader = self.clone();
        reader.at.block = start;
        reader.reads_contour = true;
        reader.modal.nose = reader.modal.nose.side_only();
        let state =
            crate::lathe::Lathe::with_new_bar(self.setup, crate::lathe::Shown::default()).state;
        let mut one = Reading::default();
        let mut legs = Vec::new();
        let mut from = self.modal.position;
        for _ in 0..MOST_BLOCKS {
            if reader.at.program != self.at.program || !(start..=end).contains(&reader.at.block) {
                break;
            }
            let depth = reader.calls.len();
            reader.read(&state, &mut one);
            reading.notes.append(&mut one.notes);
            for action in &one.actions {
                match action.ask {
                    Ask::Move { to, path, feed } => {
                        let side = reader.modal.nose.side();
                        legs.push(Leg { from, to, path, feed, spot: action.spot, side });
                        from = to;
                    }
                    // Speeds and coolant inside a contour count in the finishing pass only.
                    Ask::Speed(_) | Ask::HoldSpeed | Ask::Function(..) => {}
                    _ => Self::lacks(action.spot, CycleTrouble::ContourBlock, reading),
                }
            }
            if reader.calls.len() != depth {
                Self::lacks(
                    one.actions.first().map_or(spot, |action| action.spot),
                    CycleTrouble::ContourBlock,
                    reading,
                );
            }
            if one.ended.is_some() || reading.ended.is_some() {
                reading.ended = reading.ended.or(one.ended);
                break;
            }
        }
        legs
    }
}

impl Leg {
    /// The same leg moved.
    pub(super) fn shifted(&self, by: Point) -> Leg {
        let moved = |at: Point| Point { r: at.r + by.r, z: at.z + by.z };
        let path = match self.path {
            Path::Arc(arc) => {
                let center = (arc.center.0 + by.r.mm(), arc.center.1 + by.z.mm());
                Path::Arc(Arc { center, ..arc })
            }
            path => path,
        };
        Leg { from: moved(self.from), to: moved(self.to), path, ..*self }
    }

    /// The corners of the leg after its start; arcs as chords.
    pub(super) fn corners(&self) -> Vec<Point> {
        let Path::Arc(arc) = self.path else { return vec![self.to] };
        if arc.radius <= 0.0 {
            return vec![self.to];
        }
        let most = 2.0 * libm::acos((1.0 - CHORD_MM / arc.radius).max(0.0));
        let count = (arc.turn.abs() / most.max(1e-3)).ceil().clamp(1.0, 2000.0) as u32;
        let start = libm::atan2(self.from.r.mm() - arc.center.0, self.from.z.mm() - arc.center.1);
        let mut corners: Vec<Point> = (1..count)
            .map(|index| {
                let angle = start + arc.turn * f64::from(index) / f64::from(count);
                Point {
                    r: Length::nearest_mm(arc.center.0 + arc.radius * libm::sin(angle)),
                    z: Length::nearest_mm(arc.center.1 + arc.radius * libm::cos(angle)),
                }
            })
            .collect();
        corners.push(self.to);
        corners
    }
}
