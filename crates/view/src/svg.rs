//! A scene as SVG text: no script, no font and nothing from outside.

use crate::scene::{Anchor, Role, Scene, Shape};
use std::fmt::Write as _;

/// Colors and line widths of the roles. Contrast against the paper is at least 3:1 for shapes and
/// 4.5:1 for words, and neighbors differ in lightness, so that color alone carries nothing.
const STYLE: &str = "\
.part{fill:#2f5d62;stroke:none}.next-part{fill:#5e8b7e;stroke:none}\
.kerf{fill:#c8553d;stroke:none}.face{fill:#e0a458;stroke:none}\
.remnant{fill:#d9d4c7;stroke:#6b6558;stroke-width:.6}\
.spindle{fill:none;stroke:#6b6558;stroke-width:1.2}.jaws{fill:#3b3a36;stroke:none}\
.measure{stroke:#6b6558;stroke-width:.8;fill:none}.mark{stroke:#8a1c1c;fill:#8a1c1c;stroke-width:1.4}\
.ceiling{stroke:#2b2a27;stroke-width:1.2;stroke-dasharray:7 4;fill:none}\
.allowed{fill:#5e8b7e;stroke:none}.too-fast{fill:#c8553d;stroke:none}\
.uncertain{fill:#d9d4c7;stroke:#6b6558;stroke-width:.6}\
.bar{fill:#8fa3a8;stroke:#2b2a27;stroke-width:.8;fill-rule:evenodd}\
.taken{fill:#e0a458;stroke:#8a5a12;stroke-width:.8;fill-rule:evenodd}\
.edge{fill:#2f5d62;stroke:#1c3a3e;stroke-width:.8}\
.holder{fill:#d9d4c7;stroke:#6b6558;stroke-width:.8;fill-opacity:.75}\
.gripper{fill:#5e8b7e;stroke:#1c3a3e;stroke-width:.8;fill-opacity:.85}\
.feed{stroke:#8a1c1c;stroke-width:1.6;fill:none}\
.rapid{stroke:#8a1c1c;stroke-width:1.2;stroke-dasharray:2 4;fill:none}\
.axis{stroke:#2b2a27;stroke-width:.6;stroke-dasharray:14 4 3 4}.paper{fill:#fbfaf6;stroke:none}\
.outline{fill:#fff;stroke:#000;stroke-width:1.6;fill-rule:evenodd;stroke-linejoin:round}\
.hatch{stroke:#2b2a27;stroke-width:.6}.thread{stroke:#2b2a27;stroke-width:.6;fill:none}\
.later{stroke:#2b2a27;stroke-width:.9;stroke-dasharray:5 3;fill:none}.arrow{fill:#2b2a27;stroke:none}\
.now{stroke:#000;stroke-width:2;fill:none}\
text{font:11px system-ui,sans-serif;fill:#2b2a27}";

/// Colors and line widths of the roles that only charts of sizes have; other pictures go without.
const SIZES: &str = "\
.good{fill:#e3ead9;stroke:none}.expected{fill:#c9b98f;fill-opacity:.55;stroke:#6b6558;stroke-width:.6}\
.reading{fill:#1c3a3e;stroke:#fbfaf6;stroke-width:.6}.single{fill:#6b6558;stroke:none}.odd{fill:#fbfaf6;stroke:#8a1c1c;stroke-width:1.6}\
.trend{stroke:#1c3a3e;stroke-width:1.6;fill:none}.chance{stroke:#2b2a27;stroke-width:1;stroke-dasharray:3 3;fill:none}";

/// What only the lanes of a shop have, so that no other picture carries it.
const LANES: &str = ".staffed{fill:#ece7da;stroke:none}.attended{fill:#2b2a27;stroke:none}";

/// What only pictures with slices have.
const SLICES: &str = ".slice{fill:none;pointer-events:all}";

/// What a picture stands on.
const GROUND: &str = "<rect width=\"100%\" height=\"100%\" fill=\"#fbfaf6\"/>\n";

/// Writes a scene.
pub fn write(scene: &Scene) -> String {
    let sizes =
        if scene.shapes.iter().any(|shape| shape.role().is_of_sizes()) { SIZES } else { "" };
    let lane = |shape: &Shape| matches!(shape, Shape::Box { role: Role::Attended, .. });
    let slice = |shape: &Shape| shape.role() == Role::Slice;
    let slices = if scene.shapes.iter().any(slice) { SLICES } else { "" };
    let lanes = if scene.shapes.iter().any(lane) { LANES } else { "" };
    // Labels are printed, and their paper has a ground of its own.
    let label = scene.shapes.iter().any(|shape| shape.role() == Role::Code);
    let ground = if label { "" } else { GROUND };
    let mut svg = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {} {}\" role=\"img\" \
         aria-labelledby=\"title description\">\n<title id=\"title\">{}</title>\n\
         <desc id=\"description\">{}</desc>\n<style>{STYLE}{sizes}{lanes}{slices}</style>\n{ground}",
        figure(scene.width),
        figure(scene.height),
        escape(&scene.title),
        escape(&scene.description)
    );
    for shape in &scene.shapes {
        write_shape(shape, &mut svg);
    }
    svg.push_str("</svg>\n");
    svg
}

fn write_shape(shape: &Shape, svg: &mut String) {
    let _ = match shape {
        Shape::Box { at, role, title } => {
            let [x, y, width, height] = at.map(figure);
            let class = role.class();
            let open = format!(
                "<rect class=\"{class}\" x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\""
            );
            if title.is_empty() {
                writeln!(svg, "{open}/>")
            } else {
                writeln!(svg, "{open}><title>{}</title></rect>", escape(title))
            }
        }
        Shape::Area { loops, role, title } => {
            let mut path = String::new();
            for points in loops {
                path.push_str(&through(points));
                path.push('Z');
            }
            let class = role.class();
            let title = escape(title);
            writeln!(svg, "<path class=\"{class}\" d=\"{path}\"><title>{title}</title></path>")
        }
        Shape::Way { points, role } => {
            writeln!(svg, "<path class=\"{}\" d=\"{}\"/>", role.class(), through(points))
        }
        Shape::Line { at, role } => {
            let [x1, y1, x2, y2] = at.map(figure);
            let class = role.class();
            writeln!(
                svg,
                "<line class=\"{class}\" x1=\"{x1}\" y1=\"{y1}\" x2=\"{x2}\" y2=\"{y2}\"/>"
            )
        }
        Shape::Text { at, anchor, words } => {
            let [x, y] = at.map(figure);
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            writeln!(
                svg,
                "<text x=\"{x}\" y=\"{y}\" text-anchor=\"{anchor}\">{}</text>",
                escape(words)
            )
        }
    };
}

/// Path data through points.
pub(crate) fn through(points: &[[f64; 2]]) -> String {
    let mut path = String::new();
    for (index, point) in points.iter().enumerate() {
        let [x, y] = point.map(figure);
        let _ = write!(path, "{}{x} {y}", if index == 0 { 'M' } else { 'L' });
    }
    path
}

/// At most two decimals, no trailing zeros.
pub(crate) fn figure(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            c if c.is_control() => escaped.push(' '),
            c => escaped.push(c),
        }
    }
    escaped
}
