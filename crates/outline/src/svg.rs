//! Reads SVG: path, line, polyline, polygon and rect elements with the transforms above them. Source: SVG 2
//! (W3C) chapters 8 (coordinates), 9 (paths) and 10 (basic shapes).

mod path;

use crate::curve::TOLERANCE_NM;
use crate::drawing::{Drawing, Spot, Stroke, Unit};
use kurbo::Affine;
use model::{Diagnostic, Source, Span, Units};
use roxmltree::{Document, Node, ParsingOptions};
use std::str::FromStr as _;
use svgtypes::{Length, LengthUnit, Transform, ViewBox};

/// Deepest nesting of groups.
const DEEPEST: u32 = 200;

/// Reads a drawing.
///
/// # Errors
/// Where the text is not XML, the page's sizes contradict each other, or an element cannot be read.
pub(crate) fn read(source: &Source) -> Result<Drawing, Diagnostic> {
    let Ok(text) = std::str::from_utf8(source.bytes()) else {
        let help = "save the drawing once more as SVG";
        return Err(Diagnostic::new(source, source.line(1), "this is not text in UTF-8").help(help));
    };
    let options = ParsingOptions { allow_dtd: true, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| {
        let span = source.line(error.pos().row);
        let help = "save the drawing once more as SVG";
        Diagnostic::new(source, span, format!("this is not XML: {error}")).help(help)
    })?;
    let root = document.root_element();
    if root.tag_name().name() != "svg" {
        let message = format!("the file holds `{}`, not a drawing in SVG", root.tag_name().name());
        let help = "save the drawing once more as SVG";
        return Err(Diagnostic::new(source, span(root), message).help(help));
    }
    let mut drawing = Drawing::empty();
    drawing.y_down = true;
    drawing.unit = page_unit(source, root)?;
    let tolerance = TOLERANCE_NM / drawing.unit.map_or(1e6, |unit| unit.nm);
    let mut reader = Reader { source, drawing, tolerance, curves: (0, 0) };
    for child in root.children().filter(Node::is_element) {
        reader.element(child, Affine::IDENTITY, None, 0)?;
    }
    Ok(reader.ended())
}

/// The stretch of an element's opening.
fn span(node: Node<'_, '_>) -> Span {
    let range = node.range();
    Span::new(range.start, range.end.min(range.start + 60))
}

/// What one unit of the drawing is: the page's width over the width of what it shows.
fn page_unit(source: &Source, root: Node<'_, '_>) -> Result<Option<Unit>, Diagnostic> {
    let size = |name| root.attribute(name).and_then(|text| Length::from_str(text).ok());
    let shown = root.attribute("viewBox").and_then(|text| ViewBox::from_str(text).ok());
    let (Some(width), Some(shown)) = (size("width"), shown) else { return Ok(None) };
    let Some((name, nm, units)) = real(width.unit) else { return Ok(None) };
    let scale = nm * width.number / shown.w;
    let Some(height) = size("height").and_then(|it| Some(real(it.unit)?.1 * it.number)) else {
        return Ok(None);
    };
    if !scale.is_normal() || scale < 0.0 {
        return Ok(None);
    }
    if (height / shown.h / scale - 1.0).abs() > 1e-4 {
        let message = "width and height of the page show the drawing at two different scales";
        let help = "make width : height equal to that of the `viewBox`, or say --units";
        return Err(Diagnostic::new(source, span(root), message).help(help));
    }
    Ok(Some(Unit {
        name: if (scale / nm - 1.0).abs() < 1e-9 { name } else { "units of the page" },
        nm: scale,
        units,
    }))
}

/// A unit that stands for a real length.
const fn real(unit: LengthUnit) -> Option<(&'static str, f64, Units)> {
    match unit {
        LengthUnit::Mm => Some(("millimeters", 1e6, Units::Mm)),
        LengthUnit::Cm => Some(("centimeters", 1e7, Units::Mm)),
        LengthUnit::In => Some(("inches", 25_400_000.0, Units::Inch)),
        _ => None,
    }
}

struct Reader<'s> {
    source: &'s Source,
    drawing: Drawing,
    /// How far an arc may stand off a curve, in the drawing's own unit.
    tolerance: f64,
    /// Curves, and the lines and arcs that stand for them.
    curves: (usize, usize),
}

impl Reader<'_> {
    fn element(
        &mut self,
        node: Node<'_, '_>,
        above: Affine,
        group: Option<&str>,
        depth: u32,
    ) -> Result<(), Diagnostic> {
        let name = node.tag_name().name();
        if node.attribute("display") == Some("none") || is_not_drawn(name) {
            return Ok(());
        }
        let transform = above * self.transform(node)?;
        let layer = group.or_else(|| node.attribute("id").filter(|_| name == "g"));
        if name == "g" || name == "a" {
            if depth >= DEEPEST {
                let message = format!("groups lie in each other more than {DEEPEST} deep");
                return Err(self.trouble(node, message, "ungroup the outline"));
            }
            for child in node.children().filter(Node::is_element) {
                self.element(child, transform, layer, depth + 1)?;
            }
            return Ok(());
        }
        let shape = match name {
            "path" => self.path(node, transform)?,
            "line" => Some(self.corners(node, transform, false, &["x1", "y1", "x2", "y2"])?),
            "rect" => self.rect(node, transform)?,
            "polyline" => Some(self.points(node, transform, false)?),
            "polygon" => Some(self.points(node, transform, true)?),
            _ => None,
        };
        let layer = self.drawing.layer_named(layer.unwrap_or_default());
        match shape {
            Some(strokes) => {
                layer.entities += 1;
                layer.strokes.extend(strokes);
            }
            None if name == "use" => {
                layer.pass_over("use (a copy, which is not followed)", span(node));
            }
            None => layer.pass_over(name, span(node)),
        }
        Ok(())
    }

    fn trouble(&self, node: Node<'_, '_>, message: String, help: &str) -> Diagnostic {
        Diagnostic::new(self.source, span(node), message).help(help)
    }

    fn transform(&self, node: Node<'_, '_>) -> Result<Affine, Diagnostic> {
        let Some(text) = node.attribute("transform") else { return Ok(Affine::IDENTITY) };
        let told = Transform::from_str(text).ok();
        let told = told.map(|it| [it.a, it.b, it.c, it.d, it.e, it.f]);
        told.filter(|it| it.iter().all(|figure| figure.is_finite())).map(Affine::new).ok_or_else(
            || {
                let help = "flatten the transforms in the drawing program and save once more";
                self.trouble(node, format!("`{text}` is not a transform"), help)
            },
        )
    }

    fn number(&self, node: Node<'_, '_>, name: &str) -> Result<f64, Diagnostic> {
        let Some(text) = node.attribute(name) else { return Ok(0.0) };
        let plain = Length::from_str(text).ok();
        let plain = plain.filter(|it| matches!(it.unit, LengthUnit::None | LengthUnit::Px));
        plain.map(|it| it.number).filter(|it| it.is_finite()).ok_or_else(|| {
            let message = format!("`{name}=\"{text}\"` is not a plain number");
            self.trouble(node, message, "write it as a path, or without a unit")
        })
    }

    fn corners(
        &self,
        node: Node<'_, '_>,
        transform: Affine,
        closed: bool,
        names: &[&str],
    ) -> Result<Vec<Stroke>, Diagnostic> {
        let figures: Result<Vec<_>, _> = names.iter().map(|name| self.number(node, name)).collect();
        Ok(path::through(&figures?, closed, transform, span(node)))
    }

    /// A box with sharp corners; none for one with round ones.
    fn rect(
        &self,
        node: Node<'_, '_>,
        transform: Affine,
    ) -> Result<Option<Vec<Stroke>>, Diagnostic> {
        if node.has_attribute("rx") || node.has_attribute("ry") {
            return Ok(None);
        }
        let (x, y) = (self.number(node, "x")?, self.number(node, "y")?);
        let (width, height) = (self.number(node, "width")?, self.number(node, "height")?);
        let corners = [x, y, x + width, y, x + width, y + height, x, y + height];
        Ok(Some(path::through(&corners, true, transform, span(node))))
    }

    fn points(
        &self,
        node: Node<'_, '_>,
        transform: Affine,
        closed: bool,
    ) -> Result<Vec<Stroke>, Diagnostic> {
        let text = node.attribute("points").unwrap_or_default();
        let places = svgtypes::PointsParser::from(text).flat_map(|(x, y)| [x, y]);
        let places: Vec<f64> = places.collect();
        if places.iter().any(|figure| !figure.is_finite()) {
            let message = "a point of this line is not a number".to_owned();
            return Err(self.trouble(node, message, "draw it anew"));
        }
        Ok(path::through(&places, closed, transform, span(node)))
    }

    fn path(
        &mut self,
        node: Node<'_, '_>,
        transform: Affine,
    ) -> Result<Option<Vec<Stroke>>, Diagnostic> {
        let Some(text) = node.attribute("d") else { return Ok(None) };
        let mut pen = path::Pen::new(transform, self.tolerance, span(node));
        for segment in svgtypes::PathParser::from(text) {
            let drawn = segment.ok().is_some_and(|segment| pen.draw(&segment));
            if !drawn {
                let help = "its `d` must be path data of SVG with finite numbers; draw it anew";
                return Err(self.trouble(node, "this path cannot be read".to_owned(), help));
            }
        }
        let (strokes, curves) = pen.ended();
        self.curves = (self.curves.0 + curves.0, self.curves.1 + curves.1);
        Ok(Some(strokes))
    }

    fn ended(self) -> Drawing {
        let mut drawing = self.drawing;
        let (curves, strokes) = self.curves;
        if curves > 0 {
            let many = if curves == 1 { "1 curve is" } else { "the curves are" };
            let off = TOLERANCE_NM / 1e6;
            drawing.notes.push(format!(
                "{many} taken as {strokes} lines and arcs, nowhere farther from {} than {off} mm{}",
                if curves == 1 { "it" } else { "them" },
                if drawing.unit.is_none() { " (were its units millimeters)" } else { "" }
            ));
        }
        drawing
    }
}

/// What describes the drawing or waits to be used, and is not drawn where it stands.
fn is_not_drawn(name: &str) -> bool {
    matches!(
        name,
        "defs"
            | "clipPath"
            | "mask"
            | "pattern"
            | "marker"
            | "symbol"
            | "metadata"
            | "title"
            | "desc"
            | "style"
            | "script"
            | "namedview"
            | "linearGradient"
            | "radialGradient"
            | "filter"
    )
}

/// A place of SVG, where y goes down, on the paper, where it goes up.
fn spot(point: kurbo::Point) -> Spot {
    Spot { x: point.x, y: -point.y }
}
