//! The programs: as a machinist reads them, and run by the virtual lathe for every control.

use crate::shop::{self, CONTROLS, PIN, SPACER};
use model::Level;
use model::files::Job;
use model::files::control::{Code, Does};
use model::files::job::CountBy;
use model::finding::Verdict;
use plan::{Answer, plan};

const FAMILIES: [CountBy; 3] = [CountBy::Variable, CountBy::Counter, CountBy::Repeat];

/// What was found, but for the note on two opinions about power, which says nothing of programs.
fn ids(answer: &Answer) -> Vec<&'static str> {
    let ids = answer.findings.iter().map(|finding| finding.id);
    ids.filter(|id| *id != "power-opinions-differ").collect()
}

/// All programs of an answer as one text.
fn text(answer: &Answer) -> String {
    answer.programs.iter().map(|program| program.text.as_str()).collect()
}

#[test]
fn programs_read_as_they_did() {
    for name in [PIN, SPACER] {
        for by in FAMILIES {
            let mut job = shop::with_part_count(shop::demo(name));
            job.file.count.by = by;
            let word = match by {
                CountBy::Variable => "variable",
                CountBy::Counter => "counter",
                CountBy::Repeat => "repeat",
            };
            insta::assert_snapshot!(format!("{name}-{word}"), text(&plan(&job)));
        }
    }
}

/// Both units, both code systems, all families, every shipped control: the proof finds nothing
/// but what a repeat cannot do, and comes to the plan's own parts, remnant and time.
#[test]
fn plan_and_proof_agree_on_every_control() {
    let mut proven = 0;
    for name in [PIN, SPACER] {
        for control in CONTROLS {
            for by in FAMILIES {
                let mut job = shop::demo(name);
                job.control = shop::control(control);
                job.file.count.by = by;
                job.file.count.variable = 510;
                if by == CountBy::Counter && job.control.counter.is_none() {
                    continue; // the job's reader refuses this
                }
                let answer = plan(&job);
                let case = format!("{name} {control} {by:?} {:?}", ids(&answer));
                if by == CountBy::Counter && job.control.that(Does::PartCount).is_none() {
                    assert_eq!(ids(&answer), ["counter-not-stepped"], "{case}");
                    continue;
                }
                agree(&job, &answer, &case);
                proven += 1;
            }
        }
    }
    assert_eq!(proven, 14);
}

fn agree(job: &Job, answer: &Answer, case: &str) {
    let repeat = job.file.count.by == CountBy::Repeat;
    let wanted = if repeat { Verdict::Caution } else { Verdict::Clear };
    assert_eq!(answer.verdict, wanted, "{case}");
    assert_eq!(ids(answer), if repeat { vec!["count-lost-at-reset"] } else { vec![] }, "{case}");
    let proof = answer.proof.as_ref().unwrap();
    assert_eq!(proof.parts, answer.bar.parts_per_bar, "{case}");
    assert_eq!(proof.remnant, Some(answer.bar.remnant), "{case}");
    assert!((proof.time.s() - answer.times.bar.s()).abs() < 0.001, "{case}");
    assert!((proof.cycle.s() - answer.times.cycle.s()).abs() < 0.001, "{case}");
}

/// A short order ends in mid-bar at its quantity, not at the end of the bar.
#[test]
fn an_order_smaller_than_a_bar_ends_at_its_quantity() {
    for by in [CountBy::Variable, CountBy::Counter, CountBy::Repeat] {
        let mut job = shop::with_part_count(shop::demo(PIN));
        job.file.count.by = by;
        job.file.order.quantity = 7;
        let answer = plan(&job);
        assert_eq!(answer.proof.as_ref().unwrap().parts, 7, "{by:?} {:?}", ids(&answer));
        assert_eq!(answer.walk_away.first().unwrap().parts, 7, "{by:?}");
    }
}

/// Where M30 counts a part, the program must not end with it: a new bar would start at one.
#[test]
fn a_word_that_counts_a_part_never_ends_the_program() {
    let mut job = shop::with_part_count(shop::demo(PIN));
    job.file.count.by = CountBy::Counter;
    let answer = plan(&job);
    assert!(text(&answer).contains("\nN800 M2 "), "{}", text(&answer));
    assert!(!text(&answer).contains("M30"));
    let counted = &mut job.control.counter.as_mut().unwrap().counted_by;
    counted.push(Code::new('M', 2));
    let answer = plan(&job);
    assert_eq!(ids(&answer), ["counter-not-stepped"]);
    assert!(answer.programs.is_empty());
}

/// Without a stopper among the words that stand there anyway, a harmless one is written; without
/// any, the proof says that the count may step early.
#[test]
fn the_count_never_steps_before_the_part_is_off() {
    let mut job = shop::demo(PIN);
    let air = Code::new('M', 59);
    let off = model::files::control::Function { does: Does::AirOff, word: air, confirmed: false };
    job.control.functions.push(off);
    job.control.read_ahead.most = 40;
    job.control.read_ahead.stoppers = vec![air];
    let answer = plan(&job);
    assert_eq!(ids(&answer), [] as [&str; 0]);
    let written = text(&answer);
    let place = |words| written.find(words).unwrap();
    assert!(place("G1 X-0.4") < place("M59") && place("M59") < place("#500=#500+1"));

    job.control.read_ahead.stoppers.clear();
    let answer = plan(&job);
    assert!(ids(&answer).contains(&"count-steps-early"), "{:?}", ids(&answer));
}

/// A stop stands against writing any program.
#[test]
fn no_program_is_written_past_a_stop() {
    let mut job = shop::demo(PIN);
    job.lathe.spindle.jaw_face_to_rear = model::Length::from_mm(960);
    let answer = plan(&job);
    assert_eq!(answer.verdict, Verdict::Stop);
    assert!(ids(&answer).contains(&"bar-behind-spindle"));
    assert!(answer.programs.is_empty());
    // 43 + 2 + 960 − 10 = 995; a blank may be 1001.5.
    let check = answer.checks.iter().find(|check| check.id == "bar-behind-spindle").unwrap();
    assert_eq!((check.value, check.limit, check.margin), (1001.5, 995.0, -6.5));
    assert_eq!(check.level, Some(Level::Stop));
}

/// Packed repeats have room for four digits of a program number.
#[test]
fn repeats_that_a_control_cannot_say_are_a_stop() {
    let mut job = shop::demo(PIN);
    job.control = shop::control("system-a-packed-repeats.toml");
    job.file.count.by = CountBy::Repeat;
    job.file.program = 9998; // its second helper would be O10000
    let answer = plan(&job);
    assert!(ids(&answer).contains(&"repeats-not-writable"), "{:?}", ids(&answer));
    assert!(answer.programs.is_empty());
}
