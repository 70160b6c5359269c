//! A start from the top after a reset, followed over two partings. Starts from many blocks soon stand
//! alike: what one of them met from there on is remembered for the others.

use crate::checks;
use crate::count::{CountKind, Counting};
use crate::event::{Moment, Spot, What};
use crate::lathe::State;
use crate::report::Report;
use crate::run::{Order, Run, Stand};
use model::{Level, Source};

/// Blocks that a start from the top is followed for, at most.
const FOLLOWED: u64 = 20_000;

/// How far the parts made usually run ahead of the count.
pub(super) struct Usual {
    pub at_parting: i64,
    pub at_end: i64,
}

/// What a start from the top leads to.
#[derive(Debug, Clone, Default)]
pub(super) struct Led {
    /// Parts that the count would miss, or invent.
    pub count_error: i64,
    /// Stop findings that it meets, in their order.
    pub troubles: Vec<&'static str>,
    /// Blocks that were followed for it.
    pub followed: u64,
}

/// Starts from the top, and where they stood.
pub(super) struct Starts<'c, 's> {
    counting: &'c Counting,
    usual: Usual,
    sources: Vec<Source>,
    /// Where earlier starts stood at a change of tool or a parting, with what they met from there on.
    known: Vec<(Stand<'s>, Led)>,
}

impl<'c, 's> Starts<'c, 's> {
    pub(super) const fn new(
        counting: &'c Counting,
        usual: Usual,
        sources: Vec<Source>,
    ) -> Starts<'c, 's> {
        Starts { counting, usual, sources, known: Vec::new() }
    }

    /// Starts from the top where a run stopped, after a reset.
    pub(super) fn from(&mut self, stopped: &Run<'s>) -> Led {
        let mut interpreter = stopped.interpreter.clone();
        let mut lathe = stopped.lathe.clone();
        interpreter.reset();
        interpreter.stands_at(&lathe.state);
        lathe.reset();
        // What a start in a wrong place cuts is found as a collision or a wrong part.
        lathe.loads = None;
        let before = lathe.state;
        let mut run = Run::at(interpreter, lathe, Order::Earliest);
        let enough = before.partings + 2;
        let mut report = Report::new(self.sources.clone());
        let at = run.interpreter.at();
        let spot = Spot { tree: 0, block: at.block, span: model::Span::default() };
        run.lathe.tell(What::Start, spot, &before, &mut |moment: &Moment<'_>| {
            checks::watch_for(moment, &mut report, is_told);
        });
        // Where it stood, each with what it met until it stood there.
        let mut stood: Vec<(Stand<'s>, Vec<&'static str>)> = Vec::new();
        let mut followed = 0;
        let rest = loop {
            let tool = (run.lathe.state.tool.station, run.lathe.state.partings);
            let ended = followed >= FOLLOWED
                || run.lathe.state.partings >= enough
                || run
                    .go_on(&mut |moment| checks::watch_for(moment, &mut report, is_told))
                    .is_break();
            if ended {
                break self.ended(&run, &before, report);
            }
            followed += 1;
            if !run.lathe.setup.reuse
                || tool == (run.lathe.state.tool.station, run.lathe.state.partings)
            {
                continue;
            }
            if !run.reads_on() {
                continue;
            }
            let state = run.lathe.whenever();
            let met = told(std::mem::replace(&mut report, Report::new(self.sources.clone())));
            let known = self.known.iter().find(|(known, _)| known.is(&run, &state, enough));
            if let Some((_, led)) = known {
                let mut led = led.clone();
                joined(&met, &mut led.troubles);
                break led;
            }
            if let Some(stand) = run.stand(enough) {
                stood.push((stand, met));
            }
        };
        self.remember(stood, rest, followed)
    }

    fn ended(&self, run: &Run<'s>, before: &State, report: Report) -> Led {
        let behind = self.counting.behind(run, before);
        let usual = if run.over().is_some() { self.usual.at_end } else { self.usual.at_parting };
        let known = self.counting.kind != CountKind::None;
        let count_error = if known { behind - usual } else { 0 };
        Led { count_error, troubles: told(report), followed: 0 }
    }

    fn remember(
        &mut self,
        stood: Vec<(Stand<'s>, Vec<&'static str>)>,
        rest: Led,
        followed: u64,
    ) -> Led {
        let mut led = rest;
        for (stand, met) in stood.into_iter().rev() {
            self.known.push((stand, led.clone()));
            joined(&met, &mut led.troubles);
        }
        Led { followed, ..led }
    }
}

/// What was met first, before what was met later, each once.
fn joined(first: &[&'static str], later: &mut Vec<&'static str>) {
    later.retain(|id| !first.contains(id));
    later.splice(0..0, first.iter().copied());
}

/// What is told of a start at most.
fn is_told(id: &str, level: Level) -> bool {
    // A caution in a program that someone wrote so is a danger where nobody meant the move.
    let also = ["starts-with-chuck-open", "gripper-leaves-wrong-way", "gripper-too-near-jaws"];
    level == Level::Stop || also.contains(&id)
}

/// The findings that are told of a start, each once.
fn told(report: Report) -> Vec<&'static str> {
    let (findings, _) = report.finish();
    let mut ids: Vec<&'static str> = Vec::new();
    for finding in findings.iter().filter(|it| is_told(it.id, it.level)) {
        if !ids.contains(&finding.id) {
            ids.push(finding.id);
        }
    }
    ids
}
