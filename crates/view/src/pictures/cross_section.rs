//! The cross-section: what one block of a program does to the bar, cut open along the axis. The
//! chuck is on the left, as on most lathes; the far side of the axis lies below it.

use super::mirror;
use crate::scene::{Anchor, Role, Scene, Shape};
use model::Units;
use prove::event::{Point, What};
use prove::lathe::{Direction, State};
use prove::metal::Part;
use prove::playback::{Frame, Playback};
use shape::Region;

/// What the picture shows.
#[derive(Debug, Clone, Copy)]
pub struct CrossSection<'a> {
    /// The cycle that the block is shown in.
    pub playback: &'a Playback,
    /// What of it the block does, in order; without any there is no picture.
    pub frames: &'a [Frame],
    /// Where the block stands, such as `O2080.nc line 34`.
    pub place: &'a str,
    /// The block as it is written.
    pub written: &'a str,
    /// Units of the words.
    pub units: Units,
}

const WIDTH: f64 = 1000.0;
/// Height at most of what is drawn.
const TALLEST: f64 = 620.0;
const SIDE: f64 = 14.0;
/// Height of the words above and of the scale below.
const ROW: f64 = 16.0;
const ROWS: f64 = 4.0;
const SCALE: f64 = 44.0;
/// How much of the bar behind the jaw face is shown.
const BEHIND: f64 = 8.0;

/// Draws it; none where the block moves nothing in this cycle.
pub fn scene(shown: &CrossSection<'_>) -> Option<Scene> {
    let (first, last) = (shown.frames.first()?, shown.frames.last()?);
    let paper = Paper::around(shown, &first.before, &last.after);
    let mut shapes = Vec::new();
    bar(shown, &paper, &first.before, &last.after, &mut shapes);
    jaws(shown, &paper, &last.after, &mut shapes);
    let moves = |frame: &&Frame| frame.before.position != frame.after.position;
    tool(shown, &paper, shown.frames.iter().rfind(moves).unwrap_or(last), &mut shapes);
    ways(shown, &paper, &mut shapes);
    frame(&paper, shown.units, &mut shapes);
    let rows = words(shown, first, last);
    for (row, words) in rows.iter().enumerate() {
        let at = [SIDE, ROW * (row as f64 + 1.0)];
        shapes.push(Shape::Text { at, anchor: Anchor::Start, words: words.clone() });
    }
    Some(Scene {
        width: WIDTH,
        height: paper.bottom + SCALE,
        title: shown.place.to_owned(),
        description: rows.join(" "),
        shapes,
    })
}

/// Where places of the lathe lie on the paper.
struct Paper {
    /// Paper units for a millimeter.
    scale: f64,
    /// The least and greatest place along the axis.
    z: [f64; 2],
    /// The axis.
    axis: f64,
    top: f64,
    bottom: f64,
}

impl Paper {
    /// All of the bar in front of the jaws with room beside it, and where the tool goes near it.
    fn around(shown: &CrossSection<'_>, before: &State, after: &State) -> Paper {
        let bars = [before, after].map(|state| shown.playback.bar(state));
        let bounds = bars.iter().flatten().filter_map(|bar| bar.bounds().copied());
        let mm = |nm: i64| nm as f64 / 1e6;
        let (mut reach, mut front, mut rear) = (0.0_f64, f64::NEG_INFINITY, f64::INFINITY);
        for bounds in bounds {
            reach = reach.max(mm(bounds.max.r));
            front = front.max(mm(bounds.max.z));
            rear = rear.min(mm(bounds.min.z));
        }
        let ends = [before, after].map(|state| state.position);
        let all = shown.frames.iter().flat_map(Frame::way).chain(ends);
        if reach == 0.0 {
            // Nothing is known of the bar: the tool's own way is all there is.
            (reach, front, rear) = (10.0, 0.0, -10.0);
        }
        let rear = shown.playback.jaw_face.map_or(rear, |face| face.mm() - BEHIND);
        let room = (front - rear).max(4.0 * reach);
        let (mut high, mut z) = (reach * 1.8 + 3.0, [rear, front + 0.2 * room]);
        for point in all {
            let (r, place) = (point.r.abs().mm(), point.z.mm());
            if r < 3.0 * reach + 10.0 && place < front + room {
                high = high.max(r + 0.3 * reach);
                z = [z[0].min(place - 1.0), z[1].max(place + 0.1 * room)];
            }
        }
        let top = ROW * ROWS + 10.0;
        let scale = ((WIDTH - 2.0 * SIDE) / (z[1] - z[0])).min(TALLEST / (2.0 * high));
        // What is left of the paper's width is shown in front.
        let z = [z[0], z[0] + (WIDTH - 2.0 * SIDE) / scale];
        let axis = top + high * scale;
        Paper { scale, z, axis, top, bottom: axis + high * scale }
    }

    fn x(&self, z: f64) -> f64 {
        SIDE + (z - self.z[0]) * self.scale
    }

    fn y(&self, r: f64) -> f64 {
        self.axis - r * self.scale
    }

    fn at(&self, point: Point) -> [f64; 2] {
        [self.x(point.z.mm()), self.y(point.r.mm())]
    }

    /// Both halves of a region, so far from the axis; a zero has the sign of its side.
    fn halves(&self, region: &Region, away: f64) -> Vec<Vec<[f64; 2]>> {
        mirror::halves(region, |z, r| [self.x(z), self.y(r + away.copysign(r))])
    }
}

fn bar(
    shown: &CrossSection<'_>,
    paper: &Paper,
    before: &State,
    after: &State,
    shapes: &mut Vec<Shape>,
) {
    let mut area = |region: Option<Region>, role, title: &str| {
        let region = region.filter(|region| !region.is_empty());
        shapes.extend(region.map(|region| Shape::Area {
            loops: paper.halves(&region, 0.0),
            role,
            title: title.to_owned(),
        }));
    };
    area(shown.playback.bar(after), Role::Bar, "the bar behind this block");
    area(shown.playback.taken(before, after), Role::Taken, "what the block takes off the bar");
}

/// How far open jaws are drawn from the bar, in millimeters: enough to be seen.
const OPEN: f64 = 1.0;

fn jaws(shown: &CrossSection<'_>, paper: &Paper, after: &State, shapes: &mut Vec<Shape>) {
    let Some(chuck) = shown.playback.chuck() else { return };
    let (away, title) =
        if after.chuck.open { (OPEN, "the chuck, open") } else { (0.0, "the chuck, closed") };
    let loops = paper.halves(&chuck, away);
    shapes.push(Shape::Area { loops, role: Role::Jaws, title: title.to_owned() });
}

/// The tool where the block leaves it.
fn tool(shown: &CrossSection<'_>, paper: &Paper, last: &Frame, shapes: &mut Vec<Shape>) {
    let after = &last.after;
    for part in shown.playback.tool(last) {
        let placed = part.corners.iter().map(|corner| {
            let (r, z) = (corner.r + after.position.r, corner.z + after.position.z);
            paper.at(Point { r, z })
        });
        let (role, title) = match part.part {
            Part::Holder => (Role::Holder, "the holder, where the block ends"),
            Part::Gripper => (Role::Gripper, "the gripper, where the block ends"),
            _ => (Role::Edge, "the edge, where the block ends"),
        };
        let loops = vec![placed.collect()];
        shapes.push(Shape::Area { loops, role, title: title.to_owned() });
    }
}

/// The ways of the programmed point: at feed drawn through, at rapid broken.
fn ways(shown: &CrossSection<'_>, paper: &Paper, shapes: &mut Vec<Shape>) {
    for frame in shown.frames {
        let points: Vec<[f64; 2]> = frame.way().into_iter().map(|point| paper.at(point)).collect();
        if points.len() > 1 {
            let rapid = matches!(frame.what, What::Move(motion) if motion.rapid);
            let role = if rapid { Role::Rapid } else { Role::Feed };
            shapes.push(Shape::Way { points, role });
        }
    }
}

/// The axis, a scale along it, and paper over whatever reaches beyond.
fn frame(paper: &Paper, units: Units, shapes: &mut Vec<Shape>) {
    shapes.push(Shape::Line { at: [0.0, paper.axis, WIDTH, paper.axis], role: Role::Axis });
    let cover = |top: f64, height: f64| Shape::Box {
        at: [0.0, top, WIDTH, height],
        role: Role::Paper,
        title: String::new(),
    };
    shapes.push(cover(0.0, paper.top));
    // A little more than the height, against rounding.
    shapes.push(cover(paper.bottom, SCALE + 2.0));
    let unit = match units {
        Units::Mm => 1.0,
        Units::Inch => 25.4,
    };
    let step = step((paper.z[1] - paper.z[0]) / unit / 8.0);
    let (line, first) = (paper.bottom + 6.0, (paper.z[0] / unit / step).ceil());
    shapes.push(Shape::Line { at: [SIDE, line, WIDTH - SIDE, line], role: Role::Measure });
    let mut tick = first * step;
    while tick * unit <= paper.z[1] {
        let x = paper.x(tick * unit);
        shapes.push(Shape::Line { at: [x, line, x, line + 6.0], role: Role::Measure });
        let words = figure(tick, step);
        shapes.push(Shape::Text { at: [x, line + 20.0], anchor: Anchor::Middle, words });
        tick += step;
    }
    let words = format!("Z from the finished face, {}", units.symbol());
    let at = [WIDTH - SIDE, line + 35.0];
    shapes.push(Shape::Text { at, anchor: Anchor::End, words });
}

/// A round step at least this large.
fn step(least: f64) -> f64 {
    let unit = libm::exp10(libm::floor(libm::log10(least.max(1e-6))));
    let steps = [1.0, 2.0, 5.0].map(|figure| figure * unit);
    steps.into_iter().find(|step| *step >= least).unwrap_or(unit * 10.0)
}

fn figure(tick: f64, step: f64) -> String {
    let decimals = if step >= 1.0 { 0 } else { (-libm::log10(step)).ceil() as usize };
    let text = format!("{tick:.decimals$}");
    if text.trim_matches(['-', '0', '.']).is_empty() { "0".to_owned() } else { text }
}

fn words(shown: &CrossSection<'_>, first: &Frame, last: &Frame) -> Vec<String> {
    let mut rows = vec![format!("{}: {}", shown.place, shown.written.trim())];
    let cycle = shown.playback.cycle;
    let time = last.after.now - first.before.now;
    rows.push(format!(
        "Cycle {cycle}, {time:.2} s from {:.2} s after the start. {}",
        first.before.now.s(),
        stands(&last.after)
    ));
    let end = last.after.position;
    let taken = shown.playback.taken(&first.before, &last.after);
    rows.push(match taken.map(|taken| taken.volume_mm3()) {
        None => "The bar's shape is not known: bar, part and tools must be given.".to_owned(),
        Some(volume) if volume > 0.0 => {
            let falls = shown.frames.iter().any(|frame| matches!(frame.what, What::PartedOff(_)));
            let too = if falls { ", the part that falls among them" } else { "" };
            let volume = match shown.units {
                Units::Mm => format!("{volume:.1} mm³"),
                Units::Inch => format!("{:.4} in³", volume / MM3_OF_CUBIC_INCH),
            };
            format!("Takes {volume} off the bar{too}.")
        }
        Some(_) => "Takes nothing off the bar.".to_owned(),
    });
    let (x, z) = (end.r * 2, end.z);
    rows.push(format!("Ends at X {} Z {}.", x.shown(shown.units), z.shown(shown.units)));
    rows
}

/// 25.4³, exact.
const MM3_OF_CUBIC_INCH: f64 = 16_387.064;

/// Chuck, gripper, spindle and station in words.
fn stands(state: &State) -> String {
    let spindle = match (state.spindle.told, state.gripped) {
        (Some(Direction::Forward), _) => "Spindle turns forward",
        (Some(Direction::Reverse), _) => "Spindle turns in reverse",
        (None, _) => "Spindle told to stand",
    };
    let chuck = if state.chuck.open { "chuck open" } else { "chuck closed" };
    let gripper = if state.gripped.is_some() { ", gripper on the bar" } else { "" };
    let station = state.tool.station.map_or(String::new(), |number| format!(", station {number}"));
    format!("{spindle}, {chuck}{gripper}{station}.")
}
