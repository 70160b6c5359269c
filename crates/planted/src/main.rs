//! Plants mistakes and tells what the proof finds. Without arguments it writes `docs/proof.md`;
//! `kinds PART` scores the kinds with this in their names; `show PROGRAM [KIND]` shows a good
//! program, or what a kind of mistake makes of it, with its findings.
#![allow(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    reason = "a command for developers"
)]

use planted::good::{self, Text, prove_texts};
use planted::kinds::{self, Kind};
use planted::page;
use planted::reading::Reading;
use planted::score::{self, Known};
use planted::seed::Seed;
use prove::{Proof, Setup};

/// Invented jobs, variations of each program by hand, and how often a kind is planted at most.
const JOBS: usize = 420;
const VARIATIONS: usize = 5;
const TIMES: u32 = 24;

fn main() -> std::io::Result<()> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let known: Vec<Known> = good::all(JOBS, VARIATIONS).into_iter().map(Known::new).collect();
    match arguments.as_slice() {
        ["show", program] => show(&known, program, None),
        ["show", program, kind] => show(&known, program, kinds::find(kind)),
        ["kinds", part] => tell_scores(&known, part),
        _ => {
            let all: Vec<&Kind> = kinds::ALL.iter().collect();
            let scores = score::scores(&all, &known, TIMES);
            let file = good::repository().join("docs/proof.md");
            std::fs::write(file, page::of(&known, &scores))?;
        }
    }
    Ok(())
}

fn tell_scores(known: &[Known], part: &str) {
    let kinds: Vec<&Kind> = kinds::ALL.iter().filter(|kind| kind.name.contains(part)).collect();
    for (kind, score) in score::scores(&kinds, known, TIMES) {
        let (name, planted) = (kind.name, score.planted);
        println!("{name}: {planted} planted, right {:?}, missed {}", score.right, score.missed);
        for example in &score.examples {
            println!("    {example}");
        }
    }
}

fn show(known: &[Known], program: &str, kind: Option<&Kind>) {
    let Some(known) = known.iter().find(|known| known.good.name == program) else {
        return println!("there is no program {program}");
    };
    let good = &known.good;
    let Some(kind) = kind else { return tell(&good.texts, &good.setup, known.proof()) };
    match (kind.plant)(&Reading::new(good), &mut Seed::of(kind.name)) {
        Some(planted) => {
            println!("{}", planted.what);
            let proof = prove_texts(&planted.texts, &planted.setup);
            tell(&planted.texts, &planted.setup, &proof);
        }
        None => println!("{} does no harm in {program}, or has no place there", kind.name),
    }
}

fn tell(texts: &[Text], setup: &Setup, proof: &Proof) {
    for text in texts {
        println!("--- {}\n{}", text.name, text.text);
    }
    println!("{:?}\n{:?}", setup.part, setup.bar);
    println!("{} parts, ended by {}", proof.parts, proof.ended_by.word());
    for finding in &proof.findings {
        let line = finding.place.start().line;
        println!("{} {} at line {line}: {}", finding.level.word(), finding.id, finding.message);
    }
}
