//! The bar ruler: one bar to scale, the parts laid along it, as it lies in the lathe when it is
//! new. The front end is on the right, where the tools are; lengths count from there.

mod marks;
mod terminal;

pub use marks::{Mark, marks};
pub use terminal::terminal;

use crate::scene::{Anchor, Role, Scene, Shape};
use model::files::job::Job;
use model::{Length, Units};
use plan::Answer;
use plan::bar::BarPlan;

/// What lies along a bar, from the front end to the rear.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// What it is.
    pub role: Role,
    /// Distance of its front end from the front end of the bar.
    pub from: Length,
    /// Distance of its rear end.
    pub to: Length,
    /// The part it belongs to, from 1; zero for none.
    pub part: u32,
}

/// The pieces of a bar: first-face stock, then face stock, part and kerf again and again, then
/// the remnant.
pub fn pieces(bar: &BarPlan) -> Vec<Piece> {
    let division = &bar.division;
    let mut pieces = Vec::new();
    let mut at = Length::ZERO;
    let mut add = |role: Role, length: Length, part: u32| {
        if length.is_positive() {
            pieces.push(Piece { role, from: at, to: at + length, part });
            at += length;
        }
    };
    add(Role::Face, division.first_face, 0);
    for part in 1..=bar.parts_per_bar {
        add(Role::Face, division.face_stock, part);
        add(if part % 2 == 1 { Role::Part } else { Role::NextPart }, division.finished, part);
        add(Role::Kerf, division.part_off, part);
    }
    add(Role::Remnant, bar.remnant, 0);
    pieces
}

const WIDTH: f64 = 1000.0;
const HEIGHT: f64 = 150.0;
/// How wide a letter is at most, about.
const LETTER: f64 = 6.6;
/// Height of one row of words above the bar; the first has room already.
const ROW: f64 = 14.0;
const SIDE: f64 = 20.0;
const TOP: f64 = 52.0;
const THICK: f64 = 30.0;

/// Where lengths lie on the paper.
struct Paper {
    /// Paper units a millimeter.
    scale: f64,
    /// x of the bar's front end.
    front: f64,
    /// Top of the bar.
    top: f64,
}

impl Paper {
    fn x(&self, from_front: Length) -> f64 {
        self.front - from_front.mm() * self.scale
    }

    /// Where the words of a mark begin or end: on the side of its line that has more room.
    fn side(&self, mark: &Mark) -> (Anchor, f64) {
        let x = self.x(mark.at);
        if x < f64::midpoint(self.front, SIDE) {
            (Anchor::Start, x + 4.0)
        } else {
            (Anchor::End, x - 4.0)
        }
    }

    /// The words of a mark in as many rows as their side has no room for one.
    fn rows(&self, mark: &Mark) -> Vec<String> {
        let (anchor, at) = self.side(mark);
        let room = if anchor == Anchor::Start { self.front + SIDE - at } else { at };
        let most = (room / LETTER).max(12.0) as usize;
        let mut rows = vec![String::new()];
        for word in mark.words.split(' ') {
            let row = rows.last_mut().filter(|row| {
                row.is_empty() || row.chars().count() + 1 + word.chars().count() <= most
            });
            match row {
                Some(row) if row.is_empty() => row.push_str(word),
                Some(row) => row.extend([" ", word]),
                None => rows.push(word.to_owned()),
            }
        }
        rows
    }
}

/// The ruler as a drawing.
pub fn scene(job: &Job, answer: &Answer) -> Scene {
    scene_of_width(job, answer, WIDTH)
}

/// The ruler so wide.
pub fn scene_of_width(job: &Job, answer: &Answer, width: f64) -> Scene {
    let bar = &answer.bar;
    let rear_end = job.lathe.spindle.jaw_face_to_rear + jaw_from_front(bar);
    let longest = bar.blank.max(rear_end);
    // Marks further to the left stand in lower rows, so that no line crosses another's words.
    let mut marks = marks(bar, &answer.walk_away);
    marks.sort_by_key(|mark| std::cmp::Reverse(mark.at));
    let scale = (width - 2.0 * SIDE) / longest.mm();
    let mut paper = Paper { scale, front: width - SIDE, top: TOP };
    let words: Vec<Vec<String>> = marks.iter().map(|mark| paper.rows(mark)).collect();
    let more = ROW * words.iter().map(Vec::len).sum::<usize>().saturating_sub(1) as f64;
    paper.top += more;
    let units = job.file.units;
    let mut shapes = Vec::new();
    spindle(&paper, bar, rear_end, &mut shapes);
    for piece in pieces(bar) {
        shapes.push(piece_shape(&paper, &piece, units));
    }
    jaws(&paper, bar, job, &mut shapes);
    measures(&paper, bar, units, &mut shapes);
    let mut below = 0;
    for (mark, words) in marks.iter().zip(words) {
        let rows = words.len();
        shapes.extend(mark_shapes(&paper, mark, below, words));
        below += rows;
    }
    Scene {
        width,
        height: HEIGHT + more,
        title: format!("Bar of {}", job.file.name),
        description: description(job, bar),
        shapes,
    }
}

/// The ruler in words.
pub fn description(job: &Job, bar: &BarPlan) -> String {
    let units = job.file.units;
    format!(
        "A bar of {} gives {} parts of {} at a pitch of {}; {} are left. It sticks out {} in front of the jaws.",
        bar.blank.shown(units),
        bar.parts_per_bar,
        bar.division.finished.shown(units),
        bar.division.pitch().shown(units),
        bar.remnant.shown(units),
        (bar.division.stick_out() + bar.division.first_face).shown(units),
    )
}

/// How far the jaw face stands from the front end of a new bar.
fn jaw_from_front(bar: &BarPlan) -> Length {
    bar.division.stick_out() + bar.division.first_face
}

fn spindle(paper: &Paper, bar: &BarPlan, rear_end: Length, shapes: &mut Vec<Shape>) {
    let (left, right) = (paper.x(rear_end), paper.x(jaw_from_front(bar)));
    let title = "spindle and liner, to their rear end".to_owned();
    shapes.push(Shape::Box {
        at: [left, paper.top - 8.0, right - left, THICK + 16.0],
        role: Role::Spindle,
        title,
    });
}

fn piece_shape(paper: &Paper, piece: &Piece, units: Units) -> Shape {
    let (left, right) = (paper.x(piece.to), paper.x(piece.from));
    let length = (piece.to - piece.from).shown(units);
    let what = match piece.role {
        Role::Face => "face stock",
        Role::Kerf => "parting kerf",
        Role::Remnant => "remnant",
        _ => "part",
    };
    let title = if piece.part == 0 {
        format!("{what}, {length}")
    } else if what == "part" {
        format!("part {}, {length}", piece.part)
    } else {
        format!("{what} of part {}, {length}", piece.part)
    };
    Shape::Box { at: [left, paper.top, right - left, THICK], role: piece.role, title }
}

fn jaws(paper: &Paper, bar: &BarPlan, job: &Job, shapes: &mut Vec<Shape>) {
    let face = paper.x(jaw_from_front(bar));
    let length = job.lathe.chuck.jaw_length.mm() * paper.scale;
    for y in [paper.top - 16.0, paper.top + THICK + 4.0] {
        let title = "jaws".to_owned();
        shapes.push(Shape::Box { at: [face - length, y, length, 12.0], role: Role::Jaws, title });
    }
}

/// The scale below the bar, and the stick-out above it.
fn measures(paper: &Paper, bar: &BarPlan, units: Units, shapes: &mut Vec<Shape>) {
    let below = paper.top + THICK + 22.0;
    let step = tick(bar.blank, units);
    let mut at = Length::ZERO;
    while at <= bar.blank {
        let x = paper.x(at);
        shapes.push(Shape::Line { at: [x, below, x, below + 6.0], role: Role::Measure });
        let words = at.shortest(units);
        shapes.push(Shape::Text { at: [x, below + 18.0], anchor: Anchor::Middle, words });
        at += step;
    }
    let (left, right) = (paper.x(bar.blank), paper.x(Length::ZERO));
    shapes.push(Shape::Line { at: [left, below, right, below], role: Role::Measure });
    let words = format!(
        "{} parts, {} left; {} from the front end",
        bar.parts_per_bar,
        bar.remnant.shown(units),
        units.symbol()
    );
    shapes.push(Shape::Text { at: [left, below + 34.0], anchor: Anchor::Start, words });
}

/// A round step that gives about ten ticks.
pub(crate) fn tick(length: Length, units: Units) -> Length {
    let steps: &[i64] = match units {
        Units::Mm => &[10, 20, 50, 100, 200, 500, 1000],
        Units::Inch => &[1, 2, 3, 6, 12, 24, 36],
    };
    let unit = Length::from_nm(units.nanometers());
    let fits = steps.iter().find(|step| length / (unit * **step) <= 12);
    unit * fits.or(steps.last()).copied().unwrap_or(1)
}

/// A mark whose words stand in rows, with so many rows of others below them.
fn mark_shapes(paper: &Paper, mark: &Mark, below: usize, words: Vec<String>) -> Vec<Shape> {
    let x = paper.x(mark.at);
    let (anchor, at) = paper.side(mark);
    let row = |above: usize| paper.top - 26.0 - ROW * (below + above) as f64;
    let highest = words.len() - 1;
    let line = [x, row(highest) - 9.0, x, paper.top + THICK];
    let words = words.into_iter().enumerate().map(|(index, words)| Shape::Text {
        at: [at, row(highest - index)],
        anchor,
        words,
    });
    std::iter::once(Shape::Line { at: line, role: Role::Mark }).chain(words).collect()
}
