//! Contours for the tests of the nose radius offset, written as on a drawing.
#![allow(dead_code, reason = "each test file uses some of it")]

use model::{Length, Span};
use prove::action::{Arc, Feed, Path};
use prove::event::{Point, Spot};
use prove::nose::{Follower, Leg, Nose, Outside, Side, Trouble};

/// A point by its diameter and Z in millimeters.
pub(crate) fn xz(x: f64, z: f64) -> Point {
    Point { r: Length::nearest_mm(x / 2.0), z: Length::nearest_mm(z) }
}

/// A spot in the block of this number.
pub(crate) fn spot(block: usize) -> Spot {
    Spot { tree: 0, block: u32::try_from(block).unwrap(), span: Span { start: 0, end: 0 } }
}

/// A contour that is being written.
#[derive(Debug, Clone)]
pub(crate) struct Contour {
    pub(crate) legs: Vec<Leg>,
    at: Point,
}

impl Contour {
    pub(crate) fn from(x: f64, z: f64) -> Contour {
        Contour { legs: Vec::new(), at: xz(x, z) }
    }

    pub(crate) fn at(&self) -> Point {
        self.at
    }

    fn go(mut self, to: Point, path: Path) -> Contour {
        let spot = spot(self.legs.len());
        let feed = Feed::PerRevolution(0.1 + self.legs.len() as f64);
        self.legs.push(Leg { from: self.at, to, path, feed, spot, serial: 0 });
        self.at = to;
        self
    }

    pub(crate) fn rapid(self, x: f64, z: f64) -> Contour {
        self.go(xz(x, z), Path::Rapid)
    }

    pub(crate) fn line(self, x: f64, z: f64) -> Contour {
        self.go(xz(x, z), Path::Line)
    }

    pub(crate) fn line_to(self, to: Point) -> Contour {
        self.go(to, Path::Line)
    }

    /// An arc of at most a half circle by its radius; counter-clockwise (G3) or not (G2).
    pub(crate) fn arc(self, x: f64, z: f64, radius: f64, counter: bool) -> Contour {
        let to = xz(x, z);
        let (dz, dr) = ((to.z - self.at.z).mm(), (to.r - self.at.r).mm());
        let chord = dz.hypot(dr);
        let away = (radius * radius - chord * chord / 4.0).max(0.0).sqrt();
        let sense = if counter { 1.0 } else { -1.0 };
        // Less than a half circle counter-clockwise has its center to the left of its chord.
        let center = (
            f64::midpoint(self.at.r.mm(), to.r.mm()) + sense * away * dz / chord,
            f64::midpoint(self.at.z.mm(), to.z.mm()) - sense * away * dr / chord,
        );
        let turn = sense * 2.0 * (chord / 2.0 / radius).min(1.0).asin();
        self.go(to, Path::Arc(Arc { center, radius, turn }))
    }

    /// An arc about a center (r, z), from the present point by a signed angle.
    pub(crate) fn about(self, center: (f64, f64), turn: f64) -> Contour {
        let (dr, dz) = (self.at.r.mm() - center.0, self.at.z.mm() - center.1);
        let (radius, angle) = (dr.hypot(dz), dr.atan2(dz) + turn);
        let to = Point {
            r: Length::nearest_mm(center.0 + radius * angle.sin()),
            z: Length::nearest_mm(center.1 + radius * angle.cos()),
        };
        self.go(to, Path::Arc(Arc { center, radius, turn }))
    }
}

/// What came of following a contour: the tip's moves and the troubles with their blocks.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Followed {
    pub(crate) moves: Vec<Leg>,
    pub(crate) troubles: Vec<(u32, Trouble)>,
}

impl Followed {
    /// `X Z` of the end of each move, X a diameter, to so many decimals.
    pub(crate) fn ends(&self, decimals: usize) -> Vec<String> {
        let text = |length: Length| length.text(model::Units::Mm, decimals);
        self.moves.iter().map(|leg| format!("{} {}", text(leg.to.r * 2), text(leg.to.z))).collect()
    }
}

pub(crate) fn nose(radius: f64, tip: u8) -> Nose {
    Nose { radius: Length::nearest_mm(radius), tip }
}

/// Follows a contour whose first leg is the start-up move, and settles at its end.
pub(crate) fn follow(contour: &Contour, nose: Nose, side: Side, outside: Outside) -> Followed {
    let mut follower = Follower::new(nose, side, outside);
    let (mut moves, mut troubles) = (Vec::new(), Vec::new());
    for leg in &contour.legs {
        follower.push(*leg, &mut moves, &mut troubles);
    }
    follower.settle(&mut moves, &mut troubles);
    let troubles = troubles.into_iter().map(|(spot, trouble)| (spot.block, trouble)).collect();
    Followed { moves, troubles }
}
