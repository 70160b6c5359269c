//! The part as a drawing: its outline with what the drawing says of each feature, and its lengths
//! from the front face. Where it has a hole it is cut open along the axis, the metal hatched; else
//! it is seen from the side (ISO 128: outlines thick, all else thin, the axis dash-dotted).
//!
//! The outline is the one that a proof compares each piece with. The front face is on the right,
//! where the tools are.

mod hatch;
mod labels;
mod words;

use super::measures::{self, Measure};
use super::mirror;
use crate::scene::{Anchor, Role, Scene, Shape};
use crate::sizes::{Size, SizeOf};
use labels::Label;
use model::files::job::{Feature, FeatureKind, JobFile};
use model::standards::knurl::KnurlForm;
use model::{Length, Units};
use shape::Region;
use words::{Words, edge, starts, tolerance};

/// Height of a row of words.
const ROW: f64 = 15.0;
const SIDE: f64 = 16.0;
/// Height that the part itself takes at most.
const TALLEST: f64 = 190.0;
/// Width that the part itself takes at most, of that of the paper.
const WIDEST: f64 = 0.62;
/// Distance of a knurl's lines along or around.
const KNURL_STEP: f64 = 5.0;
/// How far the axis stands out beyond both ends.
const AXIS: f64 = 14.0;
/// A corner that turns by less (its cosine) is one of a round stretch and no edge.
const ROUND: f64 = 0.97;

/// The drawing, so wide; none where the features give no shape. Each size has its number beside it.
pub fn scene(file: &JobFile, sizes: &[Size], width: f64) -> Option<Scene> {
    scene_with_places(file, sizes, width).map(|(scene, _)| scene)
}

/// The drawing, and where each feature lies in it: left, top, width and height of its stretch.
pub fn scene_with_places(
    file: &JobFile,
    sizes: &[Size],
    width: f64,
) -> Option<(Scene, Vec<[f64; 4]>)> {
    let region = prove::form::drawn_part(&file.part, &file.bar).ok()?;
    let bounds = *region.bounds()?;
    let mut drawing = Drawing::of(file, sizes, &region, width, bounds.max.r);
    let laid = labels::lay(drawing.labels(), SIDE);
    let over = laid.right + SIDE - width;
    if over > 0.0 {
        // The words of the front end need the room beside it.
        drawing.paper.front = (drawing.paper.front - over).max(drawing.least_front());
    }
    let laid = labels::lay(drawing.labels(), SIDE);
    drawing.paper.axis = SIDE + laid.height + 10.0 + drawing.paper.high;
    let laid = labels::lay(drawing.labels(), SIDE);
    let mut shapes = drawing.part();
    shapes.extend(laid.shapes(drawing.paper.axis - drawing.paper.high - 10.0));
    let below = drawing.paper.axis + drawing.paper.high;
    let paper = &drawing.paper;
    let start = [paper.front, paper.axis + paper.end_height];
    let mut y = measures::rows(start, below, &drawing.measures(), &mut shapes);
    for line in notes(file) {
        y += ROW;
        shapes.push(Shape::Text { at: [SIDE, y], anchor: Anchor::Start, words: line });
    }
    let scene = Scene {
        width: width.max(laid.right + SIDE),
        height: y + 8.0,
        title: format!("Drawing of {}", file.name),
        description: description(file),
        shapes,
    };
    Some((scene, drawing.places()))
}

/// The drawing in words.
pub fn description(file: &JobFile) -> String {
    format!(
        "A turned part of {}, from the front face back: {}.",
        file.part.length.shown(file.units),
        said(file).join("; ")
    )
}

/// What the drawing says of each feature.
pub fn said(file: &JobFile) -> Vec<String> {
    let words = Words { units: file.units };
    let features = file.part.features.iter().zip(starts(&file.part));
    features.map(|(feature, (start, from))| words.of(feature, start, feature.to - from)).collect()
}

fn notes(file: &JobFile) -> Vec<String> {
    let mut notes = vec![format!(
        "Figures in {}, lengths from the front face. Without a tolerance: ISO 2768-1, medium (what the proof takes).",
        match file.units {
            Units::Mm => "mm",
            Units::Inch => "inch",
        }
    )];
    if let Some(corner) = file.part.inside_corner {
        notes.push(format!("Inside corners: at most R{}.", corner.shortest(file.units)));
    }
    if file.part.features.iter().any(|feature| feature.later) {
        notes.push("Dashed: cut by another operation, not here.".to_owned());
    }
    notes
}

/// Where lengths lie on the paper.
struct Paper {
    /// Paper units a millimeter.
    scale: f64,
    /// The front face.
    front: f64,
    /// The axis.
    axis: f64,
    /// Half of the largest diameter.
    high: f64,
    /// Half of the diameter at the front face.
    end_height: f64,
}

impl Paper {
    fn at(&self, z: f64, r: f64) -> [f64; 2] {
        [self.front + z * self.scale, self.axis - r * self.scale]
    }

    /// A distance from the front face.
    fn x(&self, from_front: Length) -> f64 {
        self.front - from_front.mm() * self.scale
    }
}

struct Drawing<'a> {
    file: &'a JobFile,
    sizes: &'a [Size],
    region: &'a Region,
    /// Whether it is drawn cut open.
    cut: bool,
    paper: Paper,
}

impl<'a> Drawing<'a> {
    fn of(
        file: &'a JobFile,
        sizes: &'a [Size],
        region: &'a Region,
        width: f64,
        reach: i64,
    ) -> Drawing<'a> {
        let reach = reach as f64 / 1e6;
        let length = file.part.length.mm();
        let scale = (width * WIDEST / length).min(TALLEST / (2.0 * reach));
        let long = length * scale;
        let front = f64::midpoint(width, long);
        let at_front = region.largest_radius(-1000, 0).unwrap_or(0) as f64 / 1e6;
        let high = reach * scale;
        let paper =
            Paper { scale, front, axis: 0.0, high, end_height: (at_front * scale).min(high) };
        let cut = file.part.features.iter().any(|it| !it.later && (inside(it) || it.face));
        Drawing { file, sizes, region, cut, paper }
    }

    /// The nearest that the front face may stand to the left side.
    fn least_front(&self) -> f64 {
        SIDE + AXIS + self.file.part.length.mm() * self.paper.scale
    }

    fn part(&self) -> Vec<Shape> {
        let paper = &self.paper;
        let loops = mirror::halves(self.region, |z, r| paper.at(z, r));
        let mut shapes = vec![Shape::Area {
            loops: loops.clone(),
            role: Role::Outline,
            title: if self.cut { "the part, cut open" } else { "the part" }.to_owned(),
        }];
        if self.cut {
            let lines = hatch::lines(&loops);
            shapes.extend(lines.into_iter().map(|at| Shape::Line { at, role: Role::Hatch }));
        }
        shapes.extend(self.edges());
        shapes.extend(self.file.part.features.iter().filter_map(|it| self.later(it)).flatten());
        shapes.extend(self.file.part.features.iter().filter_map(|it| self.thread(it)).flatten());
        shapes.extend(self.file.part.features.iter().flat_map(|it| self.knurl(it)));
        let back = paper.x(self.file.part.length) - AXIS;
        let at = [back, paper.axis, paper.front + AXIS, paper.axis];
        shapes.push(Shape::Line { at, role: Role::Axis });
        shapes
    }

    /// The edges that are seen between both outlines: of the outside from the side, of the holes
    /// where the part is cut open.
    fn edges(&self) -> Vec<Shape> {
        let paper = &self.paper;
        let mut edges = Vec::new();
        for points in self.region.loops() {
            for (index, point) in points.iter().enumerate() {
                let before = points[(index + points.len() - 1) % points.len()];
                let behind = points[(index + 1) % points.len()];
                if point.r == 0 || !is_edge(before, *point, behind) {
                    continue;
                }
                let (z, r) = (point.z as f64 / 1e6, point.r as f64 / 1e6);
                if self.cut && !self.is_open_below(point.z, point.r) {
                    continue;
                }
                let ([x, top], [_, bottom]) = (paper.at(z, r), paper.at(z, -r));
                edges.push([x, top, x, bottom]);
            }
        }
        edges.sort_by(|one, other| one[0].total_cmp(&other[0]).then(one[1].total_cmp(&other[1])));
        edges.dedup();
        edges.into_iter().map(|at| Shape::Line { at, role: Role::Outline }).collect()
    }

    /// Whether no metal lies between a place and the axis, on one side of it at least.
    fn is_open_below(&self, z: i64, r: i64) -> bool {
        [z - 1, z + 1].into_iter().any(|z| {
            let metal = self.region.section(z);
            !metal.is_empty() && metal.iter().all(|span| span.low >= r - 1)
        })
    }

    /// What another operation cuts, dashed on both sides of the axis.
    fn later(&self, feature: &Feature) -> Option<[Shape; 2]> {
        if !feature.later || edge(feature.kind) {
            return None;
        }
        let index = self.file.part.features.iter().position(|it| it == feature)?;
        let (start, from) = starts(&self.file.part)[index];
        let (from, to) = (-from.mm(), -feature.to.mm());
        let ends = [start, feature.diameter].map(|it| it.half().mm());
        let open = if inside(feature) {
            0.0
        } else {
            self.region.largest_radius(-feature.to.nm() - 1, -feature.to.nm() + 1).unwrap_or(0)
                as f64
                / 1e6
        };
        let way = |side: f64| Shape::Way {
            points: [(from, open), (from, ends[0]), (to, ends[1]), (to, open)]
                .map(|(z, r)| self.paper.at(z, side * r))
                .to_vec(),
            role: Role::Later,
        };
        Some([way(1.0), way(-1.0)])
    }

    /// The ground of an outside thread, the crest of one inside: a thin line (ISO 6410-1).
    fn thread(&self, feature: &Feature) -> Option<[Shape; 2]> {
        if feature.kind != FeatureKind::Thread || feature.later {
            return None;
        }
        let depth = feature.thread()?.depth.mm();
        let nominal = feature.diameter.half().mm();
        let r = if feature.inside { nominal } else { nominal - depth };
        let line = |side: f64| {
            let [from, y] = self.paper.at(-feature.from.mm(), side * r);
            let [to, _] = self.paper.at(-feature.to.mm(), side * r);
            Shape::Line { at: [from, y, to, y], role: Role::Thread }
        };
        Some([line(1.0), line(-1.0)])
    }

    /// A knurl: thin lines where it is seen from the side, along the axis, slanting or crossing as its form
    /// has them.
    fn knurl(&self, feature: &Feature) -> Vec<Shape> {
        if feature.kind != FeatureKind::Knurl || feature.later || self.cut {
            return Vec::new();
        }
        let r = feature.diameter.half().mm();
        let ([right, top], [left, bottom]) =
            (self.paper.at(-feature.from.mm(), r), self.paper.at(-feature.to.mm(), -r));
        let area = vec![vec![[left, top], [right, top], [right, bottom], [left, bottom]]];
        let turned = |at: [f64; 4]| [at[0], top + bottom - at[1], at[2], top + bottom - at[3]];
        let rising = || hatch::lines(&area);
        let falling = || rising().into_iter().map(turned);
        let between = |from: f64, to: f64| {
            let count = ((to - from) / KNURL_STEP).floor().max(1.0);
            (1..count as u32).map(move |index| from + (to - from) * f64::from(index) / count)
        };
        let along = || between(top, bottom).map(|y| [left, y, right, y]);
        let around = || between(left, right).map(|x| [x, top, x, bottom]);
        let lines: Vec<[f64; 4]> = match feature.knurl.map(|knurl| knurl.form) {
            Some(KnurlForm::Straight) => along().collect(),
            Some(KnurlForm::LeftHand) => falling().collect(),
            Some(KnurlForm::RightHand) => rising(),
            Some(KnurlForm::CrossRaised | KnurlForm::CrossSunk) => {
                along().chain(around()).collect()
            }
            _ => rising().into_iter().chain(falling()).collect(),
        };
        lines.into_iter().map(|at| Shape::Line { at, role: Role::Hatch }).collect()
    }

    fn labels(&self) -> Vec<Label> {
        let words = Words { units: self.file.units };
        let mut taken: Vec<f64> = Vec::new();
        let features = self.file.part.features.iter().enumerate();
        let starts = starts(&self.file.part);
        // Those with the least room choose first.
        let mut order: Vec<_> = features.collect();
        let room = |index: usize, feature: &Feature| {
            let (_, from) = starts[index];
            if edge(feature.kind) { Length::ZERO } else { feature.to - from }
        };
        order.sort_by_key(|(index, feature)| room(*index, feature));
        let shoulders = self.file.part.features.iter().filter(|it| !edge(it.kind));
        let shoulders: Vec<f64> = shoulders.map(|it| self.paper.x(it.to)).collect();
        let labels = order.into_iter().map(|(index, feature)| {
            let (start, from) = starts[index];
            let (near, far) = self.reach(feature, from);
            let x = place(self.paper.x(near), self.paper.x(far), &taken, &shoulders);
            taken.push(x);
            let number = self.number(|size| size.of == SizeOf::Diameter(index));
            let text = words.of(feature, start, feature.to - from);
            Label { at: [x, self.height(x, index, feature)], words: number + &text }
        });
        labels.collect()
    }

    /// From where to where a feature reaches that starts there.
    fn reach(&self, feature: &Feature, from: Length) -> (Length, Length) {
        let size = feature.size.max(feature.radius);
        if edge(feature.kind) {
            return if feature.back { (from - size, from) } else { (from, from + size) };
        }
        if feature.kind == FeatureKind::Undercut && feature.back {
            let wide = feature.undercut.map_or(Length::ZERO, |it| it.width);
            return (feature.to, feature.to + wide);
        }
        (from, feature.to.min(self.file.part.length))
    }

    /// The stretch of each feature, from above to below the part.
    fn places(&self) -> Vec<[f64; 4]> {
        let paper = &self.paper;
        let features = self.file.part.features.iter().zip(starts(&self.file.part));
        let places = features.map(|(feature, (_, from))| {
            let (near, far) = self.reach(feature, from);
            let (left, right) = (paper.x(far), paper.x(near));
            [left, paper.axis - paper.high - 8.0, (right - left).max(2.0), 2.0 * paper.high + 16.0]
        });
        places.collect()
    }

    /// The number of a size as it stands in front of its words; nothing where it has none.
    fn number(&self, is: impl Fn(&Size) -> bool) -> String {
        let size = self.sizes.iter().find(|size| is(size));
        size.map_or(String::new(), |size| format!("[{}] ", size.number))
    }

    /// The height of a feature's surface on the upper side.
    fn height(&self, x: f64, index: usize, feature: &Feature) -> f64 {
        let paper = &self.paper;
        let z = (x - paper.front) / paper.scale;
        let nominal = match feature.kind {
            FeatureKind::Thread | FeatureKind::Knurl => Some(feature.diameter.half().mm()),
            // A leader to a groove in the face ends at its outer wall.
            FeatureKind::Groove if feature.face => Some(feature.diameter.half().mm()),
            _ if feature.later && !edge(feature.kind) => {
                let (start, from) = starts(&self.file.part)[index];
                let share = (-z - from.mm()) / (feature.to - from).mm().max(1e-9);
                let (start, end) = (start.half().mm(), feature.diameter.half().mm());
                Some(start + (end - start) * share.clamp(0.0, 1.0))
            }
            _ => None,
        };
        let metal = || {
            let spans = self.region.section((z * 1e6) as i64);
            let nm = if inside(feature) { spans.first()?.low } else { spans.last()?.high };
            Some(nm as f64 / 1e6)
        };
        paper.axis - nominal.or_else(metal).unwrap_or(0.0) * paper.scale
    }

    fn measures(&self) -> Vec<Measure> {
        let (part, units) = (&self.file.part, self.file.units);
        let mut places: Vec<(Length, f64, String)> = Vec::new();
        let mut add = |to: Length, r: Length, words: String| {
            let known = |(place, ..): &(Length, f64, String)| *place == to;
            if to.is_positive() && !places.iter().any(known) {
                places.push((to, r.half().mm(), words));
            }
        };
        let number = self.number(|size| size.of == SizeOf::Length);
        let whole = tolerance(part.length_deviations, units);
        let back = self.region.largest_radius(-part.length.nm(), -part.length.nm() + 1000);
        let back = Length::from_nm(back.unwrap_or(0) * 2);
        let words = format!("{number}{}{whole}", part.length.shortest(units));
        add(part.length, back, words);
        for feature in part.features.iter().filter(|feature| !edge(feature.kind)) {
            let is_end = |size: &Size| matches!(size.of, SizeOf::End(_));
            let number = self.number(|size| is_end(size) && size.nominal == feature.to);
            let words = number + &feature.to.shortest(units);
            let through = feature.to >= part.length;
            let away = if inside(feature) || through { Length::ZERO } else { feature.diameter };
            if !through {
                add(feature.to, away, words);
            }
            if matches!(feature.kind, FeatureKind::Thread | FeatureKind::Knurl) {
                add(feature.from, feature.diameter, feature.from.shortest(units));
            }
        }
        let paper = &self.paper;
        let measure = |(to, r, words): (Length, f64, String)| Measure {
            to: paper.x(to),
            from_height: paper.axis + r * paper.scale,
            words,
        };
        places.into_iter().map(measure).collect()
    }
}

/// Whether a feature is in a hole.
fn inside(feature: &Feature) -> bool {
    feature.inside || matches!(feature.kind, FeatureKind::Bore | FeatureKind::Hole)
}

/// Whether a corner of an outline is an edge.
fn is_edge(before: shape::Point, at: shape::Point, behind: shape::Point) -> bool {
    let step = |from: shape::Point, to: shape::Point| {
        let (z, r) = ((to.z - from.z) as f64, (to.r - from.r) as f64);
        let long = libm::hypot(z, r).max(1.0);
        (z / long, r / long)
    };
    let (one, other) = (step(before, at), step(at, behind));
    one.0 * other.0 + one.1 * other.1 < ROUND
}

/// A place between two where no line stands yet, near their middle, and off the shoulders where
/// there is room.
fn place(from: f64, to: f64, taken: &[f64], shoulders: &[f64]) -> f64 {
    let shares = [0.5, 0.35, 0.65, 0.2, 0.8, 0.42, 0.58, 0.1, 0.9];
    let at = |share: f64| from + (to - from) * share;
    let nearest =
        |x: f64, all: &[f64]| all.iter().map(|it| (x - it).abs()).fold(f64::INFINITY, f64::min);
    let off = |x: f64| nearest(x, taken);
    let mut places = shares.iter().map(|share| at(*share)).filter(|x| off(*x) >= 6.0);
    let clear = places.clone().find(|x| nearest(*x, shoulders) >= 4.0);
    clear.or_else(|| places.next()).unwrap_or_else(|| {
        let best = shares.iter().map(|share| at(*share));
        best.max_by(|one, other| off(*one).total_cmp(&off(*other))).unwrap_or(from)
    })
}
