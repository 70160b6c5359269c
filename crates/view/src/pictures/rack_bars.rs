//! What lies on the rack, to scale: every place an arm, on it the bars as they lie, their left ends flush as a
//! person pushes them. Remnants are hatched; a dashed line shows how short one may be and still be of use.

use super::axis::{step, ticks};
use crate::scene::{Anchor, Role, Scene, Shape};
use model::record::{Racked, RackedKind};
use model::{Length, Units};
use std::collections::BTreeMap;

const WIDTH: f64 = 1000.0;
const LEFT: f64 = 150.0;
const RIGHT: f64 = 170.0;
const TOP: f64 = 34.0;
const BOTTOM: f64 = 40.0;
/// Height of one bar, and from one to the next that is like it.
const BAR: f64 = 6.0;
const NEXT: f64 = 8.0;
/// From one label to the next, and what a place has above and below.
const ITEM: f64 = 10.0;
const PLACE: f64 = 26.0;
/// How wide a letter is, about.
const LETTER: f64 = 7.0;
/// Bars of one label that are drawn; the number says how many there are.
const DRAWN: u32 = 5;

/// The picture.
pub fn scene(rack: &[&Racked], least_useful: Option<Length>, units: Units) -> Scene {
    let longest = rack.iter().map(|it| it.length).max().unwrap_or(Length::from_mm(1000));
    let longest = longest.max(Length::from_mm(1));
    let x = |length: Length| LEFT + (WIDTH - LEFT - RIGHT) * (length.mm() / longest.mm());
    let mut places: BTreeMap<&str, Vec<&Racked>> = BTreeMap::new();
    for it in rack {
        let place = it.place.as_ref().map_or("no place recorded", |place| place.text());
        places.entry(place).or_default().push(it);
    }
    let least = least_useful.filter(|least| *least < longest && !rack.is_empty());
    let mut shapes = Vec::new();
    let mut y = TOP;
    for (place, mut items) in places {
        items.sort_by_key(|it| std::cmp::Reverse(it.length));
        y += PLACE;
        let words = short(place, 40);
        shapes.push(Shape::Text { at: [16.0, y - 8.0], anchor: Anchor::Start, words });
        let from = y;
        for item in items {
            y = bars(item, units, y, least.map(x), &x, &mut shapes);
        }
        // The arm, and the upright that holds it.
        let arm = [12.0, y, x(longest) + 10.0, y];
        shapes.push(Shape::Line { at: arm, role: Role::Now });
        shapes.push(Shape::Line { at: [12.0, from - 6.0, 12.0, y + 4.0], role: Role::Now });
    }
    if let Some(least) = least {
        let at = [x(least), TOP - 6.0, x(least), y];
        shapes.push(Shape::Line { at, role: Role::Ceiling });
        let words = format!("least useful remnant {}", least.shown(units));
        shapes.push(Shape::Text { at: [x(least) + 5.0, TOP], anchor: Anchor::Start, words });
    }
    scale(longest, units, y + 12.0, &x, &mut shapes);
    Scene {
        width: WIDTH,
        height: y + 12.0 + BOTTOM,
        title: "What lies on the rack".to_owned(),
        description: description(rack, least_useful, units),
        shapes,
    }
}

/// The bars of one label; gives where the next begins. No words stand on the line at `dashed`.
fn bars(
    item: &Racked,
    units: Units,
    y: f64,
    dashed: Option<f64>,
    x: &dyn Fn(Length) -> f64,
    shapes: &mut Vec<Shape>,
) -> f64 {
    let drawn = item.count.clamp(1, DRAWN);
    let role = match item.kind {
        RackedKind::Stock => Role::Bar,
        RackedKind::Remnant => Role::Remnant,
    };
    for index in 0..drawn {
        let at = [LEFT, y + NEXT * f64::from(index), x(item.length) - LEFT, BAR];
        shapes.push(Shape::Box { at, role, title: words(item, units) });
    }
    let high = NEXT * f64::from(drawn).max(1.0);
    let middle = y + high / 2.0 + 3.0;
    let name = short(item.item.text(), 18);
    shapes.push(Shape::Text { at: [LEFT - 8.0, middle], anchor: Anchor::End, words: name });
    let count = if item.count == 1 { String::new() } else { format!("{} × ", item.count) };
    let length = format!("{count}{}", item.length.shown(units));
    let begin = x(item.length) + 8.0;
    let end = begin + LETTER * length.chars().count() as f64;
    let begin = dashed.filter(|it| (begin - 2.0..end).contains(it)).map_or(begin, |it| it + 6.0);
    let at = [begin, middle];
    shapes.push(Shape::Text { at, anchor: Anchor::Start, words: length });
    y + high + ITEM - (NEXT - BAR)
}

/// An item in words.
pub fn words(item: &Racked, units: Units) -> String {
    let mut words = vec![format!("{}: {} of {}", item.item, item.count, item.length.shown(units))];
    words.extend(item.material.as_ref().map(ToString::to_string));
    words.extend(item.size.map(|size| format!("{} across", size.shown(units))));
    words.push(
        item.heat
            .as_ref()
            .map_or("heat number not recorded".to_owned(), |heat| format!("heat {heat}")),
    );
    words.extend(item.place.as_ref().map(ToString::to_string));
    if item.kind == RackedKind::Remnant {
        words.push("remnant".to_owned());
    }
    words.join(", ")
}

fn description(rack: &[&Racked], least_useful: Option<Length>, units: Units) -> String {
    let of = |kind| {
        let all = rack.iter().filter(move |it| it.kind == kind);
        let count: u64 = all.clone().map(|it| u64::from(it.count)).sum();
        let length: f64 =
            all.fold(0.0, |sum, it| sum + it.length.mm() * f64::from(it.count)) / 1000.0;
        let length = match units {
            Units::Mm => format!("{length:.1} m"),
            Units::Inch => format!("{:.0} ft", length / 0.3048),
        };
        (count, length)
    };
    let ((bars, whole), (remnants, rest)) = (of(RackedKind::Stock), of(RackedKind::Remnant));
    let short = least_useful.map_or(String::new(), |least| {
        let short =
            rack.iter().filter(|it| it.length < least).map(|it| u64::from(it.count)).sum::<u64>();
        format!(" Shorter than the least useful remnant of {}: {short}.", least.shown(units))
    });
    format!("Bars: {bars}, {whole} together. Remnants: {remnants}, {rest} together.{short}")
}

fn scale(
    longest: Length,
    units: Units,
    floor: f64,
    x: &dyn Fn(Length) -> f64,
    shapes: &mut Vec<Shape>,
) {
    shapes.push(Shape::Line { at: [LEFT, floor, x(longest), floor], role: Role::Measure });
    let whole = longest.nm() / units.nanometers();
    for tick in ticks(0, whole, step(whole, 8)) {
        let at = x(Length::from_nm(tick.saturating_mul(units.nanometers())));
        shapes.push(Shape::Line { at: [at, floor, at, floor + 5.0], role: Role::Measure });
        let words = tick.to_string();
        shapes.push(Shape::Text { at: [at, floor + 18.0], anchor: Anchor::Middle, words });
    }
    let words = format!("length, {}", units.symbol());
    shapes.push(Shape::Text { at: [x(longest), floor + 34.0], anchor: Anchor::End, words });
}

fn short(text: &str, most: usize) -> String {
    if text.chars().count() <= most {
        return text.to_owned();
    }
    text.chars().take(most - 1).chain(['…']).collect()
}
