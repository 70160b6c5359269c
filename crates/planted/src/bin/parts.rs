//! Plans invented parts for every control, way of counting and unit system, and tells what the proof
//! says: `parts [COUNT [FIRST]]`; `parts show NUMBER WAY` shows one program with its findings.
#![allow(
    clippy::disallowed_macros,
    clippy::disallowed_methods,
    reason = "a command for developers"
)]

use planted::parts::{self, Score, Way};

fn main() {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let number = |place: usize, or: u64| {
        arguments.get(place).and_then(|text| text.parse().ok()).unwrap_or(or)
    };
    if arguments.first().is_some_and(|word| word == "show") {
        let way = parts::ways().nth(number(2, 0) as usize);
        return way.map_or((), |way| show(number(1, 0), way));
    }
    let (count, first) = (number(0, 200), number(1, 0));
    let mut score = Score::default();
    for number in first..first + count {
        for way in parts::ways() {
            score.count(number, way, parts::outcome(number, way));
        }
    }
    tell(count, &score);
}

fn tell(count: u64, score: &Score) {
    let sum = |counts: &mut dyn Iterator<Item = &u32>| counts.sum::<u32>();
    println!("{count} parts, {} ways each", parts::ways().count());
    println!("proven without a stop: {}", score.proven);
    println!("wrong: {}", score.wrong.len());
    println!("stopped by the plan: {}", sum(&mut score.stopped.values()));
    for (id, times) in &score.stopped {
        println!("    {id}: {times}");
    }
    println!("cautions of the proof:");
    for (id, times) in &score.cautions {
        println!("    {id}: {times}");
    }
    println!("refused by the reader: {}", sum(&mut score.refused.values()));
    for (why, times) in &score.refused {
        println!("    {times}: {why}");
    }
    for (number, way, why) in score.wrong.iter().take(60) {
        let index = parts::ways().position(|it| it == *way).unwrap_or_default();
        println!("{number} {index} {way:?}");
        for line in why.iter().take(3) {
            println!("    {line}");
        }
    }
}

fn show(number: u64, way: Way) {
    let job = match parts::job(number, way) {
        Ok(job) => job,
        Err(why) => return println!("{why}"),
    };
    let answer = plan::plan(&job);
    for program in plan::program::write(&job, &answer.bar, &answer.process) {
        for (line, text) in program.text.lines().enumerate() {
            println!("{:4} {text}", line + 1);
        }
    }
    for feature in &job.file.part.features {
        println!(
            "{:?} d {:?} start {:?} to {:?} size {:?} r {:?} w {:?}",
            feature.kind,
            feature.cut(),
            feature.start,
            feature.to,
            feature.size,
            feature.radius,
            feature.width
        );
    }
    for finding in &answer.findings {
        println!(
            "{:?} {} {}: {}",
            finding.level,
            finding.id,
            finding.place.start().line,
            finding.message
        );
    }
}
