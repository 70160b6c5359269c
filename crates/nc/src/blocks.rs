//! Blocks made ready to run on one control: every code with its meaning, every number with the
//! length it stands for in both unit systems, every statement with the variables it looks at.
//! Worked out once, so that running a block a million times looks nothing up again.

use crate::codes::{Codes, GCode};
use crate::decimal;
use crate::expression::{Compiled, variables_read};
use crate::tree::{Block, ExpressionId, ExpressionKind, Item, ItemKind, Number, Tree, Value, Word};
use model::files::Control;
use model::files::control::{Code, Does};
use model::{Length, Span, Units};
use std::ops::Range;

/// All blocks of a file, made ready.
#[derive(Debug, Clone)]
pub struct Blocks {
    ready: Vec<Ready>,
    words: Vec<Said>,
    steps: Vec<Step>,
    reads: Vec<u32>,
    /// All terms, compiled.
    pub terms: Compiled,
}

/// One block made ready.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Ready {
    words: Range<u32>,
    steps: Range<u32>,
    /// Whether any word has a term for a value.
    pub has_terms: bool,
    /// The level of a skip sign inside the block, and how many words stand before it.
    pub skip_inside: Option<(u8, u32)>,
}

/// A word with its value, and what it means on the control.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Said {
    /// Its stretch.
    pub span: Span,
    /// Its value as a plain number; meaningless while [`Said::term`] is not worked out.
    pub value: f64,
    /// The term that gives its value; none for a written number.
    pub term: Option<ExpressionId>,
    /// Its meaning, where it is a code.
    pub meaning: Meaning,
    /// A capital letter.
    pub letter: u8,
    /// Whether a comma stands before it.
    pub comma: bool,
    /// The digits as written.
    number: Option<Number>,
    millimeters: Option<Length>,
    inches: Option<Length>,
}

/// What a word means besides its value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Meaning {
    /// No more than its letter and value.
    Value,
    /// A G word; none where the code system has no such word.
    G(Code, Option<GCode>),
    /// An M word.
    M(Code, MCode),
}

/// The meaning of an M word.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MCode {
    /// A function that the control file or the trade gives.
    Does(Does),
    /// M0.
    Stop,
    /// M1.
    OptionalStop,
    /// M2 and M30.
    End,
    /// M98.
    Call,
    /// The word that calls a stretch of the same program by its block number.
    CallHere,
    /// M99.
    GiveBack,
    /// No file says what it does.
    Unknown,
}

/// One part of a statement, in the order of the block.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// Its stretch.
    pub span: Span,
    /// What it is.
    pub kind: StepKind,
    reads: Range<u32>,
}

/// What a part of a statement is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum StepKind {
    /// `IF[…]`: the rest of the block only where it holds.
    If(ExpressionId),
    /// `WHILE[…]`: behind the loop where it does not hold.
    While(ExpressionId),
    /// `END1`.
    End,
    /// `GOTO …`.
    Goto(ExpressionId),
    /// `#… = …` with the variable's number where it is a plain one.
    Assign {
        /// The number, where it is plain.
        fixed: Option<u32>,
        /// The term of the number.
        target: ExpressionId,
        /// The value.
        value: ExpressionId,
    },
}

impl Blocks {
    /// Makes the blocks of a file ready for a control.
    pub fn new(tree: &Tree, control: &Control) -> Blocks {
        let mut ready = Blocks {
            ready: Vec::with_capacity(tree.blocks.len()),
            words: Vec::with_capacity(tree.items.len()),
            steps: Vec::new(),
            reads: Vec::new(),
            terms: Compiled::of(tree, &control.terms),
        };
        for block in &tree.blocks {
            ready.add(tree, block, control);
        }
        ready
    }

    /// A block by its place in the file.
    pub fn block(&self, index: u32) -> Option<&Ready> {
        self.ready.get(index as usize)
    }

    /// The words of a block, in its order.
    pub fn words(&self, block: &Ready) -> &[Said] {
        part(&self.words, &block.words)
    }

    /// The parts of its statements, in its order.
    pub fn steps(&self, block: &Ready) -> &[Step] {
        part(&self.steps, &block.steps)
    }

    /// Whether a block gives any variable a value.
    pub fn sets_a_variable(&self, block: &Ready) -> bool {
        self.steps(block).iter().any(|step| matches!(step.kind, StepKind::Assign { .. }))
    }

    /// The variables that a statement's term names by a plain number.
    pub fn reads(&self, step: &Step) -> &[u32] {
        part(&self.reads, &step.reads)
    }

    fn add(&mut self, tree: &Tree, block: &Block, control: &Control) {
        let (words, steps) = (self.words.len() as u32, self.steps.len() as u32);
        let (mut has_terms, mut skip_inside) = (false, None);
        for item in tree.items_of(block) {
            if let ItemKind::Word(word) = item.kind {
                let said = Said::new(word, item.span, control);
                has_terms |= said.term.is_some();
                self.words.push(said);
            } else if let ItemKind::SkipFromHere(level) = item.kind {
                let before = self.words.len() as u32 - words;
                skip_inside = skip_inside.or(Some((level, before)));
            } else if let Some((kind, term)) = step(tree, item) {
                let first = self.reads.len() as u32;
                if let Some(term) = term {
                    self.reads.extend(variables_read(tree, term));
                }
                let reads = first..self.reads.len() as u32;
                self.steps.push(Step { span: item.span, kind, reads });
            }
        }
        self.ready.push(Ready {
            words: words..self.words.len() as u32,
            steps: steps..self.steps.len() as u32,
            has_terms,
            skip_inside,
        });
    }
}

fn part<'t, T>(all: &'t [T], range: &Range<u32>) -> &'t [T] {
    all.get(range.start as usize..range.end as usize).unwrap_or(&[])
}

/// An item as a part of a statement, with the term whose variables count.
fn step(tree: &Tree, item: &Item) -> Option<(StepKind, Option<ExpressionId>)> {
    Some(match item.kind {
        ItemKind::If(condition) => (StepKind::If(condition), Some(condition)),
        ItemKind::While(condition) => (StepKind::While(condition), Some(condition)),
        ItemKind::End(_) => (StepKind::End, None),
        ItemKind::Goto(target) => (StepKind::Goto(target), None),
        ItemKind::Assign { target, value } => {
            let fixed = match tree.expression(target).kind {
                ExpressionKind::Number(number) if (0.0..1e6).contains(&number) => {
                    Some(number.round() as u32)
                }
                _ => None,
            };
            (StepKind::Assign { fixed, target, value }, Some(value))
        }
        _ => return None,
    })
}

impl Said {
    fn new(word: Word, span: Span, control: &Control) -> Said {
        let Word { letter, comma, value } = word;
        let said = Said {
            span,
            value: 0.0,
            term: None,
            meaning: Meaning::Value,
            letter,
            comma,
            number: None,
            millimeters: None,
            inches: None,
        };
        match value {
            Value::Expression(term) => Said { term: Some(term), ..said },
            Value::Number(number) => Said {
                value: number.value(),
                meaning: meaning(letter, comma, number.value(), control),
                number: Some(number),
                millimeters: decimal::length(number, Units::Mm, control),
                inches: decimal::length(number, Units::Inch, control),
                ..said
            },
        }
    }

    /// The word with its term worked out.
    #[must_use]
    pub fn worked_out(self, value: f64, control: &Control) -> Said {
        Said {
            value,
            term: None,
            meaning: meaning(self.letter, self.comma, value, control),
            millimeters: Some(decimal::length_of(value, Units::Mm, control)),
            inches: Some(decimal::length_of(value, Units::Inch, control)),
            ..self
        }
    }

    /// As a length by the control's rule for numbers without a point; none beyond 1000 m.
    pub const fn length(&self, units: Units) -> Option<Length> {
        match units {
            Units::Mm => self.millimeters,
            Units::Inch => self.inches,
        }
    }

    /// As a length where a number without a point counts least increments on every control, as the
    /// steps and depths of cycles do.
    pub fn increments(&self, units: Units, control: &Control) -> Option<Length> {
        match self.number {
            Some(number) if !number.point => {
                let steps = number.whole().map(i64::from)?;
                Some(control.increment(units) * steps)
            }
            _ => self.length(units),
        }
    }

    /// As a whole number that is not negative; digits behind the point are left out.
    pub fn whole(&self) -> Option<u32> {
        (0.0..4e9).contains(&self.value).then_some(self.value as u32)
    }

    /// The digits as written; none for a value that was worked out.
    pub const fn written(&self) -> Option<Number> {
        self.number
    }

    /// Whether this is an axis word of X or Z, as a place or an increment.
    pub const fn is_axis(&self) -> bool {
        matches!(self.letter, b'X' | b'Z' | b'U' | b'W') && !self.comma
    }
}

fn meaning(letter: u8, comma: bool, value: f64, control: &Control) -> Meaning {
    let tenths = (value * 10.0).round();
    if comma || !matches!(letter, b'G' | b'M') || !(0.0..1e8).contains(&tenths) {
        return Meaning::Value;
    }
    let code = Code { letter: char::from(letter), tenths: tenths as u32 };
    if letter == b'G' {
        return Meaning::G(code, Codes::of(control).meaning(code));
    }
    let known = control.function(code).map(|function| MCode::Does(function.does));
    Meaning::M(code, known.unwrap_or_else(|| own_m_code(code, control)))
}

/// What M words mean where the control file gives them no other meaning.
fn own_m_code(code: Code, control: &Control) -> MCode {
    match code.tenths {
        0 => MCode::Stop,
        10 => MCode::OptionalStop,
        20 | 300 => MCode::End,
        980 => MCode::Call,
        990 => MCode::GiveBack,
        _ if control.call_here == Some(code) => MCode::CallHere,
        _ => MCode::Unknown,
    }
}
