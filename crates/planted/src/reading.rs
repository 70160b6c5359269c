//! Which line of a program does what, read in the order of the text: enough to know where a
//! mistake can be planted. It follows no jump and works no term out.

mod advance;
mod counting;
mod cuts;
mod modal;

pub use advance::Advance;
pub use counting::{Compare, CountStep};
pub use modal::Modal;

use crate::edit::Edit;
use crate::good::{Good, Text};
use model::files::control::Does;
use model::files::tools::{Station, ToolKind};
use model::{Length, Span};
use nc::blocks::{Blocks, MCode, Meaning, Said, Step};
use nc::codes::{GCode, Group};
use nc::tree::{Item, Tree};

/// One block that says anything.
#[derive(Debug, Clone)]
pub struct Line {
    /// Index of its file.
    pub file: usize,
    /// Which program of all, counted by the program numbers in the text.
    pub program: u32,
    /// The whole block.
    pub span: Span,
    /// Its number.
    pub number: Option<(u32, Span)>,
    /// Its items.
    pub items: Vec<Item>,
    /// Its words, with their meanings.
    pub words: Vec<Said>,
    /// The parts of its statements.
    pub steps: Vec<Step>,
    /// What is in force before it.
    pub before: Modal,
    /// What is in force behind it.
    pub after: Modal,
}

/// A good program, read.
#[derive(Debug)]
pub struct Reading<'g> {
    /// The program.
    pub good: &'g Good,
    /// Its files.
    pub trees: Vec<Tree>,
    /// Its lines, file by file.
    pub lines: Vec<Line>,
}

impl<'g> Reading<'g> {
    /// Reads a program.
    pub fn new(good: &'g Good) -> Reading<'g> {
        let trees = good.trees();
        let mut lines = Vec::new();
        let mut program = 0;
        for (file, tree) in trees.iter().enumerate() {
            let blocks = Blocks::new(tree, &good.setup.control);
            let mut modal = Modal::at_power_on(&good.setup);
            for (index, block) in tree.blocks.iter().enumerate() {
                let Some(ready) = blocks.block(index as u32) else { continue };
                let items = tree.items_of(block).to_vec();
                if items.iter().any(|item| matches!(item.kind, nc::tree::ItemKind::Program(_))) {
                    program += 1;
                    modal = Modal::at_power_on(&good.setup);
                }
                let before = modal;
                let words = blocks.words(ready).to_vec();
                modal.run(&words, &good.setup);
                let line = Line {
                    file,
                    program,
                    span: block.span,
                    number: block.number,
                    items,
                    words,
                    steps: blocks.steps(ready).to_vec(),
                    before,
                    after: modal,
                };
                if !line.words.is_empty() || !line.steps.is_empty() || line.number.is_some() {
                    lines.push(line);
                }
            }
        }
        Reading { good, trees, lines }
    }

    /// The indexes of the lines for which this holds.
    pub fn find(&self, holds: impl Fn(&Line) -> bool) -> Vec<usize> {
        let found = self.lines.iter().enumerate().filter(|(_, line)| holds(line));
        found.map(|(index, _)| index).collect()
    }

    /// The text of a stretch of a line's file.
    pub fn text(&self, line: &Line, span: Span) -> String {
        self.trees[line.file].source.text_of(span).into_owned()
    }

    /// The line as it stands, without its comments.
    pub fn written(&self, line: &Line) -> String {
        let spans = line.code().into_iter();
        spans.map(|span| self.text(line, span)).collect::<Vec<_>>().join(" ")
    }

    /// The station of this kind.
    pub fn station(&self, kind: ToolKind) -> Option<&Station> {
        self.good.setup.tools.as_ref()?.first(kind)
    }

    /// A word with a length, as this program's units have it.
    pub fn length_word(&self, line: &Line, letter: char, length: Length) -> String {
        nc::write::Writer::new(&self.good.setup.control, line.after.units).length(letter, length)
    }

    /// The word for a meaning on this control.
    pub fn g(&self, meaning: GCode) -> String {
        nc::write::Writer::new(&self.good.setup.control, self.good.setup.units).g(meaning)
    }

    /// Whether the control waits by itself until this is done.
    pub fn confirmed(&self, does: Does) -> bool {
        self.good.setup.control.that(does).is_some_and(|function| function.confirmed)
    }

    /// The texts with these changes.
    pub fn edited(&self, edits: &[Edit]) -> Vec<Text> {
        crate::edit::apply(&self.good.texts, edits)
    }

    /// Takes everything out of a line but its number and comments.
    pub fn emptied(&self, index: usize) -> Vec<Edit> {
        let Some(line) = self.lines.get(index) else { return Vec::new() };
        line.code().into_iter().map(|span| line.edit(span, "")).collect()
    }

    /// What stands in a line without number and comments, as one text.
    pub fn code(&self, index: usize) -> String {
        self.lines.get(index).map_or(String::new(), |line| self.written(line))
    }

    /// Puts a new line in front of one.
    pub fn inserted_before(&self, index: usize, text: &str) -> Option<Edit> {
        let line = self.lines.get(index)?;
        let place = Span { start: line.span.start, end: line.span.start };
        Some(line.edit(place, &format!("{text}\n")))
    }

    /// Puts a new line behind one.
    pub fn inserted_behind(&self, index: usize, text: &str) -> Option<Edit> {
        let line = self.lines.get(index)?;
        let place = Span { start: line.span.end, end: line.span.end };
        Some(line.edit(place, &format!("\n{text}")))
    }
}

impl Line {
    /// A change in this line.
    pub fn edit(&self, span: Span, text: &str) -> Edit {
        Edit { file: self.file, span, text: text.to_owned() }
    }

    /// The stretches of its items without number and comments.
    pub fn code(&self) -> Vec<Span> {
        let silent = |item: &&Item| {
            !matches!(
                item.kind,
                nc::tree::ItemKind::Comment
                    | nc::tree::ItemKind::Ignored
                    | nc::tree::ItemKind::Percent
                    | nc::tree::ItemKind::Program(_)
            )
        };
        self.items.iter().filter(silent).map(|item| item.span).collect()
    }

    /// The first word with this letter and no comma.
    pub fn word(&self, letter: char) -> Option<&Said> {
        self.words.iter().find(|word| char::from(word.letter) == letter && !word.comma)
    }

    /// The word with this meaning.
    pub fn g(&self, meaning: GCode) -> Option<&Said> {
        self.words
            .iter()
            .find(|word| matches!(word.meaning, Meaning::G(_, Some(g)) if g == meaning))
    }

    /// The word that does this.
    pub fn does(&self, does: Does) -> Option<&Said> {
        self.words
            .iter()
            .find(|word| matches!(word.meaning, Meaning::M(_, MCode::Does(done)) if done == does))
    }

    /// The word that ends the program.
    pub fn ends(&self) -> Option<&Said> {
        self.words.iter().find(|word| matches!(word.meaning, Meaning::M(_, MCode::End)))
    }

    /// Whether it moves an axis plainly: no cycle, no setting, no home.
    pub fn moves(&self) -> bool {
        let once = self
            .words
            .iter()
            .any(|word| matches!(word.meaning, Meaning::G(_, Some(g)) if g.group() == Group::Once));
        self.words.iter().any(Said::is_axis)
            && !once
            && matches!(
                self.after.motion,
                Some(
                    GCode::Rapid
                        | GCode::Line
                        | GCode::ArcClockwise
                        | GCode::ArcCounterclockwise
                        | GCode::Thread
                )
            )
    }

    /// Whether it moves an axis in a way of its own: home, a cycle, machine coordinates.
    pub fn moves_otherwise(&self) -> bool {
        self.words.iter().any(Said::is_axis) && !self.moves() && self.dwell().is_none()
    }

    /// Whether it moves at rapid.
    pub fn rapid(&self) -> bool {
        self.moves() && self.after.motion == Some(GCode::Rapid)
    }

    /// Whether it moves straight at feed.
    pub fn feeds(&self) -> bool {
        self.moves() && self.after.motion == Some(GCode::Line)
    }

    /// Whether the station that works in this line is of this kind.
    pub fn with(&self, kind: ToolKind) -> bool {
        self.after.kind == Some(kind)
    }

    /// The seconds of its dwell.
    pub fn dwell(&self) -> Option<f64> {
        self.g(GCode::Dwell)?;
        self.after.dwell
    }
}
