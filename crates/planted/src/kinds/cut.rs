//! The cuts: where they go, and how.

use super::pull::{counts_increments, point_dropped};
use super::{Planted, planted};
use crate::reading::{Line, Reading};
use crate::seed::Seed;
use model::files::tools::ToolKind;
use model::{Length, Span};
use nc::blocks::Said;
use nc::codes::GCode;

/// A part-off with the rapid move that leads to it, both with their words written as numbers.
struct PartOff {
    cut: usize,
    rapid: usize,
}

fn part_off(reading: &Reading<'_>, seed: &mut Seed) -> Option<PartOff> {
    let all: Vec<PartOff> = reading
        .part_offs()
        .into_iter()
        .filter_map(|cut| Some(PartOff { cut, rapid: reading.rapid_before(cut)? }))
        .collect();
    let index = seed.between(0, all.len() as i64 - 1).max(0) as usize;
    all.into_iter().nth(index)
}

/// A word for a place, written as a plain number.
fn place(line: &Line, letter: char) -> Option<&Said> {
    line.word(letter).filter(|word| word.term.is_none() && !line.after.incremental)
}

fn replaced(reading: &Reading<'_>, index: usize, letter: char, to: Length) -> Option<Planted> {
    let line = &reading.lines[index];
    let word = place(line, letter)?;
    let text = reading.length_word(line, letter, to);
    planted(reading, index, &[line.edit(word.span, &text)])
}

/// The place along Z of the part-off moved by so much, where the rapid move to it names it.
fn parted_elsewhere(reading: &Reading<'_>, seed: &mut Seed, by: Length) -> Option<Planted> {
    let PartOff { rapid, .. } = part_off(reading, seed)?;
    let z = reading.lines[rapid].after.z?;
    replaced(reading, rapid, 'Z', z + by)
}

pub(super) fn part_off_at_other_corner(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let width = reading.good.setup.part.as_ref()?.part_off;
    let toward_jaws =
        reading.station(ToolKind::Parting)?.corner == model::files::tools::BladeCorner::FrontSide;
    parted_elsewhere(reading, seed, if toward_jaws { -width } else { width })
}

pub(super) fn part_off_nearer_to_jaws(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    parted_elsewhere(reading, seed, Length::from_mm(-1))
}

pub(super) fn part_off_not_to_center(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let part = reading.good.setup.part.as_ref()?;
    (part.parts_per_advance == 1 && part.quantity > 1).then_some(())?;
    // A hollow part falls before the blade is at the axis.
    let hollow = |line: &Line| line.with(ToolKind::Drill) || line.with(ToolKind::Boring);
    reading.find(hollow).is_empty().then_some(())?;
    stopped_short(reading, seed)
}

/// The first parts of an advance hang on the last one, which falls.
pub(super) fn one_of_several_not_parted(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let part = reading.good.setup.part.as_ref()?;
    (part.parts_per_advance > 1 && reading.part_offs().len() > 1).then_some(())?;
    stopped_short(reading, seed)
}

fn stopped_short(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let PartOff { cut, .. } = part_off(reading, seed)?;
    let far = reading.lines[cut].before.x?.is_negative();
    let short = reading.outside()?.half().half();
    replaced(reading, cut, 'X', if far { -short } else { short })
}

pub(super) fn part_off_at_rapid(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let PartOff { cut, .. } = part_off(reading, seed)?;
    let line = &reading.lines[cut];
    match line.g(GCode::Line) {
        Some(word) => planted(reading, cut, &[line.edit(word.span, "G0")]),
        None => None,
    }
}

pub(super) fn part_off_dropped(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let offs = reading.part_offs();
    let [cut] = offs.as_slice() else { return None };
    (reading.good.setup.part.as_ref()?.quantity > 1).then_some(())?;
    planted(reading, *cut, &reading.emptied(*cut))
}

/// X as a radius where it counts as a diameter, in the rapid move beside the bar.
pub(super) fn x_as_radius(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let PartOff { rapid, .. } = part_off(reading, seed)?;
    let x = reading.lines[rapid].after.x?;
    let section = reading.good.setup.bar.as_ref()?.size;
    // The blade stands between raw bar and part: half of it is as thick as the bar.
    (x.abs().half() < section - Length::from_mm(1)).then_some(())?;
    let names_x = reading.lines[rapid].before.x.is_none_or(|from| from != x);
    names_x.then_some(())?;
    replaced(reading, rapid, 'X', x.half())
}

pub(super) fn x_sign_wrong(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let PartOff { rapid, .. } = part_off(reading, seed)?;
    let line = &reading.lines[rapid];
    let x = line.after.x?;
    // Straight across the bar, on this side of the jaws.
    let across = line.before.x.is_none_or(|from| from.is_negative() == x.is_negative());
    across.then_some(())?;
    replaced(reading, rapid, 'X', -x)
}

/// Whether an edge stands where the bar is solid when the face is just cut: near the axis.
fn at_axis(line: &Line) -> bool {
    line.after.x.is_some_and(|x| x.abs() <= Length::from_mm(3))
}

pub(super) fn z_sign_wrong(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| {
        line.rapid()
            && line.with(ToolKind::Turning)
            && at_axis(line)
            && line.after.z.is_some_and(Length::is_positive)
            && line.before.z.is_some_and(|z| z <= Length::from_mm(3))
            && place(line, 'Z').is_some()
    });
    let chosen = seed.one(&lines)?;
    let z = reading.lines[chosen].after.z?;
    let front = reading.good.setup.first_front()?;
    (z > front.half().half()).then_some(())?;
    replaced(reading, chosen, 'Z', -z)
}

pub(super) fn point_missing(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    counts_increments(reading)?;
    let lines = reading.find(|line| line.moves() && !line.with(ToolKind::Gripper));
    for chosen in seed.shuffled(lines) {
        let line = &reading.lines[chosen];
        for letter in ['X', 'Z'] {
            if let Some(word) = place(line, letter)
                && let Some(planted) = point_dropped(reading, chosen, word)
            {
                return Some(planted);
            }
        }
    }
    None
}

/// The control takes figures without a point for whole units, and the axis does not go so far.
pub(super) fn point_missing_beyond_travel(
    reading: &Reading<'_>,
    seed: &mut Seed,
) -> Option<Planted> {
    counts_increments(reading).is_none().then_some(())?;
    let travel = &reading.good.setup.lathe.as_ref()?.travel;
    travel.ends?;
    let lines = reading.find(|line| line.rapid() && line.with(ToolKind::Turning));
    for chosen in seed.shuffled(lines) {
        let line = &reading.lines[chosen];
        for (letter, reach) in [('X', travel.x), ('Z', travel.z)] {
            let Some(word) = place(line, letter) else { continue };
            let digits = reading.text(line, word.span).replace('.', "");
            let Ok(figure) = digits[1..].parse::<i64>() else { continue };
            let goes = Length::from_nm(figure.saturating_mul(line.after.units.nanometers()));
            if goes.abs() > reach * 2
                && let Some(planted) = point_dropped(reading, chosen, word)
            {
                return Some(planted);
            }
        }
    }
    None
}

/// A cut toward the jaws that goes on into them.
pub(super) fn cut_into_jaws(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let jaw = reading.good.setup.jaw_face()?;
    let lines = reading.find(|line| {
        line.cuts()
            && line.with(ToolKind::Turning)
            && line.before.x == line.after.x
            && line.after.z.zip(line.before.z).is_some_and(|(to, from)| to < from)
            && place(line, 'Z').is_some()
    });
    let chosen = seed.one(&lines)?;
    replaced(reading, chosen, 'Z', jaw - Length::from_mm(1))
}

/// The facing cut is gone: the face stock stays on the part.
pub(super) fn facing_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let part = reading.good.setup.part.as_ref()?;
    (part.face_stock > Length::from_um(2)).then_some(())?;
    let front = |line: &Line| {
        line.feeds()
            && line.with(ToolKind::Turning)
            && at_axis(line)
            && line.before.x.is_some_and(|x| x.abs() > Length::from_mm(3))
            && line.before.z == line.after.z
            && line.word('Z').is_none()
            && line.word('W').is_none()
    };
    // Where a part of several lies, faces stand a pitch apart.
    let lines = reading.find(front);
    let chosen = seed.one(&lines)?;
    let z = reading.lines[chosen].after.z?;
    let is_face = (0..i64::from(part.parts_per_advance)).any(|index| z == -(part.pitch() * index));
    is_face.then_some(())?;
    let others = lines.iter().filter(|other| reading.lines[**other].after.z == Some(z)).count();
    (others == 1).then_some(())?;
    // The words that stay in force for what follows stay.
    let line = &reading.lines[chosen];
    let spans: Vec<Span> =
        line.words.iter().filter(|word| word.is_axis()).map(|word| word.span).collect();
    let edits: Vec<_> = spans.into_iter().map(|span| line.edit(span, "")).collect();
    planted(reading, chosen, &edits)
}

/// The way back to the place where the turret may swing is gone.
pub(super) fn retract_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let offs = reading.part_offs();
    let off = seed.one(&offs)?;
    let program = reading.lines[off].program;
    let next = (off + 1..reading.lines.len()).find(|index| {
        reading.lines[*index].program != program || reading.lines[*index].word('T').is_some()
    })?;
    (reading.lines[next].program == program).then_some(())?;
    // Where the way home follows, it leads away too.
    let home = reading.lines[off + 1..next].iter().any(Line::moves_otherwise);
    (!home).then_some(())?;
    let moves: Vec<usize> = (off + 1..next).filter(|index| reading.lines[*index].moves()).collect();
    let edits: Vec<_> = moves
        .iter()
        .flat_map(|index| {
            let line = &reading.lines[*index];
            let axes = line.words.iter().filter(|word| word.is_axis());
            axes.map(|word| line.edit(word.span, "")).collect::<Vec<_>>()
        })
        .collect();
    planted(reading, *moves.first()?, &edits)
}

/// A drill that goes sideways out of its hole.
pub(super) fn drill_leaves_sideways(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| {
        line.rapid()
            && line.with(ToolKind::Drill)
            && line.before.z.is_some_and(Length::is_negative)
            && line.after.z.is_some_and(Length::is_positive)
            && line.before.x == line.after.x
    });
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let axes = line.words.iter().filter(|word| word.is_axis());
    let edits: Vec<_> = axes.map(|word| line.edit(word.span, "")).collect();
    planted(reading, chosen, &edits)
}

/// The finished diameter typed as a radius.
pub(super) fn finish_x_as_radius(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| {
        line.cuts()
            && line.with(ToolKind::Turning)
            && line.before.z != line.after.z
            && line.after.x.is_some_and(|x| x.abs() > Length::from_mm(4))
            && place(line, 'X').is_some()
    });
    let chosen = seed.one(&lines)?;
    let x = reading.lines[chosen].after.x?;
    replaced(reading, chosen, 'X', x.half())
}

/// A feed per revolution with one zero too many.
pub(super) fn feed_tenfold(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| {
        line.cuts()
            && line.with(ToolKind::Turning)
            && line.after.per_minute == Some(false)
            && line.before.z != line.after.z
            && line.word('F').is_some_and(|word| word.term.is_none() && word.value > 0.0)
    });
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let word = line.word('F')?;
    let station = reading.good.setup.tools.as_ref()?.station(line.after.station?)?;
    let unit = line.after.units.nanometers() as f64 / 1e6;
    (word.value * 10.0 * unit > station.takes.most_feed?.mm() * 1.1).then_some(())?;
    planted(reading, chosen, &[line.edit(word.span, &format!("F{:.4}", word.value * 10.0))])
}

/// All coolant left off.
pub(super) fn coolant_dropped(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    use model::files::control::Does;
    let on = reading.find(|line| line.does(Does::CoolantOn).is_some());
    let off = reading.find(|line| line.does(Does::CoolantOff).is_some());
    (!off.is_empty()).then_some(())?;
    let edits: Vec<_> = on
        .iter()
        .filter_map(|index| {
            let line = &reading.lines[*index];
            Some(line.edit(line.does(Does::CoolantOn)?.span, ""))
        })
        .collect();
    planted(reading, *on.first()?, &edits)
}

/// An arc that turns the other way.
pub(super) fn arc_turned_over(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let arcs = reading.find(|line| arc_word(line).is_some());
    let chosen = seed.one(&arcs)?;
    // Where a term says which way the program goes, nobody knows whether it comes here.
    (!reading.jumps_by_term()).then_some(())?;
    let line = &reading.lines[chosen];
    let (word, other) = arc_word(line)?;
    // A drawing that allows this much does not mind.
    let drawing = reading.good.setup.drawing.as_ref()?;
    let allowed = drawing.features.iter().map(|one| one.deviations.0 - one.deviations.1);
    (bulge(line)? * 2.0 > allowed.max()?.mm()).then_some(())?;
    planted(reading, chosen, &[line.edit(word.span, other)])
}

/// How far the middle of an arc lies off the chord between its ends, in millimeters; none where
/// its ends are not known here.
fn bulge(line: &Line) -> Option<f64> {
    let x = (line.after.x? - line.before.x?).mm() / 2.0;
    let z = (line.after.z? - line.before.z?).mm();
    let figure = |letter| Some(Said::length(line.word(letter)?, line.after.units)?.mm());
    let center = || libm::hypot(figure('I').unwrap_or(0.0), figure('K').unwrap_or(0.0));
    let radius = figure('R').unwrap_or_else(center);
    let half = libm::hypot(x, z) / 2.0;
    Some(radius - libm::sqrt((radius * radius - half * half).max(0.0)))
}

fn arc_word(line: &Line) -> Option<(&Said, &'static str)> {
    let clockwise = line.g(GCode::ArcClockwise).map(|word| (word, "G3"));
    clockwise.or(line.g(GCode::ArcCounterclockwise).map(|word| (word, "G2")))
}

/// A radius that does not reach from one end of the arc to the other.
pub(super) fn arc_radius_too_small(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let arcs = reading.find(|line| arc_word(line).is_some() && line.word('R').is_some());
    let chosen = seed.one(&arcs)?;
    let line = &reading.lines[chosen];
    let word = line.word('R').filter(|word| word.term.is_none())?;
    let radius = Said::length(word, line.after.units)?;
    let chord = |from: Option<Length>, to: Option<Length>| Some((to? - from?).mm());
    // Where a term or a cycle leads to the arc, its ends are not known here.
    let (x, z) = (chord(line.before.x, line.after.x)? / 2.0, chord(line.before.z, line.after.z)?);
    let small = radius.mm() / 4.0;
    (libm::hypot(x, z) > 2.0 * small * 1.05).then_some(())?;
    let text = reading.length_word(line, 'R', Length::nearest_mm(small));
    planted(reading, chosen, &[line.edit(word.span, &text)])
}

/// I and K of an arc exchanged.
pub(super) fn arc_center_exchanged(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let arcs = reading
        .find(|line| arc_word(line).is_some() && line.word('I').or(line.word('K')).is_some());
    let chosen = seed.one(&arcs)?;
    let line = &reading.lines[chosen];
    let value = |letter: char| match line.word(letter) {
        None => Some(0.0),
        Some(word) => {
            Some(Said::length(word, line.after.units).filter(|_| word.term.is_none())?.mm())
        }
    };
    let (i, k) = (value('I')?, value('K')?);
    // Exchanged, they must lead to a center that is not as far from one end as from the other.
    let way_x = (line.after.x? - line.before.x?).mm() / 2.0;
    let way_z = (line.after.z? - line.before.z?).mm();
    let off = libm::hypot(way_x - k, way_z - i) - libm::hypot(i, k);
    (off.abs() > 0.05).then_some(())?;
    let edits: Vec<_> = line
        .words
        .iter()
        .filter(|word| matches!(word.letter, b'I' | b'K'))
        .map(|word| {
            let text = reading.text(line, word.span);
            let other = if word.letter == b'I' { "K" } else { "I" };
            line.edit(word.span, &format!("{other}{}", &text[1..]))
        })
        .collect();
    planted(reading, chosen, &edits)
}

/// A nose radius offset that is left in force when its tool goes away.
pub(super) fn nose_offset_left_on(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let ends = reading.find(|line| line.g(GCode::NoseOff).is_some() && line.before.nose);
    let chosen = seed.one(&ends)?;
    let line = &reading.lines[chosen];
    planted(reading, chosen, &[line.edit(line.g(GCode::NoseOff)?.span, "")])
}

/// A nose radius offset to the wrong side.
pub(super) fn nose_offset_to_wrong_side(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let starts =
        reading.find(|line| line.g(GCode::NoseLeft).or(line.g(GCode::NoseRight)).is_some());
    let chosen = seed.one(&starts)?;
    let line = &reading.lines[chosen];
    let (word, other) = match line.g(GCode::NoseLeft) {
        Some(word) => (word, "G42"),
        None => (line.g(GCode::NoseRight)?, "G41"),
    };
    planted(reading, chosen, &[line.edit(word.span, other)])
}
