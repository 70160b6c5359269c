//! What fingers do on a keyboard.

use super::{Planted, planted};
use crate::reading::{Line, Reading};
use crate::seed::Seed;
use model::Span;
use model::files::control::{CodeSystem, MixedBlock};
use nc::blocks::{Said, StepKind};
use nc::codes::GCode;
use nc::tree::ItemKind;

/// A word for a place with a point in its number.
fn with_point(reading: &Reading<'_>, seed: &mut Seed) -> Option<(usize, Said)> {
    let mut all: Vec<(usize, Said)> = Vec::new();
    for index in reading.find(Line::moves) {
        let words = reading.lines[index].words.iter();
        let axis = words.filter(|word| word.is_axis() && word.term.is_none());
        all.extend(
            axis.filter(|word| word.written().is_some_and(|n| n.point)).map(|w| (index, *w)),
        );
    }
    seed.one(&all)
}

fn retyped(
    reading: &Reading<'_>,
    seed: &mut Seed,
    how: impl Fn(&str) -> Option<String>,
) -> Option<Planted> {
    let (index, word) = with_point(reading, seed)?;
    let line = &reading.lines[index];
    let text = how(&reading.text(line, word.span))?;
    planted(reading, index, &[line.edit(word.span, &text)])
}

pub(super) fn letter_o_for_zero(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    retyped(reading, seed, |text| text.contains('0').then(|| text.replacen('0', "O", 1)))
}

pub(super) fn comma_for_point(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    retyped(reading, seed, |text| {
        let point = text.find('.')?;
        text[point + 1..].chars().next()?;
        Some(text.replacen('.', ",", 1))
    })
}

pub(super) fn point_twice(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    retyped(reading, seed, |text| Some(text.replacen('.', "..", 1)))
}

pub(super) fn number_left_out(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let (index, word) = with_point(reading, seed)?;
    let line = &reading.lines[index];
    // A word behind it would give it a number.
    let alone = line.words.last().is_some_and(|last| last.span == word.span);
    alone.then_some(())?;
    planted(reading, index, &[line.edit(word.span, &reading.text(line, word.span)[..1])])
}

/// The same axis twice in one block: the next line has slipped up.
pub(super) fn axis_twice(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let (index, word) = with_point(reading, seed)?;
    let line = &reading.lines[index];
    let place = Span { start: word.span.end, end: word.span.end };
    let again = format!(" {}1.5", char::from(word.letter));
    planted(reading, index, &[line.edit(place, &again)])
}

pub(super) fn bracket_left_out(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines =
        reading.find(|line| line.items.iter().any(|item| matches!(item.kind, ItemKind::If(_))));
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let item = line.items.iter().find(|item| matches!(item.kind, ItemKind::If(_)))?;
    let text = reading.text(line, item.span);
    let without = text.strip_suffix(']')?;
    planted(reading, chosen, &[line.edit(item.span, without)])
}

pub(super) fn block_number_twice(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    // A number that is jumped to, and a line before it in the same program that has none.
    let targets: Vec<u32> = reading.compares().iter().map(|one| one.target.1).collect();
    let target = seed.one(&targets)?;
    let at = reading.lines.iter().position(|line| line.number.is_some_and(|(n, _)| n == target))?;
    let program = reading.lines[at].program;
    let free = reading.find(|line| {
        line.program == program
            && line.number.is_none()
            && line.moves()
            && line.code().first().is_some_and(|first| first.start == line.span.start)
    });
    let chosen = seed.one(&free)?;
    let line = &reading.lines[chosen];
    let place = Span { start: line.span.start, end: line.span.start };
    planted(reading, chosen, &[line.edit(place, &format!("N{target} "))])
}

/// A statement and words in one block, on a control that takes no such block.
pub(super) fn words_behind_statement(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    (reading.good.setup.control.terms.mixed_block == MixedBlock::Refused).then_some(())?;
    let lines = reading.find(|line| {
        line.words.is_empty()
            && matches!(line.steps.as_slice(), [step] if matches!(step.kind, StepKind::Assign { fixed: Some(number), .. } if number < 3000))
    });
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let end = line.code().last()?.end;
    planted(reading, chosen, &[line.edit(Span { start: end, end }, " M5")])
}

/// A comment that is not closed swallows the word behind it.
pub(super) fn comment_not_closed(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| line.moves() && line.code().len() > 1);
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    let comment = line.items.iter().any(|item| item.kind == ItemKind::Comment);
    (!comment).then_some(())?;
    let first = line.code().first()?.start;
    planted(reading, chosen, &[line.edit(Span { start: first, end: first }, "(NOW ")])
}

/// A G word of another code system for the feed per minute.
pub(super) fn word_of_another_system(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    (reading.good.setup.control.code_system != CodeSystem::A).then_some(())?;
    let lines = reading.find(|line| line.g(GCode::FeedPerMinute).is_some());
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    planted(reading, chosen, &[line.edit(line.g(GCode::FeedPerMinute)?.span, "G98")])
}

/// G20 for G21 or the other way round.
pub(super) fn other_units(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| line.g(GCode::Inch).or(line.g(GCode::Millimeter)).is_some());
    let chosen = *lines.first()?;
    let line = &reading.lines[chosen];
    let (word, other) = match line.g(GCode::Inch) {
        Some(word) => (word, GCode::Millimeter),
        None => (line.g(GCode::Millimeter)?, GCode::Inch),
    };
    planted(reading, chosen, &[line.edit(word.span, &reading.g(other))])
}

/// A G word with a digit too many: no control has it.
pub(super) fn unknown_g_word(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let lines = reading.find(|line| line.feeds() && line.g(GCode::Line).is_some());
    let chosen = seed.one(&lines)?;
    let line = &reading.lines[chosen];
    planted(reading, chosen, &[line.edit(line.g(GCode::Line)?.span, "G101")])
}

/// An M word that no file explains for the chuck.
pub(super) fn chuck_word_mistyped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    use model::files::control::{Code, Does};
    let open = super::chuck::advance(reading, seed)?.open;
    let line = &reading.lines[open];
    let control = &reading.good.setup.control;
    let free = (60..99).rev().map(|number| Code::new('M', number)).find(|code| {
        control.function(*code).is_none() && ![97, 98, 99].contains(&(code.tenths / 10))
    })?;
    planted(reading, open, &[line.edit(line.does(Does::ChuckOpen)?.span, &free.to_string())])
}

/// A feed without its point: thousandths of what was meant, or a figure far off.
pub(super) fn feed_left_out(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let all = reading.find(|line| line.word('F').is_some());
    let [first, ..] = all.as_slice() else { return None };
    let _ = seed;
    let line = &reading.lines[*first];
    // Nothing above gives a feed.
    (line.before.feed.is_none() && line.cuts()).then_some(())?;
    planted(reading, *first, &[line.edit(line.word('F')?.span, "")])
}
