//! The counting of parts and the loop around them.

use super::{Planted, in_shop, planted};
use crate::reading::{Compare, CountStep, Reading};
use crate::seed::Seed;
use model::files::control::Does;
use nc::blocks::{MCode, Meaning};
use nc::tree::{ItemKind, Operator};

/// The compare that ends the bar, where the bar ends before the order and the count is a variable
/// that steps once in a pass.
struct OfBar {
    compare: Compare,
    step: CountStep,
    per_advance: f64,
}

fn of_bar(reading: &Reading<'_>) -> Option<OfBar> {
    let compare = reading.bar_count()?;
    let part = reading.good.setup.part.as_ref()?;
    let steps = reading.count_steps();
    let of: Vec<&CountStep> = steps.iter().filter(|one| one.variable == compare.variable).collect();
    let [step] = of.as_slice() else { return None };
    let per_advance = f64::from(part.parts_per_advance);
    let counts_parts = (step.by - per_advance).abs() < 1e-9;
    let of_variable: Vec<Compare> =
        reading.compares().into_iter().filter(|one| one.variable == compare.variable).collect();
    // Another variable that ends the order must not end this run first.
    let bar_first = f64::from(part.quantity) > compare.number;
    let same = of_variable
        .iter()
        .all(|one| (one.number - compare.number).abs() < 1e-9 || one.number == 0.0);
    (counts_parts && bar_first && same && compare.number >= 2.0 * per_advance).then_some(OfBar {
        compare,
        step: **step,
        per_advance,
    })
}

pub(super) fn zeroed_in_loop(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { step, .. } = of_bar(reading)?;
    let zero = reading.inserted_before(step.line, &format!("#{}=0", step.variable))?;
    planted(reading, step.line, &[zero])
}

pub(super) fn stepped_twice(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { step, .. } = of_bar(reading)?;
    let again = reading.inserted_behind(step.line, &reading.code(step.line))?;
    planted(reading, step.line, &[again])
}

pub(super) fn stepped_never(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { step, .. } = of_bar(reading)?;
    planted(reading, step.line, &reading.emptied(step.line))
}

/// The step is moved up to before the part-off, with no stop of reading ahead between the two.
pub(super) fn stepped_before_part_falls(
    reading: &Reading<'_>,
    _seed: &mut Seed,
) -> Option<Planted> {
    let OfBar { step, .. } = of_bar(reading)?;
    let off = reading.part_offs().into_iter().rev().find(|off| *off < step.line)?;
    let lines = &reading.lines;
    (lines[off].program == lines[step.line].program).then_some(())?;
    let mut edits = reading.emptied(step.line);
    edits.push(reading.inserted_before(off, &reading.code(step.line))?);
    planted(reading, step.line, &edits)
}

/// The compare asks for one advance more.
fn asks(reading: &Reading<'_>, operator: &str) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    let line = &reading.lines[compare.line];
    let text = reading.text(line, compare.between);
    let written = text.trim();
    let new = text.replace(written, operator);
    planted(reading, compare.line, &[line.edit(compare.between, &new)])
}

/// Whether one advance more would be cut with too little bar in the jaws: then the count was the
/// highest that the bar allows.
fn no_room_for_more(reading: &Reading<'_>, compare: &Compare) -> Option<()> {
    let setup = &reading.good.setup;
    let (part, bar, lathe) = (setup.part.as_ref()?, setup.bar.as_ref()?, setup.lathe.as_ref()?);
    let advances = (compare.number / f64::from(part.parts_per_advance)) as i64;
    let grip = part.jaw_face()
        - (part.face_stock + part.first_face - bar.length + bar.length_tolerance)
        - part.advance() * advances;
    (grip < lathe.chuck.least_grip).then_some(())
}

pub(super) fn greater_for_greater_or_equal(
    reading: &Reading<'_>,
    _seed: &mut Seed,
) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    no_room_for_more(reading, &compare)?;
    asks(reading, "GT")
}

pub(super) fn less_for_greater(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    asks(reading, "LT")
}

pub(super) fn one_more_part(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, per_advance, .. } = of_bar(reading)?;
    no_room_for_more(reading, &compare)?;
    let number = (compare.number + per_advance).to_string();
    let edits: Vec<_> = reading
        .compares()
        .iter()
        .filter(|one| one.variable == compare.variable && one.number > 0.0)
        .map(|one| reading.lines[one.line].edit(one.number_at, &number))
        .collect();
    planted(reading, compare.line, &edits)
}

pub(super) fn digit_too_many(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    let line = &reading.lines[compare.line];
    let number = format!("{}0", reading.text(line, compare.number_at));
    planted(reading, compare.line, &[line.edit(compare.number_at, &number)])
}

pub(super) fn jump_out_dropped(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    planted(reading, compare.line, &reading.emptied(compare.line))
}

pub(super) fn jump_to_missing_block(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let compare = seed.one(&reading.compares())?;
    let line = &reading.lines[compare.line];
    let target = compare.target.1 + 3;
    let there = reading.lines.iter().any(|line| line.number.is_some_and(|(n, _)| n == target));
    (!there).then_some(())?;
    planted(reading, compare.line, &[line.edit(compare.target.0, &target.to_string())])
}

/// The jump at the bar's end goes back to the top of the loop.
pub(super) fn jump_out_goes_back(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    let line = &reading.lines[compare.line];
    let target = reading.loop_head(compare.line)?;
    planted(reading, compare.line, &[line.edit(compare.target.0, &target.to_string())])
}

pub(super) fn starts_anew_instead_of_ending(
    reading: &Reading<'_>,
    _seed: &mut Seed,
) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    let program = reading.lines[compare.line].program;
    let behind = reading.find(|line| line.ends().is_some() && line.program == program);
    let end = behind.into_iter().find(|end| *end > compare.line)?;
    // A program that refuses to run while the count stands is not run a second time.
    let refuses = reading
        .compares()
        .iter()
        .any(|one| one.variable == compare.variable && one.line < compare.line && one.number > 0.0);
    let messages = reading.lines.iter().any(|line| {
        line.steps.iter().any(|step| {
            matches!(step.kind, nc::blocks::StepKind::Assign { fixed: Some(3000..=3006), .. })
        })
    });
    (!refuses && !messages).then_some(())?;
    let line = &reading.lines[end];
    planted(reading, end, &[line.edit(line.ends()?.span, "M99")])
}

/// The loop's end is gone: what starts it stands alone.
pub(super) fn loop_end_dropped(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let ends =
        reading.find(|line| line.items.iter().any(|item| matches!(item.kind, ItemKind::End(_))));
    let chosen = seed.one(&ends)?;
    planted(reading, chosen, &reading.emptied(chosen))
}

/// The jump back is gone: the advance is made and the program runs into its end.
pub(super) fn jump_back_dropped(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    let backs = reading.jumps_back();
    let back = backs.into_iter().find(|back| {
        *back > compare.line && reading.lines[*back].program == reading.lines[compare.line].program
    })?;
    planted(reading, back, &reading.emptied(back))
}

/// A call with repeats, its repeats, and how it would be written with others.
fn repeats(reading: &Reading<'_>) -> Option<(usize, u32)> {
    let calls = reading.find(|line| {
        line.words.iter().any(|word| matches!(word.meaning, Meaning::M(_, MCode::Call)))
    });
    calls.into_iter().find_map(|index| {
        let line = &reading.lines[index];
        let repeats = match line.word('L') {
            Some(word) => word.whole()?,
            None => line.word('P')?.whole()? / 10_000,
        };
        (repeats > 1).then_some((index, repeats))
    })
}

fn repeated(reading: &Reading<'_>, by: i64) -> Option<Planted> {
    let (index, repeats) = repeats(reading)?;
    let line = &reading.lines[index];
    let new = i64::from(repeats) + by;
    match line.word('L') {
        Some(word) => planted(reading, index, &[line.edit(word.span, &format!("L{new}"))]),
        None => {
            let word = line.word('P')?;
            let rest = word.whole()? % 10_000;
            planted(reading, index, &[line.edit(word.span, &format!("P{new}{rest:04}"))])
        }
    }
}

/// Passes that the bar gives.
fn passes_of_bar(reading: &Reading<'_>) -> Option<i64> {
    let each = i64::from(reading.good.setup.part.as_ref()?.parts_per_advance);
    Some(reading.parts_of_bar()? / each)
}

pub(super) fn one_repeat_too_many(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let part = reading.good.setup.part.as_ref()?;
    let passes = passes_of_bar(reading)?;
    (i64::from(part.quantity) > passes * i64::from(part.parts_per_advance)).then_some(())?;
    let (_, repeats) = repeats(reading)?;
    // The last pass is called by itself, without an advance.
    (i64::from(repeats) + 1 == passes).then_some(())?;
    repeated(reading, 1)
}

pub(super) fn repeats_too_few(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let part = reading.good.setup.part.as_ref()?;
    let passes = passes_of_bar(reading)?;
    let enough = i64::from(part.quantity) > passes * i64::from(part.parts_per_advance);
    let (_, repeats) = repeats(reading)?;
    (enough && i64::from(repeats) + 1 == passes && repeats > 3).then_some(())?;
    repeated(reading, -2)
}

pub(super) fn called_program_missing(reading: &Reading<'_>, seed: &mut Seed) -> Option<Planted> {
    let calls = reading.find(|line| {
        line.words.iter().any(|word| matches!(word.meaning, Meaning::M(_, MCode::Call)))
            && line.word('P').is_some_and(|word| word.term.is_none())
            && line.word('L').is_some_and(|word| word.term.is_none()) == line.word('L').is_some()
    });
    let chosen = seed.one(&calls)?;
    let line = &reading.lines[chosen];
    let word = line.word('P')?;
    let number = word.whole()?;
    let wrong = number + 7;
    let there = |number: u32| {
        reading.trees.iter().flat_map(|tree| &tree.items).any(
            |item| matches!(item.kind, ItemKind::Program(program) if program == number % 10_000),
        )
    };
    (!there(wrong) && there(number)).then_some(())?;
    planted(reading, chosen, &[line.edit(word.span, &format!("P{wrong}"))])
}

/// The count stands in a variable that a reset clears.
pub(super) fn count_lost_at_reset(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, .. } = of_bar(reading)?;
    let variables = &reading.good.setup.control.variables;
    variables.reset_clears_volatile.then_some(())?;
    let other = variables.volatile.0 + 4;
    let (from, to) = (format!("#{}", compare.variable), format!("#{other}"));
    let mut texts = reading.good.texts.clone();
    let used = texts.iter().any(|text| text.text.contains(&to));
    (!used && compare.variable >= variables.kept.0).then_some(())?;
    for text in &mut texts {
        text.text = text.text.replace(&from, &to);
    }
    let what = format!("{from} -> {to}");
    Some(Planted { texts, setup: reading.good.setup.clone(), what })
}

/// The control's counter is asked for, and the word that steps it is gone.
pub(super) fn counter_word_dropped(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let control = &reading.good.setup.control;
    let counter = control.counter.as_ref()?;
    let asked =
        reading.compares().iter().any(|one| one.variable == counter.made && one.number > 0.0);
    asked.then_some(())?;
    let part = reading.good.setup.part.as_ref()?;
    let bar = reading.compares().into_iter().find(|one| one.variable == counter.made)?;
    (f64::from(part.quantity) > bar.number && bar.operator == Operator::GreaterOrEqual)
        .then_some(())?;
    let lines = reading.find(|line| line.does(Does::PartCount).is_some());
    let edits: Vec<_> = lines
        .iter()
        .filter_map(|index| {
            let line = &reading.lines[*index];
            Some(line.edit(line.does(Does::PartCount)?.span, ""))
        })
        .collect();
    planted(reading, *lines.first()?, &edits)
}

/// Fewer parts are ordered than one run of the bar makes.
pub(super) fn order_smaller_than_run(reading: &Reading<'_>, _seed: &mut Seed) -> Option<Planted> {
    let OfBar { compare, per_advance, .. } = of_bar(reading)?;
    let mut setup = reading.good.setup.clone();
    let less = compare.number - 2.0 * per_advance;
    (less >= 1.0).then_some(())?;
    // The program asks for the order too, by the number that the job had or by the control's.
    let asks_something = |line: &crate::reading::Line| {
        line.items.iter().any(|item| matches!(item.kind, ItemKind::If(_) | ItemKind::While(_)))
    };
    (reading.find(asks_something).len() == reading.compares().len()).then_some(())?;
    let asks =
        reading.compares().iter().any(|one| one.variable != compare.variable && one.number > 0.0);
    (!asks).then_some(())?;
    setup.part.as_mut()?.quantity = less as u32;
    Some(in_shop(reading, setup, "the order is smaller than what one bar gives"))
}
