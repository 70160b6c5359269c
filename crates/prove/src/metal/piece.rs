//! A piece that fell is laid on the drawing, and what is wrong with it is traced to its cut.

use super::{Metal, Placed};
use crate::event::Point;
use crate::form::gap::{Gap, gaps, nearest_line};
use crate::form::{Deviation, Limits, NoseLeft, Verdict, groove, thread};
use calc::nose;
use model::Length;
use shape::{Region, Reuse};

/// What lies less beyond a limit comes from the chords of arcs and the grid.
const ROUNDING: f64 = 1_000.0;
/// How far beside a surface, in nanometers, there must be metal that a cut took, to call it cut by it.
const BESIDE: i64 = 100;
const AROUND: [(i64, i64); 8] =
    [(1, 0), (1, 1), (0, 1), (-1, 1), (-1, 0), (-1, -1), (0, -1), (1, -1)];
/// How near what is left must come to what the nose is known to leave, to be called that.
const LIKE_NOSE: f64 = 5_000.0;

/// A piece on the drawing: the region, its front face or its back where the drawing's is.
struct Laid {
    piece: Region,
    /// How far it was moved to there from where it fell.
    by: i64,
    missing: Vec<Gap>,
    too_much: Vec<Gap>,
}

impl Laid {
    fn worst(&self) -> f64 {
        self.missing.iter().chain(&self.too_much).map(|gap| gap.by).fold(0.0, f64::max)
    }
}

impl Metal {
    /// Compares a piece with the drawing. Its front face stands at `face`, and `bar` is what stays in
    /// the chuck. None where the drawing gives no limits.
    pub fn compare(&self, piece: Placed, face: Option<Length>, bar: Placed) -> Option<Verdict> {
        let limits = self.limits.as_ref()?;
        // A pip stands out ahead of the face.
        let pip = face.map_or(0, |face| piece.shift.saturating_sub(face.nm()));
        let known = self.compared.borrow().get(&(piece.id, pip)).copied();
        if known.is_some() {
            return known;
        }
        let laid = self.lay(piece, pip, limits);
        let verdict = self.judge(&laid, limits, piece, bar);
        if self.reuse == Reuse::Remember {
            self.compared.borrow_mut().insert((piece.id, pip), verdict);
        }
        Some(verdict)
    }

    /// Lays a piece on the drawing by its front face. A piece that is too long or short by more
    /// than the drawing allows has that as its trouble: it is laid by the end that fits better, and
    /// what lies beyond its own or the drawing's back is not looked at.
    fn lay(&self, piece: Placed, pip: i64, limits: &Limits) -> Laid {
        let region = self.store.borrow().region(Placed { shift: pip, ..piece });
        let length = region.bounds().map_or(0, |bounds| -bounds.min.z);
        let by = pip - piece.shift;
        let nominal = limits.profile.length;
        let (longer, shorter) = limits.profile.length_off;
        if (shorter..=longer).contains(&(length - nominal)) {
            return laid(region, by, limits, None);
        }
        let common = length.min(nominal);
        let back = length - nominal;
        let by_front = laid(region.clone(), by, limits, Some((-common + longer, 0)));
        let by_back = laid(
            region.shifted(back),
            back + by,
            limits,
            Some((-nominal, -(nominal - common) - longer)),
        );
        if by_back.worst() < by_front.worst() { by_back } else { by_front }
    }

    fn judge(&self, laid: &Laid, limits: &Limits, piece: Placed, bar: Placed) -> Verdict {
        let mut verdict = Verdict {
            thread: thread::judge(&limits.profile.threads, &laid.piece),
            groove: groove::judge(&limits.profile.widths, &laid.piece),
            ..Verdict::default()
        };
        let by_size = |gaps: &[Gap]| {
            let mut gaps = gaps.to_vec();
            gaps.sort_by(|a, b| b.by.total_cmp(&a.by));
            gaps
        };
        for (gaps, missing) in [(by_size(&laid.missing), true), (by_size(&laid.too_much), false)] {
            for gap in gaps {
                let fell = |p: shape::Point| shape::Point::new(p.z - laid.by, p.r);
                let cut = if missing {
                    self.taken_by(fell(gap.within), bar)
                } else {
                    self.left_by(fell(gap.at), piece, bar)
                };
                let line = nearest_line(&limits.profile, gap.at);
                let deviation = Deviation {
                    by: Length::from_nm(libm::ceil(gap.by) as i64),
                    at: Point { r: Length::from_nm(gap.at.r), z: Length::from_nm(gap.at.z) },
                    feature: line.map(|line| line.feature),
                    cut: cut.map(|cut| cut.spot),
                };
                let nose = cut.and_then(|cut| self.nose_of(cut.station));
                let by_nose = nose.zip(line).and_then(|(nose, line)| {
                    let known = left_by_nose(nose, line.slope, missing)?;
                    let is_it = (line.off - known.nm() as f64).abs() <= LIKE_NOSE;
                    is_it.then_some(NoseLeft { left: deviation, nose, known, missing })
                });
                match by_nose {
                    Some(left) => drop(verdict.nose.get_or_insert(left)),
                    None if missing => drop(verdict.gouged.get_or_insert(deviation)),
                    None => drop(verdict.left_over.get_or_insert(deviation)),
                }
            }
        }
        verdict
    }

    /// The last cut that took the metal at a place.
    fn taken_by(&self, at: shape::Point, bar: Placed) -> Option<super::Cut> {
        let trail = self.trail.borrow();
        let has = |placed: Placed| {
            let store = self.store.borrow();
            let (shape, z) = (store.shape(placed.id), at.z.saturating_sub(placed.shift));
            // Well inside: a wall that was there before is no metal taken.
            [(-2, 0), (2, 0), (0, -2), (0, 2)]
                .iter()
                .all(|(dz, dr)| shape.contains(shape::Point::new(z + dz, at.r + dr)))
        };
        let taken = trail.back(bar).find(|(_, step)| step.cut.is_some() && has(step.before));
        taken.and_then(|(_, step)| step.cut)
    }

    /// The last cut whose surface a place lies on: the one that left it.
    fn left_by(&self, at: shape::Point, piece: Placed, bar: Placed) -> Option<super::Cut> {
        let trail = self.trail.borrow();
        let touching = trail.back(bar).find(|(after, step)| {
            let mut store = self.store.borrow_mut();
            let taken = store.difference(step.before, *after);
            // What fell was not cut.
            let taken = store.difference(taken, piece);
            let (shape, z) = (store.shape(taken.id), at.z.saturating_sub(taken.shift));
            // A little beside the surface: what two cuts differ by where an edge was rounded is thinner.
            let beside = |(dz, dr): &(i64, i64)| {
                shape.contains(shape::Point::new(z + dz * BESIDE, at.r + dr * BESIDE))
            };
            step.cut.is_some() && AROUND.iter().any(beside)
        });
        touching.and_then(|(_, step)| step.cut)
    }

    fn nose_of(&self, station: u32) -> Option<Length> {
        self.noses.iter().find(|(number, _)| *number == station).map(|(_, nose)| *nose)
    }
}

fn laid(piece: Region, by: i64, limits: &Limits, only: Option<(i64, i64)>) -> Laid {
    let within = |region: Region| match only {
        None => region,
        Some((back, front)) => {
            let far = 2_000_000_000;
            let corners = (shape::Point::new(back, 0), shape::Point::new(front, far));
            match Region::rectangle(corners.0, corners.1) {
                Ok(stretch) if back < front => region.intersection(&stretch),
                _ => Region::empty(),
            }
        }
    };
    let missing = within(limits.least.difference(&piece));
    let beyond = |most: &Region| gaps(&within(piece.difference(most)), most, ROUNDING);
    let mut too_much = beyond(&limits.most);
    if !too_much.is_empty() {
        too_much = beyond(limits.most_with_rounds());
    }
    Laid { missing: gaps(&missing, &limits.least, ROUNDING), too_much, piece, by }
}

/// What a nose leaves on a slope, square to it, without an offset: too much where the line rises
/// toward the chuck, too little where it falls, for a tool that cuts toward the chuck.
fn left_by_nose(nose: Length, slope: f64, missing: bool) -> Option<Length> {
    let steep = (1.0..=89.0).contains(&slope.abs());
    if !steep || (slope < 0.0) != missing {
        return None;
    }
    if missing {
        let angle = slope.abs().to_radians();
        let deep = 1.0 + libm::sin(angle) - libm::cos(angle);
        return Some(Length::nearest_mm(nose.mm() * deep));
    }
    nose::left_on_slope(nose, slope).ok().map(Length::nearest_mm)
}
