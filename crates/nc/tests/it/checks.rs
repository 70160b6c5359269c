//! Worked checks of the language that ask for more than one part of this crate. Each row names
//! its source; where a standard and the trade differ, this crate follows the trade, and the row
//! says so. The rows on tokens alone are in `reader.rs`, on terms in `terms.rs`.

use model::files::Control;
use model::files::control::{Code, CodeSystem, Drilling};
use model::quantity::Seconds;
use model::{Length, Source, Units};
use nc::codes::{Codes, Group};
use nc::decimal;
use nc::expression::{Variables, evaluate};
use nc::program::Library;
use nc::read::read;
use nc::tree::{Item, ItemKind, Number, Tree, Value};
use std::collections::BTreeMap;

#[derive(Default)]
struct Memory(BTreeMap<u32, f64>);

impl Variables for Memory {
    fn get(&self, number: u32) -> Option<f64> {
        self.0.get(&number).copied()
    }
}

fn tree(text: &str) -> Tree {
    let tree = read(&Source::new("test.nc", text));
    assert!(tree.troubles.is_empty(), "{text}: {:?}", tree.troubles);
    tree
}

/// A control for both kinds of numbers without a point.
fn control(without_point: &str) -> Control {
    let text = format!(
        r#"
            units = "mm"
            name = "Control of the checks"
            code_system = "A"

            [numbers]
            without_point = "{without_point}"

            [writing]
            safe_start = ["G18", "G40"]

            [variables]
            reset_clears_volatile = true

            [read_ahead]
            most_blocks = 3
            stoppers = ["M0", "M1"]

            [reset]
        "#
    );
    let read = Control::read(&Source::new("control.toml", text));
    assert!(read.diagnostics.is_empty(), "{:?}", read.diagnostics);
    read.value.unwrap()
}

fn both() -> [Control; 2] {
    [control("least-increment"), control("whole-units")]
}

/// The words of a text, letter and number.
fn words(text: &str) -> Vec<(char, Number)> {
    let tree = tree(text);
    let word = |item: &Item| match item.kind {
        ItemKind::Word(word) => match word.value {
            Value::Number(number) => Some((char::from(word.letter), number)),
            Value::Expression(_) => None,
        },
        _ => None,
    };
    tree.items.iter().filter_map(word).collect()
}

/// Each length word of a text on each kind of control, in ten-thousandths of a unit.
fn lengths(text: &str, units: Units) -> Vec<[i64; 2]> {
    let controls = both();
    let lengths = |number| {
        controls.each_ref().map(|control| {
            let nm = decimal::length(number, units, control).unwrap().nm();
            let step = units.nanometers() / 10_000;
            assert_eq!(nm % step, 0, "{text}");
            nm / step
        })
    };
    words(text).into_iter().filter(|(letter, _)| *letter != 'G').map(|(_, n)| lengths(n)).collect()
}

/// What a line assigns: the variables in the order of the text.
fn assigned(tree: &Tree, memory: &mut Memory) {
    for item in &tree.items {
        if let ItemKind::Assign { target, value } = item.kind {
            let number = evaluate(tree, target, memory).unwrap().unwrap();
            let value = evaluate(tree, value, memory).unwrap().unwrap();
            memory.0.insert(number as u32, value);
        }
    }
}

/// All orders of some things.
fn orders(things: &[&'static str]) -> Vec<Vec<&'static str>> {
    let Some((first, rest)) = things.split_first() else { return vec![Vec::new()] };
    let mut all = Vec::new();
    for order in orders(rest) {
        for place in 0..=order.len() {
            let mut longer = order.clone();
            longer.insert(place, first);
            all.push(longer);
        }
    }
    all
}

/// A2, NISTIR 6556 §3.3.6: the 120 orders of the parts of a line mean the same. Only what each
/// part says is checked here; in the trade, words and assignments on one line are another matter.
#[test]
fn a2_the_order_of_a_line_changes_no_part() {
    let orders = orders(&["g40", "g1", "#3=15", "(foo)", "#4=-7.0"]);
    assert_eq!(orders.len(), 120);
    for order in orders {
        for text in [order.join(" "), order.concat()] {
            let tree = tree(&text);
            let mut memory = Memory::default();
            assigned(&tree, &mut memory);
            assert_eq!(memory.0, BTreeMap::from([(3, 15.0), (4, -7.0)]), "{text}");
            let comments = tree.items.iter().filter(|item| item.kind == ItemKind::Comment);
            assert_eq!(comments.count(), 1, "{text}");
            let mut codes: Vec<_> = words(&text).iter().map(|(_, code)| code.whole()).collect();
            codes.sort_unstable();
            assert_eq!(codes, [Some(1), Some(40)], "{text}");
        }
    }
}

/// A3. NISTIR 6556 §3.3.3: `X#3` takes the value from before the line, 15. The trade refuses such
/// a line (from memory). The tree keeps both parts as written, so whoever runs it can do either.
#[test]
fn a3_a_mixed_line_keeps_its_parts() {
    let tree = tree("#3=6 G1 X#3");
    let [assign, _, x] = tree.items[..] else { panic!("three items") };
    assert!(matches!(assign.kind, ItemKind::Assign { .. }));
    let ItemKind::Word(word) = x.kind else { panic!("no word") };
    let Value::Expression(term) = word.value else { panic!("no term") };
    let mut memory = Memory(BTreeMap::from([(3, 15.0)]));
    assert_eq!(evaluate(&tree, term, &memory), Ok(Some(15.0)));
    assigned(&tree, &mut memory);
    assert_eq!(evaluate(&tree, term, &memory), Ok(Some(6.0)));
}

/// A4, NISTIR 6556 §3.3.5 and §3.3.6: of two assignments to one variable the later holds.
#[test]
fn a4_the_later_assignment_holds() {
    for (text, expected) in [("#3=15 #3=6", 6.0), ("#3=6 #3=15", 15.0)] {
        let mut memory = Memory::default();
        assigned(&tree(text), &mut memory);
        assert_eq!(memory.get(3), Some(expected));
    }
}

/// A7. NISTIR 6556 §3.3.5: two words of one group are an error. The trade (from memory): the last
/// one acts. This crate keeps both in order and says that they are of one group.
#[test]
fn a7_words_of_one_group_stand_in_order() {
    const CODES: Codes = Codes { system: CodeSystem::A, drilling: Drilling::Lathe };
    let words = words("G0 G1 X5.");
    let group = |place: usize| {
        let code = Code::new('G', words[place].1.whole().unwrap());
        CODES.meaning(code).unwrap().group()
    };
    assert_eq!((words[0].1.whole(), words[1].1.whole()), (Some(0), Some(1)));
    assert_eq!((group(0), group(1)), (Group::Motion, Group::Motion));
}

/// A8, from memory; the forms stand in public programs.
#[test]
fn a8_lengths_in_millimeters_without_a_point() {
    let found = lengths("X100 X100. X1.5 Z-.5 Z-5", Units::Mm);
    let expected = [
        [1000, 1_000_000],
        [1_000_000, 1_000_000],
        [15_000, 15_000],
        [-5000, -5000],
        [-50, -50_000],
    ];
    assert_eq!(found, expected);
}

/// A9, from memory; the forms stand in public programs. The second column is the same rule as in
/// A8 for controls that take whole units.
#[test]
fn a9_lengths_in_inches_without_a_point() {
    let found = lengths("X100 G71 U750 R500 W70", Units::Inch);
    let expected = [[100, 1_000_000], [750, 7_500_000], [500, 5_000_000], [70, 700_000]];
    assert_eq!(found, expected);
}

/// A10, from memory; `G4 P1.5` as 1.5 s is NISTIR 6556 §3.5.4.
#[test]
fn a10_dwells() {
    for (text, on_least, on_whole) in [
        ("G4 X1.5", 1.5, 1.5),
        ("G4 U.5", 0.5, 0.5),
        ("G4 P1500", 1.5, 1.5),
        ("G4 P1200000", 1200.0, 1200.0),
        ("G4 P1.5", 1.5, 1.5),
        ("G4 X1500", 1.5, 1500.0),
    ] {
        let (letter, number) = words(text)[1];
        let found = both().map(|control| decimal::dwell(letter as u8, number, &control));
        assert_eq!(found, [on_least, on_whole].map(Seconds::from_s), "{text}");
    }
}

/// A11 and A12: which digits mean what is the control's matter; the reader gives the number.
#[test]
fn a11_a12_digits_of_tools_and_calls() {
    let numbers = |text| words(text).iter().map(|(_, n)| n.whole().unwrap()).collect::<Vec<_>>();
    assert_eq!(numbers("T0303 T303 T0300 T13013"), [303, 303, 300, 13013]);
    assert_eq!(numbers("M98 P51002"), [98, 51002]);
    assert_eq!(numbers("M98 P120036"), [98, 120_036]);
    assert_eq!(numbers("M98 P1002 L5"), [98, 1002, 5]);
}

/// A13, computed: the same parts with and without blanks, for conditions that hold and do not.
#[test]
fn a13_conditions_and_jumps() {
    for text in ["IF[#100LT#101]GOTO10", "IF [ #100 LT #101 ] GOTO 10", "if[#100lt#101]goto10"] {
        let tree = tree(text);
        let [condition, jump] = tree.items[..] else { panic!("two items") };
        let (ItemKind::If(condition), ItemKind::Goto(target)) = (condition.kind, jump.kind) else {
            panic!("{text} is no jump")
        };
        for (made, wanted, holds) in [(3.0, 4.0, 1.0), (4.0, 4.0, 0.0), (5.0, 4.0, 0.0)] {
            let memory = Memory(BTreeMap::from([(100, made), (101, wanted)]));
            assert_eq!(evaluate(&tree, condition, &memory), Ok(Some(holds)));
        }
        assert_eq!(evaluate(&tree, target, &Memory::default()), Ok(Some(10.0)));
    }
}

/// B10, a public manual: `Z#1` with #1 null has no value, which is as if it were not written.
#[test]
fn b10_a_null_word_has_no_value() {
    let tree = tree("G0 X20. Z#1");
    let ItemKind::Word(word) = tree.items[2].kind else { panic!("no word") };
    let Value::Expression(term) = word.value else { panic!("no term") };
    assert_eq!(evaluate(&tree, term, &Memory::default()), Ok(None));
    assert_eq!(evaluate(&tree, term, &Memory(BTreeMap::from([(1, 0.0)]))), Ok(Some(0.0)));
}

/// B13, computed, and B16, from memory: a value in a word is in whole units on both kinds of
/// control, rounded to the least increment.
#[test]
fn b13_b16_values_in_words() {
    let tree = tree("X[10/3] #100=100 X#100");
    let mut memory = Memory::default();
    assigned(&tree, &mut memory);
    let value = |item: usize| {
        let ItemKind::Word(word) = tree.items[item].kind else { panic!("no word") };
        let Value::Expression(term) = word.value else { panic!("no term") };
        evaluate(&tree, term, &memory).unwrap().unwrap()
    };
    for control in both() {
        let third = decimal::length_of(value(0), Units::Mm, &control);
        assert_eq!(third, Length::from_um(3333));
        assert_eq!(third + third + third, Length::from_um(9999));
        let inch = decimal::length_of(value(0), Units::Inch, &control);
        assert_eq!(inch.nm(), 33_333 * 2540);
        assert_eq!(decimal::length_of(value(2), Units::Mm, &control), Length::from_mm(100));
    }
}

/// B23, computed: of two blocks N5 the next one behind the jump is found, and the first one from
/// behind both. Searching always from the top (the other kind of control) is `search` from 0.
#[test]
fn b23_where_a_jump_goes() {
    let lines = "#100=0\nN5 #100=#100+1\nIF[#100EQ3]GOTO9\nGOTO5\nN5 #100=#100+10\n\
                 IF[#100LT50]GOTO5\nN9 M30";
    let library = Library::new(vec![tree(lines)]);
    let main = library.main();
    assert_eq!(library.search(main, 4, 5), Some(4), "from the GOTO in the fourth line");
    assert_eq!(library.search(main, 6, 5), Some(1), "from the IF in the sixth");
    assert_eq!(library.search(main, 0, 5), Some(1));
    assert_eq!(library.search(main, 3, 9), Some(6));
    assert_eq!(library.search(main, 3, 10), None);
}
