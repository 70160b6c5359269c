//! Terms, variables, jumps and loops. Rows named B… are worked checks of the language; each says
//! where its expected value comes from. Programs are run by a small runner of statements only.

use model::Source;
use model::files::control::JumpSearch;
use nc::expression::{Fault, FaultKind, Variables, evaluate, variables_read};
use nc::program::{FlowTroubleKind, Library, fraction_steps};
use nc::read::read;
use nc::tree::{ItemKind, Tree};
use std::collections::HashMap;

#[derive(Default)]
struct Memory(HashMap<u32, f64>);

impl Variables for Memory {
    fn get(&self, number: u32) -> Option<f64> {
        self.0.get(&number).copied()
    }
}

impl Memory {
    fn with(values: &[(u32, f64)]) -> Memory {
        Memory(values.iter().copied().collect())
    }

    fn set(&mut self, number: u32, value: Option<f64>) {
        match value {
            Some(value) => self.0.insert(number, value),
            None => self.0.remove(&number),
        };
    }
}

fn tree(text: &str) -> Tree {
    read(&Source::new("test.nc", text))
}

fn term(text: &str, memory: &Memory) -> Result<Option<f64>, FaultKind> {
    let tree = tree(&format!("#1={text}"));
    assert!(tree.troubles.is_empty(), "{text}: {:?}", tree.troubles);
    let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("{text} is no term") };
    evaluate(&tree, value, memory).map_err(|fault| fault.kind)
}

fn value(text: &str) -> f64 {
    term(text, &Memory::default()).unwrap().unwrap()
}

fn near(text: &str, expected: f64) {
    let found = value(text);
    assert!((found - expected).abs() < 1e-9, "{text} is {found}, not {expected}");
}

/// Runs the statements of the main program; gives what the variables hold at its end.
fn run(text: &str) -> Memory {
    let library = Library::new(vec![tree(text)]);
    let (main, tree) = (library.main(), &library.trees()[0]);
    let blocks = library.program(main).blocks.clone();
    let mut memory = Memory::default();
    let mut at = blocks.start as u32;
    for _ in 0..1000 {
        if at as usize >= blocks.end {
            return memory;
        }
        at = step(&library, tree, at, &mut memory);
    }
    panic!("the program does not end");
}

fn step(library: &Library, tree: &Tree, at: u32, memory: &mut Memory) -> u32 {
    let main = library.main();
    for item in tree.items_of(&tree.blocks[at as usize]) {
        let value = |id| evaluate(tree, id, memory).unwrap();
        match item.kind {
            ItemKind::If(condition) if value(condition) != Some(1.0) => return at + 1,
            ItemKind::While(condition) if value(condition) != Some(1.0) => {
                return library.loop_end(main, at).unwrap() + 1;
            }
            ItemKind::End(_) => return library.loop_start(main, at).unwrap(),
            ItemKind::Goto(target) => {
                let number = value(target).unwrap() as u32;
                return library.search(main, at + 1, number).unwrap();
            }
            ItemKind::Assign { target, value: term } => {
                let (number, result) = (value(target).unwrap() as u32, value(term));
                memory.set(number, result);
            }
            _ => {}
        }
    }
    at + 1
}

/// B1, NISTIR 6556 §3.3.2.3.
#[test]
fn points_go_before_strokes() {
    near("[2.0 / 3 * 1.5 - 5.5 / 11.0]", 0.5);
}

/// B2, the term of NISTIR 6556 §3.3.2.3; its value computed: 1 + 90 - 9.
#[test]
fn functions_and_powers_go_first() {
    let found = term("[1 + ACOS[0] - [#3 ** [4.0/2]]]", &Memory::with(&[(3, 3.0)]));
    assert!((found.unwrap().unwrap() - 82.0).abs() < 1e-9);
}

/// B3, NISTIR 6556 §3.3.2.2.
#[test]
fn variables_may_name_variables() {
    let memory = Memory::with(&[(1, 10.0), (2, 3.0), (3, 7.0)]);
    assert_eq!(term("[#1+2]", &memory), Ok(Some(12.0)));
    assert_eq!(term("#[1+2]", &memory), Ok(Some(7.0)));
    assert_eq!(term("##2", &memory), Ok(Some(7.0)));
}

/// B4 to B6: the trade's rounding, from memory. NISTIR 6556 §3.3.2.4 has FIX and FUP toward minus
/// and plus infinity instead.
#[test]
fn rounding_goes_as_in_the_trade() {
    for (text, expected) in [
        ("FIX[2.8]", 2.0),
        ("FIX[-2.8]", -2.0),
        ("FUP[2.8]", 3.0),
        ("FUP[-2.8]", -3.0),
        ("FIX[-1.2]", -1.0),
        ("FUP[-1.2]", -2.0),
        ("FUP[2]", 2.0),
        ("ROUND[2.5]", 3.0),
        ("ROUND[-2.5]", -3.0),
        ("ROUND[1.4999]", 1.0),
    ] {
        assert_eq!(value(text).to_bits(), f64::to_bits(expected), "{text}");
    }
}

/// B7: AND binds as tightly as a product (from memory; in NISTIR 6556 §3.3.2.3 as a sum).
#[test]
fn and_goes_with_products_or_with_sums() {
    near("[1 + 6 AND 3]", 3.0);
    // Computed: these come out otherwise where the operator binds tighter or looser.
    near("[1 + 4 AND 4]", 5.0);
    near("[1 AND 2 EQ 2]", 0.0);
    near("[1 + 1 OR 1]", 3.0);
    near("[1 OR 1 + 1]", 2.0);
    near("[1 + 1 XOR 1]", 3.0);
    near("[1 XOR 1 + 1]", 1.0);
    near("[1 + 7 MOD 4]", 4.0);
    near("[2 * 7 MOD 4]", 2.0);
    near("[2 * 2 ** 3]", 16.0);
    near("[2 + 1 GT 2]", 1.0);
}

/// B8: the rule is NISTIR 6556 §3.3.2.3, the values computed.
#[test]
fn equals_go_from_left_to_right() {
    near("[2**3**2]", 64.0);
    near("[8/4/2]", 1.0);
    near("[9-3-2]", 4.0);
    near("[15 MOD 4]", 3.0);
    near("-2+5", 3.0);
    near("[10--4]", 14.0);
}

/// B9, computed: arc tangent of 0.5, and of the third quarter as 225.
#[test]
fn angles_are_in_degrees() {
    near("ATAN[2]/[4]", 26.565_051_177_077_994);
    near("ATAN[-1]/[-1]", 225.0);
    near("ATAN[-1,1]", 315.0);
    near("ATAN[1]", 45.0);
    near("SIN[30]", 0.5);
    near("TAN[45]", 1.0);
    for (text, exact) in
        [("SIN[180]", 0.0), ("COS[90]", 0.0), ("COS[270]", 0.0), ("SIN[-90]", -1.0)]
    {
        assert_eq!((value(text) - exact).abs().to_bits(), 0, "{text}");
    }
    near("COS[0]", 1.0);
    near("COS[-180]", -1.0);
}

/// B10, a public manual: null is copied, and counts as zero in arithmetic.
#[test]
fn null_is_copied_and_counts_as_zero() {
    let memory = run("#2=#1\n#3=#1*5\n#4=#1+#1\n#5=-#1\n#6=[#1]\n");
    assert_eq!(memory.get(2), None);
    assert_eq!(memory.get(3), Some(0.0));
    assert_eq!(memory.get(4), Some(0.0));
    assert_eq!(memory.get(6), None);
    // #0 is null whatever a store may hold for it.
    let odd = Memory::with(&[(0, 5.0)]);
    assert_eq!((term("#0", &odd), term("#[#9]", &odd)), (Ok(None), Ok(None)));
}

/// B11, a public manual, and B12, from memory.
#[test]
fn only_eq_and_ne_tell_null_from_zero() {
    let (null, zero) = (Memory::default(), Memory::with(&[(1, 0.0)]));
    for (text, if_null, if_zero) in [
        ("[#1 EQ #0]", 1.0, 0.0),
        ("[#1 NE 0]", 1.0, 0.0),
        ("[#1 EQ 0]", 0.0, 1.0),
        ("[#1 NE #0]", 0.0, 1.0),
        ("[#1 GE 0]", 1.0, 1.0),
        ("[#1 LE 0]", 1.0, 1.0),
        ("[#1 GT 0]", 0.0, 0.0),
        ("[#1 LT 0]", 0.0, 0.0),
    ] {
        assert_eq!(term(text, &null), Ok(Some(if_null)), "{text} of null");
        assert_eq!(term(text, &zero), Ok(Some(if_zero)), "{text} of zero");
    }
}

/// B14, computed for binary numbers: a tenth is none, so the loop runs once more.
#[test]
fn fraction_steps_miss_their_end() {
    let memory = run("#1=0\nWHILE[#1LT1]DO1\n#1=#1+0.1\n#2=#2+1\nEND1\n");
    assert_eq!(memory.get(2), Some(11.0));
    assert_eq!(memory.get(1), Some(1.099_999_999_999_999_9));
}

/// B15, computed: 1 + 2 + 3.
#[test]
fn loops_nest() {
    let memory = run(
        "#1=1\nWHILE[#1LE3]DO1\n#2=1\nWHILE[#2LE#1]DO2\n#140=#140+1\n#2=#2+1\nEND2\n#1=#1+1\nEND1",
    );
    assert_eq!(memory.get(140), Some(6.0));
}

/// B23, computed: the search goes forward first, then from the top.
#[test]
fn jumps_look_forward_first() {
    let text = "#100=0\nN5 #100=#100+1\nIF[#100EQ3]GOTO9\nGOTO5\nN5 #100=#100+10\nIF[#100LT50]GOTO5\nN9 M30";
    assert_eq!(run(text).get(100), Some(55.0));
    let library = Library::new(vec![tree(text)]);
    let told: Vec<_> = library.troubles().iter().map(|trouble| trouble.kind).collect();
    assert_eq!(told, [FlowTroubleKind::TargetTwice]);
    let trouble = library.troubles()[0];
    assert_eq!(library.trees()[0].source.locate(trouble.span.start).line, 5);
}

/// B24, computed.
#[test]
fn jumps_may_be_computed() {
    let memory = run("#100=12\nGOTO[#100/4]\nN2 #1=2\nN3 #2=3\nM30");
    assert_eq!((memory.get(1), memory.get(2)), (None, Some(3.0)));
}

/// A count written in the three usual ways gives the same number (computed).
#[test]
fn counts_count() {
    assert_eq!(run("#500=0\nN1 #500=#500+1\nIF[#500LT12]GOTO1\nM30").get(500), Some(12.0));
    assert_eq!(run("#500=0\nN1 #500=#500+1\nIF[#500LE12]GOTO1\nM30").get(500), Some(13.0));
    assert_eq!(run("IF[#1EQ#0]THEN#1=4\nIF[#1EQ#0]THEN#1=9\n").get(1), Some(4.0));
}

#[test]
fn terms_without_a_value_say_why() {
    let none = Memory::default();
    for (text, kind) in [
        ("1/0", FaultKind::DivideByZero),
        ("1/#9", FaultKind::DivideByZero),
        ("1 MOD 0", FaultKind::DivideByZero),
        ("SQRT[-1]", FaultKind::RootOfNegative),
        ("LN[0]", FaultKind::LogOfNotPositive),
        ("ACOS[1.1]", FaultKind::ArcOutOfRange),
        ("ASIN[-1.1]", FaultKind::ArcOutOfRange),
        ("TAN[90]", FaultKind::TangentOfRightAngle),
        ("TAN[-270]", FaultKind::TangentOfRightAngle),
        ("#[-1]", FaultKind::NotAVariable),
        ("EXP[10000]", FaultKind::TooLarge),
    ] {
        assert_eq!(term(text, &none), Err(kind), "{text}");
    }
    let tree = tree("#1=5+[2/0]");
    let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("no assignment") };
    let Err(Fault { span, .. }) = evaluate(&tree, value, &none) else { panic!("no fault") };
    assert_eq!(tree.source.text_of(span), "[2/0]");
}

#[test]
fn variables_are_listed_as_they_stand() {
    let tree = tree("#1=#500+SIN[#7*-#[#3]]/#[12]");
    let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("no assignment") };
    assert_eq!(variables_read(&tree, value), [500, 7, 3, 12]);
}

/// What steps by fractions in loops, as text with the comparison it misses.
fn fractions(text: &str) -> Vec<(String, String)> {
    let library = Library::new(vec![tree(text)]);
    let found = fraction_steps(&library, JumpSearch::Forward);
    let source = &library.trees()[0].source;
    let shown = |span| source.text_of(span).into_owned();
    found.iter().map(|one| (shown(one.span), shown(one.comparison))).collect()
}

/// B14: the text of the row, and the same loop written in the other ways; what binary numbers hold
/// exactly is no fraction (computed: 0.5 = 1/2, 0.125 = 1/8, 2.50 = 5/2, but 0.1 = 1/10).
#[test]
fn fraction_steps_are_seen_in_the_text() {
    let of = |step: &str, condition: &str| {
        let lines = format!("#1=0\nWHILE[{condition}]DO1\n{step}\n#2=#2+1\nEND1\n");
        fractions(&lines).into_iter().map(|(step, _)| step).collect::<Vec<_>>()
    };
    for step in ["#1=#1+0.1", "#1=.3+#1", "#1=#1-0.10", "#1=[#1+-.7]", "#1=#1+1.001"] {
        assert_eq!(of(step, "#1LT1"), [step]);
        assert_eq!(of(step, "[#3EQ#0]AND[1GE#1]"), [step]);
        assert_eq!(of(step, "#2LT10"), [] as [&str; 0], "what is counted is another variable");
    }
    for step in ["#1=#1+0.5", "#1=#1+.125", "#1=#1+2.50", "#1=#1+3", "#1=#2+0.1", "#1=#2*0.1"] {
        assert_eq!(of(step, "#1LT1"), [] as [&str; 0], "{step}");
    }
    let found = [("#1=#1+0.1".to_owned(), "[#1LT1]".to_owned())];
    let bare = [("#1=#1+0.1".to_owned(), "[#1GE1]".to_owned())];
    assert_eq!(fractions("N1 #1=#1+0.1\nG4 X1.\nIF[#1LT1]GOTO1\nM30"), found);
    assert_eq!(fractions("IF[#1LT1]GOTO1\n#1=#1+0.1\nN1 M30"), [], "no loop");
    assert_eq!(fractions("N1 IF[#1GE1]GOTO9\n#1=#1+0.1\nGOTO1\nN9 M30"), bare);
    assert_eq!(fractions("#1=#1+0.1\nIF[#1GE1]GOTO9\nM99\nN9 M30"), bare);
    assert_eq!(fractions("IF[#1GE1]GOTO9\nN1 #1=#1+0.1\nGOTO1\nN9 M30"), [], "not in the loop");
}

/// Where the search starts decides what is a loop: the two blocks N1 stand before and behind.
#[test]
fn fraction_steps_follow_the_search() {
    let text = "N1 #1=#1+0.1\nIF[#1LT1]GOTO1\nG4 X1.\nN1 M30";
    let library = Library::new(vec![tree(text)]);
    assert_eq!(fraction_steps(&library, JumpSearch::Forward), []);
    assert_eq!(fraction_steps(&library, JumpSearch::Top).len(), 1);
}
