//! What the proof finds of what was planted, and what it says of good programs.

use crate::good::{Good, Writer, prove_texts};
use crate::kinds::{Kind, Planted};
use crate::reading::Reading;
use crate::seed::Seed;
use model::Level;
use prove::Proof;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::OnceLock;

/// How a proof took a planted mistake.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Seen {
    /// With a finding that counts as right, at this level.
    Right(Level),
    /// With other findings than the good program has, none of them right.
    Other(BTreeSet<&'static str>),
    /// Not at all.
    Missed,
}

/// What came of one kind of mistake.
#[derive(Debug, Clone, Default)]
pub struct Score {
    /// How often it was planted.
    pub planted: u32,
    /// How often a right finding came, by its level.
    pub right: BTreeMap<Level, u32>,
    /// How often others came alone.
    pub other: u32,
    /// How often nothing came.
    pub missed: u32,
    /// The others, and how often.
    pub others: BTreeMap<&'static str, u32>,
    /// Where one was not found rightly: the program and the line, at most a few.
    pub examples: Vec<String>,
}

impl Score {
    /// Whether each one that was planted was found rightly.
    pub fn all_right(&self) -> bool {
        self.other + self.missed == 0
    }

    fn add(&mut self, good: &Good, planted: &Planted, seen: Seen) {
        self.planted += 1;
        let said = match seen {
            Seen::Right(level) => {
                *self.right.entry(level).or_default() += 1;
                return;
            }
            Seen::Other(others) => {
                self.other += 1;
                let said = others.iter().copied().collect::<Vec<_>>().join(" ");
                for other in others {
                    *self.others.entry(other).or_default() += 1;
                }
                said
            }
            Seen::Missed => {
                self.missed += 1;
                "nothing".to_owned()
            }
        };
        if self.examples.len() < 4 {
            self.examples.push(format!("{}: {}: {said}", good.name, planted.what));
        }
    }
}

/// What a proof says, by finding and level.
pub fn findings(proof: &Proof) -> BTreeSet<(&'static str, Level)> {
    proof.findings.iter().map(|finding| (finding.id, finding.level)).collect()
}

/// What of a planted mistake is seen: the findings that the good program does not have.
pub fn seen(kind: &Kind, good: &BTreeSet<(&'static str, Level)>, planted: &Planted) -> Seen {
    let proof = prove_texts(&planted.texts, &planted.setup);
    let new: Vec<_> = findings(&proof).difference(good).copied().collect();
    let right = new.iter().filter(|(id, _)| kind.right.contains(id)).map(|(_, level)| *level);
    match right.max() {
        Some(level) => Seen::Right(level),
        None if new.is_empty() => Seen::Missed,
        None => Seen::Other(new.into_iter().map(|(id, _)| id).collect()),
    }
}

/// What was said of good programs.
#[derive(Debug, Clone, Default)]
pub struct Alarms {
    /// Programs by the planner.
    pub by_plan: u32,
    /// Programs by hand.
    pub by_hand: u32,
    /// How many have a stop.
    pub stopped: u32,
    /// Findings with their levels: in how many programs, and the first of them.
    pub findings: BTreeMap<(Level, &'static str), (u32, String)>,
}

/// A good program with what its proof says, once somebody asks.
pub struct Known {
    /// The program.
    pub good: Good,
    proof: OnceLock<Proof>,
}

impl Known {
    /// A program that is not proven yet.
    pub fn new(good: Good) -> Known {
        Known { good, proof: OnceLock::new() }
    }

    /// Its proof.
    pub fn proof(&self) -> &Proof {
        self.proof.get_or_init(|| self.good.proof())
    }

    /// Whether its own proof stops it.
    fn stops(&self) -> bool {
        self.proof().findings.iter().any(|finding| finding.level == Level::Stop)
    }
}

/// Tells what is said of good programs.
pub fn alarms(known: &[Known]) -> Alarms {
    let mut alarms = Alarms::default();
    for one in known {
        let (good, findings) = (&one.good, findings(one.proof()));
        match good.writer {
            Writer::Plan => alarms.by_plan += 1,
            Writer::Hand => alarms.by_hand += 1,
        }
        alarms.stopped += u32::from(findings.iter().any(|(_, level)| *level == Level::Stop));
        for (id, level) in findings {
            let said = alarms.findings.entry((level, id)).or_insert((0, good.name.clone()));
            said.0 += 1;
        }
    }
    alarms
}

/// The scores of kinds, on two threads, in the order of the kinds.
pub fn scores<'k>(kinds: &[&'k Kind], known: &[Known], times: u32) -> Vec<(&'k Kind, Score)> {
    let every_other = |first: usize| {
        let mine = kinds.iter().skip(first).step_by(2);
        mine.map(|kind| score(kind, known, times)).collect::<Vec<_>>()
    };
    let (even, odd) = std::thread::scope(|scope| {
        let odd = scope.spawn(|| every_other(1));
        (every_other(0), odd.join().unwrap_or_default())
    });
    let (mut even, mut odd) = (even.into_iter(), odd.into_iter());
    let mut scores = Vec::new();
    for (index, kind) in kinds.iter().enumerate() {
        let of = if index % 2 == 0 { even.next() } else { odd.next() };
        scores.extend(of.map(|score| (*kind, score)));
    }
    scores
}

/// Plants one kind so often in good programs, half of them by hand where there are so many, in an
/// order that hangs on its name alone.
pub fn score(kind: &Kind, known: &[Known], times: u32) -> Score {
    let mut seed = Seed::of(kind.name);
    let (hand, plan): (Vec<_>, Vec<_>) =
        known.iter().partition(|known| known.good.writer == Writer::Hand);
    let mut score = Score::default();
    let mut hand = seed.shuffled(hand).into_iter();
    let mut plan = seed.shuffled(plan).into_iter();
    let mut fill = |programs: &mut dyn Iterator<Item = &Known>, until: u32| {
        while score.planted < until {
            let Some(known) = programs.next() else { break };
            let reading = Reading::new(&known.good);
            // A program that raises an alarm of itself is no ground for planting.
            if let Some(planted) = (kind.plant)(&reading, &mut seed).filter(|_| !known.stops()) {
                let what = seen(kind, &findings(known.proof()), &planted);
                score.add(&known.good, &planted, what);
            }
        }
    };
    fill(&mut hand, times / 2);
    fill(&mut plan, times);
    // What only people write is planted there alone.
    fill(&mut hand, times);
    score
}
