//! Statements and jumps: what the control does while it reads.

use super::variables::Seen;
use super::{At, Call, Here, Interpreter, Reading};
use crate::action::Ask;
use crate::event::{EndedBy, Spot, What};
use crate::lathe::State;
use model::files::control::RepeatForm;
use nc::blocks::{Blocks, Ready, StepKind};
use nc::tree::ExpressionId;
use std::cell::{Cell, RefCell};

/// System variables by which a program raises an alarm or stops with a message.
const ALARM: u32 = 3000;
const MESSAGE: u32 = 3006;

impl Interpreter<'_> {
    /// Goes through the statements of a block; gives whether its words are to be done.
    pub(super) fn statements(
        &mut self,
        blocks: &Blocks,
        block: &Ready,
        here: Here,
        state: &State,
        reading: &mut Reading,
    ) -> bool {
        for step in blocks.steps(block) {
            let spot = here.spot(step.span);
            match step.kind {
                StepKind::If(condition) | StepKind::While(condition) => {
                    self.look_at(blocks.reads(step));
                    let value = self.value(here, condition, state, reading);
                    reading.goes_by(value);
                    if reading.ended.is_none() && value.is_some_and(|value| value != 0.0) {
                        continue;
                    }
                    if matches!(step.kind, StepKind::While(_)) {
                        self.leave_loop(here);
                    }
                    return false;
                }
                StepKind::End => {
                    if let Some(start) = self.library.loop_start(self.at.program, here.block) {
                        self.at.block = start;
                        reading.jumped_back = Some(spot);
                    }
                    return false;
                }
                StepKind::Goto(target) => {
                    self.go_to_term(here, target, spot, state, reading);
                    return false;
                }
                StepKind::Assign { fixed, target, value } => {
                    let number = match fixed {
                        Some(number) => Some(f64::from(number)),
                        None => {
                            let number = self.value(here, target, state, reading);
                            reading.goes_by(number);
                            number
                        }
                    };
                    let to = self.value(here, value, state, reading);
                    if reading.ended.is_some() {
                        return false;
                    }
                    let itself = |number: u32| blocks.reads(step).contains(&number);
                    self.assign(number.unwrap_or(0.0), to, itself, spot, reading);
                }
            }
            if reading.ended.is_some() {
                return false;
            }
        }
        true
    }

    fn look_at(&mut self, variables: &[u32]) {
        for number in variables {
            if !self.looked_at.contains(number) {
                self.looked_at.push(*number);
            }
        }
    }

    /// Works out a term; a fault ends the program.
    pub(super) fn value(
        &self,
        here: Here,
        term: ExpressionId,
        state: &State,
        reading: &mut Reading,
    ) -> Option<f64> {
        let seen = Seen {
            variables: &self.variables,
            control: &self.setup.control,
            state,
            wanted: self.setup.part.as_ref().map(|part| part.quantity),
            unknown: Cell::new(None),
            trail: RefCell::new(reading.trail.take()),
            null_compared: RefCell::default(),
        };
        let result = self.ready[here.tree as usize].terms.run(term, &seen);
        reading.trail = seen.trail.take();
        for (comparison, variable) in seen.null_compared.take() {
            reading.note(here.spot(comparison), What::NullCompared(variable));
        }
        if let Some(number) = seen.unknown.get() {
            let span = self.library.trees()[here.tree as usize].expression(term).span;
            reading.note(here.spot(span), What::UnknownVariable(number));
        }
        match result {
            Ok(value) => value,
            Err(fault) => {
                reading.fault(here.spot(fault.span), What::TermFault(fault.kind));
                None
            }
        }
    }

    /// Gives a variable a value; `itself` tells whether the value is made from a variable.
    fn assign(
        &mut self,
        number: f64,
        to: Option<f64>,
        itself: impl Fn(u32) -> bool,
        spot: Spot,
        reading: &mut Reading,
    ) {
        let number = if (0.0..1e6).contains(&number) { number as u32 } else { 0 };
        if number == ALARM || number == MESSAGE {
            reading.stops_reading = true;
            self.ask(spot, if number == ALARM { Ask::Message } else { Ask::Halt }, reading);
            if number == ALARM {
                reading.ended = Some((spot, EndedBy::Fault));
            }
            return;
        }
        if itself(number) {
            reading.step = to.map(|to| (spot, number, to));
        } else {
            reading.set = Some((spot, number));
        }
        let made = self.setup.control.counter.as_ref().map(|counter| counter.made);
        if made == Some(number) {
            reading.counter = to;
        } else if !self.variables.set(number, to) {
            reading.note(spot, What::UnknownVariable(number));
        }
    }

    fn leave_loop(&mut self, here: Here) {
        let end = self.library.loop_end(self.at.program, here.block);
        let program_end = self.library.program(self.at.program).blocks.end as u32;
        self.at.block = end.map_or(program_end, |end| end + 1);
    }

    fn go_to_term(
        &mut self,
        here: Here,
        target: ExpressionId,
        spot: Spot,
        state: &State,
        reading: &mut Reading,
    ) {
        let number = self.value(here, target, state, reading);
        reading.goes_by(number);
        if reading.ended.is_none() {
            let number = number.unwrap_or(0.0);
            let number = if (0.0..1e9).contains(&number) { number as u32 } else { 0 };
            self.go_to(number, spot, reading);
        }
    }

    /// Goes to a block number of the present program.
    pub(super) fn go_to(&mut self, number: u32, spot: Spot, reading: &mut Reading) {
        match self.search(number) {
            Some(block) => {
                if block < self.at.block {
                    reading.jumped_back = Some(spot);
                }
                self.at.block = block;
            }
            None => {
                reading.fault(spot, What::NoTarget(number));
            }
        }
    }

    /// The block with a number, as the control looks for it from the next block.
    fn search(&self, number: u32) -> Option<u32> {
        let search = self.setup.control.terms.jump_search;
        self.library.search_from(self.at.program, self.at.block, number, search)
    }

    /// M98: calls a program, perhaps several times.
    pub(super) fn call(&mut self, p: u32, l: Option<u32>, spot: Spot, reading: &mut Reading) {
        let control = &self.setup.control;
        let packed = control.repeat == RepeatForm::Packed && l.is_none() && p > 9999;
        let (number, repeats) = if packed { (p % 10_000, p / 10_000) } else { (p, l.unwrap_or(1)) };
        let own_locals = control.variables.call_makes_locals;
        self.enter(number, repeats, own_locals, spot, reading);
    }

    /// Enters a program so many times; gives whether it could.
    pub(super) fn enter(
        &mut self,
        number: u32,
        repeats: u32,
        own_locals: bool,
        spot: Spot,
        reading: &mut Reading,
    ) -> bool {
        let Some(program) = self.library.find(number) else {
            reading.fault(spot, What::NoProgram(number));
            return false;
        };
        let start = At { program, block: self.library.program(program).blocks.start as u32 };
        self.enter_at(start, repeats, own_locals, spot, reading)
    }

    /// Calls a stretch of the same program from a block number to its M99.
    pub(super) fn call_here(
        &mut self,
        number: u32,
        l: Option<u32>,
        spot: Spot,
        reading: &mut Reading,
    ) {
        match self.search(number) {
            Some(block) => {
                let start = At { program: self.at.program, block };
                let own_locals = self.setup.control.variables.call_makes_locals;
                self.enter_at(start, l.unwrap_or(1), own_locals, spot, reading);
            }
            None => reading.fault(spot, What::NoTarget(number)),
        }
    }

    fn enter_at(
        &mut self,
        start: At,
        repeats: u32,
        own_locals: bool,
        spot: Spot,
        reading: &mut Reading,
    ) -> bool {
        self.most_repeats = self.most_repeats.max(repeats);
        if self.calls.len() >= self.setup.control.variables.call_depth {
            reading.fault(spot, What::TooDeep);
            return false;
        }
        if repeats == 0 {
            return false;
        }
        if own_locals {
            self.variables.enter();
        }
        self.calls.push(Call { back: self.at, start, repeats_left: repeats - 1, own_locals });
        self.at = start;
        true
    }

    /// M99: back to the caller, or in the main program to its start.
    pub(super) fn give_back(&mut self, target: Option<u32>, spot: Spot, reading: &mut Reading) {
        let Some(call) = self.calls.last_mut() else {
            match target {
                Some(number) => self.go_to(number, spot, reading),
                None => self.at.block = self.library.program(self.at.program).blocks.start as u32,
            }
            reading.jumped_back = Some(spot);
            return;
        };
        if call.repeats_left > 0 && target.is_none() {
            call.repeats_left -= 1;
            self.at = call.start;
            reading.jumped_back = Some(spot);
            return;
        }
        self.at = call.back;
        if call.own_locals {
            self.variables.leave();
        }
        self.calls.pop();
        // A macro that was asked for inside what is over is called no more.
        let depth = self.calls.len();
        self.after_moves.retain(|after| after.depth() <= depth);
        if let Some(number) = target {
            self.go_to(number, spot, reading);
        }
    }

    /// The text is over without an end: a subprogram goes back, a main program is at its end.
    pub(super) fn end_of_program(&mut self, spot: Spot, reading: &mut Reading) {
        if self.calls.is_empty() {
            reading.ended = Some((spot, EndedBy::Count));
        } else {
            self.give_back(None, spot, reading);
        }
    }
}
