//! Draws the section of a part: this test's own idea of what features mean, by lines and arcs.

use model::files::job::{Feature, FeatureKind};
use model::{Length, Units};
use outline::Front;

/// How a drawing is written.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Way {
    /// DXF with LINE and ARC, in any order and direction.
    Lines,
    /// DXF with one LWPOLYLINE.
    Light,
    /// DXF with one POLYLINE and its VERTEX.
    Old,
    /// SVG with one path.
    Path,
}

/// How a part lies on the paper.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Sheet {
    pub(crate) front: Front,
    pub(crate) full: bool,
    /// Of the front face and the axis, in hundredths of a unit.
    pub(crate) shift: (i64, i64),
    pub(crate) reversed: bool,
    pub(crate) way: Way,
    pub(crate) order: u64,
}

/// One line or arc in nanometers: to where, and around what (depth, radius from the axis, counterclockwise
/// in a picture with the depth to the right and the radius up).
#[derive(Debug, Clone, Copy)]
struct Piece {
    to: (f64, f64),
    around: Option<(f64, f64, bool)>,
}

const fn line(depth: f64, radius: f64) -> Piece {
    Piece { to: (depth, radius), around: None }
}

fn half(length: Length) -> f64 {
    length.nm() as f64 / 2.0
}

/// The stretches of the outside, or of the bore, from the front face to the back.
fn side(features: &[Feature], inside: bool) -> Vec<Piece> {
    let mut pieces = Vec::new();
    let (mut depth, mut before, mut edge) = (0.0, 0.0, None);
    let into_metal = if inside { 1.0 } else { -1.0 };
    for feature in features {
        let to = feature.to.nm() as f64;
        let bore = feature.inside || feature.kind == FeatureKind::Bore;
        match feature.kind {
            FeatureKind::Chamfer | FeatureKind::Corner if bore == inside => edge = Some(feature),
            FeatureKind::Diameter | FeatureKind::Bore | FeatureKind::Taper | FeatureKind::Arc
                if bore == inside =>
            {
                let end = half(feature.diameter);
                let cylinder = matches!(feature.kind, FeatureKind::Diameter | FeatureKind::Bore);
                let start = feature.start.map_or(if cylinder { end } else { before }, half);
                match edge.take() {
                    Some(edge) if edge.kind == FeatureKind::Chamfer => {
                        let size = edge.size.nm() as f64;
                        pieces.push(line(depth, start + into_metal * size));
                        pieces.push(line(depth + size, start));
                    }
                    Some(edge) => {
                        let r = edge.radius.nm() as f64;
                        pieces.push(line(depth, start + into_metal * r));
                        let around = Some((depth + r, start + into_metal * r, inside));
                        pieces.push(Piece { to: (depth + r, start), around });
                    }
                    None => pieces.push(line(depth, start)),
                }
                let around = (feature.kind == FeatureKind::Arc).then(|| {
                    let (dx, dy) = (to - depth, end - start);
                    let chord = dx.hypot(dy);
                    let r = feature.radius.nm() as f64;
                    let off = (r * r - chord * chord / 4.0).max(0.0).sqrt()
                        * if feature.hollow { 1.0 } else { -1.0 };
                    (
                        f64::midpoint(depth, to) - off * dy / chord,
                        f64::midpoint(start, end) + off * dx / chord,
                        feature.hollow,
                    )
                });
                pieces.push(Piece { to: (to, end), around });
                (depth, before) = (to, end);
            }
            FeatureKind::Groove if feature.inside == inside => {
                let (from, ground) = (to - feature.width.nm() as f64, half(feature.diameter));
                let (last, outer) = (pieces.len() - 1, before);
                pieces.insert(last, line(from, outer));
                pieces.insert(last + 1, line(from, ground));
                pieces.insert(last + 2, line(to, ground));
                pieces.insert(last + 3, line(to, outer));
            }
            _ => {}
        }
    }
    pieces
}

/// Half of the section as a closed way that begins on the axis, or at the bore's front edge.
fn section(features: &[Feature], length: Length) -> ((f64, f64), Vec<Piece>, bool) {
    let back = length.nm() as f64;
    let mut bore = side(features, true);
    let through = bore.last().is_some_and(|it| it.to.0 == back);
    if let Some(hole) = features.iter().find(|it| it.kind == FeatureKind::Hole) {
        let (radius, to) = (half(hole.diameter), hole.to.nm() as f64);
        bore.push(line(bore.last().map_or(0.0, |it| it.to.0), radius));
        bore.push(line(to, radius));
        bore.push(line(to + radius / (hole.point_angle.to_radians() / 2.0).tan(), 0.0));
    } else if let Some(bottom) = bore.last().filter(|_| !through) {
        bore.push(line(bottom.to.0, 0.0));
    }
    // The bore is walked backward, to the front face.
    let mut way = Vec::new();
    let start = bore.last().map_or((0.0, 0.0), |it| it.to);
    for index in (0..bore.len().saturating_sub(1)).rev() {
        let around = bore[index + 1].around.map(|(x, y, ccw)| (x, y, !ccw));
        way.push(Piece { to: bore[index].to, around });
    }
    way.extend(side(features, false));
    way.push(line(back, if through { start.1 } else { 0.0 }));
    let mut at = start;
    way.retain(|piece| std::mem::replace(&mut at, piece.to) != piece.to);
    (start, way, through)
}

/// The drawing, and where its axis is.
pub(crate) fn draw(
    features: &[Feature],
    length: Length,
    units: Units,
    sheet: &Sheet,
) -> (String, f64) {
    let (start, mut way, through) = section(features, length);
    if sheet.full {
        // The other side, walked back.
        let mut froms = vec![start];
        froms.extend(way.iter().map(|it| it.to));
        let other: Vec<_> = (0..way.len())
            .rev()
            .map(|index| Piece {
                to: (froms[index].0, -froms[index].1),
                around: way[index].around.map(|(x, y, ccw)| (x, -y, ccw)),
            })
            .collect();
        way.extend(other);
    } else if !through {
        way.push(Piece { to: start, around: None });
    }
    let unit = units.nanometers() as f64;
    let shift = (sheet.shift.0 as f64 / 100.0, sheet.shift.1 as f64 / 100.0);
    let place = |(depth, radius): (f64, f64)| {
        let (depth, radius) = (depth / unit, radius / unit);
        match sheet.front {
            Front::Left => (shift.0 + depth, shift.1 + radius),
            Front::Right => (shift.0 - depth, shift.1 + radius),
            Front::Top => (shift.0 + radius, shift.1 - depth),
            Front::Bottom => (shift.0 + radius, shift.1 + depth),
        }
    };
    let mirrored = matches!(sheet.front, Front::Right | Front::Bottom);
    let mut at = start;
    let mut drawn: Vec<Drawn> = Vec::new();
    for piece in &way {
        let around = piece.around.map(|(x, y, ccw)| (place((x, y)), ccw != mirrored));
        drawn.push(Drawn { from: place(at), to: place(piece.to), around });
        at = piece.to;
    }
    if sheet.reversed {
        drawn.reverse();
        for it in &mut drawn {
            std::mem::swap(&mut it.from, &mut it.to);
            it.around = it.around.map(|(center, ccw)| (center, !ccw));
        }
    }
    let across = matches!(sheet.front, Front::Left | Front::Right);
    let axis = if across { shift.1 } else { shift.0 };
    match sheet.way {
        Way::Path => (svg(&drawn, units), if across { -axis } else { axis }),
        way => (dxf(&drawn, units, way, sheet.order), axis),
    }
}

#[derive(Debug, Clone, Copy)]
struct Drawn {
    from: (f64, f64),
    to: (f64, f64),
    around: Option<((f64, f64), bool)>,
}

impl Drawn {
    /// How far the arc turns, above zero.
    fn turn(&self) -> f64 {
        let Some((center, ccw)) = self.around else { return 0.0 };
        let angle = |it: (f64, f64)| (it.1 - center.1).atan2(it.0 - center.0);
        let turn =
            if ccw { angle(self.to) - angle(self.from) } else { angle(self.from) - angle(self.to) };
        if turn < 0.0 { turn + std::f64::consts::TAU } else { turn }
    }

    fn bulge(&self) -> f64 {
        let side = if self.around.is_some_and(|it| it.1) { 1.0 } else { -1.0 };
        side * (self.turn() / 4.0).tan()
    }
}

fn dxf(drawn: &[Drawn], units: Units, way: Way, order: u64) -> String {
    let number = if units == Units::Mm { 4 } else { 1 };
    let mut text = format!(
        "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n{number}\n0\nENDSEC\n0\nSECTION\n2\nENTITIES\n"
    );
    match way {
        Way::Light => {
            text += &format!("0\nLWPOLYLINE\n8\noutline\n90\n{}\n70\n1\n", drawn.len());
            for it in drawn {
                text += &format!("10\n{}\n20\n{}\n42\n{}\n", it.from.0, it.from.1, it.bulge());
            }
        }
        Way::Old => {
            text += "0\nPOLYLINE\n8\noutline\n66\n1\n70\n1\n";
            for it in drawn {
                text += &format!(
                    "0\nVERTEX\n8\noutline\n10\n{}\n20\n{}\n42\n{}\n",
                    it.from.0,
                    it.from.1,
                    it.bulge()
                );
            }
            text += "0\nSEQEND\n8\noutline\n";
        }
        Way::Lines | Way::Path => {
            let mut all = drawn.to_vec();
            let mut random = order | 1;
            for index in (1..all.len()).rev() {
                random = random
                    .wrapping_mul(6_364_136_223_846_793_005)
                    .wrapping_add(1_442_695_040_888_963_407);
                all.swap(index, (random >> 33) as usize % (index + 1));
            }
            for it in all {
                text += &entity(&it);
            }
        }
    }
    text + "0\nENDSEC\n0\nEOF\n"
}

fn entity(it: &Drawn) -> String {
    let Some((center, ccw)) = it.around else {
        return format!(
            "0\nLINE\n8\noutline\n10\n{}\n20\n{}\n11\n{}\n21\n{}\n",
            it.from.0, it.from.1, it.to.0, it.to.1
        );
    };
    let radius = (it.from.0 - center.0).hypot(it.from.1 - center.1);
    let angle =
        |to: (f64, f64)| (to.1 - center.1).atan2(to.0 - center.0).to_degrees().rem_euclid(360.0);
    let (start, end) = if ccw { (it.from, it.to) } else { (it.to, it.from) };
    format!(
        "0\nARC\n8\noutline\n10\n{}\n20\n{}\n40\n{}\n50\n{}\n51\n{}\n",
        center.0,
        center.1,
        radius,
        angle(start),
        angle(end)
    )
}

fn svg(drawn: &[Drawn], units: Units) -> String {
    let mut path = format!("M {} {}", drawn[0].from.0, -drawn[0].from.1);
    for it in drawn {
        let (x, y) = (it.to.0, -it.to.1);
        path += &match it.around {
            None => format!(" L {x} {y}"),
            Some((center, ccw)) => {
                let r = (it.from.0 - center.0).hypot(it.from.1 - center.1);
                format!(
                    " A {r} {r} 0 {} {} {x} {y}",
                    u8::from(it.turn() > std::f64::consts::PI),
                    u8::from(!ccw)
                )
            }
        };
    }
    let unit = if units == Units::Mm { "mm" } else { "in" };
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"200{unit}\" height=\"100{unit}\" viewBox=\"0 0 200 100\">\n<path d=\"{path} Z\"/>\n</svg>\n"
    )
}
