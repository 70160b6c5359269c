//! Grooves, and whatever an insert does not reach: plunged with a blade and finished along their
//! ground.

use super::contour::{At, Bend, Contour, Leg, NOTHING};
use super::drawing::height;
use super::path::Path;
use model::files::tools::BladeCorner;

/// A blade in a groove. Places are those of its corner toward the chuck.
pub(super) struct Plunged<'c> {
    /// What is to be cut, from its front rim to its back rim: one valley.
    pub floor: &'c Contour,
    /// How high the metal stands that is to be cut.
    pub rim: f64,
    /// Width of the blade.
    pub width: f64,
    /// Which corner the program's places mean.
    pub corner: BladeCorner,
    /// Stock that plunging leaves for the last pass; nothing where it cuts to size at once.
    pub stock: f64,
    /// Beside the raw metal, where the blade may go along.
    pub beside: f64,
    /// Distance kept from metal at rapid.
    pub clear: f64,
    /// In a bore, how far in front of the face the blade goes in and out.
    pub ahead: Option<f64>,
}

/// Why a blade does not cut a groove.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unfit {
    /// Its ground is narrower than the blade.
    Narrow,
    /// Its ground is not flat, and no pass of a straight blade leaves its shape.
    Shaped,
}

/// Widths that differ by less are the same.
const SAME: f64 = 2e-3;

/// The valleys of a floor, from the front toward the chuck: what stands between two of them is the rim
/// of both, and is cut with the one behind it.
pub(super) fn valleys(floor: &Contour) -> Vec<Contour> {
    let mut valleys = vec![Contour::default()];
    let mut climbed = false;
    for (index, leg) in floor.legs.iter().enumerate() {
        let falls_yet = floor.legs[index..].iter().any(|it| it.to.r < it.from.r - NOTHING);
        let stops_rising = leg.to.r < leg.from.r + NOTHING;
        if climbed && stops_rising && falls_yet {
            valleys.push(Contour::default());
            climbed = false;
        }
        climbed |= leg.to.r > leg.from.r + NOTHING;
        if let Some(valley) = valleys.last_mut() {
            valley.push(*leg);
        }
    }
    valleys
}

/// Whether an arc goes over a crest, or through a hollow, between its ends.
fn is_crest(leg: &Leg) -> bool {
    let (low, high) = Contour::of(vec![*leg]).radii();
    low < leg.from.r.min(leg.to.r) - SAME || high > leg.from.r.max(leg.to.r) + SAME
}

impl Plunged<'_> {
    /// The flat ground: where it ends toward the front and toward the chuck, and its height.
    fn ground(&self) -> Result<(f64, f64, f64), Unfit> {
        if self.floor.legs.iter().any(is_crest) {
            return Err(Unfit::Shaped);
        }
        let lowest = self.floor.radii().0;
        let low = |leg: &&Leg| {
            let ends = leg.from.r.max(leg.to.r) - lowest;
            leg.bend == Bend::Straight && ends < NOTHING * 10.0
        };
        let flat: Vec<&Leg> = self.floor.legs.iter().filter(low).collect();
        let (Some(first), Some(last)) = (flat.first(), flat.last()) else {
            return Err(Unfit::Shaped);
        };
        let (front, back) = (first.from.z, last.to.z);
        if front - back < self.width - SAME {
            Err(Unfit::Narrow)
        } else {
            Ok((front, back, lowest))
        }
    }

    /// Whether this blade leaves the groove as drawn.
    pub(super) fn fits(&self) -> Result<(), Unfit> {
        self.ground().map(|_| ())
    }

    /// How deep the blade may go with its corner at a place: as high as the highest metal under it.
    fn depth(&self, z: f64) -> f64 {
        let (chuck, front) = (z + 1e-5, z + self.width - 1e-5);
        let within = |leg: &Leg| {
            [leg.from, leg.to].into_iter().filter(|at| at.z > chuck && at.z < front).map(|at| at.r)
        };
        let ends = [chuck, front].into_iter().filter_map(|z| height(self.floor, z));
        self.floor
            .legs
            .iter()
            .flat_map(|leg| within(leg).collect::<Vec<_>>())
            .chain(ends)
            .fold(self.floor.radii().0, f64::max)
    }

    /// Where the plunges stand, from the front toward the chuck.
    fn plunges(&self) -> Vec<f64> {
        let (Some(first), Some(last)) = (self.floor.start(), self.floor.end()) else {
            return Vec::new();
        };
        let (front, back) = (first.z - self.width - self.stock, last.z + self.stock);
        let way = front - back;
        if way < SAME {
            // As wide as the blade.
            return vec![f64::midpoint(front, back)];
        }
        let count = (way / (0.75 * self.width) - 1e-9).ceil().max(1.0);
        (0..=count as u32).map(|index| front - way * f64::from(index) / count).collect()
    }

    fn put(&self, at: At) -> At {
        match self.corner {
            BladeCorner::ChuckSide => at,
            BladeCorner::FrontSide => at.moved(self.width, 0.0),
        }
    }

    /// All of the groove.
    pub(super) fn cut(&self, path: &mut Path<'_>) {
        let above = self.rim + self.clear;
        let plunges = self.plunges();
        if let Some(ahead) = self.ahead {
            path.rapid(At::new(ahead, self.beside));
        } else if let Some(first) = plunges.first() {
            path.rapid(self.put(At::new(*first, self.beside + self.clear)));
        }
        for z in &plunges {
            path.rapid(self.put(At::new(*z, above)));
            self.plunge(*z, path);
            path.rapid(self.put(At::new(*z, above)));
        }
        if plunges.len() > 1 || self.stock > 0.0 {
            self.last_pass(path);
        }
        match (self.ahead, path.at()) {
            (Some(ahead), Some(at)) => {
                path.rapid(At::new(at.z, self.beside));
                path.rapid(At::new(ahead, self.beside));
            }
            (None, Some(at)) => path.rapid(At::new(at.z, self.beside + self.clear)),
            _ => {}
        }
    }

    /// In steps of twice the width, so that chips come out.
    fn plunge(&self, z: f64, path: &mut Path<'_>) {
        let bottom = self.depth(z) + self.stock;
        let (mut r, step) = (self.rim, 2.0 * self.width);
        while r - step > bottom + 0.25 * step {
            r -= step;
            path.cut(self.put(At::new(z, r)));
            path.cut(self.put(At::new(z, r + self.clear / 2.0)));
        }
        path.cut(self.put(At::new(z, bottom)));
    }

    /// Down the wall toward the chuck and off; then down the front wall and along the ground to it.
    fn last_pass(&self, path: &mut Path<'_>) {
        let Ok((front, back, lowest)) = self.ground() else { return };
        let above = self.rim + self.clear;
        // Off the wall by no more than half of what the ground has beside the blade.
        let beside = ((front - back - self.width) / 2.0).max(0.0);
        let away = self.clear.min(0.1 * self.width).min(beside);
        let (falling, rising): (Vec<Leg>, Vec<Leg>) = (
            self.floor
                .legs
                .iter()
                .take_while(|leg| leg.from.r > lowest + NOTHING)
                .copied()
                .collect(),
            self.floor
                .legs
                .iter()
                .rev()
                .take_while(|leg| leg.to.r > lowest + NOTHING)
                .copied()
                .collect(),
        );
        let corner = |at: At| self.put(at);
        let shift = if self.corner == BladeCorner::FrontSide { self.width } else { 0.0 };
        if let Some(rim) = rising.first() {
            path.rapid(corner(At::new(rim.to.z, above)));
            for leg in rising.iter().map(Leg::turned_back) {
                path.follow(&leg.moved(shift, 0.0));
            }
            path.cut(corner(At::new(back + away, lowest + self.clear / 4.0)));
            path.rapid(corner(At::new(back + away, above)));
        }
        let start = falling.first().map_or(front, |leg| leg.from.z) - self.width;
        path.rapid(corner(At::new(start, above)));
        for leg in &falling {
            path.follow(&leg.moved(shift - self.width, 0.0));
        }
        path.cut(corner(At::new(front - self.width, lowest)));
        path.cut(corner(At::new(back, lowest)));
        path.cut(corner(At::new(back + away, lowest + self.clear / 4.0)));
        path.rapid(corner(At::new(back + away, above)));
    }
}
