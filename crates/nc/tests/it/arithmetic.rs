//! Reading and working out terms against a general-purpose evaluator that has nothing to do with
//! this language: it is given the operators, their order and the functions, and reads the same
//! text with its own parser.
#![allow(missing_docs, reason = "the macro of the other evaluator writes a public type")]
#![allow(clippy::float_cmp, reason = "what is rounded exactly is compared exactly")]

use exmex::{BinOp, Express, FlatEx, MakeOperators, Operator, ops_factory};
use model::Source;
use nc::expression::{FaultKind, Variables, evaluate};
use nc::read::read;
use nc::tree::ItemKind;
use proptest::prelude::*;

ops_factory!(
    Trade,
    f64,
    Operator::make_bin("**", BinOp { apply: f64::powf, prio: 4, is_commutative: false }),
    Operator::make_bin("*", BinOp { apply: |a, b| a * b, prio: 3, is_commutative: false }),
    Operator::make_bin("/", BinOp { apply: |a, b| a / b, prio: 3, is_commutative: false }),
    Operator::make_bin("MOD", BinOp { apply: |a, b| a % b, prio: 3, is_commutative: false }),
    Operator::make_bin_unary(
        "+",
        BinOp { apply: |a, b| a + b, prio: 2, is_commutative: false },
        |a| a
    ),
    Operator::make_bin_unary(
        "-",
        BinOp { apply: |a, b| a - b, prio: 2, is_commutative: false },
        |a| -a
    ),
    Operator::make_bin(
        "GT",
        BinOp { apply: |a, b| f64::from(u8::from(a > b)), prio: 1, is_commutative: false }
    ),
    Operator::make_bin(
        "EQ",
        BinOp { apply: |a, b| f64::from(u8::from(a == b)), prio: 1, is_commutative: false }
    ),
    Operator::make_unary("ABS", f64::abs),
    Operator::make_unary("SQRT", f64::sqrt),
    Operator::make_unary("ROUND", f64::round),
    Operator::make_unary("FIX", f64::trunc),
    Operator::make_unary("FUP", |a| a.signum() * a.abs().ceil()),
    Operator::make_unary("SIN", |a| a.to_radians().sin()),
    Operator::make_unary("COS", |a| a.to_radians().cos()),
    Operator::make_unary("TAN", |a| a.to_radians().tan()),
    Operator::make_unary("ASIN", |a| a.asin().to_degrees()),
    Operator::make_unary("ACOS", |a| a.acos().to_degrees()),
    Operator::make_unary("ATAN", |a| a.atan().to_degrees()),
    Operator::make_unary("LN", f64::ln),
    Operator::make_unary("EXP", f64::exp)
);

struct Nothing;

impl Variables for Nothing {
    fn get(&self, _: u32) -> Option<f64> {
        None
    }
}

fn ours(text: &str) -> Result<f64, FaultKind> {
    let tree = read(&Source::new("test.nc", format!("#1={text}")));
    assert!(tree.troubles.is_empty(), "{text}: {:?}", tree.troubles);
    let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("{text} is no term") };
    evaluate(&tree, value, &Nothing).map(Option::unwrap).map_err(|fault| fault.kind)
}

fn theirs(text: &str) -> f64 {
    let text = text.replace('[', "(").replace(']', ")");
    FlatEx::<f64, Trade>::parse(&text).unwrap().eval(&[]).unwrap()
}

fn number() -> impl Strategy<Value = String> {
    "[0-9]{1,3}(\\.[0-9]{1,3})?"
}

fn chain(
    part: impl Strategy<Value = String> + Clone,
    operators: &'static [&'static str],
) -> impl Strategy<Value = String> {
    let operator = prop::sample::select(operators);
    (part.clone(), prop::collection::vec((operator, part), 0..6)).prop_map(|(first, rest)| {
        rest.into_iter().fold(first, |text, (operator, part)| format!("{text} {operator} {part}"))
    })
}

/// What both work out by the same exactly rounded steps, in chains without brackets and with.
fn exact() -> impl Strategy<Value = String> {
    const OPERATORS: &[&str] = &["+", "-", "*", "/", "MOD", "GT", "EQ"];
    let names = prop::sample::select(vec!["ABS", "SQRT", "ROUND", "FIX", "FUP", "", "-", "+"]);
    let nested = number().prop_recursive(4, 40, 6, move |inner| {
        (names.clone(), chain(inner, OPERATORS)).prop_map(|(name, text)| format!("{name}[{text}]"))
    });
    chain(nested, OPERATORS)
}

/// Functions that two libraries may round differently in the last digit, each of a plain number.
fn rounded() -> impl Strategy<Value = String> {
    let wide = prop::sample::select(vec!["SIN", "COS", "TAN", "ATAN"]);
    let wide = (wide, number()).prop_map(|(name, number)| format!("{name}[{number}]"));
    let narrow = (prop::sample::select(vec!["ASIN", "ACOS"]), 0..=1000)
        .prop_map(|(name, thousandths)| format!("{name}[{}]", f64::from(thousandths) / 1000.0));
    let grown = (prop::sample::select(vec!["LN", "EXP"]), 1..=9999)
        .prop_map(|(name, thousandths)| format!("{name}[{}]", f64::from(thousandths) / 1000.0));
    let power = ("[1-9]\\.[0-9]", "[0-3]\\.[0-9]").prop_map(|(x, y)| format!("{x}**{y}"));
    let part = prop_oneof![wide, narrow, grown, power.clone(), power, number()].boxed();
    chain(part, &["+", "-", "*"])
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn exact_terms_have_the_same_value(text in exact()) {
        let expected = theirs(&text);
        match ours(&text) {
            Ok(value) => prop_assert_eq!(value, expected, "{}", text),
            // What the other gives as infinite or no number is a fault here, with its reason;
            // a comparison or a rest may swallow it there.
            Err(kind) => prop_assert!(
                matches!(
                    kind,
                    FaultKind::DivideByZero | FaultKind::RootOfNegative | FaultKind::TooLarge
                ),
                "{} is {:?}, not {}", text, kind, expected
            ),
        }
    }

    #[test]
    fn rounded_terms_have_nearly_the_same_value(text in rounded()) {
        let expected = theirs(&text);
        match ours(&text) {
            // Each function is good to a few units of 1e-16 in its last digit; a slip in reading
            // is far larger than what is left open here.
            Ok(value) => {
                let size = theirs(&text.replace(" - ", " + ")).abs().max(1.0);
                prop_assert!((value - expected).abs() <= 1e-10 * size, "{value} {expected} {text}");
            }
            // The other does not know that a right angle has no tangent.
            Err(kind) => {
                prop_assert_eq!(kind, FaultKind::TangentOfRightAngle);
                prop_assert!(expected.abs() > 1e10);
            }
        }
    }
}

/// Two texts that show the other evaluator does read the trade's order: computed by hand.
#[test]
fn the_other_evaluator_has_the_order_of_the_trade() {
    assert_eq!(theirs("[2.0 / 3 * 1.5 - 5.5 / 11.0]"), 0.5);
    assert_eq!(theirs("1 + 7 MOD 4 ** 1 GT 3"), 1.0);
}
