//! How fast programs are read.
//!
//! Run with `cargo bench -p barwright-nc`. Compare within one run only: machines are noisy.
//! The same text is read by others: the plain way, lines split at blanks and numbers parsed, and
//! the general-purpose crate `gcode`, which knows no parameters and no statements. Its cheapest
//! public entry is the visitor of its core, which allocates nothing and keeps nothing; its own
//! tree is read too.

mod corpus;

use divan::counter::BytesCount;
use divan::{Bencher, black_box};
use gcode::core::{
    BlockVisitor, CommandVisitor, ControlFlow, Diagnostics, HasDiagnostics, Noop, Number,
    ProgramVisitor, Span, Value,
};
use model::Source;
use std::sync::LazyLock;

static CORPUS: LazyLock<String> = LazyLock::new(|| corpus::corpus(50_000_000));

fn main() {
    divan::main();
}

#[divan::bench(sample_count = 10)]
fn tree(bencher: Bencher<'_, '_>) {
    let source = Source::new("bench.nc", CORPUS.as_str());
    bencher.counter(BytesCount::new(CORPUS.len())).bench(|| nc::read::read(&source));
}

#[divan::bench(sample_count = 10)]
fn source(bencher: Bencher<'_, '_>) {
    let bytes = || CORPUS.clone().into_bytes();
    let bencher = bencher.counter(BytesCount::new(CORPUS.len()));
    bencher.with_inputs(bytes).bench_values(|bytes| Source::new("bench.nc", bytes));
}

#[divan::bench(sample_count = 10)]
fn split_the_plain_way(bencher: Bencher<'_, '_>) {
    bencher.counter(BytesCount::new(CORPUS.len())).bench(|| {
        let words = CORPUS.lines().flat_map(str::split_whitespace);
        words.filter_map(|word| word.get(1..)?.parse::<f64>().ok()).count()
    });
}

#[divan::bench(sample_count = 5)]
fn gcode_tokens(bencher: Bencher<'_, '_>) {
    let bencher = bencher.counter(BytesCount::new(CORPUS.len()));
    bencher.bench(|| gcode::core::parse(&CORPUS, &mut Looker(Noop)));
}

#[divan::bench(sample_count = 5)]
fn gcode_tree(bencher: Bencher<'_, '_>) {
    let bencher = bencher.counter(BytesCount::new(CORPUS.len()));
    bencher.bench(|| gcode::parse(&CORPUS));
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
