//! What stands on the lathe as shapes: the bar, the tools and the jaws, and what moves do to them.
//!
//! Regions and tools lie in the half-plane of radius and distance from the finished face, on the
//! grid of whole nanometers. The bar is kept from a little behind the jaw face to its front; when
//! it is drawn, as much raw bar comes out of the jaws. So an advance is one shift, and a cycle that
//! is like the one before finds every shape known.

mod chuck;
mod gripper;
mod piece;
mod removed;
mod seen;
mod tool;
mod trail;
mod turret;

pub(crate) use gripper::CENTERED;

use crate::action::Path;
use crate::event::{Point, Spot};
use crate::form::{Limits, Verdict};
use crate::setup::Setup;
use gripper::GripperShape;
use model::Length;
use rustc_hash::FxHashMap;
use shape::{Chord, Move, OutlineId, Placed, Region, RegionId, Reuse, Store, Turn};
use std::cell::RefCell;
use std::collections::BTreeMap;
use tool::ToolShape;
use trail::{Cut, Trail};
use turret::Turret;

/// How far behind the jaw face the bar is kept as a shape.
const BEHIND_JAWS: Length = Length::from_mm(10);
/// Touching is no collision: what goes less deep is the rounding of arcs.
const GRAZING: i64 = 2000;

/// What goes into something.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Part {
    /// The insert, blade or point of the tool at work.
    Edge,
    /// Its holder or shank.
    Holder,
    /// The gripper's fingers or body.
    Gripper,
    /// The body of the turret.
    Turret,
    /// A tool on another station, which does not work.
    Idle(u32),
    /// A tool that the turret swings past.
    Swinging(u32),
}

/// What a tool went into.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Against {
    /// The bar, at rapid, or with what does not cut.
    Bar,
    /// The jaws, or the chuck behind their face.
    Jaws,
}

/// A tool that goes into something it must not touch.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Strike {
    /// Which part of the tool.
    pub part: Part,
    /// Into what.
    pub against: Against,
    /// How deep.
    pub depth: Length,
    /// Where.
    pub at: Point,
}

/// A move as far as shapes go.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
struct Asked {
    bar: Placed,
    station: u32,
    rapid: bool,
    from: Point,
    to: Point,
    /// Where an arc has its center, and which way it turns.
    around: Option<(Point, bool)>,
    bend: Option<Point>,
}

/// What a move leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moved {
    /// The bar behind it.
    pub bar: Placed,
    /// What the tool went into.
    pub strike: Option<Strike>,
    /// What the turret or a tool on another station went into.
    pub idle: Option<Strike>,
    /// How deep the cut was, square to its way, where the tool has a limit for it.
    pub depth: Option<Length>,
    /// Where a boring tool went into metal that is solid to the axis.
    pub into_solid: Option<Point>,
    /// The largest piece that no longer hangs together with the chuck, where one falls.
    pub fell: Option<Placed>,
}

/// The least and the largest diameter of the outside of a stretch of bar.
type Diameters = (Length, Length);

/// The shapes of one set-up. Everything that was computed is remembered.
#[derive(Debug)]
pub struct Metal {
    store: RefCell<Store>,
    /// Raw bars by their length.
    raw_bars: RefCell<BTreeMap<i64, Placed>>,
    /// What moves led to, so that a move like one before is one look-up.
    moves: RefCell<FxHashMap<Asked, Moved>>,
    /// What the turret went into when it swung.
    swings: RefCell<FxHashMap<(Placed, u32, Point), Option<Strike>>>,
    /// Least and largest diameters of stubs, between two places counted from a region's front.
    stubs: RefCell<FxHashMap<(RegionId, i64, i64), Option<Diameters>>>,
    /// What of a region hangs together with the chuck and the largest piece that does not, as if
    /// the region's front were at zero.
    held: RefCell<BTreeMap<RegionId, (Placed, Option<Placed>)>>,
    /// From which shape, by which cut, each shape came first.
    trail: RefCell<Trail>,
    /// The limits of the drawing, where they give regions.
    limits: Option<Limits>,
    /// What comparisons with them came to.
    compared: RefCell<FxHashMap<(RegionId, i64), Verdict>>,
    /// Nose radii by station.
    noses: Vec<(u32, Length)>,
    reuse: Reuse,
    jaws: Placed,
    /// Distance of the plane behind which the bar is not kept.
    rear: i64,
    /// Radius of the raw bar; across corners for bars that are not round.
    raw: i64,
    tools: Vec<(u32, ToolShape)>,
    gripper: Option<GripperShape>,
    turret: Option<Turret>,
}

impl Metal {
    /// The shapes of a set-up; none where bar, part or tools are not known.
    pub fn new(setup: &Setup) -> Option<Metal> {
        let (bar, tools) = (setup.bar.as_ref()?, setup.tools.as_ref()?);
        let jaw_face = setup.jaw_face()?;
        let raw = bar.reach().nm();
        let reuse = if setup.reuse { Reuse::Remember } else { Reuse::Anew };
        let mut store = Store::new(reuse, Chord::FINE);
        let jaws = store.place(&chuck::region(setup.lathe.as_ref(), jaw_face, raw)?);
        let shapes = tools
            .stations
            .iter()
            .filter_map(|station| Some((station.number, ToolShape::of(station, &mut store)?)));
        let shapes = shapes.collect();
        let gripper = GripperShape::of(setup, raw, &mut store);
        let rear = (jaw_face - BEHIND_JAWS).nm();
        let noses: Vec<_> =
            tools.stations.iter().map(|station| (station.number, station.nose_radius)).collect();
        let largest = noses.iter().map(|(_, nose)| *nose).max().unwrap_or_default();
        let limits = setup.drawing.as_ref().and_then(|drawing| {
            Limits::of(drawing, bar, drawing.inside_corner.unwrap_or(largest)).ok()
        });
        Some(Metal {
            store: RefCell::new(store),
            raw_bars: RefCell::default(),
            moves: RefCell::default(),
            swings: RefCell::default(),
            stubs: RefCell::default(),
            held: RefCell::default(),
            trail: RefCell::default(),
            limits,
            compared: RefCell::default(),
            noses,
            reuse,
            jaws,
            rear,
            raw,
            tools: shapes,
            gripper,
            turret: Turret::of(setup),
        })
    }

    /// The raw bar up to its front.
    pub fn bar_to(&self, front: Length) -> Option<Placed> {
        self.raw_bar(self.rear, front.nm())
    }

    fn raw_bar(&self, from: i64, to: i64) -> Option<Placed> {
        let length = to.checked_sub(from)?;
        let known = self.raw_bars.borrow().get(&length).copied();
        if let Some(known) = known {
            return Some(Placed { shift: to, ..known });
        }
        let placed = self.new_raw_bar(from, to)?;
        self.raw_bars.borrow_mut().insert(length, placed);
        Some(placed)
    }

    fn new_raw_bar(&self, from: i64, to: i64) -> Option<Placed> {
        let corner = shape::Point::new(from, 0);
        let region = Region::rectangle(corner, shape::Point::new(to, self.raw)).ok()?;
        Some(self.store.borrow_mut().place(&region))
    }

    /// The bar drawn out of the jaws, or pushed back into them.
    pub fn drawn(&self, bar: Placed, by: Length) -> Option<Placed> {
        let moved = bar.moved(by.nm());
        if by.is_positive() {
            let more = self.raw_bar(self.rear, self.rear.saturating_add(by.nm()))?;
            let drawn = self.store.borrow_mut().union(moved, more);
            self.trail.borrow_mut().drawn(bar, drawn, by.nm());
            return Some(drawn);
        }
        let front = self.store.borrow().bounds(moved)?.max.z;
        if front <= self.rear {
            return None;
        }
        let kept = self.raw_bar(self.rear, front)?;
        Some(self.store.borrow_mut().intersection(moved, kept))
    }

    /// What a move of the tool at a station makes of the bar, and what it goes into.
    pub fn moved(
        &self,
        bar: Placed,
        station: u32,
        (from, to): (Point, Point),
        path: Path,
        bend: Option<Point>,
        spot: Spot,
    ) -> Moved {
        let rapid = path == Path::Rapid;
        let nearest = |mm: f64| Length::nearest_mm(mm);
        let around = match path {
            Path::Arc(arc) => {
                let center = Point { r: nearest(arc.center.0), z: nearest(arc.center.1) };
                Some((center, arc.turn > 0.0))
            }
            Path::Rapid | Path::Line => None,
        };
        let asked = Asked { bar, station, rapid, from, to, around, bend };
        if let Some(known) = self.moves.borrow().get(&asked) {
            return *known;
        }
        let (after, fell) =
            if rapid { (bar, None) } else { self.cut(bar, station, from, to, path) };
        if after != bar {
            self.trail.borrow_mut().cut(bar, after, Cut { spot, station });
        }
        let idle = ways(from, to, path, bend).into_iter().flatten().flatten();
        let idle = idle.into_iter().find_map(|way| self.idle_strike(after, station, &way));
        let (depth, into_solid) = self.removed(bar, after, station, (from, to), path);
        // The holder may not be where the edge has not been.
        let strike = self.strike(after, station, (from, to), path, bend);
        let told = Moved { bar: after, strike, idle, depth, into_solid, fell };
        if self.reuse == Reuse::Remember {
            self.moves.borrow_mut().insert(asked, told);
        }
        told
    }

    /// What the bar is after a cut with the tool at a station, and what falls off it.
    fn cut(
        &self,
        bar: Placed,
        station: u32,
        from: Point,
        to: Point,
        path: Path,
    ) -> (Placed, Option<Placed>) {
        let Some((tool, ways)) = self.tool(station).zip(ways(from, to, path, None)) else {
            return (bar, None);
        };
        if tool.pressed().is_some() {
            return (bar, None);
        }
        let edge = tool.edge(far_side(from, to));
        let cut = ways.into_iter().flatten().fold(bar, |bar, way| {
            // What cannot be computed lies further out than any lathe: nothing is cut there.
            self.store.borrow_mut().cut(bar, edge, &way).unwrap_or(bar)
        });
        if cut == bar { (bar, None) } else { self.held(cut) }
    }

    /// What hangs together with the chuck, and the largest piece that falls. Rings and threads of
    /// metal that a cut leaves fall with it.
    fn held(&self, bar: Placed) -> (Placed, Option<Placed>) {
        let known = self.held.borrow().get(&bar.id).copied();
        let (held, fell) = known.unwrap_or_else(|| {
            let whole = Placed { id: bar.id, shift: 0 };
            // Pieces come from the back: the first is the one in the chuck.
            let pieces = self.store.borrow_mut().pieces(whole);
            let held = pieces.first().copied().unwrap_or(whole);
            let area = |piece: &Placed| self.store.borrow().shape(piece.id).twice_area();
            let fell = pieces.into_iter().skip(1).max_by_key(area);
            if self.reuse == Reuse::Remember {
                self.held.borrow_mut().insert(bar.id, (held, fell));
            }
            (held, fell)
        });
        (held.moved(bar.shift), fell.map(|fell| fell.moved(bar.shift)))
    }

    /// Whether it is known what the tool at a station cuts.
    pub fn knows(&self, station: u32) -> bool {
        self.tool(station).is_some()
    }

    /// How far out the raw bar reaches.
    pub const fn raw_radius(&self) -> Length {
        Length::from_nm(self.raw)
    }

    /// The limits that pieces are compared with.
    pub const fn limits(&self) -> Option<&Limits> {
        self.limits.as_ref()
    }

    /// How many different pieces were compared with the drawing.
    pub fn comparisons(&self) -> usize {
        self.compared.borrow().len()
    }

    /// A bar of which nothing is known: no metal.
    pub fn nothing(&self) -> Placed {
        self.store.borrow_mut().place(&Region::empty())
    }

    /// Where the front of a bar or piece stands.
    pub fn front_of(&self, bar: Placed) -> Option<Length> {
        Some(Length::from_nm(self.store.borrow().bounds(bar)?.max.z))
    }

    /// What the tool at a station goes into on a move: at rapid all of it, at feed its holder into
    /// the bar, and any of it into the jaws.
    fn strike(
        &self,
        bar: Placed,
        station: u32,
        (from, to): (Point, Point),
        path: Path,
        bend: Option<Point>,
    ) -> Option<Strike> {
        let (tool, ways) = self.tool(station).zip(ways(from, to, path, bend))?;
        let far = far_side(from, to);
        let rapid = path == Path::Rapid;
        let edge = (Part::Edge, Some(tool.edge(far)));
        if let Some(deepest) = tool.pressed().filter(|_| !rapid) {
            return self.pressed_too_deep(bar, tool.edge(far), deepest, ways);
        }
        let holder = (Part::Holder, tool.holder(far));
        let parts = [(edge, rapid), (holder, true)];
        for way in ways.into_iter().flatten() {
            for ((part, outline), meets_bar) in parts {
                let Some(outline) = outline else { continue };
                if meets_bar && let Some(hit) = self.overlap(bar, outline, &way) {
                    return Some(Strike { part, against: Against::Bar, ..hit });
                }
                if let Some(hit) = self.overlap(self.jaws, outline, &way) {
                    return Some(Strike { part, against: Against::Jaws, ..hit });
                }
            }
        }
        None
    }

    /// A wheel that is pressed deeper into the bar than its form is high, or into the jaws.
    fn pressed_too_deep(
        &self,
        bar: Placed,
        wheel: OutlineId,
        deepest: Length,
        ways: [Option<Move>; 2],
    ) -> Option<Strike> {
        ways.into_iter().flatten().find_map(|way| {
            let into_bar = self.overlap(bar, wheel, &way).filter(|hit| hit.depth > deepest);
            let into_jaws = || {
                let hit = self.overlap(self.jaws, wheel, &way)?;
                Some(Strike { against: Against::Jaws, ..hit })
            };
            into_bar.map(|hit| Strike { part: Part::Holder, ..hit }).or_else(into_jaws)
        })
    }

    fn overlap(&self, what: Placed, outline: OutlineId, way: &Move) -> Option<Strike> {
        let found = self.store.borrow_mut().overlap(what, outline, way, GRAZING).ok()??;
        let at = Point { r: Length::from_nm(found.at.r), z: Length::from_nm(found.at.z) };
        let depth = Length::from_nm(found.depth);
        Some(Strike { part: Part::Edge, against: Against::Bar, depth, at })
    }

    /// What stays of the bar in the chuck when it is parted at a place.
    pub fn parted(&self, bar: Placed, edge: Length) -> Option<Placed> {
        let kept = self.raw_bar(self.rear, edge.nm())?;
        let stays = self.store.borrow_mut().intersection(bar, kept);
        if stays != bar {
            self.trail.borrow_mut().drawn(bar, stays, 0);
        }
        Some(stays)
    }

    fn tool(&self, station: u32) -> Option<&ToolShape> {
        self.tools.iter().find(|(number, _)| *number == station).map(|(_, shape)| shape)
    }
}

/// Whether a move lies on the far side of the axis.
pub(crate) fn far_side(from: Point, to: Point) -> bool {
    (from.r + to.r).is_negative()
}

/// The straight and round stretches of a move; none beyond what shapes can hold.
fn ways(from: Point, to: Point, path: Path, bend: Option<Point>) -> Option<[Option<Move>; 2]> {
    let at = |point: Point| shape::Point::new(point.z.nm(), point.r.nm());
    if let Path::Arc(arc) = path {
        let nm = |mm: f64| Length::nearest_mm(mm).nm();
        let center = shape::Point::new(nm(arc.center.1), nm(arc.center.0));
        let turn = if arc.turn > 0.0 { Turn::Counterclockwise } else { Turn::Clockwise };
        let way = Move::Arc { from: at(from), to: at(to), center, turn };
        return Some([Some(way), None]);
    }
    match bend {
        Some(bend) => {
            let first = Move::line(at(from), at(bend)).ok()?;
            Some([Some(first), Some(Move::line(at(bend), at(to)).ok()?)])
        }
        None => Some([Some(Move::line(at(from), at(to)).ok()?), None]),
    }
}
