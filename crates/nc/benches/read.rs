//! How fast programs are read.
//!
//! Run with `cargo bench -p barwright-nc`. Compare within one run only: machines are noisy.
//! The same text is read by others: the plain way, lines split at blanks and numbers parsed, and
//! the general-purpose crate `gcode`, which knows no parameters and no statements. Its cheapest
//! public entry is the visitor of its core, which allocates nothing and keeps nothing; its own
//! tree is read too.

#[path = "corpus/corpus.rs"]
mod corpus;

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use gcode::core::{
    BlockVisitor, CommandVisitor, ControlFlow, Diagnostics, HasDiagnostics, Noop, Number,
    ProgramVisitor, Span, Value,
};
use model::Source;

/// A program as a shop has it at most, whose tree stays in the processor's cache, and a text whose
/// tree takes new memory from the system at every reading, which costs more than the reading.
const SIZES: [usize; 2] = [1_000_000, 50_000_000];

fn main() {
    divan::main();
}

#[divan::bench(args = SIZES, sample_count = 20)]
fn tree(bencher: Bencher<'_, '_>, bytes: usize) {
    let source = Source::new("bench.nc", corpus::corpus(bytes));
    let bencher = bencher.counter(BytesCount::new(source.bytes().len()));
    bencher.bench(|| nc::read::read(&source));
}

#[divan::bench(args = SIZES, sample_count = 20)]
fn line_starts(bencher: Bencher<'_, '_>, bytes: usize) {
    let text = corpus::corpus(bytes);
    let bencher = bencher.counter(BytesCount::new(text.len()));
    bencher
        .with_inputs(|| text.clone().into_bytes())
        .bench_values(|bytes| Source::new("bench.nc", bytes));
}

#[divan::bench(args = SIZES, sample_count = 20)]
fn split_the_plain_way(bencher: Bencher<'_, '_>, bytes: usize) {
    let text = corpus::corpus(bytes);
    bencher.counter(BytesCount::new(text.len())).bench(|| {
        let words = text.lines().flat_map(str::split_whitespace);
        words.filter_map(|word| word.get(1..)?.parse::<f64>().ok()).count()
    });
}

#[divan::bench(args = SIZES, sample_count = 10)]
fn gcode_tokens(bencher: Bencher<'_, '_>, bytes: usize) {
    let text = corpus::corpus(bytes);
    let bencher = bencher.counter(BytesCount::new(text.len()));
    bencher.bench(|| gcode::core::parse(&text, &mut Looker(Noop)));
}

#[divan::bench(args = SIZES, sample_count = 5)]
fn gcode_tree(bencher: Bencher<'_, '_>, bytes: usize) {
    let text = corpus::corpus(bytes);
    let bencher = bencher.counter(BytesCount::new(text.len()));
    bencher.bench(|| gcode::parse(&text));
}

/// Looks at whatever it is told and keeps nothing.
struct Looker(Noop);

impl HasDiagnostics for Looker {
    fn diagnostics(&mut self) -> &mut dyn Diagnostics {
        &mut self.0
    }
}

impl ProgramVisitor for Looker {
    fn start_block(&mut self) -> ControlFlow<impl BlockVisitor + '_> {
        ControlFlow::Continue(Looker(Noop))
    }
}

impl BlockVisitor for Looker {
    fn line_number(&mut self, number: u32, span: Span) {
        black_box((number, span));
    }

    fn program_number(&mut self, number: u32, span: Span) {
        black_box((number, span));
    }

    fn comment(&mut self, text: &str, span: Span) {
        black_box((text, span));
    }

    fn word_address(&mut self, letter: char, value: Value<'_>, span: Span) {
        black_box((letter, value, span));
    }

    fn start_general_code(&mut self, number: Number) -> ControlFlow<impl CommandVisitor + '_> {
        black_box(number);
        ControlFlow::Continue(Looker(Noop))
    }

    fn start_miscellaneous_code(
        &mut self,
        number: Number,
    ) -> ControlFlow<impl CommandVisitor + '_> {
        black_box(number);
        ControlFlow::Continue(Looker(Noop))
    }

    fn start_tool_change_code(&mut self, number: Number) -> ControlFlow<impl CommandVisitor + '_> {
        black_box(number);
        ControlFlow::Continue(Looker(Noop))
    }
}

impl CommandVisitor for Looker {
    fn argument(&mut self, letter: char, value: Value<'_>, span: Span) {
        black_box((letter, value, span));
    }
}
