//! The section ENTITIES: lines, arcs and polylines become strokes, everything else is passed over with a
//! word.

use super::{Group, Groups, cut_off};
use crate::drawing::{Drawing, Run, Spot, Stroke};
use model::{Diagnostic, Source, Span};

/// One entity with its groups.
struct Entity {
    kind: String,
    span: Span,
    groups: Vec<Group>,
}

impl Entity {
    fn text(&self, code: i32) -> Option<&Group> {
        self.groups.iter().find(|group| group.code == code)
    }

    /// Flags or counts; zero where they are left out or no number.
    fn whole(&self, code: i32) -> i64 {
        self.text(code).and_then(|group| group.value.parse().ok()).unwrap_or(0)
    }

    fn figure(&self, source: &Source, code: i32, default: Option<f64>) -> Result<f64, Diagnostic> {
        match (self.text(code), default) {
            (Some(group), _) => figure(source, group),
            (None, Some(default)) => Ok(default),
            (None, None) => {
                let message = format!("this {} has no group {code}", self.kind);
                let help = "save the drawing once more as DXF text (ASCII)";
                Err(Diagnostic::new(source, self.span, message).help(help))
            }
        }
    }

    fn layer(&self) -> String {
        self.text(8).map_or("0", |group| group.value.as_str()).to_owned()
    }
}

fn figure(source: &Source, group: &Group) -> Result<f64, Diagnostic> {
    let number = group.value.parse::<f64>().ok().filter(|number| number.is_finite());
    number.ok_or_else(|| {
        let message = format!("`{}` is not a number", group.value);
        Diagnostic::new(source, group.span, message)
            .help("mend it in the drawing and save once more")
    })
}

/// Reads up to the end of the section.
pub(super) fn read(groups: &mut Groups<'_>, drawing: &mut Drawing) -> Result<(), Diagnostic> {
    let source = groups.source;
    let mut entity: Option<Entity> = None;
    let mut polyline: Option<(Entity, Vec<Vertex>)> = None;
    loop {
        let Some(group) = groups.next()? else { return Err(cut_off(source)) };
        if group.code != 0 {
            if let Some(entity) = &mut entity {
                entity.groups.push(group);
            }
            continue;
        }
        if let Some(whole) = entity.take() {
            polyline = collect(source, whole, polyline, drawing)?;
        }
        if group.value == "ENDSEC" {
            if let Some((entity, vertices)) = polyline {
                draw_polyline(&entity, &vertices, drawing);
            }
            return Ok(());
        }
        entity = Some(Entity { kind: group.value, span: group.span, groups: Vec::new() });
    }
}

/// Takes one entity in; gives the polyline that its vertices still belong to.
fn collect(
    source: &Source,
    entity: Entity,
    polyline: Option<(Entity, Vec<Vertex>)>,
    drawing: &mut Drawing,
) -> Result<Option<(Entity, Vec<Vertex>)>, Diagnostic> {
    match (entity.kind.as_str(), polyline) {
        ("VERTEX", Some((owner, mut vertices))) => {
            // 16: a point of a spline's frame, which is not on the line.
            if entity.whole(70) & 16 == 0 {
                vertices.push(vertex(source, &entity)?);
            }
            return Ok(Some((owner, vertices)));
        }
        (_, Some((owner, vertices))) => draw_polyline(&owner, &vertices, drawing),
        (_, None) => {}
    }
    match entity.kind.as_str() {
        "SEQEND" => {}
        _ if entity.whole(67) == 1 => {
            pass_over(&entity, "things on a sheet of the drawing", drawing);
        }
        // 8: in space; 16 and 64: nets of faces.
        "POLYLINE" if entity.whole(70) & (8 | 16 | 64) == 0 => match plane(source, &entity)? {
            Some(_) => return Ok(Some((entity, Vec::new()))),
            None => pass_over(&entity, "POLYLINE on a tilted plane", drawing),
        },
        "LINE" | "ARC" | "LWPOLYLINE" => match plane(source, &entity)? {
            Some(plane) => draw(source, &entity, plane, drawing)?,
            None => pass_over(&entity, &format!("{} on a tilted plane", entity.kind), drawing),
        },
        "INSERT" => pass_over(&entity, "INSERT (a block, which is not followed)", drawing),
        kind => pass_over(&entity, kind, drawing),
    }
    Ok(None)
}

fn pass_over(entity: &Entity, what: &str, drawing: &mut Drawing) {
    drawing.layer_named(&entity.layer()).pass_over(what, entity.span);
}

/// Whether the plane of an entity is the paper, as it is or seen from behind (x turned about); none where
/// it is another.
fn plane(source: &Source, entity: &Entity) -> Result<Option<bool>, Diagnostic> {
    let x = entity.figure(source, 210, Some(0.0))?;
    let y = entity.figure(source, 220, Some(0.0))?;
    let z = entity.figure(source, 230, Some(1.0))?;
    let flat = x.abs() < 1e-9 && y.abs() < 1e-9 && z != 0.0;
    Ok(flat.then_some(z < 0.0))
}

fn draw(
    source: &Source,
    entity: &Entity,
    behind: bool,
    drawing: &mut Drawing,
) -> Result<(), Diagnostic> {
    match entity.kind.as_str() {
        "LINE" => {
            let from = spot(source, entity, 10)?;
            let to = spot(source, entity, 11)?;
            let depth = |code| entity.figure(source, code, Some(0.0));
            if (depth(30)? - depth(31)?).abs() > 1e-6 {
                pass_over(entity, "LINE that leaves the paper", drawing);
                return Ok(());
            }
            // The ends of a line are told in space itself, whatever its plane.
            add(entity, drawing, [straight(from, to, entity.span)]);
        }
        "ARC" => {
            let stroke = arc(source, entity, behind)?;
            add(entity, drawing, [stroke]);
        }
        _ => {
            let vertices = light_vertices(source, entity)?;
            let closed = entity.whole(70) & 1 == 1;
            add(entity, drawing, through(&vertices, closed, behind));
        }
    }
    Ok(())
}

fn add(entity: &Entity, drawing: &mut Drawing, strokes: impl IntoIterator<Item = Stroke>) {
    let layer = drawing.layer_named(&entity.layer());
    layer.entities += 1;
    layer.strokes.extend(strokes);
}

fn spot(source: &Source, entity: &Entity, code: i32) -> Result<Spot, Diagnostic> {
    let x = entity.figure(source, code, None)?;
    let y = entity.figure(source, code + 10, None)?;
    Ok(Spot { x, y })
}

const fn straight(from: Spot, to: Spot, span: Span) -> Stroke {
    Stroke { from, to, run: Run::Straight, span, worked_out: false }
}

/// Seen from behind, x turns about.
fn turned(spot: Spot, behind: bool) -> Spot {
    if behind { Spot { x: -spot.x, y: spot.y } } else { spot }
}

fn arc(source: &Source, entity: &Entity, behind: bool) -> Result<Stroke, Diagnostic> {
    let center = spot(source, entity, 10)?;
    let radius = entity.figure(source, 40, None)?;
    let on = |degrees: f64| {
        let (sin, cos) = sin_cos(degrees);
        turned(Spot { x: center.x + radius * cos, y: center.y + radius * sin }, behind)
    };
    let (from, to) = (on(entity.figure(source, 50, None)?), on(entity.figure(source, 51, None)?));
    let run = Run::Arc { center: turned(center, behind), radius: radius.abs(), ccw: !behind };
    Ok(Stroke { from, to, run, span: entity.span, worked_out: true })
}

/// Sine and cosine of degrees, exact at right angles.
fn sin_cos(degrees: f64) -> (f64, f64) {
    let degrees = libm::fmod(degrees, 360.0);
    let turned = if degrees < 0.0 { degrees + 360.0 } else { degrees };
    for (right, pair) in
        [(0.0, (0.0, 1.0)), (90.0, (1.0, 0.0)), (180.0, (0.0, -1.0)), (270.0, (-1.0, 0.0))]
    {
        if (turned - right).abs() < 1e-9 {
            return pair;
        }
    }
    let radians = turned.to_radians();
    (libm::sin(radians), libm::cos(radians))
}

/// A corner of a polyline and how the line bulges after it: the tangent of a quarter of the arc's angle,
/// positive where it turns to the left.
struct Vertex {
    at: Spot,
    bulge: f64,
    span: Span,
}

fn vertex(source: &Source, entity: &Entity) -> Result<Vertex, Diagnostic> {
    let at = spot(source, entity, 10)?;
    Ok(Vertex { at, bulge: entity.figure(source, 42, Some(0.0))?, span: entity.span })
}

/// The corners of an LWPOLYLINE: each begins with its group 10.
fn light_vertices(source: &Source, entity: &Entity) -> Result<Vec<Vertex>, Diagnostic> {
    let mut vertices: Vec<Vertex> = Vec::new();
    for group in &entity.groups {
        match (group.code, vertices.last_mut()) {
            (10, _) => {
                let at = Spot { x: figure(source, group)?, y: 0.0 };
                vertices.push(Vertex { at, bulge: 0.0, span: group.span });
            }
            (20, Some(vertex)) => vertex.at.y = figure(source, group)?,
            (42, Some(vertex)) => vertex.bulge = figure(source, group)?,
            _ => {}
        }
    }
    Ok(vertices)
}

fn draw_polyline(entity: &Entity, vertices: &[Vertex], drawing: &mut Drawing) {
    let behind = entity.text(230).is_some_and(|group| group.value.starts_with('-'));
    let closed = entity.whole(70) & 1 == 1;
    add(entity, drawing, through(vertices, closed, behind));
}

/// The strokes through the corners of a polyline.
fn through(vertices: &[Vertex], closed: bool, behind: bool) -> Vec<Stroke> {
    let last = if closed { vertices.len() } else { vertices.len().saturating_sub(1) };
    let pairs = (0..last).map(|index| (&vertices[index], &vertices[(index + 1) % vertices.len()]));
    pairs.map(|(from, to)| bulged(from, to, behind)).collect()
}

fn bulged(from: &Vertex, to: &Vertex, behind: bool) -> Stroke {
    let (start, end, bulge) = (from.at, to.at, from.bulge);
    let chord = libm::hypot(end.x - start.x, end.y - start.y);
    let ends = straight(turned(start, behind), turned(end, behind), from.span);
    // A flatter bow than a millionth of its chord is a straight line.
    if bulge.abs() < 1e-6 || chord == 0.0 {
        return ends;
    }
    // The center stands off the middle of the chord by (1 - b²)/(4b) of the chord, to its left.
    let off = (1.0 - bulge * bulge) / (4.0 * bulge);
    let center = Spot {
        x: f64::midpoint(start.x, end.x) - off * (end.y - start.y),
        y: f64::midpoint(start.y, end.y) + off * (end.x - start.x),
    };
    let radius = chord * (1.0 + bulge * bulge) / (4.0 * bulge.abs());
    let run = Run::Arc { center: turned(center, behind), radius, ccw: (bulge > 0.0) != behind };
    Stroke { run, ..ends }
}
