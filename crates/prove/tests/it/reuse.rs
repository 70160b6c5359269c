//! Shortcuts change nothing: a proof that uses again what was computed once is, to the last bit,
//! the proof that computes everything.

use crate::bar_programs::{programs, setup_of};
use crate::folder::Folder;
use model::files::job::Job;
use model::{Files, Length, Source};
use nc::program::Library;
use prove::event::What;
use prove::lathe::Shown;
use prove::run::{Order, Run};
use prove::{Proof, Setup, prove};
use std::fmt::Write as _;

/// A proof both ways; they must be the same in everything.
fn both_ways(name: &str, text: &str, setup: &Setup) -> Proof {
    let library = Library::new(vec![nc::read::read(&Source::new(name, text))]);
    let with = |reuse| prove(&library, &Setup { reuse, ..setup.clone() });
    let (short, long) = (with(true), with(false));
    let (one, other) = (format!("{short:#?}"), format!("{long:#?}"));
    let differ = one.lines().zip(other.lines()).enumerate().find(|(_, (one, other))| one != other);
    if let Some((line, (one, other))) = differ {
        panic!("{name}: line {line}: {one:?} with reuse, {other:?} without\n{text}");
    }
    assert_eq!(one.len(), other.len(), "{name}");
    short
}

#[test]
fn whole_programs_are_proven_alike() {
    for (name, text) in programs() {
        let setup = setup_of(&text);
        both_ways(&name, &text, &setup);
        // A bar three times as long, whether it still lies in the spindle or not.
        let mut long = setup;
        if let Some(bar) = &mut long.bar {
            bar.length = bar.length * 3;
        }
        both_ways(&name, &text, &long);
    }
}

/// How a program counts its passes: what stands before the loop, at its top, and at its end.
const COUNTS: [(&str, &str, &str, &str); 15] = [
    ("goes to the end", "#500=0", "N1", "#500=#500+1\nIF[#500GE{n}]GOTO9\n{pull}GOTO1"),
    ("until equal", "#500=0", "N1", "#500=#500+1\nIF[#500EQ{n}]GOTO9\n{pull}GOTO1"),
    ("while unequal", "#500=0", "N1", "#500=#500+1\n{pull}IF[#500NE{n}]GOTO1"),
    ("counts down", "#500={n}", "N1", "#500=#500-1\nIF[#500LE0]GOTO9\n{pull}GOTO1"),
    ("while", "#500=0", "WHILE[#500LT{n}]DO1", "#500=#500+1\n{pull}END1"),
    ("by twos", "#500=0", "N1", "#500=#500+2\nIF[#500GE{n}*2]GOTO9\n{pull}GOTO1"),
    ("by halves", "#500=0", "N1", "#500=#500+.5\nIF[#500GE{n}*.5]GOTO9\n{pull}GOTO1"),
    ("by tenths", "#500=0", "N1", "#500=#500+.1\nIF[#500GE{n}*.1]GOTO9\n{pull}GOTO1"),
    ("by length", "#500=0", "N1", "#500=#500+23.\nIF[#500GE{n}*23.]GOTO9\n{pull}GOTO1"),
    (
        "by length times count",
        "#500=0",
        "N1",
        "#500=#500+1\nIF[#500*23.GE{n}*23.]GOTO9\n{pull}GOTO1",
    ),
    (
        "a rest at every fifth",
        "#500=0",
        "N1",
        "#500=#500+1\nIF[#500GE{n}]GOTO9\nIF[[#500MOD5]NE0]GOTO5\nG4X3.\nN5\n{pull}GOTO1",
    ),
    (
        "a sister for the second half",
        "#500=0",
        "N1",
        "#500=#500+1\nIF[#500GE{n}]GOTO9\nIF[#500LT{n}/2]GOTO5\nG4X1.\nN5\n{pull}GOTO1",
    ),
    (
        "a second count",
        "#500=0\n#501=5",
        "N1",
        "#501=#501+3\n#500=#500+1\nIF[#500GE{n}]GOTO9\n{pull}GOTO1",
    ),
    ("nothing counts", "#500=0", "N1", "{pull}M1\nGOTO1"),
    (
        "by a flag that turns",
        "#500=0\n#501=1",
        "N1",
        "#501=-#501\n#500=#500+1\nIF[#500GE{n}]GOTO9\n{pull}GOTO1",
    ),
];

/// How the bar is drawn, some ways not as they should be.
const PULLS: [&str; 5] = [
    "T0707\nG0X40.Z-32.\nG98G1X0.F800\nM11\nG4X1.\nG1W23.F1500\nM10\nG4X1.\nG1X40.F1000\nG0X120.Z60.\nG99\n",
    // No dwell behind the opening.
    "T0707\nG0X40.Z-32.\nG98G1X0.F800\nM11\nG1W23.F1500\nM10\nG4X1.\nG1X40.F1000\nG0X120.Z60.\nG99\n",
    // A little too far each time: the bar ends early.
    "T0707\nG0X40.Z-32.\nG98G1X0.F800\nM11\nG4X1.\nG1W24.5F1500\nM10\nG4X1.\nG1X40.F1000\nG0X120.Z60.\nG99\n",
    // As far as a variable says that stays.
    "#510=23.\nT0707\nG0X40.Z-32.\nG98G1X0.F800\nM11\nG4X1.\nG1W#510F1500\nM10\nG4X1.\nG1X40.F1000\nG0X120.Z60.\nG99\n",
    // A hair further each time.
    "#511=#511+.001\nT0707\nG0X40.Z-32.\nG98G1X0.F800\nM11\nG4X1.\nG1W[23.+#511]F1500\nM10\nG4X1.\nG1X40.F1000\nG0X120.Z60.\nG99\n",
];

/// One part: in layers of a loop of its own, or straight through.
fn cuts(layers: usize) -> String {
    if layers == 0 {
        return "#1=0\nWHILE[#1LT4]DO2\n#1=#1+1\nG1Z-20.5F.2\nX17.\nG0Z1.\nEND2\n".to_owned();
    }
    let mut cuts = String::new();
    for layer in 0..layers {
        let _ = write!(cuts, "G0X{:.3}Z1.\nG1Z-20.5F.2\nX17.\nG0Z1.\n", 16.0 - layer as f64 * 0.4);
    }
    cuts
}

fn generated(count: (&str, &str, &str, &str), pull: &str, layers: usize, n: u32) -> String {
    let (_, before, top, end) = count;
    let end = end.replace("{n}", &n.to_string()).replace("{pull}", pull);
    let (before, top) = (before.replace("{n}", &n.to_string()), top.replace("{n}", &n.to_string()));
    format!(
        "O1\nG21G99\nG50S2500\n{before}\n{top}\nT0101\nG96S150M3\nG0X20.Z0.\nG1X-.8F.1\nG0Z1.\n{}\
         G0X120.Z60.\nT0303\nG0X20.Z-22.5\nG1X-.6F.05\nG0X120.Z60.\nM5\nG4X2.\n{end}\nN9M30\n",
        cuts(layers)
    )
}

/// The same loop as a subprogram that is called so many times.
fn repeated(pull: &str, layers: usize, n: u32) -> String {
    format!(
        "O1\nG21G99\nG50S2500\nM98P2L{n}\nM30\nO2\nT0101\nG96S150M3\nG0X20.Z0.\nG1X-.8F.1\nG0Z1.\n{}\
         G0X120.Z60.\nT0303\nG0X20.Z-22.5\nG1X-.6F.05\nG0X120.Z60.\nM5\nG4X2.\n{pull}M99\n",
        cuts(layers)
    )
}

fn setup(bar: Length, quantity: u32) -> Setup {
    let shop = Folder::of_tests("shop");
    let job = Job::read(&shop.read("pin.job.toml").unwrap(), &shop).value.unwrap();
    let mut setup = Setup::of(&job);
    if let (Some(known), Some(part)) = (setup.bar.as_mut(), setup.part.as_mut()) {
        known.length = bar;
        part.quantity = quantity;
    }
    setup
}

#[test]
fn generated_programs_are_proven_alike() {
    let mut proven = 0_u32;
    let mut ends = std::collections::BTreeSet::new();
    for (number, n) in [3_u32, 12, 37, 90].into_iter().enumerate() {
        for (p, pull) in PULLS.into_iter().enumerate() {
            let layers = (number + p) % 4;
            // The bar gives more, fewer or about as many parts as the program counts.
            let parts = [n + 20, n, n / 2][(number + 2 * p) % 3];
            let bar = Length::from_mm(23) * i64::from(parts) + Length::from_mm(60);
            let setup = setup(bar, n.max(20) - 10 * (p as u32 % 2));
            for count in COUNTS {
                let name = format!("{} {n} {p}", count.0);
                let proof = both_ways(&name, &generated(count, pull, layers, n), &setup);
                ends.insert(proof.ended_by.word());
                proven += 1;
            }
            let proof = both_ways(&format!("repeated {n} {p}"), &repeated(pull, layers, n), &setup);
            ends.insert(proof.ended_by.word());
            proven += 1;
        }
    }
    assert_eq!(proven, 320);
    assert!(ends.contains("count") && ends.contains("bar"), "{ends:?}");
}

/// Moves that are run of so many parts, and passes that are left out.
fn run_and_left_out(text: &str, setup: &Setup) -> (u32, u32) {
    let library = Library::new(vec![nc::read::read(&Source::new("count.nc", text))]);
    let (mut run, mut left_out) = (0, 0);
    let recurring = Run::new(&library, setup, Shown::default(), Order::Latest).recurring();
    recurring.finish(&mut |moment| match moment.what {
        What::Cut(_) => run += 1,
        What::PassesLeftOut { passes, .. } => left_out += passes,
        _ => {}
    });
    (run, left_out)
}

#[test]
fn passes_that_are_alike_are_left_out_and_no_others() {
    let bar = |parts: i64| setup(Length::from_mm(23) * parts + Length::from_mm(60), 20_000);
    let named = |name| COUNTS.into_iter().find(|count| count.0 == name).unwrap();
    for name in ["goes to the end", "until equal", "counts down", "while", "by twos"] {
        let text = generated(named(name), PULLS[0], 3, 10_000);
        let (run, left_out) = run_and_left_out(&text, &bar(10_020));
        assert!(run < 200 && (9_980..10_000).contains(&left_out), "{name}: {run}, {left_out}");
    }
    // What no sum of whole numbers counts is run to its end.
    for (name, pull) in [("by tenths", PULLS[0]), ("goes to the end", PULLS[4])] {
        let text = generated(named(name), pull, 3, 100);
        let (run, left_out) = run_and_left_out(&text, &bar(120));
        assert!(run > 700 && left_out == 0, "{name}: {run}, {left_out}");
    }
}
