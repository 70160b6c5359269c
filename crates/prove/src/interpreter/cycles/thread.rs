//! The threading cycle of many passes, each taking the same area of chip.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use crate::event::{Point, Spot};
use model::Length;

/// What the first block of the cycle says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Thread {
    finishing: u32,
    angle: u32,
    least: Length,
    allowance: Length,
}

impl Interpreter<'_> {
    /// Runs the passes; the first of its two blocks only leaves its data.
    pub(super) fn multipass(&mut self, words: &Words, spot: Spot, reading: &mut Reading) {
        if !words.has_axis() {
            self.modal.depths.thread = self.thread_data(words);
            return;
        }
        let data = self.modal.depths.thread;
        let start = self.modal.position;
        let root = self.target(words);
        let taper = self.said_length(words, b'R').unwrap_or_default();
        let height = self.said_increments(words, b'P').unwrap_or_default();
        let first = self.said_increments(words, b'Q').unwrap_or_default();
        let inward = if root.r < start.r { -1 } else { 1 };
        let along = if root.z < start.z { -1.0 } else { 1.0 };
        let side = libm::tan(f64::from(data.angle).to_radians() / 2.0);
        for depth in depths(height, first, &data) {
            // From the crest inward by the depth of this pass.
            let r = root.r - (height - depth) * inward;
            let shift = Length::nearest_mm(depth.mm() * side * along);
            self.rapid_to(Point { r: start.r, z: start.z + shift }, spot, reading);
            self.rapid_to(Point { r: r + taper, z: start.z + shift }, spot, reading);
            self.line_to(Point { r, z: root.z }, spot, reading);
            self.rapid_to(Point { r: start.r, z: root.z }, spot, reading);
            self.rapid_to(start, spot, reading);
        }
    }

    /// `P` holds finishing passes, pull-out and angle in two digits each.
    fn thread_data(&self, words: &Words) -> Thread {
        let p = words.get(b'P').and_then(super::super::words::Said::whole).unwrap_or(10_000);
        Thread {
            finishing: (p / 10_000 % 100).max(1),
            angle: p % 100,
            least: self.said_increments(words, b'Q').unwrap_or_default(),
            allowance: self.said_length(words, b'R').unwrap_or_default(),
        }
    }
}

/// The depths of all passes: the first one times √n, no step below the least, up to the allowance;
/// then the finishing passes at full height.
fn depths(height: Length, first: Length, data: &Thread) -> Vec<Length> {
    /// More passes than any thread has.
    const MOST: usize = 1000;
    let rough_end = height - data.allowance;
    let mut depths = Vec::new();
    let mut depth = Length::ZERO;
    while first.is_positive() && depth < rough_end && depths.len() < MOST {
        let next = Length::nearest_mm(first.mm() * libm::sqrt(depths.len() as f64 + 1.0));
        let next = next.max(depth + data.least);
        if next <= depth {
            break;
        }
        depth = next.min(rough_end);
        depths.push(depth);
    }
    depths.extend(std::iter::repeat_n(height, data.finishing as usize));
    depths
}
