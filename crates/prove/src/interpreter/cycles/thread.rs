//! Threads: one pass with its pull-out, and the cycle of many passes.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use crate::action::{Feed, Path};
use crate::event::{CycleTrouble, Point, Spot};
use model::Length;

/// What the first block of the cycle says.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Thread {
    finishing: u32,
    /// Length of the pull-out in tenths of the lead.
    pull_out: u32,
    angle: u32,
    least: Length,
    allowance: Length,
}

/// One pass of a thread.
#[derive(Clone, Copy)]
pub(super) struct Pass {
    pub(super) from: Point,
    pub(super) to: Point,
    /// The radius to which the tool goes out behind it.
    pub(super) out: Length,
    /// Length of the slanting stretch at the end.
    pub(super) pull_out: Length,
}

/// How the passes of the cycle go in.
#[derive(Clone, Copy)]
struct Infeed {
    height: Length,
    first: Length,
    angle: f64,
    /// Whether the flanks take turns; otherwise one of them cuts.
    zigzag: bool,
    /// Whether every pass has the same depth; otherwise the same area.
    same_depth: bool,
}

impl Interpreter<'_> {
    /// So many tenths of the lead in force.
    pub(super) fn pull_out(&self, tenths: u32) -> Length {
        let lead = self.modal.feed.unwrap_or_default();
        Length::nearest_mm(lead * f64::from(tenths) / 10.0)
    }

    /// To the start of a pass, along it at its lead, and out at its end.
    pub(super) fn thread_pass(&mut self, pass: Pass, spot: Spot, reading: &mut Reading) {
        let feed = match self.modal.feed {
            Some(lead) => Feed::Lead { lead, change: 0.0 },
            None => Feed::None,
        };
        let Pass { from, to, out, .. } = pass;
        self.rapid_to(from, spot, reading);
        let way = (to.z - from.z).abs();
        let slant = pass.pull_out.min((out - to.r).abs()).min(way);
        if slant.is_positive() && way.is_positive() {
            let back = if to.z < from.z { slant } else { -slant };
            let share = slant.mm() / way.mm();
            let r = to.r + Length::nearest_mm((from.r - to.r).mm() * share);
            let outward = if out < to.r { -slant } else { slant };
            self.go(Point { r, z: to.z + back }, Path::Line, feed, spot, reading);
            self.go(Point { r: r + outward, z: to.z }, Path::Line, feed, spot, reading);
        } else {
            self.go(to, Path::Line, feed, spot, reading);
        }
        self.rapid_to(Point { r: out, z: to.z }, spot, reading);
    }

    /// Runs the passes; the first of its two blocks only leaves its data.
    pub(super) fn multipass(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        if !words.has_axis() {
            self.modal.depths.thread = self.thread_data(words);
            return;
        }
        let data = self.modal.depths.thread;
        let one_block = words.get(b'K').is_some();
        let taper = self.said_length(words, if one_block { b'I' } else { b'R' });
        let infeed = self.infeed(words, one_block);
        if !infeed.height.is_positive() {
            return Self::lacks(spot, CycleTrouble::NoHeight, reading);
        }
        if !infeed.first.is_positive() {
            return Self::lacks(spot, CycleTrouble::NoDepth, reading);
        }
        let start = self.modal.position;
        let root = self.target(words);
        let inward = if root.r < start.r { -1 } else { 1 };
        let along = if root.z < start.z { -1.0 } else { 1.0 };
        let side = libm::tan(infeed.angle.to_radians() / 2.0);
        for (index, depth) in Depths::new(infeed, &data).enumerate() {
            // From the crest inward by the depth of this pass.
            let r = root.r - (infeed.height - depth) * inward;
            let flank = if infeed.zigzag && index % 2 == 1 { -along } else { along };
            let z = start.z + Length::nearest_mm(depth.mm() * side * flank);
            self.rapid_to(Point { r: start.r, z }, spot, reading);
            let from = Point { r: r + taper.unwrap_or_default(), z };
            let to = Point { r, z: root.z };
            let pull_out = self.pull_out(data.pull_out);
            self.thread_pass(Pass { from, to, out: start.r, pull_out }, spot, reading);
            self.rapid_to(start, spot, reading);
        }
    }

    fn infeed(&self, words: Words<'_>, one_block: bool) -> Infeed {
        let said = |letter| self.said_increments(words, letter).unwrap_or_default();
        if !one_block {
            let angle = f64::from(self.modal.depths.thread.angle);
            let (height, first) = (said(b'P'), said(b'Q'));
            return Infeed { height, first, angle, zigzag: false, same_depth: false };
        }
        let angle = words.get(b'A').map_or(0.0, |said| said.value);
        let kind = words.whole(b'P').unwrap_or(1);
        Infeed {
            height: self.said_length(words, b'K').unwrap_or_default(),
            first: said(b'D'),
            angle,
            zigzag: matches!(kind, 2 | 4),
            same_depth: matches!(kind, 3 | 4),
        }
    }

    /// `P` holds finishing passes, pull-out and angle in two digits each.
    fn thread_data(&self, words: Words<'_>) -> Thread {
        let p = words.whole(b'P').unwrap_or(10_000);
        Thread {
            finishing: (p / 10_000 % 100).max(1),
            pull_out: p / 100 % 100,
            angle: p % 100,
            least: self.said_increments(words, b'Q').unwrap_or_default(),
            allowance: self.said_length(words, b'R').unwrap_or_default(),
        }
    }
}

/// The depths of all passes: the first one times √n, or times n, no step below the least, up to
/// the allowance; then the finishing passes at full height.
struct Depths {
    infeed: Infeed,
    least: Length,
    rough_end: Length,
    finishing_left: u32,
    passes: u32,
    depth: Length,
}

impl Depths {
    fn new(infeed: Infeed, data: &Thread) -> Depths {
        Depths {
            infeed,
            least: data.least,
            rough_end: infeed.height - data.allowance,
            finishing_left: data.finishing.max(1),
            passes: 0,
            depth: Length::ZERO,
        }
    }
}

impl Iterator for Depths {
    type Item = Length;

    fn next(&mut self) -> Option<Length> {
        /// More passes than any thread has.
        const MOST: u32 = 1000;
        if self.depth < self.rough_end && self.passes < MOST {
            self.passes += 1;
            let n = f64::from(self.passes);
            let factor = if self.infeed.same_depth { n } else { libm::sqrt(n) };
            let next = Length::nearest_mm(self.infeed.first.mm() * factor);
            self.depth = next.max(self.depth + self.least).min(self.rough_end);
            return Some(self.depth);
        }
        self.finishing_left = self.finishing_left.checked_sub(1)?;
        Some(self.infeed.height)
    }
}
