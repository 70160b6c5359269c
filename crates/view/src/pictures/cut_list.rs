//! The cut list: each bar with what is sawn off it, all to one scale. The sawn end is on the left.

use crate::scene::{Anchor, Role, Scene, Shape};
use model::{Length, Units};
use stock::cut_list::SawnBar;
use stock::{CutList, Group};

const WIDTH: f64 = 1000.0;
/// Where the bars begin.
const LEFT: f64 = 165.0;
const RIGHT: f64 = 20.0;
const TOP: f64 = 30.0;
/// From one bar to the next, and the height of a bar.
const ROW: f64 = 44.0;
const BAR: f64 = 22.0;
/// Least width of a blank that has its words inside.
const WORDS: f64 = 40.0;
/// Least width of a rest that has its words below.
const REST_WORDS: f64 = 84.0;
/// Height of a row of the legend.
const LEGEND: f64 = 16.0;

/// Draws a cut list whose bars are counted from `first`; lengths are told in `units`.
pub fn scene(group: &Group, list: &CutList, first: u32, units: Units) -> Scene {
    let longest = list.bars.iter().map(|bar| group.from[bar.from].length).max().unwrap_or_default();
    let scale = (WIDTH - LEFT - RIGHT) / longest.mm().max(1.0);
    let mut shapes = Vec::new();
    let mut number = first;
    for (row, bar) in list.bars.iter().enumerate() {
        draw(group, bar, number, TOP + ROW * row as f64, scale, units, &mut shapes);
        number += bar.times;
    }
    let legend = TOP + ROW * list.bars.len() as f64 + 14.0;
    for (row, lot) in group.lots.iter().enumerate() {
        let at = [LEFT, legend + LEGEND * row as f64];
        let words = format!("{}  {}", letter(row), lot.name);
        shapes.push(Shape::Text { at, anchor: Anchor::Start, words });
    }
    let bars: u32 = list.bars.iter().map(|it| it.times).sum();
    Scene {
        width: WIDTH,
        height: legend + LEGEND * group.lots.len() as f64,
        title: format!(
            "Cut list for {} {} {}",
            group.section.material,
            shape(group),
            group.section.size.shown(units)
        ),
        description: format!("{bars} bars: {}", words(group, list, units)),
        shapes,
    }
}

fn shape(group: &Group) -> &'static str {
    use model::files::keys::Choice as _;
    group.section.shape.word()
}

/// The whole list in words.
fn words(group: &Group, list: &CutList, units: Units) -> String {
    let bars = list.bars.iter().map(|bar| {
        let blanks: Vec<String> = bar.blanks.iter().map(|it| it.length.shown(units)).collect();
        let from = &group.from[bar.from];
        let kind = if from.remnant { "remnant" } else { "stock" };
        format!(
            "{} times from {kind} of {}: {}; rest {}",
            bar.times,
            from.length.shown(units),
            blanks.join(", "),
            bar.rest.shown(units)
        )
    });
    bars.collect::<Vec<_>>().join(". ")
}

/// Shop text of a length without its unit, as short as it can be.
fn plain(length: Length, units: Units) -> String {
    let text = length.text(units, units.decimals() - 1);
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

/// What a lot is called below its blanks: A to Z, then numbers.
fn letter(lot: usize) -> String {
    u8::try_from(lot)
        .ok()
        .filter(|it| *it < 26)
        .map_or(format!("{}", lot + 1), |it| char::from(b'A' + it).to_string())
}

/// The bars of one row in words: `bar 4`, `bars 1 to 3`.
pub fn numbers(first: u32, times: u32) -> String {
    if times == 1 {
        format!("bar {first}")
    } else {
        format!("bars {first} to {}", first + times - 1)
    }
}

fn draw(
    group: &Group,
    bar: &SawnBar,
    number: u32,
    top: f64,
    scale: f64,
    units: Units,
    shapes: &mut Vec<Shape>,
) {
    let from = &group.from[bar.from];
    let kind = if from.remnant { "remnant" } else { "stock" };
    let text = |x: f64, y: f64, anchor, words: String| Shape::Text { at: [x, y], anchor, words };
    shapes.push(text(10.0, top + 11.0, Anchor::Start, numbers(number, bar.times)));
    let bar_length = format!("{kind} {}", plain(from.length, units));
    shapes.push(text(10.0, top + 24.0, Anchor::Start, bar_length));
    let known = [from.heat.as_ref().map(|it| format!("heat {it}")), from.place.clone()];
    let known: Vec<String> = known.into_iter().flatten().collect();
    shapes.push(text(10.0, top + 37.0, Anchor::Start, known.join(", ")));
    let mut at = LEFT;
    let mut piece = |length: Length, role: Role, title: String, shapes: &mut Vec<Shape>| {
        let width = length.mm() * scale;
        if width > 0.0 {
            shapes.push(Shape::Box { at: [at, top, width, BAR], role, title });
        }
        at += width;
        (at - width, width)
    };
    let shown = |length: Length| length.shown(units);
    piece(bar.trim, Role::Face, format!("end trim {}", shown(bar.trim)), shapes);
    for (index, blank) in bar.blanks.iter().enumerate() {
        let role = if index % 2 == 0 { Role::Part } else { Role::NextPart };
        let lot = &group.lots[blank.lot].name;
        let parts = blank.parts.map_or(String::new(), |parts| format!(", {parts} parts"));
        let title = format!("{lot}: blank of {}{parts}", shown(blank.length));
        let (start, width) = piece(blank.length, role, title, shapes);
        if width >= WORDS {
            let words = format!("{} {}", letter(blank.lot), plain(blank.length, units));
            shapes.push(text(start + width / 2.0, top + BAR + 12.0, Anchor::Middle, words));
        }
        piece(group.saw.kerf, Role::Kerf, format!("kerf {}", shown(group.saw.kerf)), shapes);
    }
    let kept = if bar.kept { "to keep" } else { "scrap" };
    let (start, width) =
        piece(bar.rest, Role::Remnant, format!("rest {}, {kept}", shown(bar.rest)), shapes);
    if width >= REST_WORDS {
        let words = format!("{} {kept}", plain(bar.rest, units));
        shapes.push(text(start + width / 2.0, top + BAR + 12.0, Anchor::Middle, words));
    }
}
