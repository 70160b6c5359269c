//! The same program as another person would have typed it, and for another bar.

use super::{Good, Text};
use crate::edit::{Edit, apply};
use crate::reading::{Line, Reading};
use crate::seed::Seed;
use model::Span;
use nc::blocks::{Meaning, Said};
use nc::codes::GCode;
use nc::tree::ItemKind;

/// One variation: other typing, and where the text shows its count another length of bar too.
pub(super) fn of(good: &Good, number: usize, seed: &mut Seed) -> Good {
    let mut varied = Good { name: format!("{} variation {number}", good.name), ..good.clone() };
    if seed.once_in(2) {
        shorter_bar(&mut varied, seed);
    }
    // Each way of typing starts from the text that the one before left.
    let ways: [fn(&Reading<'_>, &mut Seed) -> Vec<Edit>; 6] =
        [modal_words, increments, leading_zeros, spacing, comments, numbers];
    for way in ways {
        if seed.once_in(2) {
            let edits = way(&Reading::new(&varied), seed);
            varied.texts = apply(&varied.texts, &edits);
        }
    }
    if seed.once_in(4) {
        for Text { text, .. } in &mut varied.texts {
            *text = text.replace('\n', "\r\n");
        }
    }
    varied
}

/// A blank that is some advances shorter, and the count with it.
fn shorter_bar(good: &mut Good, seed: &mut Seed) {
    let reading = Reading::new(good);
    let Some(count) = reading.bar_count() else { return };
    let steps = reading.count_steps();
    let of_bar: Vec<_> = steps.iter().filter(|step| step.variable == count.variable).collect();
    let compared = reading.compares().iter().filter(|one| one.variable == count.variable).count();
    let (Some(part), [step]) = (&good.setup.part, of_bar.as_slice()) else { return };
    let parts = f64::from(part.parts_per_advance);
    if compared != 1 || (step.by - parts).abs() > 1e-9 {
        return;
    }
    let advances = (count.number / parts) as i64;
    if advances < 6 {
        return;
    }
    let less = seed.between(1, advances - 4);
    let number = (count.number - less as f64 * parts).to_string();
    let edit = reading.lines[count.line].edit(count.number_at, &number);
    let shorter = part.advance() * less;
    let texts = apply(&good.texts, &[edit]);
    if let Some(bar) = good.setup.bar.as_mut() {
        bar.length -= shorter;
        good.texts = texts;
    }
}

/// Whether a line stands in the contour of a cycle or is run with the nose offset, where more
/// counts than where its moves end.
fn plain(line: &Line) -> bool {
    !line.before.nose && !line.after.nose && line.words.iter().all(|word| !word.comma)
}

/// Motion words said again where they are in force already, or left out there.
fn modal_words(reading: &Reading<'_>, seed: &mut Seed) -> Vec<Edit> {
    let again = seed.once_in(2);
    let mut edits = Vec::new();
    for line in reading.lines.iter().filter(|line| line.moves() && plain(line)) {
        let motion =
            [GCode::Rapid, GCode::Line].into_iter().find(|g| Some(*g) == line.after.motion);
        let (Some(motion), Some(first)) = (motion, line.words.first()) else { continue };
        if line.before.motion != line.after.motion {
            continue;
        }
        match line.g(motion) {
            // A number of a block may be jumped to, from where another motion is in force.
            Some(word) if !again && line.number.is_none() && follows_move(reading, line) => {
                edits.push(line.edit(word.span, ""));
            }
            None if again => {
                let place = Span { start: first.span.start, end: first.span.start };
                edits.push(line.edit(place, &reading.g(motion)));
            }
            _ => {}
        }
    }
    edits
}

/// Whether the line right above makes a plain move: then its motion is in force here for sure.
fn follows_move(reading: &Reading<'_>, line: &Line) -> bool {
    let index = reading.lines.iter().position(|other| std::ptr::eq(other, line));
    let above = index.and_then(|index| reading.lines.get(index.checked_sub(1)?));
    above.is_some_and(|above| {
        above.moves() && above.file == line.file && above.program == line.program
    })
}

/// Some places along Z as distances from the place before, where the code system has words for it.
fn increments(reading: &Reading<'_>, seed: &mut Seed) -> Vec<Edit> {
    let mut edits = Vec::new();
    if reading.good.setup.control.code_system != model::files::control::CodeSystem::A {
        return edits;
    }
    for line in reading.lines.iter().filter(|line| line.moves() && plain(line)) {
        let (Some(from), Some(to)) = (line.before.z, line.after.z) else { continue };
        let straight = matches!(line.after.motion, Some(GCode::Rapid | GCode::Line));
        let Some(word) = line.word('Z').filter(|word| word.term.is_none()) else { continue };
        let known = line.number.is_none() && follows_move(reading, line);
        if straight && known && !inside_contour(reading, line) && seed.once_in(3) {
            edits.push(line.edit(word.span, &reading.length_word(line, 'W', to - from)));
        }
    }
    edits
}

/// Whether the program has cycles that run a contour, whose blocks stand elsewhere.
fn inside_contour(reading: &Reading<'_>, line: &Line) -> bool {
    reading.lines.iter().any(|other| {
        other.program == line.program && other.word('Q').is_some() && other.word('P').is_some()
    })
}

/// G1 as G01, and lengths with zeros behind.
fn leading_zeros(reading: &Reading<'_>, seed: &mut Seed) -> Vec<Edit> {
    let zeros = seed.once_in(2);
    let mut edits = Vec::new();
    for line in &reading.lines {
        for word in &line.words {
            let text = reading.text(line, word.span);
            let short = text.len() == 2 && matches!(word.meaning, Meaning::G(..) | Meaning::M(..));
            if short {
                edits.push(line.edit(word.span, &format!("{}0{}", &text[..1], &text[1..])));
            } else if zeros && is_length(word) && text.contains('.') && text.len() < 8 {
                edits.push(line.edit(word.span, &format!("{text}0")));
            }
        }
    }
    edits
}

fn is_length(word: &Said) -> bool {
    word.is_axis() && word.term.is_none()
}

/// A blank between all words, or none.
fn spacing(reading: &Reading<'_>, seed: &mut Seed) -> Vec<Edit> {
    let wide = seed.once_in(2);
    let mut edits = Vec::new();
    for (file, tree) in reading.trees.iter().enumerate() {
        for block in &tree.blocks {
            let spans: Vec<Span> = tree.stretches(block).collect();
            let items = tree.items_of(block);
            let code = items.iter().all(|item| {
                matches!(item.kind, ItemKind::Word(_) | ItemKind::Assign { .. } | ItemKind::Comment)
            });
            if !code {
                continue;
            }
            for pair in spans.windows(2) {
                let gap = Span { start: pair[0].end, end: pair[1].start };
                edits.push(Edit { file, span: gap, text: if wide { " " } else { "" }.to_owned() });
            }
        }
    }
    edits
}

/// Comments of its own added, the others taken out.
fn comments(reading: &Reading<'_>, seed: &mut Seed) -> Vec<Edit> {
    let mut edits = Vec::new();
    for line in &reading.lines {
        let said = line.items.iter().filter(|item| {
            item.kind == ItemKind::Comment && reading.text(line, item.span).starts_with('(')
        });
        let said: Vec<Edit> = said.map(|item| line.edit(item.span, "")).collect();
        if said.is_empty() && seed.once_in(4) && !line.code().is_empty() {
            let place = Span { start: line.span.end, end: line.span.end };
            edits.push(line.edit(place, " (AS ON THE SHEET)"));
        }
        edits.extend(said);
    }
    edits
}

/// Numbers before blocks that have none, in steps, away from those that are there.
fn numbers(reading: &Reading<'_>, seed: &mut Seed) -> Vec<Edit> {
    let step = seed.between(1, 5) as usize;
    let program =
        |line: &Line| line.items.iter().any(|item| matches!(item.kind, ItemKind::Program(_)));
    let numbered = reading.lines.iter().filter(|line| {
        line.number.is_none()
            && !program(line)
            && !line.code().is_empty()
            && line.span.start == line.code()[0].start
    });
    let edit = |(index, line): (usize, &Line)| {
        let place = Span { start: line.span.start, end: line.span.start };
        line.edit(place, &format!("N{} ", 2000 + index * step))
    };
    numbered.enumerate().map(edit).collect()
}
