//! The outline of a tool in the coordinates of its programmed tip, from the figures of the tools
//! file. Where a figure is missing the usual one stands for it.

use model::Length;
use model::files::tools::{BladeCorner, Station, ToolKind};
use shape::{Chord, Edge, Outline, OutlineId, Point, Store, Turn};

/// The corner that is taken where no insert is given, in degrees, and the length of its edges.
const USUAL_CORNER: f64 = 80.0;
const USUAL_EDGE: Length = Length::from_mm(8);
/// The angle of the main edge that is taken where none is given, in degrees: such an edge leaves
/// nothing of a shoulder, so that nothing is told that only a guess shows.
const USUAL_EDGE_ANGLE: f64 = 90.0;
/// How far a boring bar or a drill reaches where nothing says it.
const USUAL_LENGTH: Length = Length::from_mm(60);

/// A tool as outlines.
#[derive(Debug, Clone)]
pub(super) struct ToolShape {
    edge: OnBothSides,
    holder: Option<OnBothSides>,
    bores: bool,
    has_most_depth: bool,
}

/// An outline, and the same one for work on the far side of the axis.
#[derive(Debug, Clone, Copy)]
struct OnBothSides {
    near: OutlineId,
    far: OutlineId,
}

impl OnBothSides {
    fn keep(outline: Outline, store: &mut Store) -> Option<OnBothSides> {
        let far = outline.mirrored().ok()?;
        Some(OnBothSides { near: store.outline(outline), far: store.outline(far) })
    }
}

impl ToolShape {
    /// The shape of what stands at a station; none for what does not cut, or is not described.
    pub(super) fn of(station: &Station, store: &mut Store) -> Option<ToolShape> {
        let (edge, holder) = match station.kind {
            ToolKind::Turning | ToolKind::Boring => (insert(station)?, holder(station)),
            ToolKind::Threading => (thread_point(station)?, None),
            ToolKind::Parting | ToolKind::Grooving => (blade(station)?, None),
            ToolKind::Drill => (drill(station)?, None),
            ToolKind::Gripper | ToolKind::BarStop => return None,
        };
        let edge = OnBothSides::keep(edge, store)?;
        let holder = holder.and_then(|holder| OnBothSides::keep(holder, store));
        let bores = station.kind == ToolKind::Boring;
        // A blade that plunges cuts as deep as it is wide.
        let turns = matches!(station.kind, ToolKind::Turning | ToolKind::Boring);
        let has_most_depth = turns && station.takes.most_depth.is_some();
        Some(ToolShape { edge, holder, bores, has_most_depth })
    }

    /// Whether it works in a hole.
    pub(super) const fn bores(&self) -> bool {
        self.bores
    }

    /// Whether the tools file says how deep it may cut.
    pub(super) const fn has_most_depth(&self) -> bool {
        self.has_most_depth
    }

    pub(super) const fn edge(&self, far: bool) -> OutlineId {
        if far { self.edge.far } else { self.edge.near }
    }

    pub(super) fn holder(&self, far: bool) -> Option<OutlineId> {
        self.holder.map(|holder| if far { holder.far } else { holder.near })
    }
}

/// Corners of an outline, mirrored as the tip number says: 3 as they stand, 2 for boring, 4 and 1
/// for cutting away from the chuck.
fn by_tip(tip: Option<u8>, corner: Point) -> Point {
    let (z, r) = match tip {
        Some(2) => (1, -1),
        Some(4) => (-1, 1),
        Some(1) => (-1, -1),
        _ => (1, 1),
    };
    Point::new(corner.z * z, corner.r * r)
}

fn point(z_mm: f64, r_mm: f64) -> Point {
    Point::new(Length::nearest_mm(z_mm).nm(), Length::nearest_mm(r_mm).nm())
}

/// A corner with its nose radius: the main edge leads toward the chuck.
fn insert(station: &Station) -> Option<Outline> {
    let corner = station.insert.and_then(|insert| insert.shape.corner()).unwrap_or(USUAL_CORNER);
    let length = station.insert.map_or(USUAL_EDGE, |insert| insert.edge()).mm();
    let main = station.edge_angle.unwrap_or(USUAL_EDGE_ANGLE).to_radians();
    let minor = std::f64::consts::PI - main - corner.to_radians();
    let nose = station.nose_radius.mm();
    let tip = |z: f64, r: f64| by_tip(station.tip, point(z, r));
    // Directions along both edges away from the corner, and outward from them.
    let (along_main, along_minor) =
        ((-libm::cos(main), libm::sin(main)), (libm::cos(minor), libm::sin(minor)));
    let (out_main, out_minor) =
        ((-libm::sin(main), -libm::cos(main)), (libm::sin(minor), -libm::cos(minor)));
    let touch = |out: (f64, f64)| (nose + nose * out.0, nose + nose * out.1);
    let (first, second) = (touch(out_main), touch(out_minor));
    let far_main = (first.0 + along_main.0 * length, first.1 + along_main.1 * length);
    let far_minor = (second.0 + along_minor.0 * length, second.1 + along_minor.1 * length);
    let last = (far_main.0 + along_minor.0 * length, far_main.1 + along_minor.1 * length);
    let mirrored = matches!(station.tip, Some(2 | 4));
    let turn = if mirrored { Turn::Clockwise } else { Turn::Counterclockwise };
    let around = if station.nose_radius.is_positive() {
        Edge::Arc { to: tip(second.0, second.1), center: tip(nose, nose), turn }
    } else {
        Edge::Line(tip(second.0, second.1))
    };
    let edges = [
        Edge::Line(tip(first.0, first.1)),
        around,
        Edge::Line(tip(far_minor.0, far_minor.1)),
        Edge::Line(tip(last.0, last.1)),
    ];
    Outline::new(tip(far_main.0, far_main.1), &edges, Chord::FINE).ok()
}

/// The shank behind an insert. It stands a quarter of its width back from the tip, as holders of
/// ISO 5608 do (from memory).
fn holder(station: &Station) -> Option<Outline> {
    let (shank, overhang) = (station.shank?.mm(), station.overhang?.mm());
    let height = station.insert.map_or(USUAL_EDGE, |insert| insert.edge()).mm() * 0.6;
    let corners = match station.kind {
        // A bar along the axis, its tip on its edge.
        ToolKind::Boring => [
            (1.0, 0.1 * shank),
            (overhang, 0.1 * shank),
            (overhang, 1.1 * shank),
            (1.0, 1.1 * shank),
        ],
        _ => [
            (0.25 * shank, height),
            (1.25 * shank, height),
            (1.25 * shank, overhang),
            (0.25 * shank, overhang),
        ],
    };
    let corners = corners.map(|(z, r)| by_tip(station.tip, point(z, r)));
    Outline::polygon(&corners).ok()
}

/// A blade as deep as it reaches.
fn blade(station: &Station) -> Option<Outline> {
    let (width, reach) = (station.width?.nm(), station.reach.unwrap_or(USUAL_LENGTH).nm());
    let from = match station.corner {
        BladeCorner::ChuckSide => 0,
        BladeCorner::FrontSide => -width,
    };
    let corner = |z, r| Point::new(z, r);
    let corners = [
        corner(from, 0),
        corner(from + width, 0),
        corner(from + width, reach),
        corner(from, reach),
    ];
    Outline::polygon(&corners).ok()
}

/// A point of 60° square to the axis.
fn thread_point(station: &Station) -> Option<Outline> {
    let height = 5.0;
    let half = height * libm::tan(30.0_f64.to_radians());
    let corners = [point(0.0, 0.0), point(half, height), point(-half, height)];
    Outline::polygon(&corners.map(|corner| by_tip(station.tip, corner))).ok()
}

/// A drill on the axis, its point at the programmed tip.
fn drill(station: &Station) -> Option<Outline> {
    let r = station.diameter?.half().mm();
    let length = station.overhang.unwrap_or(USUAL_LENGTH).mm();
    let point_length = r / libm::tan((station.point_angle / 2.0).to_radians());
    let end = length.max(point_length + 1.0);
    let corners = [
        point(0.0, 0.0),
        point(point_length, -r),
        point(end, -r),
        point(end, r),
        point(point_length, r),
    ];
    Outline::polygon(&corners).ok()
}
