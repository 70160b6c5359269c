//! Loops that step a variable by a fraction that no binary number holds, and look whether it has
//! reached an end: a tenth ten times is not one, so such a loop runs once more than it says.

use super::{Library, Program, ProgramId};
use crate::tree::{ExpressionId, ExpressionKind, ItemKind, Operator, Tree, Value, Word};
use model::Span;
use model::files::control::JumpSearch;

/// A step by a fraction in a loop that looks at the stepped variable.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FractionStep {
    /// Index of the file.
    pub tree: usize,
    /// The stretch of the step, such as `#1=#1+0.1`.
    pub span: Span,
    /// The variable.
    pub variable: u32,
    /// The stretch of the nearest comparison of that variable in the loop.
    pub comparison: Span,
}

/// Blocks from the first to the last, both included.
type Loop = (u32, u32);

/// A place where a variable is compared or stepped.
#[derive(Clone, Copy)]
struct Place {
    variable: u32,
    block: u32,
    span: Span,
}

/// Every step by a fraction in a loop that looks at the stepped variable, in the order of the
/// programs. Only steps that are written out are seen, `#i=#i+0.1`, `#i=0.1+#i` and `#i=#i-0.1`,
/// and only jumps to plain numbers, `END` and `M99`. A fraction that binary numbers hold exactly, such as 0.5 or
/// 0.125, is none.
pub fn fraction_steps(library: &Library, search: JumpSearch) -> Vec<FractionStep> {
    let mut found = Vec::new();
    for (index, program) in library.programs().iter().enumerate() {
        let tree = &library.trees()[program.tree];
        let steps = steps(program, tree);
        if steps.is_empty() {
            continue;
        }
        let loops = loops(library, ProgramId(index as u32), search);
        let comparisons = comparisons(program, tree);
        for step in steps {
            if let Some(comparison) = compared_in_loop(&step, &comparisons, &loops) {
                let Place { variable, span, .. } = step;
                found.push(FractionStep { tree: program.tree, span, variable, comparison });
            }
        }
    }
    found
}

/// The comparison next to a step that lies in one loop with it.
fn compared_in_loop(step: &Place, comparisons: &[Place], loops: &[Loop]) -> Option<Span> {
    let first =
        comparisons.partition_point(|one| (one.variable, one.block) < (step.variable, step.block));
    let of_it = |one: &&Place| one.variable == step.variable;
    let behind = comparisons.get(first).filter(of_it);
    let before = first.checked_sub(1).and_then(|index| comparisons.get(index)).filter(of_it);
    // A loop that reaches any comparison of the variable reaches the nearest on that side.
    let near = [before, behind].into_iter().flatten();
    let mut near = near.filter(|one| {
        let (low, high) = (one.block.min(step.block), one.block.max(step.block));
        let starts_before = loops.partition_point(|(start, _)| *start <= low);
        starts_before > 0 && loops[starts_before - 1].1 >= high
    });
    near.next().map(|one| one.span)
}

/// The loops of a program in the order of their starts, each with the farthest end of all that
/// start no later.
fn loops(library: &Library, id: ProgramId, search: JumpSearch) -> Vec<Loop> {
    let program = library.program(id);
    let tree = &library.trees()[program.tree];
    let mut loops: Vec<Loop> = program.ends.clone();
    for index in program.blocks.clone() {
        let block = index as u32;
        for item in tree.items_of(&tree.blocks[index]) {
            let target = match item.kind {
                ItemKind::Goto(target) => number_of(tree, target)
                    .and_then(|number| library.search_from(id, block + 1, number, search)),
                // A main program starts again there, and a subprogram perhaps too.
                ItemKind::Word(word) if is_return(&word) => Some(program.blocks.start as u32),
                _ => None,
            };
            loops.extend(target.filter(|target| *target <= block).map(|target| (target, block)));
        }
    }
    loops.sort_unstable();
    let mut farthest = 0;
    for (_, end) in &mut loops {
        farthest = farthest.max(*end);
        *end = farthest;
    }
    loops
}

/// `M99`.
fn is_return(word: &Word) -> bool {
    let Value::Number(number) = word.value else { return false };
    word.letter == b'M' && number.whole() == Some(99)
}

/// Where the conditions of a program compare a variable by itself, in the order of the variables
/// and then of the text.
fn comparisons(program: &Program, tree: &Tree) -> Vec<Place> {
    let mut places = Vec::new();
    for index in program.blocks.clone() {
        for item in tree.items_of(&tree.blocks[index]) {
            let (ItemKind::If(condition) | ItemKind::While(condition)) = item.kind else {
                continue;
            };
            let mut parts = vec![condition];
            while let Some(part) = parts.pop() {
                let term = tree.expression(part);
                let ExpressionKind::Binary(operator, one, other) = term.kind else { continue };
                if !operator.compares() {
                    parts.extend([other, one]);
                    continue;
                }
                let variables = [one, other].into_iter().filter_map(|side| plain(tree, side));
                places.extend(variables.map(|variable| Place {
                    variable,
                    block: index as u32,
                    span: term.span,
                }));
            }
        }
    }
    places.sort_by_key(|place| (place.variable, place.block));
    places
}

/// Every step by a fraction, wherever it stands.
fn steps(program: &Program, tree: &Tree) -> Vec<Place> {
    let mut places = Vec::new();
    for index in program.blocks.clone() {
        for item in tree.items_of(&tree.blocks[index]) {
            let ItemKind::Assign { target, value } = item.kind else { continue };
            let Some(target) = number_of(tree, target) else { continue };
            let ExpressionKind::Binary(operator, one, other) = tree.expression(value).kind else {
                continue;
            };
            let steps = match (operator, plain(tree, one), plain(tree, other)) {
                (Operator::Add | Operator::Subtract, Some(variable), None) => {
                    is_fraction(tree, other).then_some(variable)
                }
                (Operator::Add, None, Some(variable)) => is_fraction(tree, one).then_some(variable),
                _ => None,
            };
            if let Some(variable) = steps.filter(|variable| *variable == target) {
                places.push(Place { variable, block: index as u32, span: item.span });
            }
        }
    }
    places
}

/// The number of a variable that stands by itself and is named by a plain number.
fn plain(tree: &Tree, id: ExpressionId) -> Option<u32> {
    let ExpressionKind::Variable(inner) = tree.expression(id).kind else { return None };
    number_of(tree, inner)
}

/// A number that can be that of a variable or block.
fn number_of(tree: &Tree, id: ExpressionId) -> Option<u32> {
    match tree.expression(id).kind {
        ExpressionKind::Number(number) if (1.0..1e9).contains(&number) => Some(number as u32),
        _ => None,
    }
}

/// Whether a written number, perhaps with a sign, is one that no binary number holds: so many
/// decimals that as many fives do not divide its digits.
fn is_fraction(tree: &Tree, id: ExpressionId) -> bool {
    let term = tree.expression(id);
    match term.kind {
        ExpressionKind::Negate(inner) => is_fraction(tree, inner),
        ExpressionKind::Number(_) => {
            let (mut digits, mut fives, mut behind) = (0_u64, 1_u64, false);
            for byte in tree.source.slice(term.span) {
                match byte {
                    b'.' => behind = true,
                    b'0'..=b'9' | b'O' | b'o' => {
                        let digit = if byte.is_ascii_digit() { u64::from(byte - b'0') } else { 0 };
                        digits = digits.saturating_mul(10).saturating_add(digit);
                        fives = fives.saturating_mul(if behind { 5 } else { 1 });
                    }
                    _ => {}
                }
            }
            digits % fives != 0
        }
        _ => false,
    }
}
