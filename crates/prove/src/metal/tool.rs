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
    pressed: Option<Length>,
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
            ToolKind::Threading => (thread_point(station)?, inside_bar(station)),
            ToolKind::Parting | ToolKind::Grooving => (blade(station)?, inside_bar(station)),
            ToolKind::SpotDrill | ToolKind::Drill => (drill(station)?, None),
            ToolKind::Reamer | ToolKind::Tap => (with_chamfer(station)?, None),
            ToolKind::Knurling => (wheel(station)?, None),
            ToolKind::Gripper | ToolKind::BarStop => return None,
        };
        let edge = OnBothSides::keep(edge, store)?;
        let holder = holder.and_then(|holder| OnBothSides::keep(holder, store));
        let bores = station.in_bore();
        let pressed = station.knurl.filter(|_| station.kind == ToolKind::Knurling);
        let pressed = pressed.map(|knurl| knurl.pitch);
        // A blade that plunges cuts as deep as it is wide.
        let turns = matches!(station.kind, ToolKind::Turning | ToolKind::Boring);
        let has_most_depth = turns && station.takes.most_depth.is_some();
        Some(ToolShape { edge, holder, bores, pressed, has_most_depth })
    }

    /// Whether it works in a hole.
    pub(super) const fn bores(&self) -> bool {
        self.bores
    }

    /// How deep it may be pressed into the metal, where it does that and takes nothing off.
    pub(super) const fn pressed(&self) -> Option<Length> {
        self.pressed
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
        _ if station.in_bore() => [
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
    let tip = if station.inside { Some(2) } else { station.tip };
    let corners = corners.map(|(z, r)| by_tip(tip, point(z, r)));
    Outline::polygon(&corners).ok()
}

/// The bar of a threading or grooving tool that works in a bore.
fn inside_bar(station: &Station) -> Option<Outline> {
    holder(station).filter(|_| station.inside)
}

/// A blade as deep as it reaches. In a bore its reach is how far its bar goes in; there it is as deep as
/// its bar is thick, to the side of the bar that lies opposite.
fn blade(station: &Station) -> Option<Outline> {
    let bar =
        station.shank.filter(|_| station.inside).map(|shank| Length::from_nm(shank.nm() / 10 * 11));
    let reach = bar.or(station.reach).unwrap_or(USUAL_LENGTH).nm();
    let width = station.width?.nm();
    let from = match station.corner {
        BladeCorner::ChuckSide => 0,
        BladeCorner::FrontSide => -width,
    };
    let corner = |z, r: i64| Point::new(z, if station.inside { -r } else { r });
    let corners = [
        corner(from, 0),
        corner(from + width, 0),
        corner(from + width, reach),
        corner(from, reach),
    ];
    Outline::polygon(&corners).ok()
}

/// A thread point square to the axis, round by its nose radius.
fn thread_point(station: &Station) -> Option<Outline> {
    /// An edge is no higher than this.
    const HEIGHT: f64 = 5.0;
    let half_angle = (station.point_angle / 2.0).to_radians();
    let (sine, cosine) = (libm::sin(half_angle), libm::cos(half_angle));
    let nose = station.nose_radius.mm();
    let touch = (nose * cosine, nose * (1.0 - sine));
    let half = touch.0 + (HEIGHT - touch.1) * libm::tan(half_angle);
    let inside = station.inside || matches!(station.tip, Some(2));
    let at = |z: f64, r: f64| by_tip(inside.then_some(2).or(station.tip), point(z, r));
    let mirrored = inside || matches!(station.tip, Some(4));
    let turn = if mirrored { Turn::Clockwise } else { Turn::Counterclockwise };
    let around = if station.nose_radius.is_positive() {
        Edge::Arc { to: at(touch.0, touch.1), center: at(0.0, nose), turn }
    } else {
        Edge::Line(at(half, HEIGHT))
    };
    let edges = [Edge::Line(at(-touch.0, touch.1)), around, Edge::Line(at(half, HEIGHT))];
    let edges = if station.nose_radius.is_positive() { &edges[..] } else { &edges[..2] };
    Outline::new(at(-half, HEIGHT), edges, Chord::FINE).ok()
}

/// A drill on the axis, its point at the programmed tip.
fn drill(station: &Station) -> Option<Outline> {
    let r = station.diameter?.half().mm();
    let length = station.overhang.or(station.reach).unwrap_or(USUAL_LENGTH).mm();
    let point_length = station.point_length().mm();
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

/// A reamer or tap on the axis, its flat end at the programmed tip and its start chamfered. A tap is as
/// wide as its thread, which is followed as a groove all around.
fn with_chamfer(station: &Station) -> Option<Outline> {
    let r = station.diameter?.half().mm();
    let length = station.overhang.or(station.reach).unwrap_or(USUAL_LENGTH).mm();
    let chamfer = station.chamfer.unwrap_or_default().mm();
    let leg = match station.kind {
        // Down to a little below the ground of its thread.
        ToolKind::Tap => 0.65 * station.pitches.pitch?.mm(),
        _ => chamfer,
    };
    let end = length.max(chamfer + 1.0);
    let start = if chamfer > 0.0 { (r - leg).max(r / 2.0) } else { r };
    let corners = [
        point(0.0, -start),
        point(chamfer, -r),
        point(end, -r),
        point(end, r),
        point(chamfer, r),
        point(0.0, start),
    ];
    let from = usize::from(chamfer <= 0.0);
    Outline::polygon(&corners[from..corners.len() - from]).ok()
}

/// A knurling wheel, its edge at the programmed tip and its width toward the front.
fn wheel(station: &Station) -> Option<Outline> {
    let width = station.width?.mm();
    let corners = [point(0.0, 0.0), point(width, 0.0), point(width, width), point(0.0, width)];
    Outline::polygon(&corners).ok()
}
