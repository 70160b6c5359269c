//! What each move of an operation takes off the bar, whatever its speed.

use super::outline::{Met, Outline};
use crate::bar::BarPlan;
use crate::cuts::{Move, Operation, Place, Way, Work};
use crate::process::Process;
use crate::time::chords;
use calc::bending::Step as Bar;
use calc::motion;
use calc::station::{Feeding, Lack};
use model::Length;
use model::files::job::{Job, Step};
use model::files::tools::{BladeCorner, Station, ToolKind};
use model::quantity::FeedPerRev;
use std::rc::Rc;

/// What one move takes off of one cylinder of the bar.
#[derive(Debug, Clone)]
pub(crate) struct Taken {
    /// Which way the tool is fed, and what it takes off where it is deepest.
    pub(crate) feeding: Feeding,
    /// Place of the tool at its start and end, from the finished front face.
    pub(crate) place: (Length, Length),
    /// The bar as it stands before, from the jaw face outward.
    pub(crate) before: Rc<[Bar]>,
    /// The tool's way meanwhile.
    pub(crate) paths: Vec<motion::Cut>,
    /// Feed per revolution.
    pub(crate) feed: FeedPerRev,
    /// The diameter of the drawing that it leaves, where it leaves one.
    pub(crate) finishes: Option<Step>,
    /// Why nothing is known of its force, whatever the tool.
    pub(crate) lack: Option<Lack>,
}

impl Taken {
    /// How deep the tool cuts, square to its way; a blade's is its width.
    pub(crate) fn depth(&self) -> Length {
        match self.feeding {
            Feeding::Along { from, to, .. } | Feeding::Thread { from, to, .. } => {
                (from - to).abs().half()
            }
            Feeding::Across { depth, .. } => depth,
        }
    }
}

/// The cuts of one operation with its tool.
#[derive(Debug, Clone)]
pub(crate) struct Cuts<'o, 'j> {
    /// The operation.
    pub(crate) operation: &'o Operation,
    /// Its tool.
    pub(crate) station: &'j Station,
    /// What it takes off; moves that meet no metal are left out.
    pub(crate) taken: Vec<Taken>,
}

/// What all operations take off, one after the other: of a new bar first, then of each part.
pub(crate) fn all<'o, 'j>(job: &'j Job, bar: &BarPlan, process: &'o Process) -> Vec<Cuts<'o, 'j>> {
    let division = &bar.division;
    let extra = if process.new_bar.is_some() { division.first_face } else { Length::ZERO };
    let mut lathe = Turned {
        outline: Outline::raw(bar.jaw_face, division.face_stock + extra, job.file.bar.reach() * 2),
        inscribed: job.file.bar.size,
        steps: job.file.part.steps(),
        thread: None,
    };
    let operations = process.new_bar.iter().chain(&process.operations);
    operations
        .filter_map(|operation| {
            let station = job.tools.station(operation.station)?;
            Some(Cuts { operation, station, taken: lathe.operation(operation, station) })
        })
        .collect()
}

/// Diameters that differ by less are the same as written: nothing is cut between them.
const TOUCHED: Length = Length::from_um(6);

/// More than this in front of an edge is not faced off by it: twice what it takes at most.
fn most_in_front(station: &Station) -> Length {
    let takes = station.takes.most_depth.or(station.depth).unwrap_or(Length::from_mm(2));
    takes * 2 + Length::from_mm(1)
}

/// How a tool takes metal off.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Manner {
    /// An edge with a nose.
    Nose { inside: bool, most: Length },
    /// A blade as wide as its cut.
    Blade { inside: bool },
    /// A tool on the axis, as wide as its hole.
    Drill,
    /// A point that goes through the same groove again and again.
    Thread,
    /// In a way for which there is no formula.
    Unknown(&'static str),
}

impl Manner {
    fn of(work: Work, station: &Station) -> Manner {
        match (work, station.kind) {
            (Work::Spot, _) => Manner::Unknown("a spot drill"),
            (Work::Ream, _) => Manner::Unknown("a reamer"),
            (Work::Tap, _) => Manner::Unknown("a tap"),
            (Work::Knurl, _) => Manner::Unknown("a knurl"),
            (Work::ThreadBore, _) => Manner::Unknown("an inside thread"),
            (Work::Thread, _) | (_, ToolKind::Threading) => Manner::Thread,
            (_, ToolKind::Parting | ToolKind::Grooving) => {
                Manner::Blade { inside: work == Work::GrooveBore }
            }
            (Work::RoughBore | Work::FinishBore, _) | (_, ToolKind::Boring) => {
                Manner::Nose { inside: true, most: most_in_front(station) }
            }
            (_, ToolKind::Drill) | (Work::Drill, _) => Manner::Drill,
            _ => Manner::Nose { inside: false, most: most_in_front(station) },
        }
    }
}

/// The bar while it is turned.
struct Turned {
    outline: Outline,
    /// Diameter that counts for bending.
    inscribed: Length,
    steps: Vec<Step>,
    /// Diameters of the blank and of the ground of the thread that is being cut.
    thread: Option<(Length, Length)>,
}

/// One piece of what a move takes off.
struct Piece {
    feeding: Feeding,
    place: (Length, Length),
    path: (Place, Place),
    before: Rc<[Bar]>,
}

impl Turned {
    fn operation(&mut self, operation: &Operation, station: &Station) -> Vec<Taken> {
        let manner = Manner::of(operation.work, station);
        self.thread = None;
        let mut at: Option<Place> = None;
        let mut taken = Vec::new();
        for one in &operation.moves {
            if let (Some(from), Some(feed)) = (at, one.feed()) {
                let pieces = self.pieces(manner, station, from, one);
                taken.extend(merged(pieces).into_iter().map(|(piece, paths)| Taken {
                    feeding: piece.feeding,
                    place: piece.place,
                    before: piece.before,
                    paths,
                    feed,
                    finishes: self.finishes(station, piece.feeding, piece.place),
                    lack: unknown(manner, station),
                }));
            }
            at = Some(one.to);
        }
        taken
    }

    fn pieces(&mut self, manner: Manner, station: &Station, from: Place, one: &Move) -> Vec<Piece> {
        match manner {
            Manner::Nose { inside, most } => {
                let places = places(from, one);
                let pairs = places.windows(2);
                pairs.flat_map(|pair| self.nose(inside, most, pair[0], pair[1])).collect()
            }
            Manner::Blade { inside } => self.blade(inside, station, from, one.to),
            Manner::Drill => self.drill(station, from, one.to).into_iter().collect(),
            Manner::Thread => self.thread(from, one.to).into_iter().collect(),
            Manner::Unknown(_) => self.unknown(station, from, one.to).into_iter().collect(),
        }
    }

    fn before(&self) -> Rc<[Bar]> {
        self.outline.steps(self.inscribed).into()
    }

    /// A straight way of a nose. A steep one cuts as a face, with what stands in front of it as its depth;
    /// a flat one along the axis, and so does one that goes down into the metal behind what stands in
    /// front of it.
    fn nose(&mut self, inside: bool, most: Length, from: Place, to: Place) -> Vec<Piece> {
        let deeper = if inside { to.x > from.x } else { to.x < from.x };
        let steep = (to.x - from.x).half().abs() > (to.z - from.z).abs();
        if steep && !(deeper && to.z < from.z) {
            let piece = if inside { self.face_inside(from, to) } else { self.face(from, to, most) };
            piece.into_iter().collect()
        } else {
            self.along(inside, from, to)
        }
    }

    /// A face or a shoulder: what stands in front of the tool is taken off, toward the center or
    /// away from it.
    fn face(&mut self, from: Place, to: Place, most: Length) -> Option<Piece> {
        let (inner, outer) = (from.x.min(to.x), from.x.max(to.x));
        let (rear, front) = (from.z.min(to.z), from.z.max(to.z));
        // What stands no higher than it comes down is not in front of it.
        let depth = self.outline.reaches(rear, inner.max(Length::ZERO) + TOUCHED);
        if to.x < from.x && depth > most {
            // It goes down into a neck: its point alone cuts there, and the layer after it is told.
            return None;
        }
        let outside = self.outline.largest(rear, rear + depth).min(outer);
        if !depth.is_positive() || outside - inner <= TOUCHED {
            return None;
        }
        let before = self.before();
        self.outline.turn(rear, front, outer);
        if inner.is_positive() {
            self.outline.turn(front, rear + depth, inner);
        } else {
            self.outline.end(front);
        }
        let (starts, ends) = if to.x < from.x { (outside, to.x) } else { (from.x, outside) };
        let feeding = Feeding::Across { from: starts, to: ends, depth };
        Some(Piece { feeding, place: within(from, to, rear + depth), path: (from, to), before })
    }

    /// The bottom or a shoulder of a bore.
    fn face_inside(&mut self, from: Place, to: Place) -> Option<Piece> {
        let (inner, outer) = (from.x.min(to.x).max(Length::ZERO), from.x.max(to.x));
        let (rear, front) = (from.z.min(to.z), from.z.max(to.z));
        let depth = self.outline.reaches_inside(rear, outer - TOUCHED);
        let bore = self.outline.smallest_bore(rear, rear + depth).max(inner);
        if !depth.is_positive() || outer - bore <= TOUCHED {
            return None;
        }
        let before = self.before();
        self.outline.bore(rear, front, inner);
        self.outline.bore(front, rear + depth, outer);
        let (starts, ends) = if to.x > from.x { (bore, outer) } else { (outer, bore) };
        let feeding = Feeding::Across { from: starts, to: ends, depth };
        Some(Piece { feeding, place: within(from, to, rear + depth), path: (from, to), before })
    }

    /// Along the axis, or on a slant. Each cylinder that is met is a piece of its own.
    fn along(&mut self, inside: bool, from: Place, to: Place) -> Vec<Piece> {
        let toward_chuck = to.z < from.z;
        let at = |z: Length| {
            let share = (z - from.z).mm() / (to.z - from.z).mm();
            Place { x: from.x + Length::nearest_mm((to.x - from.x).mm() * share), z }
        };
        let mut met = self.outline.between(from.z, to.z);
        if toward_chuck {
            met.reverse();
        }
        let mut pieces = Vec::new();
        for Met { near, far, diameter, bore } in met {
            let (starts, ends) = if toward_chuck { (far, near) } else { (near, far) };
            let (starts, ends) = (at(starts), at(ends));
            let (least, most) = (starts.x.min(ends.x), starts.x.max(ends.x));
            let (from, to) = if inside { (bore, most) } else { (diameter, least) };
            let cuts = if inside { most > bore } else { least < diameter && least.is_positive() };
            if !cuts {
                continue;
            }
            let before = self.before();
            if inside {
                self.outline.bore(near, far, least);
            } else {
                self.outline.turn(near, far, most);
            }
            pieces.push(Piece {
                feeding: Feeding::Along { from, to, toward_chuck },
                place: (starts.z, ends.z),
                path: (starts, ends),
                before,
            });
        }
        pieces
    }

    /// A blade goes in with its whole width, or sideways with the corner that leads. Where nothing is left
    /// under it, what stands in front is off.
    fn blade(&mut self, inside: bool, station: &Station, from: Place, to: Place) -> Vec<Piece> {
        let width = station.width.unwrap_or_default();
        let chuck_side = |place: Place| match station.corner {
            BladeCorner::ChuckSide => place.z,
            BladeCorner::FrontSide => place.z - width,
        };
        if (to.z - from.z).abs() > (to.x - from.x).half().abs() {
            let leads = if to.z < from.z { Length::ZERO } else { width };
            let corner = |place: Place| Place { z: chuck_side(place) + leads, ..place };
            return self.along(inside, corner(from), corner(to));
        }
        let (rear, front) = (chuck_side(to), chuck_side(to) + width);
        let bore = self.outline.smallest_bore(rear, front);
        let before = self.before();
        let (starts, cuts) = if inside {
            (bore.max(from.x), to.x > from.x && to.x > bore)
        } else {
            let outside = self.outline.largest(rear, front).min(from.x);
            (outside, to.x < outside)
        };
        if !cuts {
            return Vec::new();
        }
        if inside {
            self.outline.bore(rear, front, to.x);
        } else if to.x > bore {
            self.outline.turn(rear, front, to.x);
        } else {
            self.outline.end(rear);
        }
        let feeding = Feeding::Across { from: starts, to: to.x, depth: width };
        vec![Piece { feeding, place: (front, rear), path: (from, to), before }]
    }

    /// A tool on the axis makes a hole of its diameter; what a center drill has left in its way does not
    /// make its work lighter.
    fn drill(&mut self, station: &Station, from: Place, to: Place) -> Option<Piece> {
        let diameter = station.diameter.unwrap_or_default();
        let met = self.outline.between(from.z, to.z);
        let met = met.iter().filter(|met| met.bore < diameter);
        let (near, far) = met.fold(None, |range: Option<(Length, Length)>, met| {
            Some(range.map_or((met.near, met.far), |it| (it.0.min(met.near), it.1.max(met.far))))
        })?;
        if to.z >= from.z {
            return None;
        }
        let before = self.before();
        self.outline.bore(near, far, diameter);
        let feeding = Feeding::Along { from: Length::ZERO, to: diameter, toward_chuck: true };
        let (begins, ends) = (Place { z: far, ..from }, Place { z: near, ..to });
        Some(Piece { feeding, place: (far, near), path: (begins, ends), before })
    }

    /// One pass of an outside thread. The bar is counted as thin as the ground of the thread.
    fn thread(&mut self, from: Place, to: Place) -> Option<Piece> {
        let met = self.outline.between(from.z, to.z);
        let (near, far) = (met.first()?.near, met.last()?.far);
        let largest = self.outline.largest(near, far);
        let (blank, ground) = self.thread.unwrap_or((largest, largest));
        let deepest = from.x.min(to.x);
        if deepest >= ground || !deepest.is_positive() {
            return None;
        }
        self.thread = Some((blank, deepest));
        let before = self.before();
        self.outline.turn(near, far, deepest);
        let toward_chuck = to.z < from.z;
        let feeding = Feeding::Thread { blank, from: ground, to: deepest, toward_chuck };
        let place = if toward_chuck { (far, near) } else { (near, far) };
        Some(Piece { feeding, place, path: (from, to), before })
    }

    /// What has no formula is told of every move along the axis, whether it meets metal or not.
    fn unknown(&mut self, station: &Station, from: Place, to: Place) -> Option<Piece> {
        if from.z == to.z {
            return None;
        }
        let before = self.before();
        let drilled = from.x == Length::ZERO && to.x == Length::ZERO;
        let diameter = station.diameter.filter(|_| drilled);
        if let Some(diameter) = diameter {
            self.outline.bore(from.z, to.z, diameter);
        }
        let to_diameter = diameter.unwrap_or(to.x);
        let toward_chuck = to.z < from.z;
        let feeding = Feeding::Along { from: to_diameter, to: to_diameter, toward_chuck };
        Some(Piece { feeding, place: (from.z, to.z), path: (from, to), before })
    }

    /// The cylinder of the drawing that a cut along the axis leaves. Within a nose radius of a
    /// shoulder there is none, but the nose's own round.
    fn finishes(
        &self,
        station: &Station,
        feeding: Feeding,
        (one, other): (Length, Length),
    ) -> Option<Step> {
        const WRITTEN: Length = Length::from_um(3);
        let Feeding::Along { to, .. } = feeding else { return None };
        if (other - one).abs() <= station.nose_radius {
            return None;
        }
        let middle = one + (other - one).half();
        let inside = |step: &&Step| step.from <= -middle && -middle <= step.to;
        let step = self.steps.iter().find(inside)?;
        ((step.diameter - to).abs() <= WRITTEN).then_some(*step)
    }
}

/// Where a steep way begins and ends along the axis, no further than the metal in front of it.
fn within(from: Place, to: Place, front: Length) -> (Length, Length) {
    (from.z.min(front), to.z.min(front))
}

fn unknown(manner: Manner, station: &Station) -> Option<Lack> {
    let Manner::Unknown(what) = manner else { return None };
    let (number, name) = (station.number, &station.name);
    Some(Lack::of("kind", format!("no force is computed for {what} (station {number}, {name})")))
}

/// A slant is cut in pieces of at most so much of radius, so that the bar keeps its form.
const RADIUS_OF_A_PIECE_MM: f64 = 0.5;
/// More pieces than this tell nothing more of the bar.
const MOST_PIECES: f64 = 12.0;

/// The places of a move through which it is taken as straight, its ends with them.
fn places(from: Place, one: &Move) -> Vec<Place> {
    let to = one.to;
    let mut places = vec![from];
    match one.way {
        Way::Arc { center, turn, .. } => places.extend(chords(from, to, center, turn)),
        _ if from.x != to.x && from.z != to.z => {
            let (x, z) = ((to.x - from.x).mm(), (to.z - from.z).mm());
            let count = (x.abs() / 2.0 / RADIUS_OF_A_PIECE_MM).ceil().clamp(1.0, MOST_PIECES);
            places.extend((1..count as u32).map(|index| {
                let share = f64::from(index) / count;
                Place {
                    x: from.x + Length::nearest_mm(x * share),
                    z: from.z + Length::nearest_mm(z * share),
                }
            }));
        }
        _ => {}
    }
    places.push(to);
    places
}

/// Pieces of one move that follow one another on one cylinder are one cut, told by where it is deepest.
fn merged(pieces: Vec<Piece>) -> Vec<(Piece, Vec<motion::Cut>)> {
    let mut cuts: Vec<(Piece, Vec<motion::Cut>)> = Vec::new();
    for piece in pieces {
        let path = path(piece.path.0, piece.path.1);
        match cuts.last_mut() {
            Some((cut, paths)) if cut.place.1 == piece.place.0 => {
                if let Some(feeding) = both(cut.feeding, piece.feeding) {
                    cut.feeding = feeding;
                    cut.place.1 = piece.place.1;
                    paths.push(path);
                    continue;
                }
                cuts.push((piece, vec![path]));
            }
            _ => cuts.push((piece, vec![path])),
        }
    }
    cuts
}

/// Two pieces as one; none where they are not alike.
fn both(one: Feeding, other: Feeding) -> Option<Feeding> {
    match (one, other) {
        (
            Feeding::Along { from, to, toward_chuck },
            Feeding::Along { from: also, to: next, toward_chuck: same },
        ) if from == also && toward_chuck == same => {
            let deeper = if (from - to).abs() >= (from - next).abs() { to } else { next };
            Some(Feeding::Along { from, to: deeper, toward_chuck })
        }
        (
            Feeding::Across { from, to, depth },
            Feeding::Across { from: also, to: next, depth: other },
        ) if (from > to) == (also > next) => {
            let depth = depth.max(other);
            Some(if from > to {
                Feeding::Across { from: from.max(also), to: to.min(next), depth }
            } else {
                Feeding::Across { from: from.min(also), to: to.max(next), depth }
            })
        }
        _ => None,
    }
}

/// A straight way as the formulas of time take it.
pub(crate) fn path(from: Place, to: Place) -> motion::Cut {
    motion::Cut { from_r: from.x.half(), from_z: from.z, to_r: to.x.half(), to_z: to.z }
}
