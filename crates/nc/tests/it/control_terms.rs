//! Where controls differ in their terms: each row with both answers, as data of a control file.
//! Rows and their flags are those of the project's list of worked NC checks; NISTIR 6556 facts are
//! *found* there, the trade's are *from memory* unless said.

use model::files::Control;
use model::files::control::{
    AndPlace, AsinRange, AtanRange, Code, CodeSystem, Drilling, JumpSearch, Logic, MixedBlock,
    NullInOrder, Rounding, Terms,
};
use model::{Source, Units};
use nc::codes::{Codes, Group};
use nc::decimal::{ToolCall, tool};
use nc::expression::{Compiled, Fault, FaultKind, Refusal, Variables, evaluate_as, refused};
use nc::program::Library;
use nc::read::{read, read_for};
use nc::tree::{ItemKind, Tree};
use nc::write::Writer;
use std::cell::RefCell;
use std::collections::BTreeMap;

/// A control whose file says this in the tables `numbers` and `terms`.
fn control(numbers: &str, terms: &str) -> Control {
    let text = format!(
        "units = \"mm\"\nname = \"rows\"\ncode_system = \"A\"\n\
         [numbers]\nwithout_point = \"least-increment\"\n{numbers}\n[writing]\nsafe_start = []\n\
         [variables]\n[terms]\n{terms}\n[reset]\n[read_ahead]\nmost_blocks = 2\nstoppers = []\n"
    );
    let read = Control::read(&Source::new("control.toml", text));
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    read.value.unwrap()
}

/// The terms of NISTIR 6556 §3.3.2.3 and §3.3.2.4, as a control file says them.
const STANDARD: &str = "rounding = \"down-and-up\"\nand_place = \"with-sums\"\nlogic = \"logical\"";

#[derive(Default)]
struct Memory {
    values: BTreeMap<u32, f64>,
    nulls: RefCell<Vec<u32>>,
}

impl Variables for Memory {
    fn get(&self, number: u32) -> Option<f64> {
        self.values.get(&number).copied()
    }

    fn null_compared(&self, _: model::Span, variable: u32) {
        self.nulls.borrow_mut().push(variable);
    }
}

fn tree(text: &str, control: &Control) -> Tree {
    let tree = read_for(&Source::new("test.nc", text), control);
    assert!(tree.troubles.is_empty(), "{text}: {:?}", tree.troubles);
    tree
}

/// A term on one control, worked out both ways.
fn value_with(text: &str, control: &Control, memory: &Memory) -> Result<Option<f64>, Fault> {
    let tree = tree(&format!("#1={text}"), control);
    let ItemKind::Assign { value, .. } = tree.items[0].kind else { panic!("{text} is no term") };
    let plain = evaluate_as(&tree, value, &control.terms, memory);
    assert_eq!(Compiled::of(&tree, &control.terms).run(value, memory), plain, "{text}");
    plain
}

fn value(text: &str, terms: &str) -> f64 {
    value_with(text, &control("", terms), &Memory::default()).unwrap().unwrap()
}

fn near(text: &str, terms: &str, expected: f64) {
    let found = value(text, terms);
    assert!((found - expected).abs() < 1e-9, "{text} is {found}, not {expected}: {terms}");
}

#[test]
fn every_key_is_read_and_the_trade_stands_where_none_is() {
    assert_eq!(control("", "").terms, Terms::COMMON);
    let all = "rounding = \"down-and-up\"\nnull_in_order = \"above-all\"\n\
               atan_range = \"minus-180-to-180\"\nasin_range = \"270-to-90\"\n\
               and_place = \"with-sums\"\nlogic = \"logical\"\njump_search = \"top\"\n\
               bracket_depth = 9\ncomparison_signs = true\n\
               double_sign = false\nsignificant_digits = 9\nmixed_block = \"words-first\"";
    let read = Terms {
        rounding: Rounding::DownAndUp,
        null_in_order: NullInOrder::AboveAll,
        atan_range: AtanRange::HalfTurns,
        asin_range: AsinRange::FullTurn,
        and_place: AndPlace::WithSums,
        logic: Logic::Logical,
        jump_search: JumpSearch::Top,
        bracket_depth: 9,
        comparison_signs: true,
        double_sign: false,
        significant_digits: Some(9),
        mixed_block: MixedBlock::WordsFirst,
    };
    assert_eq!(control("", all).terms, read);
}

/// A11: the digits of T words (from memory; two and five digits are seen in public programs).
#[test]
fn a11_the_digits_of_a_tool_call() {
    let call = |digits: u32, number| {
        let ToolCall { station, offset } =
            tool(number, &control(&format!("tool_offset_digits = {digits}"), ""));
        (station, offset)
    };
    // T0303, T303 and T0300: leading noughts are no part of a number.
    assert_eq!([call(2, 303), call(2, 300), call(2, 1212)], [(3, 3), (3, 0), (12, 12)]);
    assert_eq!([call(3, 13013), call(3, 3000)], [(13, 13), (3, 0)]);
    assert_eq!([call(1, 33), call(1, 120)], [(3, 3), (12, 0)]);
    // No digits for the offset, or no more than an offset has: a station alone.
    assert_eq!([call(0, 12), call(2, 3), call(2, 12)], [(12, 0), (3, 0), (12, 0)]);
}

/// A11: what is written is read back as the same station and offset.
#[test]
fn a11_tool_calls_are_written_as_they_are_read() {
    for (digits, text) in [(0, "T3"), (1, "T033"), (2, "T0303"), (3, "T03003")] {
        let control = control(&format!("tool_offset_digits = {digits}"), "");
        assert_eq!(Writer::new(&control, Units::Mm).tool(3, 3), text);
        let offset = if digits == 0 { 0 } else { 3 };
        let number = text[1..].parse().unwrap();
        assert_eq!(tool(number, &control), ToolCall { station: 3, offset });
    }
}

/// B4 (NISTIR 6556 §3.3.2.4, found; the trade's from memory) and B5 (from memory; computed).
#[test]
fn b4_b5_fractions_go_toward_zero_or_down() {
    for (text, trade, standard) in [
        ("FIX[2.8]", 2.0, 2.0),
        ("FIX[-2.8]", -2.0, -3.0),
        ("FUP[2.8]", 3.0, 3.0),
        ("FUP[-2.8]", -3.0, -2.0),
        ("FIX[1.2]", 1.0, 1.0),
        ("FIX[-1.2]", -1.0, -2.0),
        ("FUP[1.2]", 2.0, 2.0),
        ("FUP[-1.2]", -2.0, -1.0),
    ] {
        near(text, "", trade);
        near(text, STANDARD, standard);
    }
}

/// B7 (NISTIR 6556 §3.3.2.3, found; the trade's from memory): where AND stands, and what it joins,
/// are two matters; the four answers are computed.
#[test]
fn b7_the_place_of_and() {
    near("[1 + 6 AND 3]", "", 3.0);
    near("[1 + 6 AND 3]", STANDARD, 1.0);
    near("[1 + 6 AND 3]", "and_place = \"with-sums\"", 3.0);
    near("[1 + 6 AND 3]", "logic = \"logical\"", 2.0);
    // 1 + 4 = 5 and bits 101 of 100 are 4; with the product 4 AND 4 = 4, and 1 more is 5.
    near("[1 + 4 AND 4]", "and_place = \"with-sums\"", 4.0);
    near("[1 + 4 AND 4]", "", 5.0);
}

/// NISTIR 6556 §3.3.2.3 (found): `**`, then `* / MOD`, then `+ - OR XOR AND`, from left to right
/// within each; true is 1. The values are computed.
#[test]
fn the_three_groups_of_the_standard() {
    for (text, expected) in [
        ("[2 * 2 ** 3]", 16.0),
        ("[2 ** 3 ** 2]", 64.0),
        ("[1 + 7 MOD 4]", 4.0),
        ("[2 * 7 MOD 4]", 2.0),
        ("[5 + 0 AND 5]", 1.0),
        ("[0 AND 5 + 1]", 1.0),
        ("[1 OR 0 + 1]", 2.0),
        ("[1 + 1 OR 1]", 1.0),
        ("[3 - 3 XOR 7]", 1.0),
        ("[2 XOR 7 - 1]", -1.0),
        ("[0 OR 3 * 0]", 0.0),
        ("[4 XOR 4 AND 1]", 0.0),
        ("[1 AND 0 OR 1]", 1.0),
    ] {
        near(text, STANDARD, expected);
    }
}

/// NISTIR 6556 §3.3.2.4 (found): the thirteen functions of one term; the values are computed.
#[test]
fn the_functions_of_the_standard() {
    for (text, expected) in [
        ("ABS[-2.5]", 2.5),
        ("ACOS[0.5]", 60.0),
        ("ASIN[0.5]", 30.0),
        ("ATAN[1]/[1]", 45.0),
        ("COS[60]", 0.5),
        ("EXP[1]", std::f64::consts::E),
        ("FIX[2.8]", 2.0),
        ("FUP[2.2]", 3.0),
        ("LN[7.389056098930650]", 2.0),
        ("ROUND[2.4]", 2.0),
        ("SIN[30]", 0.5),
        ("SQRT[2.25]", 1.5),
        ("TAN[45]", 1.0),
    ] {
        near(text, STANDARD, expected);
    }
}

/// B9 (computed), and the angles of ASIN (from memory): -30 degrees is 330.
#[test]
fn b9_the_range_of_angles() {
    let (half, turn) = ("atan_range = \"minus-180-to-180\"", "asin_range = \"270-to-90\"");
    for terms in ["", half] {
        near("ATAN[2]/[4]", terms, 26.565_051_177_077_99);
        near("ATAN[1]/[-1]", terms, 135.0);
    }
    near("ATAN[-1]/[-1]", "", 225.0);
    near("ATAN[-1]/[-1]", half, -135.0);
    near("ATAN[-1]/[1]", "", 315.0);
    near("ATAN[-1]/[1]", half, -45.0);
    near("ASIN[-0.5]", "", -30.0);
    near("ASIN[-0.5]", turn, 330.0);
    near("ASIN[0.5]", turn, 30.0);
    near("ACOS[-0.5]", turn, 120.0);
}

/// B11 (a public manual, found) and B12 (from memory; that null is GT 0 on another control is
/// found, its GE, LT and LE follow from the same place above all numbers).
#[test]
fn b11_b12_null_in_comparisons() {
    let other = "null_in_order = \"above-all\"";
    for (text, counts_as_zero, above) in [
        ("[#1 EQ #0]", 1.0, 1.0),
        ("[#1 NE 0]", 1.0, 1.0),
        ("[#1 EQ 0]", 0.0, 0.0),
        ("[#1 GE 0]", 1.0, 1.0),
        ("[#1 GT 0]", 0.0, 1.0),
        ("[#1 LT 0]", 0.0, 0.0),
        ("[#1 LE 0]", 1.0, 0.0),
        ("[0 LT #1]", 0.0, 1.0),
        ("[#1 GE #2]", 1.0, 1.0),
        ("[#1 GT #2]", 0.0, 0.0),
        ("[#1 + 1 GT 0]", 1.0, 1.0),
    ] {
        near(text, "", counts_as_zero);
        near(text, other, above);
        // Zero is the same on both.
        let zero = Memory { values: BTreeMap::from([(1, 0.0), (2, 0.0)]), ..Memory::default() };
        let one = value_with(text, &control("", ""), &zero);
        assert_eq!(value_with(text, &control("", other), &zero), one, "{text}");
        assert!(zero.nulls.into_inner().is_empty());
    }
}

/// B12: what is told so that a caution can be given, each time once for every way of working out.
#[test]
fn b12_a_null_that_is_compared_is_told() {
    let told = |text: &str| {
        let memory = Memory { values: BTreeMap::from([(3, 1.0)]), ..Memory::default() };
        value_with(text, &control("", ""), &memory).unwrap();
        let all = memory.nulls.into_inner();
        let (plain, compiled) = all.split_at(all.len() / 2);
        assert_eq!(plain, compiled, "{text}");
        plain.to_vec()
    };
    assert_eq!(told("[#7 GE 0]"), [7]);
    assert_eq!(told("[0 LT #7]"), [7]);
    assert_eq!(told("[[#7 LE #8] AND [#3 GT #9]]"), [7, 8, 9]);
    assert_eq!(told("[#[3+4] GE 0]"), [0], "the number is worked out");
    assert_eq!(told("[#0 GE 0]"), [0]);
    for quiet in ["[#7 EQ #0]", "[#7 NE 0]", "[#7 + 1 GT 0]", "[#3 GT 0]", "#7"] {
        assert_eq!(told(quiet), [] as [u32; 0], "{quiet}");
    }
}

/// B23 (computed): forward first gives 55, always from the top 3.
#[test]
fn b23_where_the_search_starts() {
    let text = "#100=0\nN5 #100=#100+1\nIF[#100EQ3]GOTO9\nGOTO5\nN5 #100=#100+10\n\
                IF[#100LT50]GOTO5\nN9 M30";
    let library = Library::new(vec![read(&Source::new("test.nc", text))]);
    let (main, forward, top) = (library.main(), JumpSearch::Forward, JumpSearch::Top);
    let found = |from, number, search| library.search_from(main, from, number, search);
    assert_eq!([found(4, 5, forward), found(4, 5, top)], [Some(4), Some(1)]);
    assert_eq!([found(6, 5, forward), found(6, 5, top)], [Some(1), Some(1)]);
    assert_eq!([found(3, 10, forward), found(3, 10, top)], [None, None]);
}

/// What a control does not take, each with its text.
fn told(text: &str, terms: &str) -> Vec<(String, Refusal)> {
    let control = control("", terms);
    let tree = tree(text, &control);
    let all = refused(&tree, &control.terms);
    all.iter().map(|one| (tree.source.text_of(one.span).into_owned(), one.why)).collect()
}

/// Five levels of brackets are common (from memory); each control has its own depth.
#[test]
fn brackets_are_nested_as_deep_as_the_control_goes() {
    let five = "#1=[SIN[[#2+[1*[3]]]]]";
    assert_eq!(told(five, ""), []);
    let deep = |text: &str| vec![(text.to_owned(), Refusal::NestedTooDeep)];
    assert_eq!(told(five, "bracket_depth = 4"), deep("[3]"));
    assert_eq!(told(five, "bracket_depth = 2"), deep("[#2+[1*[3]]]"));
    assert_eq!(told("X[[1]+[2]] IF[[1]EQ1]GOTO[[5]]", "bracket_depth = 1").len(), 4);
    assert_eq!(told("([[[[[[[)", ""), []);
}

/// Signs in comparisons vary by builder (from memory).
#[test]
fn comparison_signs_are_the_controls_matter() {
    let text = "IF[[#1<5]AND[#2 <> 3]]GOTO9\nWHILE[#3 = +4]DO1\n#4=[#5>=-#6]\nEND1";
    let signs = ["<", "<>", "=", ">="].map(|sign| (sign.to_owned(), Refusal::ComparisonSign));
    assert_eq!(told(text, ""), signs);
    assert_eq!(told(text, "comparison_signs = true"), []);
    assert_eq!(told("IF[[#1LT5]AND[#2NE3]]GOTO9\n#1=5", ""), []);
}

/// B3: `##2` is found in NISTIR 6556 §3.3.2.2, and found refused in another public manual.
#[test]
fn b3_two_signs_side_by_side() {
    let text = "#1=[##2+#[#2]] X# #3\n##4=##5 Z###6 #[#7]=#[1]";
    let told = |terms| told(text, terms).into_iter().map(|(text, _)| text).collect::<Vec<_>>();
    assert_eq!(told("double_sign = false"), ["##", "# #", "##", "##", "##", "##"]);
    assert_eq!(told(""), [] as [&str; 0]);
}

/// Powers that no control can work out (computed: a reciprocal of zero; a root of minus two).
#[test]
fn powers_without_a_value_say_why() {
    let fault =
        |text| value_with(text, &control("", ""), &Memory::default()).map_err(|fault| fault.kind);
    assert_eq!(fault("0**-1"), Err(FaultKind::DivideByZero));
    assert_eq!(fault("[-2]**0.5"), Err(FaultKind::PowerOfNegative));
    assert_eq!(fault("POW[-2,3]"), Ok(Some(-8.0)));
    assert_eq!(fault("0**0"), Ok(Some(1.0)));
}

/// NISTIR 6556 table 4 (found): words of one of its groups replace each other here too, in the
/// code system that has most of them. One difference: the drilling words are a group of their own
/// on lathes (the trade's table, from memory), while there they are among the motions.
#[test]
fn the_modal_groups_of_the_standard() {
    let codes = Codes { system: CodeSystem::B, drilling: Drilling::Lathe };
    let group = |number| codes.meaning(Code::new('G', number)).map(nc::codes::GCode::group);
    let groups: [(&[u32], Group); 11] = [
        (&[0, 1, 2, 3], Group::Motion),
        (&[80, 81, 82, 83, 84, 85, 86, 87, 88, 89], Group::DrillingCycle),
        (&[17, 18, 19], Group::Plane),
        (&[90, 91], Group::Distance),
        (&[93, 94], Group::Feed),
        (&[20, 21], Group::Units),
        (&[40, 41, 42], Group::NoseRadius),
        (&[98, 99], Group::CycleReturn),
        (&[54, 55, 56, 57, 58, 59], Group::WorkOffset),
        (&[61, 64], Group::PathMode),
        (&[4, 10, 28, 30, 53, 92], Group::Once),
    ];
    for (numbers, expected) in groups {
        let known: Vec<_> = numbers.iter().filter_map(|number| group(*number)).collect();
        assert!(known.iter().all(|found| *found == expected), "{numbers:?} {known:?}");
    }
    // What lathes of this system do not have: feed by inverse time, and four drilling words.
    let missing = groups.iter().flat_map(|(numbers, _)| numbers.iter());
    let missing: Vec<_> = missing.filter(|number| group(**number).is_none()).collect();
    assert_eq!(missing, [&81, &82, &86, &93]);
}
