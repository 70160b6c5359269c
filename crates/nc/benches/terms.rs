//! How fast terms are worked out: compiled, and beside it the plain way that follows the tree.
//!
//! Run with `cargo bench -p barwright-nc --bench terms`. Compare within one run only: machines
//! are noisy. Each figure is a thousand times the same term.

use divan::counter::ItemsCount;
use divan::{Bencher, black_box};
use model::Source;
use model::files::control::Terms;
use nc::expression::{Compiled, Variables, evaluate};
use nc::tree::{ExpressionId, ItemKind, Tree};

const TIMES: u32 = 1000;

/// The terms of bar programs, from a plain step to a taper worked out.
const LINES: [&str; 5] = [
    "#500=#500+1",
    "IF[#500GE12]GOTO9",
    "X[#1+2.*[#24-#26]/3]",
    "IF[[#500LT#501]AND[#3EQ#0]]GOTO9",
    "#10=SQRT[#1*#1+#2*#2]-TAN[#3/2]*ABS[#4-#5]",
];

fn main() {
    divan::main();
}

struct Memory([Option<f64>; 1000]);

impl Memory {
    fn new() -> Memory {
        let mut values = [None; 1000];
        for (number, value) in values.iter_mut().enumerate().skip(1) {
            *value = Some(number as f64 / 10.0);
        }
        Memory(values)
    }
}

impl Variables for Memory {
    fn get(&self, number: u32) -> Option<f64> {
        self.0.get(number as usize).copied().flatten()
    }
}

fn term(line: &str) -> (Tree, ExpressionId) {
    let tree = nc::read::read(&Source::new("bench.nc", line));
    let found = tree.items.iter().find_map(|item| match item.kind {
        ItemKind::Assign { value: term, .. } | ItemKind::If(term) => Some(term),
        ItemKind::Word(word) => match word.value {
            nc::tree::Value::Expression(term) => Some(term),
            nc::tree::Value::Number(_) => None,
        },
        _ => None,
    });
    (tree, found.unwrap_or(ExpressionId(u32::MAX)))
}

#[divan::bench(args = LINES)]
fn compiled(bencher: Bencher<'_, '_>, line: &str) {
    let (tree, term) = term(line);
    let compiled = Compiled::of(&tree, &Terms::COMMON);
    let memory = Memory::new();
    bencher.counter(ItemsCount::new(TIMES)).bench_local(|| {
        for _ in 0..TIMES {
            let _ = black_box(compiled.run(black_box(term), black_box(&memory)));
        }
    });
}

#[divan::bench(args = LINES)]
fn plain(bencher: Bencher<'_, '_>, line: &str) {
    let (tree, term) = term(line);
    let memory = Memory::new();
    bencher.counter(ItemsCount::new(TIMES)).bench_local(|| {
        for _ in 0..TIMES {
            let _ = black_box(evaluate(&tree, black_box(term), black_box(&memory)));
        }
    });
}
