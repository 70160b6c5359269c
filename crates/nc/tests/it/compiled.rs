//! The compiled terms against the plain way of working terms out: the same values, the same
//! faults at the same places, the same comparisons of null, the same variables looked at.

use model::files::control::{
    AndPlace, AsinRange, AtanRange, JumpSearch, Logic, MixedBlock, NullInOrder, Rounding, Terms,
};
use model::{Source, Span};
use nc::expression::{Compiled, FaultKind, Variables, evaluate_as};
use nc::read::read;
use nc::tree::{ExpressionId, ExpressionKind, ItemKind, Tree};
use proptest::prelude::*;
use std::cell::RefCell;

/// Variables with every kind of value, null and those that are no number among them; what is
/// asked of them is written down.
#[derive(Default)]
struct Anything {
    asked: RefCell<Vec<u32>>,
    nulls: RefCell<Vec<(Span, u32)>>,
}

impl Variables for Anything {
    fn get(&self, number: u32) -> Option<f64> {
        self.asked.borrow_mut().push(number);
        let values = [0.0, -0.0, 1.0, -2.5, 1e300, 5e-324, 3.0, f64::INFINITY, f64::NAN];
        values.get(number as usize % 12).copied()
    }

    fn null_compared(&self, comparison: Span, variable: u32) {
        self.nulls.borrow_mut().push((comparison, variable));
    }
}

fn tree(text: &str) -> Tree {
    read(&Source::new("test.nc", text))
}

/// The bits of a term's value or its fault, the variables that were asked, and what was compared with none.
type Shown = (Result<Option<u64>, (Span, FaultKind)>, Vec<u32>, Vec<(Span, u32)>);

/// All that one way of working a term out shows; values by their bits, so that zeros keep their
/// signs and what is no number equals itself.
fn shown(work: impl FnOnce(&Anything) -> Result<Option<f64>, nc::expression::Fault>) -> Shown {
    let variables = Anything::default();
    let bits = |value: f64| if value.is_nan() { f64::NAN.to_bits() } else { value.to_bits() };
    let result =
        work(&variables).map(|value| value.map(bits)).map_err(|fault| (fault.span, fault.kind));
    (result, variables.asked.into_inner(), variables.nulls.into_inner())
}

/// Every term of a text, and every part of one, both ways.
fn agrees(tree: &Tree, terms: &Terms) -> Result<(), TestCaseError> {
    let mut compiled = Compiled::of(tree, terms);
    for item in &tree.items {
        if let ItemKind::Assign { value, .. } = item.kind {
            let plain = shown(|variables| evaluate_as(tree, value, terms, variables));
            prop_assert_eq!(shown(|variables| compiled.run(value, variables)), plain);
        }
    }
    for id in (0..tree.expressions.len() as u32).map(ExpressionId) {
        compiled.compile(tree, id);
        let plain = shown(|variables| evaluate_as(tree, id, terms, variables));
        let fast = shown(|variables| compiled.run(id, variables));
        prop_assert_eq!(&fast, &plain, "{:?}", tree.expression(id));
        if let Some(constant) = compiled.constant(id) {
            prop_assert_eq!(plain.0, Ok(Some(constant.to_bits())));
            let is_plain = matches!(tree.expression(id).kind, ExpressionKind::Variable(_));
            prop_assert!(!is_plain && plain.1.is_empty());
        }
    }
    Ok(())
}

fn part() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        4 => "-?[0-9]{1,3}(\\.[0-9]{0,3})?",
        4 => "#[0-9]{1,2}",
        1 => Just("#0".to_owned()),
        1 => "##[0-9]",
        1 => prop::sample::select(vec!["90", "-270", "1e", "FOO[1]", "#[-1]", "", "0", "2**-1"])
            .prop_map(str::to_owned),
    ];
    let function = prop::sample::select(vec![
        "SIN", "COS", "TAN", "ASIN", "ACOS", "ATAN", "SQRT", "ABS", "ROUND", "FIX", "FUP", "LN",
        "EXP", "BIN", "BCD",
    ]);
    let operator = prop::sample::select(vec![
        "+", "-", "*", "/", "**", " MOD ", " AND ", " OR ", " XOR ", " EQ ", " NE ", " GT ",
        " GE ", " LT ", " LE ", "<>", "<", ">=",
    ]);
    leaf.prop_recursive(6, 60, 4, move |inner| {
        let joined = (
            inner.clone(),
            prop::collection::vec((operator.clone(), inner.clone()), 1..5),
        );
        prop_oneof![
            5 => joined.prop_map(|(first, rest)| {
                let rest: String =
                    rest.into_iter().map(|(operator, part)| format!("{operator}{part}")).collect();
                format!("[{first}{rest}]")
            }),
            2 => (function.clone(), inner.clone()).prop_map(|(name, part)| format!("{name}[{part}]")),
            1 => inner.clone().prop_map(|part| format!("-{part}")),
            1 => inner.clone().prop_map(|part| format!("#[{part}]")),
            1 => (inner.clone(), inner.clone()).prop_map(|(a, b)| format!("ATAN[{a}]/[{b}]")),
            1 => (inner.clone(), inner).prop_map(|(a, b)| format!("POW[{a},{b}]")),
        ]
    })
}

fn terms() -> impl Strategy<Value = Terms> {
    any::<[bool; 6]>().prop_map(|[rounding, null, atan, asin, logic, decimal]| Terms {
        rounding: if rounding { Rounding::DownAndUp } else { Rounding::TowardZero },
        null_in_order: if null { NullInOrder::AboveAll } else { NullInOrder::Zero },
        atan_range: if atan { AtanRange::HalfTurns } else { AtanRange::FullTurn },
        asin_range: if asin { AsinRange::FullTurn } else { AsinRange::AboutZero },
        and_place: AndPlace::WithProducts,
        logic: if logic { Logic::Logical } else { Logic::Bitwise },
        jump_search: JumpSearch::Forward,
        bracket_depth: 5,
        comparison_signs: true,
        double_sign: true,
        significant_digits: decimal.then_some(9),
        mixed_block: MixedBlock::Refused,
    })
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(1500))]

    #[test]
    fn compiled_terms_agree_with_the_plain_way(part in part(), terms in terms()) {
        agrees(&tree(&format!("#1={part}")), &terms)?;
    }
}

/// The deepest and the longest term that is read both fit what a run sets aside.
#[test]
fn the_deepest_term_is_worked_out() {
    // A variable is one level too. Every level leaves a comparison, a sum, a product, a power and the first part of a pair open.
    let deep = format!("#1={}1{}", "POW[#2,1GT#1+#1*#1**".repeat(59), "]".repeat(59));
    let long = format!("#1=#1{}", "+#1".repeat(500));
    for text in [deep, long] {
        let tree = tree(&text);
        assert!(tree.troubles.is_empty(), "{:?}", tree.troubles);
        let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("no assignment") };
        let terms = Terms::COMMON;
        let plain = shown(|variables| evaluate_as(&tree, value, &terms, variables));
        let fast = shown(|variables| Compiled::of(&tree, &terms).run(value, variables));
        assert!(plain.1.len() > 230, "{} variables", plain.1.len());
        assert_eq!(fast, plain);
    }
}

#[test]
fn a_term_that_is_not_there_is_a_fault() {
    let tree = tree("#1=2");
    let compiled = Compiled::of(&tree, &Terms::COMMON);
    let fault = compiled.run(ExpressionId(99), &Anything::default()).unwrap_err();
    assert_eq!(fault.kind, FaultKind::Unreadable);
    let ItemKind::Assign { target, value } = tree.items[0].kind else { panic!("no assignment") };
    assert_eq!((compiled.constant(target), compiled.constant(value)), (Some(1.0), Some(2.0)));
}
