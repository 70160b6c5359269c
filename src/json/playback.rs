//! One cycle as a browser draws it. Lengths in mm along the axis (z) and from it (r), times in s.

use model::{Source, Units};
use prove::event::{Point, What};
use prove::lathe::State;
use prove::metal::Part;
use prove::playback::{Frame, Outlined, Playback};
use serde_json::{Value, json};
use shape::{Placed, Region};
use view::pages::program::{stands, steps};

/// What is told once and meant by its place in a list.
#[derive(Default)]
struct Once {
    shapes: Vec<(Placed, Value)>,
    tools: Vec<(Vec<Outlined>, Value)>,
}

/// A cycle: shapes and tools once each, and the steps that refer to them by their places.
pub fn playback(playback: &Playback, sources: &[Source], units: Units) -> Value {
    let mut once = Once::default();
    let told = steps(sources, playback, units);
    let steps: Vec<Value> = playback
        .frames
        .iter()
        .zip(&told)
        .map(|(frame, step)| {
            let rapid = matches!(frame.what, What::Move(motion) if motion.rapid);
            json!({
                "tree": step.tree,
                "line": step.line,
                "spent": step.spent.word(),
                "words": step.words,
                "from": rounded(step.from_s),
                "to": rounded(step.to_s),
                "rapid": rapid,
                "way": way(frame),
                "shape": [once.shape(playback, &frame.before), once.shape(playback, &frame.after)],
                "rear": [rear(&frame.before), rear(&frame.after)],
                "tool": once.tool(playback, frame),
                "station": frame.after.tool.station,
                "open": [frame.before.chuck.open, frame.after.chuck.open],
                "stands": stands(&frame.after),
                "turns": frame.after.spindle.told.is_some(),
                "drawn": frame.after.bar.drawn != frame.before.bar.drawn,
            })
        })
        .collect();
    json!({
        "units": units.symbol(),
        "cycle": playback.cycle,
        "jaw": playback.jaw_face.map(|face| rounded(face.mm())),
        "chuck": playback.chuck().map(|chuck| loops(&chuck)),
        "shapes": once.shapes.into_iter().map(|(_, value)| value).collect::<Vec<_>>(),
        "tools": once.tools.into_iter().map(|(_, value)| value).collect::<Vec<_>>(),
        "steps": steps,
    })
}

impl Once {
    fn shape(&mut self, playback: &Playback, state: &State) -> Option<usize> {
        let placed = state.shape?;
        if let Some(place) = self.shapes.iter().rposition(|(known, _)| *known == placed) {
            return Some(place);
        }
        let region = playback.bar(state)?;
        self.shapes.push((placed, loops(&region)));
        Some(self.shapes.len() - 1)
    }

    fn tool(&mut self, playback: &Playback, frame: &Frame) -> Option<usize> {
        let outlined = playback.tool(frame);
        if outlined.is_empty() {
            return None;
        }
        if let Some(place) = self.tools.iter().position(|(known, _)| *known == outlined) {
            return Some(place);
        }
        let value = outlined.iter().map(part).collect();
        self.tools.push((outlined, value));
        Some(self.tools.len() - 1)
    }
}

fn part(outlined: &Outlined) -> Value {
    let word = match outlined.part {
        Part::Edge => "edge",
        Part::Gripper => "gripper",
        _ => "holder",
    };
    json!({ "part": word, "points": outlined.corners.iter().flat_map(at).collect::<Vec<f64>>() })
}

/// Where the bar's rear end stands.
fn rear(state: &State) -> Option<f64> {
    state.bar.rear.map(|rear| rounded(rear.mm()))
}

/// Places as z, r, z, r and so on.
fn way(frame: &Frame) -> Vec<f64> {
    let way = frame.way();
    if way.is_empty() {
        at(&frame.after.position).to_vec()
    } else {
        way.iter().flat_map(at).collect()
    }
}

fn at(point: &Point) -> [f64; 2] {
    [rounded(point.z.mm()), rounded(point.r.mm())]
}

/// Every loop of a region as z, r, z, r and so on.
fn loops(region: &Region) -> Value {
    let all = region.loops().map(|points| {
        points
            .iter()
            .flat_map(|point| [rounded(point.z as f64 / 1e6), rounded(point.r as f64 / 1e6)])
            .collect::<Vec<f64>>()
    });
    all.collect::<Vec<_>>().into()
}

/// To a thousandth: finer than a screen shows.
fn rounded(value: f64) -> f64 {
    (value * 1000.0).round() / 1000.0
}
