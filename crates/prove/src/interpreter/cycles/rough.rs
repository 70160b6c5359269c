//! Roughing and finishing along a contour: layers along Z or X, a pattern of moved contours, and
//! the finishing pass.

use super::super::words::Words;
use super::super::{Interpreter, Reading};
use super::contour::{Contour, Leg};
use super::steps;
use crate::action::Path;
use crate::event::{CycleTrouble, Point, Spot};
use crate::nose::Side;
use model::Length;
use model::files::control::LevelsFrom;
use nc::codes::GCode;

/// Layers of a roughing cycle. In turning, `a` is the radius (layers) and `b` the way along Z
/// (cuts); in facing the two are exchanged.
struct Layers {
    /// Whether layers lie along Z: facing.
    facing: bool,
    /// Corners of the contour with its allowances, as `(a, b)`.
    corners: Vec<(Length, Length)>,
    /// Where layers begin.
    clear: (Length, Length),
    /// Whether pockets are cut too.
    pockets: bool,
    /// How the tool goes in to a layer from outside: as the contour's first block says.
    into: Path,
}

impl Interpreter<'_> {
    /// Roughing in layers. The first of its two blocks leaves depth and lift.
    pub(super) fn rough(
        &mut self,
        cycle: GCode,
        words: Words<'_>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let facing = cycle == GCode::RoughFacing;
        let depth_word = if facing { b'W' } else { b'U' };
        if words.get(b'P').is_none() {
            self.modal.depths.layer = self.said_length(words, depth_word).unwrap_or_default();
            self.modal.depths.lift = self.said_length(words, b'R').unwrap_or_default();
            return;
        }
        if let Some(depth) = self.said_increments(words, b'D') {
            self.modal.depths.layer = depth;
        }
        if !self.modal.depths.layer.is_positive() {
            return Self::lacks(spot, CycleTrouble::NoDepth, reading);
        }
        let start = self.modal.position;
        let allowance = self.allowance(words);
        let Contour { legs, names_both: pockets } = self.contour(words, spot, reading);
        if legs.is_empty() {
            return;
        }
        let moved: Vec<Leg> = legs.iter().map(|leg| leg.shifted(allowance)).collect();
        let clear = Point { r: start.r + allowance.r, z: start.z + allowance.z };
        let from = match self.setup.control.cycles.levels_from {
            LevelsFrom::Allowance => clear,
            LevelsFrom::Start => start,
        };
        let layers = Layers::new(facing, &moved, from, pockets);
        self.cut_layers(&layers, spot, reading);
        // The last pass goes along the whole contour with its allowances.
        self.rapid_to(clear, spot, reading);
        for leg in &moved {
            self.go(leg.to, leg.path, self.modal.feed(), spot, reading);
        }
        self.rapid_to(start, spot, reading);
    }

    /// What the contour is moved by: U on the diameter, W along Z.
    fn allowance(&self, words: Words<'_>) -> Point {
        Point {
            r: self.said_length(words, b'U').unwrap_or_default().half(),
            z: self.said_length(words, b'W').unwrap_or_default(),
        }
    }

    fn cut_layers(&mut self, layers: &Layers, spot: Spot, reading: &mut Reading) {
        let depth = self.modal.depths.layer;
        let lift = self.modal.depths.lift;
        if layers.is_endless(depth) {
            return Self::lacks(spot, CycleTrouble::TooManyMoves, reading);
        }
        let mut before = layers.clear.0;
        for level in steps(layers.clear.0, layers.lowest(), depth) {
            for (begin, end) in layers.cuts_at(level) {
                if reading.is_over(spot) {
                    return;
                }
                let out = if level < layers.clear.0 { lift } else { -lift };
                let back = if end < begin { lift } else { -lift };
                let pocket = begin != layers.clear.1;
                if pocket {
                    self.over(layers, begin, spot, reading);
                }
                let into = if pocket { Path::Line } else { layers.into };
                self.rapid_to(layers.point(before, begin), spot, reading);
                self.go(layers.point(level, begin), into, self.modal.feed(), spot, reading);
                self.line_to(layers.point(level, end), spot, reading);
                self.line_to(layers.point(level + out, end + back), spot, reading);
                if pocket {
                    self.over(layers, layers.clear.1, spot, reading);
                } else {
                    self.rapid_to(layers.point(level + out, layers.clear.1), spot, reading);
                }
            }
            before = level;
        }
    }

    /// Over whatever stands between two places: out to where layers begin, then along.
    fn over(&mut self, layers: &Layers, to: Length, spot: Spot, reading: &mut Reading) {
        let here = self.modal.position;
        let along = if layers.facing { here.r } else { here.z };
        self.rapid_to(layers.point(layers.clear.0, along), spot, reading);
        self.rapid_to(layers.point(layers.clear.0, to), spot, reading);
    }

    /// The contour again and again, moved nearer each time.
    pub(super) fn pattern(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        if words.get(b'P').is_none() {
            let passes = words.get(b'R').and_then(nc::blocks::Said::whole).unwrap_or(1);
            self.modal.depths.pattern = (
                self.said_length(words, b'U').unwrap_or_default(),
                self.said_length(words, b'W').unwrap_or_default(),
                passes.min(1000),
            );
            return;
        }
        let start = self.modal.position;
        let allowance = self.allowance(words);
        // In one block, the reliefs stand there as I and K and the passes as D.
        if let Some(passes) = words.whole(b'D') {
            let relief = |letter| self.said_length(words, letter).unwrap_or_default();
            self.modal.depths.pattern = (relief(b'I'), relief(b'K'), passes.min(1000));
        }
        if self.modal.depths.pattern.2 == 0 {
            return Self::lacks(spot, CycleTrouble::NoPasses, reading);
        }
        let legs = self.contour(words, spot, reading).legs;
        let (relief_r, relief_z, passes) = self.modal.depths.pattern;
        for pass in 1..=passes.max(1) {
            if reading.is_over(spot) {
                return;
            }
            let left = i64::from(passes.saturating_sub(pass));
            let of = i64::from(passes.saturating_sub(1).max(1));
            let part = |relief: Length| Length::from_nm(relief.nm().saturating_mul(left) / of);
            let by = Point { r: allowance.r + part(relief_r), z: allowance.z + part(relief_z) };
            self.rapid_to(Point { r: start.r + by.r, z: start.z + by.z }, spot, reading);
            for (index, leg) in legs.iter().map(|leg| leg.shifted(by)).enumerate() {
                let path = if index == 0 { Path::Rapid } else { leg.path };
                self.go(leg.to, path, self.modal.feed(), spot, reading);
            }
            self.rapid_to(start, spot, reading);
        }
    }

    /// The contour once, with its own feeds, and back to the start.
    pub(super) fn finish(&mut self, words: Words<'_>, spot: Spot, reading: &mut Reading) {
        let start = self.modal.position;
        let legs = self.contour(words, spot, reading).legs;
        for leg in &legs {
            if leg.side != self.modal.nose.side() {
                let word = match leg.side {
                    None => GCode::NoseOff,
                    Some(Side::Left) => GCode::NoseLeft,
                    Some(Side::Right) => GCode::NoseRight,
                };
                self.nose_word(word, leg.spot, reading);
            }
            self.go(leg.to, leg.path, leg.feed, leg.spot, reading);
        }
        self.make_off(start, spot, reading);
    }
}

impl Layers {
    fn new(facing: bool, legs: &[Leg], clear: Point, pockets: bool) -> Layers {
        let order = |at: Point| if facing { (at.z, at.r) } else { (at.r, at.z) };
        let mut corners = vec![order(legs[0].to)];
        for leg in &legs[1..] {
            corners.extend(leg.corners().into_iter().map(order));
        }
        let into = match legs[0].path {
            Path::Rapid => Path::Rapid,
            Path::Line | Path::Arc(_) => Path::Line,
        };
        Layers { facing, corners, clear: order(clear), pockets, into }
    }

    fn point(&self, a: Length, b: Length) -> Point {
        if self.facing { Point { r: b, z: a } } else { Point { r: a, z: b } }
    }

    /// Whether layers of this depth are so many that nobody means them: each looks at the whole
    /// contour.
    fn is_endless(&self, depth: Length) -> bool {
        const MOST_LOOKS: i64 = 20_000_000;
        let layers = (self.lowest() - self.clear.0).abs() / depth.max(Length::from_nm(1));
        layers.saturating_mul(self.corners.len() as i64) > MOST_LOOKS
    }

    /// The furthest the contour goes from where layers begin.
    fn lowest(&self) -> Length {
        let away = |corner: &&(Length, Length)| (corner.0 - self.clear.0).abs();
        self.corners.iter().max_by_key(away).map_or(self.clear.0, |corner| corner.0)
    }

    /// The cuts of one layer: from where the tool comes to where the contour stands in the way,
    /// and inside pockets where they are cut too.
    fn cuts_at(&self, level: Length) -> Vec<(Length, Length)> {
        let inward = self.clear.0 > self.lowest();
        // Whether the tool may be at this layer where the contour is at `a`.
        let free = |a: Length| if inward { a <= level } else { a >= level };
        let mut cuts = Vec::new();
        let mut open = self.corners.first().filter(|first| free(first.0)).map(|_| self.clear.1);
        for pair in self.corners.windows(2) {
            let (one, other) = (pair[0], pair[1]);
            match (free(one.0), free(other.0)) {
                (true, false) => {
                    if let Some(begin) = open.take() {
                        cuts.push((begin, crossing(one, other, level)));
                    }
                    if !self.pockets {
                        return cuts;
                    }
                }
                (false, true) if self.pockets => open = Some(crossing(one, other, level)),
                _ => {}
            }
        }
        if let (Some(begin), Some(last)) = (open, self.corners.last()) {
            cuts.push((begin, last.1));
        }
        cuts
    }
}

/// Where a straight stretch of contour crosses a layer.
fn crossing(one: (Length, Length), other: (Length, Length), level: Length) -> Length {
    let way = other.0 - one.0;
    if way == Length::ZERO {
        return one.1;
    }
    let part = i128::from((level - one.0).nm()) * i128::from((other.1 - one.1).nm());
    one.1 + Length::from_nm((part / i128::from(way.nm())) as i64)
}
