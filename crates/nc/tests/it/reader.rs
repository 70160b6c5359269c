//! What the reader makes of single lines. Rows named A… are worked checks of the language; each
//! says where its expected value comes from.

use model::Source;
use model::files::Control;
use model::files::control::Semicolon;
use nc::expression::{Variables, evaluate};
use nc::read::{read, read_for};
use nc::tree::{Item, ItemKind, Tree, Value};
use std::fmt::Write as _;

struct Nothing;

impl Variables for Nothing {
    fn get(&self, _: u32) -> Option<f64> {
        None
    }
}

fn tree(text: impl Into<Vec<u8>>) -> Tree {
    read(&Source::new("test.nc", text))
}

fn control() -> Control {
    let text = include_str!("../../../../data/controls/system-a-least-increment.toml");
    Control::read(&Source::new("control.toml", text)).value.unwrap()
}

/// The words of a text as a person would say them back, with values in plain digits.
fn said(text: &str) -> String {
    said_of(&tree(text))
}

fn said_of(tree: &Tree) -> String {
    let mut said = String::new();
    for block in &tree.blocks {
        if let Some(level) = block.skip {
            let _ = write!(said, "/{level} ");
        }
        if let Some((number, _)) = block.number {
            let _ = write!(said, "N{number} ");
        }
        for item in tree.items_of(block) {
            said.push_str(&say(tree, item));
            said.push(' ');
        }
        said.pop();
        said.push('\n');
    }
    said.pop();
    said
}

fn say(tree: &Tree, item: &Item) -> String {
    let term = |id| match evaluate(tree, id, &Nothing) {
        Ok(Some(value)) => format!("{value}"),
        _ => format!("[{}]", tree.source.text_of(tree.expression(id).span)),
    };
    match item.kind {
        ItemKind::Percent => "%".into(),
        ItemKind::Program(number) => format!("O{number}"),
        ItemKind::Word(word) => {
            let comma = if word.comma { "," } else { "" };
            let value = match word.value {
                Value::Number(number) if number.point => format!("{:?}", number.value()),
                Value::Number(number) => format!("{}", number.value()),
                Value::Expression(id) => term(id),
            };
            format!("{comma}{}{value}", char::from(word.letter))
        }
        ItemKind::Assign { target, value } => format!("#{}={}", term(target), term(value)),
        ItemKind::If(condition) => format!("IF{}", term(condition)),
        ItemKind::Then => "THEN".into(),
        ItemKind::Goto(target) => format!("GOTO{}", term(target)),
        ItemKind::While(condition) => format!("WHILE{}", term(condition)),
        ItemKind::Do(label) => format!("DO{label}"),
        ItemKind::End(label) => format!("END{label}"),
        ItemKind::Comment => "(…)".into(),
        ItemKind::Ignored => "…".into(),
        ItemKind::SkipFromHere(level) => format!("/{level}"),
        ItemKind::Unreadable => "?".into(),
    }
}

/// Each trouble with the stretch it points at.
fn troubles(text: &str) -> Vec<String> {
    let tree = tree(text);
    let told = tree.troubles.iter();
    told.map(|trouble| format!("{:?} {:?}", trouble.kind, tree.source.text_of(trouble.span)))
        .collect()
}

fn clean(text: &str, expected: &str) {
    assert_eq!(said(text), expected, "{text:?}");
    assert_eq!(troubles(text), Vec::<String>::new(), "{text:?}");
}

/// A1, NISTIR 6556 §3.3: blanks inside numbers mean nothing.
#[test]
fn blanks_inside_words_mean_nothing() {
    clean("g0x +0. 12 34y 7", "G0 X0.1234 Y7");
    clean("G O T O 1 0", "GOTO10");
    clean("G\t01 X\u{7f}1\0 0 .", "G1 X10.0");
}

/// A2, NISTIR 6556 §3.3.6: the order of the words of a line does not matter to what each one is.
#[test]
fn words_read_the_same_in_every_order() {
    clean("g40 g1 #3=15 (foo) #4=-7.0", "G40 G1 #3=15 (…) #4=-7");
    clean("#4=-7.0 (foo) #3=15 g1 g40", "#4=-7 (…) #3=15 G1 G40");
    clean("(foo) g1 #4=-7.0 g40 #3=15", "(…) G1 #4=-7 G40 #3=15");
    clean("#3=15 #3=6", "#3=15 #3=6");
}

/// A5: the first bracket closes a comment (common practice, from memory; NISTIR 6556 §3.3.4 makes
/// the second opening one an error), so what follows is rubbish and is told once.
#[test]
fn the_first_bracket_closes_a_comment() {
    assert_eq!(said("(a (b) c)"), "(…) ?");
    assert_eq!(troubles("(a (b) c)"), ["NoValue \"c\""]);
}

/// A6, from memory: more than five digits are accepted (an error in NISTIR 6556 §3.3.1).
#[test]
fn block_numbers_may_have_many_noughts() {
    clean("N000009 G0 X1", "N9 G0 X1");
    clean("/2 N5 M99", "/2 N5 M99");
    clean("N5 / M99", "/1 N5 M99");
    clean("(top) N7 G1", "N7 (…) G1");
    clean("(top) /2 (again) N7 G1", "/2 N7 (…) (…) G1");
    clean("N10/G1", "/1 N10 G1");
    clean("/N10G1", "/1 N10 G1");
}

/// A8: points and noughts as written; what a number without a point stands for is in `decimal`.
#[test]
fn numbers_keep_their_point() {
    clean("X100 X100. X1.5 Z-.5 Z-5", "X100 X100.0 X1.5 Z-0.5 Z-5");
}

/// The N of a broken jump does not make its block a target.
#[test]
fn an_n_in_a_statement_is_no_block_number() {
    assert_eq!(said("IF[1EQ1]GOTO N10"), "IF1 GOTO[] N10");
    assert_eq!(said("G1 X5. N10"), "N10 G1 X5.0");
}

/// Digits that no lathe can tell apart are left out; whole digits that do not fit are told.
#[test]
fn numbers_may_have_any_count_of_digits() {
    clean(&format!("X.{}1 Z5.", "0".repeat(300)), "X0.0 Z5.0");
    clean(&format!("X{}1.5", "0".repeat(300)), "X1.5");
    clean(&format!("#1=0.{}", "3".repeat(300)), "#1=0.3333333333333333");
    clean("X999999999999999999", "X1000000000000000000");
    assert_eq!(troubles("X1999999999999999999"), ["BadNumber \"X1999999999999999999\""]);
}

/// A13, computed: statements need no blanks.
#[test]
fn statements_need_no_blanks() {
    clean("IF[1LT2]GOTO10", "IF1 GOTO10");
    clean("WHILE[1LE0]DO1", "WHILE0 DO1");
    assert_eq!(said("IF[#100LT#101]GOTO10"), "IF1 GOTO10".replace("IF1", "IF0"));
    clean("IF[[1EQ1]AND[2NE3]]THEN#1=4", "IF1 THEN #1=4");
    clean("IF [1 >= 1] GOTO [8/2]", "IF1 GOTO4");
    clean("IF[1<>1]GOTO3", "IF0 GOTO3");
}

/// A14: forms seen in public programs.
#[test]
fn comma_words_are_kept_apart_from_plain_ones() {
    clean("G1X51.0,A-45.0F.2", "G1 X51.0 ,A-45.0 F0.2");
    clean("G01X40.0A-45.0F.05", "G1 X40.0 A-45.0 F0.05");
    clean("G1 Z-20. , R3.", "G1 Z-20.0 ,R3.0");
}

/// Common practice: a shop types the letter O for a zero.
#[test]
fn the_letter_o_is_taken_as_a_zero_and_told() {
    for (text, expected, told) in [
        ("GO1", "G1", 1),
        ("GO X10", "G0 X10", 1),
        ("GOX10Z5.", "G0 X10 Z5.0", 1),
        ("G0 XO.", "G0 X0.0", 1),
        ("X1O.", "X10.0", 1),
        ("X.OO5", "X0.005", 2),
        ("X-O.5", "X-0.5", 1),
        ("X1OZ5.", "X10 Z5.0", 1),
        ("N1O G1", "N10 G1", 1),
        ("M3O", "M30", 1),
        ("TO101", "T101", 1),
        ("OO012", "O12", 1),
        ("GOTO1O", "GOTO10", 1),
        ("X[1O+5.O]", "X15", 2),
    ] {
        assert_eq!(said(text), expected, "{text}");
        assert_eq!(troubles(text), vec!["LetterOForZero \"O\""; told], "{text}");
    }
}

#[test]
fn names_with_an_o_stay_names() {
    clean("GOTO 10", "GOTO10");
    clean("#1=[6OR1]", "#1=7");
    clean("#1=[6 O R 1]", "#1=7");
    clean("#1=[6XOR2]MOD3", "#1=1");
    clean("XCOS[0]", "X1");
    clean("XROUND[1.5]YPOW[2,3]", "X2 Y8");
    clean("O1002 (PIN)", "O1002 (…)");
    clean(":1002", "O1002");
    clean("%O7", "% O7");
    clean("WHILE[1LT0]DO2", "WHILE0 DO2");
    assert_eq!(troubles("COS[30]"), ["UnknownName \"COS\""]);
    assert_eq!(troubles("G1 XOR[1]"), ["UnknownName \"XOR\""]);
    assert_eq!(troubles("MOD[2]"), ["UnknownName \"MOD\""]);
    // A name ends at a blank, and its bracket is told with it.
    assert_eq!(troubles("GI X20."), ["UnknownName \"GI\""]);
    assert_eq!(troubles("WHLIE[#1LT2]M8"), ["UnknownName \"WHLIE\""]);
    assert_eq!(troubles("#1=COSN[30]"), ["UnknownName \"COSN\""]);
    assert_eq!(troubles("#1=C0S[30]+2"), ["UnknownName \"C0S\""]);
    assert_eq!(troubles("#1=[X+2]"), ["BadExpression \"X\""]);
    clean("POPEN\nDPRNT[X#1[43]]\nPCLOS", "…\n…\n…");
}

/// Common practice, from memory: controls that show the end of a block as a semicolon take one in a
/// text as such.
#[test]
fn a_semicolon_ends_a_block_where_the_control_says_so() {
    let mut control = control();
    let text = "%;O1;\nG0 X5.; N2 G1 Z-8. (a;b);; /M1;\nDPRNT[X];M0\nX[1;2\nM30";
    clean("G0 X5.; N2 G1", "G0 X5.0 (…)");
    control.semicolon = Some(Semicolon::BlockEnd);
    let tree = read_for(&Source::new("test.nc", text), &control);
    let expected = [
        "% (…)",
        "O1 (…)",
        "G0 X5.0 (…)",
        "N2 G1 Z-8.0 (…) (…)",
        "(…)",
        "/1 M1 (…)",
        "… (…)",
        "M0",
        "X[[1] (…)",
        "?",
        "M30",
    ];
    assert_eq!(said_of(&tree), expected.join("\n"));
    assert_eq!(tree.print(), text.as_bytes());
}

#[test]
fn line_ends_and_byte_marks_of_all_systems_are_read() {
    clean("\u{feff}%\r\nO1\rG0 X1\n\nM30\n%", "%\nO1\nG0 X1\nM30\n%");
    let latin = tree(b"(bl\xFCe) G1 ; \xB5m\nX2".to_vec());
    assert_eq!((latin.blocks.len(), latin.troubles.len()), (2, 0));
}

/// NISTIR 6556 §3.3 (end signs) and common practice (leader): what stands outside is not read.
#[test]
fn leader_and_trailer_are_ignored() {
    clean("PART 4711 T3\n%\nO1\nM30\n%\nbye now", "…\n%\nO1\nM30\n%\n…");
    // Not a leader: a whole program stands before the sign.
    clean("O1\nM30\n%\nO2\nM99\n", "O1\nM30\n%\nO2\nM99");
    clean("G0 X1\nM30\n%", "G0 X1\nM30\n%");
    clean("%\nG0 X1\nM30\n%\n", "%\nG0 X1\nM30\n%");
    // On the line of a sign, what stands on its outer side goes too.
    clean("bob & co. %\nO1\nM30\n% N5 keep this @home\nX", "… %\nO1\nM30\n% …\n…");
    clean("/ 3 % O7 (pin)\nM30", "… % O7 (…)\nM30");
    clean("%(pin)\nO1\nM30", "% (…)\nO1\nM30");
    clean("G1 X1 % G0 X2", "G1 X1 % G0 X2");
}

#[test]
fn a_sign_in_brackets_divides_and_elsewhere_skips() {
    clean("X[10/4] /3 Z2.", "X2.5 /3 Z2.0");
    clean("#1=ATAN[1]/[1]/9", "#1=5");
    clean("/M99", "/1 M99");
}

#[test]
fn troublesome_lines_cost_one_trouble_each() {
    let lines = [
        "G1 X Z-5. F.1",
        "G1 XZ-5. F.1",
        "G0 X1.2.3 Z4.",
        "G0 X--5. Z4.",
        "X5- Z4.",
        "M8 @@ M9",
        "HELLO 12 M30",
        "X[1+2 Z3.",
        "X[1+@+3] Z3.",
        "X[] Z3.",
        "X[FOO[1]+2] Z3.",
        "#1 5 M0",
        "#500= M0",
        "IF[#1 EQ 2",
        "IF #1 EQ 2 GOTO 5",
        "GOTO",
        "WHILE[#1LT2]",
        "DO X1.",
        "X1. (to size",
        "X1234567890123456789 Z1.",
        "N99999999999 G1 X1.",
        "G1 , X2.",
        "o100 while [#1 lt 3]",
        "O<part> call [1]",
        "G65 P1 AABS[",
        "X5 \u{b5} Z6",
    ];
    let mut shown = String::new();
    for line in lines {
        let _ = writeln!(shown, "{line}\n  {}", said(line));
        for trouble in troubles(line) {
            let _ = writeln!(shown, "  {trouble}");
        }
    }
    insta::assert_snapshot!(shown);
}

#[test]
fn deep_terms_end_in_a_trouble_not_in_a_fall() {
    for open in ["[", "#", "SIN[", "-[", "POW[1,"] {
        let text = format!("X1. Y{}\nZ2.", open.repeat(100_000));
        let tree = tree(text.as_bytes());
        let deep = tree.troubles.iter().map(|trouble| trouble.kind).collect::<Vec<_>>();
        assert!(deep.len() <= 2, "{open}: {} troubles", deep.len());
        assert_eq!(tree.blocks.len(), 2, "{open}");
        assert_eq!(tree.print(), text.as_bytes());
    }
    let nested = |depth: usize| format!("#1={}7{}", "[".repeat(depth), "]".repeat(depth));
    clean(&nested(60), "#1=7");
    assert_eq!(troubles(&nested(61)).len(), 1);
    let sum = |joins: usize| format!("#1=1{}", "+1".repeat(joins));
    clean(&sum(500), "#1=501");
    assert_eq!(tree(sum(400_000)).troubles.len(), 1);
}

/// Common practice: only a jump or one assignment may follow a condition.
#[test]
fn what_follows_a_condition_is_a_jump_or_an_assignment() {
    for text in ["IF[#1EQ2]T0101", "IF[#1EQ2]G1 X2.", "IF[#1EQ2]#3=4", "WHILE[#1EQ2]D1"] {
        let condition = text.split_inclusive(']').next().unwrap();
        assert_eq!(troubles(text), [format!("IncompleteStatement {condition:?}")], "{text}");
    }
    clean("IF[1EQ2]THEN#3=4", "IF0 THEN #3=4");
    clean("while [1 eq 2] d o 3", "WHILE0 DO3");
}

/// A line without an end is read in time in proportion to it. Looking back over the whole line
/// for each word of these would take minutes.
#[test]
fn endless_lines_are_read_at_once() {
    for (front, back) in
        [("X1", "N@"), ("()", ":@"), ("/", "/@"), ("X[", "]"), ("G ", "O "), ("%", "M30")]
    {
        let text = front.repeat(300_000) + &back.repeat(300_000);
        let tree = tree(text.as_bytes());
        assert_eq!(tree.blocks.len(), 1, "{front}{back}");
        assert_eq!(tree.print(), text.as_bytes());
    }
}
