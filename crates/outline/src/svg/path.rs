//! Path data as strokes.

use super::spot;
use crate::curve;
use crate::drawing::{Run, Spot, Stroke};
use kurbo::{Affine, Arc, CubicBez, ParamCurve as _, Point, QuadBez, SvgArc, Vec2};
use model::Span;
use svgtypes::PathSegment;

/// Straight strokes through `x, y, x, y …`.
pub(super) fn through(places: &[f64], closed: bool, transform: Affine, span: Span) -> Vec<Stroke> {
    let points = places.chunks_exact(2).map(|pair| spot(transform * Point::new(pair[0], pair[1])));
    let points: Vec<Spot> = points.collect();
    let last = if closed { points.len() } else { points.len().saturating_sub(1) };
    let pairs = (0..last).map(|index| (points[index], points[(index + 1) % points.len()]));
    pairs
        .map(|(from, to)| Stroke { from, to, run: Run::Straight, span, worked_out: false })
        .collect()
}

/// The last control point of the curve before, which a smooth curve reflects (SVG 2, 9.3.6 and 9.3.7).
#[derive(Clone, Copy, Default)]
enum Handle {
    #[default]
    None,
    Cubic(Point),
    Quadratic(Point),
}

impl Handle {
    fn cubic(self, at: Point) -> Point {
        if let Handle::Cubic(point) = self { at + (at - point) } else { at }
    }

    fn quadratic(self, at: Point) -> Point {
        if let Handle::Quadratic(point) = self { at + (at - point) } else { at }
    }
}

/// What draws along path data.
pub(super) struct Pen {
    transform: Affine,
    tolerance: f64,
    span: Span,
    at: Point,
    begun: Point,
    handle: Handle,
    strokes: Vec<Stroke>,
    curves: (usize, usize),
}

impl Pen {
    pub(super) const fn new(transform: Affine, tolerance: f64, span: Span) -> Pen {
        let (at, begun) = (Point::ORIGIN, Point::ORIGIN);
        let handle = Handle::None;
        Pen { transform, tolerance, span, at, begun, handle, strokes: Vec::new(), curves: (0, 0) }
    }

    /// The strokes; how many curves there were, and how many strokes stand for them.
    pub(super) fn ended(self) -> (Vec<Stroke>, (usize, usize)) {
        (self.strokes, self.curves)
    }

    /// Draws one segment; `false` where its figures are no places.
    pub(super) fn draw(&mut self, segment: &PathSegment) -> bool {
        let from = self.at;
        let place = |abs: bool, x: f64, y: f64| {
            let point = Point::new(x, y);
            if abs { point } else { point + from.to_vec2() }
        };
        let reflected = std::mem::take(&mut self.handle);
        match *segment {
            PathSegment::MoveTo { abs, x, y } => {
                self.at = place(abs, x, y);
                self.begun = self.at;
                self.at.is_finite()
            }
            PathSegment::LineTo { abs, x, y } => self.line(place(abs, x, y)),
            PathSegment::HorizontalLineTo { abs, x } => {
                self.line(Point::new(place(abs, x, 0.0).x, from.y))
            }
            PathSegment::VerticalLineTo { abs, y } => {
                self.line(Point::new(from.x, place(abs, 0.0, y).y))
            }
            PathSegment::ClosePath { .. } => {
                let closed = from == self.begun || self.line(self.begun);
                self.at = self.begun;
                closed
            }
            PathSegment::CurveTo { abs, x1, y1, x2, y2, x, y } => {
                self.cubic(place(abs, x1, y1), place(abs, x2, y2), place(abs, x, y))
            }
            PathSegment::SmoothCurveTo { abs, x2, y2, x, y } => {
                let first = reflected.cubic(from);
                self.cubic(first, place(abs, x2, y2), place(abs, x, y))
            }
            PathSegment::Quadratic { abs, x1, y1, x, y } => {
                self.quadratic(place(abs, x1, y1), place(abs, x, y))
            }
            PathSegment::SmoothQuadratic { abs, x, y } => {
                self.quadratic(reflected.quadratic(from), place(abs, x, y))
            }
            PathSegment::EllipticalArc { abs, rx, ry, x_axis_rotation, large_arc, sweep, x, y } => {
                self.arc(&SvgArc {
                    from,
                    to: place(abs, x, y),
                    radii: Vec2::new(rx, ry),
                    x_rotation: x_axis_rotation.to_radians(),
                    large_arc,
                    sweep,
                })
            }
        }
    }

    fn cubic(&mut self, first: Point, second: Point, to: Point) -> bool {
        let curve = CubicBez::new(self.at, first, second, to);
        let drawn = self.curve(&|t| curve.eval(t), to);
        self.handle = Handle::Cubic(second);
        drawn
    }

    fn quadratic(&mut self, control: Point, to: Point) -> bool {
        let curve = QuadBez::new(self.at, control, to);
        let drawn = self.curve(&|t| curve.eval(t), to);
        self.handle = Handle::Quadratic(control);
        drawn
    }

    fn line(&mut self, to: Point) -> bool {
        let (from, end) = (spot(self.transform * self.at), spot(self.transform * to));
        let (span, run) = (self.span, Run::Straight);
        self.strokes.push(Stroke { from, to: end, run, span, worked_out: false });
        self.at = to;
        is_finite(from) && is_finite(end)
    }

    fn curve(&mut self, curve: &dyn Fn(f64) -> Point, to: Point) -> bool {
        let transform = self.transform;
        let placed = |t| spot(transform * curve(t));
        if (0..=8).any(|place| !is_finite(placed(f64::from(place) / 8.0))) {
            return false;
        }
        let Some(mut strokes) = curve::strokes(&placed, self.tolerance, self.span) else {
            return false;
        };
        let (from, end) = (spot(transform * self.at), spot(transform * to));
        if let Some(first) = strokes.first_mut() {
            first.from = from;
        }
        if let Some(last) = strokes.last_mut() {
            last.to = end;
        }
        self.curves = (self.curves.0 + 1, self.curves.1 + strokes.len());
        self.strokes.extend(strokes);
        self.at = to;
        true
    }

    /// An arc of a circle stays one where the transform keeps circles; every other arc is a curve. Ends
    /// that are one place give nothing, and a radius of zero a straight line (SVG 2, 9.5.1).
    fn arc(&mut self, told: &SvgArc) -> bool {
        let finite = told.radii.is_finite() && told.to.is_finite() && told.x_rotation.is_finite();
        if !finite {
            return false;
        }
        if told.from == told.to {
            return true;
        }
        let Some(arc) = Arc::from_svg_arc(told) else { return self.line(told.to) };
        if !arc.center.is_finite() || !arc.radii.is_finite() {
            return false;
        }
        let circle = (arc.radii.x - arc.radii.y).abs() <= 1e-9 * arc.radii.x.abs();
        let [a, b, c, d, _, _] = self.transform.as_coeffs();
        let keeps = |x: f64, y: f64| (x - y).abs() <= 1e-9 * x.abs().max(y.abs());
        let (straight, mirrored) = (keeps(a, d) && keeps(b, -c), keeps(a, -d) && keeps(b, c));
        if !circle || !(straight || mirrored) {
            return self.curve(&|t| arc.eval(t), told.to);
        }
        let center = spot(self.transform * arc.center);
        let radius = arc.radii.x.abs() * libm::hypot(a, b);
        // On the paper y goes up, so that what turns with the clock's hand in SVG's own axes does so here.
        let ccw = (arc.sweep_angle < 0.0) == straight;
        let (from, to) = (spot(self.transform * told.from), spot(self.transform * told.to));
        let run = Run::Arc { center, radius, ccw };
        self.strokes.push(Stroke { from, to, run, span: self.span, worked_out: false });
        self.at = told.to;
        is_finite(from) && is_finite(to) && is_finite(center) && radius.is_finite()
    }
}

fn is_finite(spot: Spot) -> bool {
    spot.x.is_finite() && spot.y.is_finite()
}
