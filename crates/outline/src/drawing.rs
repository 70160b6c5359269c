//! What a drawing file holds, before anyone says what it means.

use crate::{Question, Refused};
use model::{Diagnostic, Length, Source, Span, Units};
use std::collections::BTreeMap;

/// The kinds of drawing file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Format {
    /// DXF as text, any release.
    Dxf,
    /// SVG.
    Svg,
}

impl Format {
    /// The kind of a file by the end of its name.
    pub fn of_name(name: &str) -> Option<Format> {
        let end = name.rsplit_once('.')?.1.to_ascii_lowercase();
        match end.as_str() {
            "dxf" => Some(Format::Dxf),
            "svg" => Some(Format::Svg),
            _ => None,
        }
    }
}

/// A place on the paper in the drawing's own unit; x to the right, y up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    /// To the right.
    pub x: f64,
    /// Up.
    pub y: f64,
}

/// How a stroke runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Run {
    /// Straight.
    Straight,
    /// Around a center.
    Arc {
        /// The center.
        center: Spot,
        /// The radius, in the drawing's own unit.
        radius: f64,
        /// Whether it goes counterclockwise.
        ccw: bool,
    },
}

/// One line or arc of a drawing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Where it begins.
    pub from: Spot,
    /// Where it ends.
    pub to: Spot,
    /// How it runs between.
    pub run: Run,
    /// Where it stands in the file.
    pub span: Span,
    /// Whether its ends are worked out (from angles or curves) and not written in the file.
    pub worked_out: bool,
}

/// Things that were not read, by what they are: how many, and where the first one stands.
pub type PassedOver = BTreeMap<String, (u32, Span)>;

/// One layer (in SVG: an outermost group with an `id`).
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Layer {
    /// Its name; empty for what stands in no group.
    pub name: String,
    /// How many lines, arcs, polylines or paths were read from it.
    pub entities: u32,
    /// Their strokes in the order of the file.
    pub strokes: Vec<Stroke>,
    /// What else stands on it.
    pub passed_over: PassedOver,
}

impl Layer {
    /// Remembers a thing that is not read.
    pub(crate) fn pass_over(&mut self, what: impl Into<String>, span: Span) {
        self.passed_over.entry(what.into()).or_insert((0, span)).0 += 1;
    }
}

/// A unit as a file names it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Unit {
    /// Its name in the plural.
    pub name: &'static str,
    /// Nanometers in one.
    pub nm: f64,
    /// The units of a job file that go with it.
    pub units: Units,
}

/// A drawing as it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// The unit of its coordinates, where the file says it.
    pub unit: Option<Unit>,
    /// Its layers in the order in which they come up.
    pub layers: Vec<Layer>,
    /// Whether y of the file goes down, as that of SVG does; that of a [`Spot`] goes up.
    pub y_down: bool,
    /// What is to be told of the whole drawing.
    pub notes: Vec<String>,
}

impl Drawing {
    /// A drawing with nothing on it.
    pub(crate) const fn empty() -> Drawing {
        Drawing { unit: None, layers: Vec::new(), y_down: false, notes: Vec::new() }
    }

    /// The layer of this name, which is added where there is none.
    pub(crate) fn layer_named(&mut self, name: &str) -> &mut Layer {
        let known = self.layers.iter().position(|layer| layer.name == name);
        let index = known.unwrap_or_else(|| {
            self.layers.push(Layer { name: name.to_owned(), ..Layer::default() });
            self.layers.len() - 1
        });
        &mut self.layers[index]
    }

    /// What one unit is; what the person says comes before what the file says.
    pub(crate) fn scale(&self, told: Option<Units>) -> Option<Scale> {
        let scale = |nm, units| Scale { nm, units: Some(units), y_down: self.y_down };
        let file = self.unit.map(|unit| scale(unit.nm, unit.units));
        let told = told.map(|units| scale(units.nanometers() as f64, units));
        told.or(file)
    }

    /// For looking at a drawing before its units are known.
    pub(crate) const fn scale_unknown(&self) -> Scale {
        Scale { nm: 1e6, units: None, y_down: self.y_down }
    }

    pub(crate) fn ask_units() -> Question {
        Question {
            about: "the drawing does not say its units".to_owned(),
            answers: vec![
                ("--units mm".to_owned(), "its figures are millimeters".to_owned()),
                ("--units inch".to_owned(), "its figures are inches".to_owned()),
            ],
        }
    }

    /// The layer that is meant.
    pub(crate) fn layer(
        &self,
        source: &Source,
        told: Option<&str>,
    ) -> Result<Result<&Layer, Question>, Refused> {
        let drawn: Vec<_> = self.layers.iter().filter(|layer| layer.entities > 0).collect();
        if drawn.is_empty() {
            let message = "no line, arc, polyline or path stands in this drawing";
            let help = match self.not_read() {
                not_read if not_read.is_empty() => {
                    "draw the outline of the part as lines and arcs".to_owned()
                }
                not_read => format!("it holds {not_read}; draw the outline as lines and arcs"),
            };
            return Err(Diagnostic::new(source, source.line(1), message).help(help).into());
        }
        let Some(told) = told else {
            return Ok(match drawn.as_slice() {
                [layer] => Ok(layer),
                _ => Err(Question {
                    about: "the outline may stand on any of several layers".to_owned(),
                    answers: drawn.iter().map(|layer| layer.answer()).collect(),
                }),
            });
        };
        let named = drawn.iter().find(|layer| layer.name.eq_ignore_ascii_case(told));
        named.map_or_else(
            || {
                let message = format!("nothing that can be read is drawn on a layer `{told}`");
                let known: Vec<_> = drawn.iter().map(|layer| layer.counted()).collect();
                let help = format!("the layers with lines are {}", known.join(", "));
                Err(Diagnostic::new(source, source.line(1), message).help(help).into())
            },
            |layer| Ok(Ok(*layer)),
        )
    }

    /// What stands in the drawing and was not read, for people.
    fn not_read(&self) -> String {
        let mut all = PassedOver::new();
        for (what, (count, span)) in self.layers.iter().flat_map(|layer| &layer.passed_over) {
            all.entry(what.clone()).or_insert((0, *span)).0 += count;
        }
        counted(&all)
    }

    /// What a person should know of what was read.
    pub(crate) fn notes(&self, layer: &Layer, told: Option<Units>) -> Vec<String> {
        let mut notes = self.notes.clone();
        if let (Some(unit), Some(told)) = (self.unit, told)
            && (unit.nm - told.nanometers() as f64).abs() > 0.5
        {
            let said = match told {
                Units::Mm => "millimeters",
                Units::Inch => "inches",
            };
            notes.push(format!("the file says {}, but you say {said}", unit.name));
        }
        if !layer.passed_over.is_empty() {
            notes.push(format!("passed over on this layer: {}", counted(&layer.passed_over)));
        }
        notes
    }
}

impl Layer {
    fn answer(&self) -> (String, String) {
        let quoted = self.name.is_empty() || self.name.contains(|c: char| !is_plain(c));
        let name = if quoted { format!("\"{}\"", self.name) } else { self.name.clone() };
        let lines = match self.entities {
            1 => "1 line, arc or path".to_owned(),
            many => format!("{many} lines, arcs or paths"),
        };
        let rest = counted(&self.passed_over);
        let rest = if rest.is_empty() { rest } else { format!(", and {rest}") };
        (format!("--layer {name}"), lines + &rest)
    }

    fn counted(&self) -> String {
        format!("`{}` ({})", self.name, self.entities)
    }
}

fn is_plain(c: char) -> bool {
    c.is_ascii_alphanumeric() || matches!(c, '-' | '_' | '.')
}

fn counted(passed_over: &PassedOver) -> String {
    let each = passed_over.iter().map(|(what, (count, _))| format!("{count} {what}"));
    each.collect::<Vec<_>>().join(", ")
}

/// What one unit of the drawing is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Scale {
    /// Nanometers in one unit.
    pub(crate) nm: f64,
    /// The units in which lengths are told; none where nobody said them.
    pub(crate) units: Option<Units>,
    /// Whether y of the file goes down.
    pub(crate) y_down: bool,
}

impl Scale {
    /// Whole nanometers of a coordinate; none beyond 1000 m.
    pub(crate) fn nm_of(self, coordinate: f64) -> Option<i64> {
        let nm = (coordinate * self.nm).round();
        (nm.abs() <= Length::LIMIT.nm() as f64).then_some(nm as i64)
    }

    /// A length as a person reads it; without a unit where none is known.
    pub(crate) fn shown(self, nm: i64) -> String {
        match self.units {
            Some(units) => Length::from_nm(nm).shown(units),
            None => Length::from_nm(nm).text(Units::Mm, 3),
        }
    }

    /// A place as a person finds it in the drawing.
    pub(crate) fn place(self, x: i64, y: i64) -> String {
        let plain = |nm: i64| {
            let text = format!("{:.4}", nm as f64 / self.nm);
            let text = text.trim_end_matches('0').trim_end_matches('.');
            if text == "-0" { "0".to_owned() } else { text.to_owned() }
        };
        format!("x {}, y {}", plain(x), plain(if self.y_down { -y } else { y }))
    }
}
