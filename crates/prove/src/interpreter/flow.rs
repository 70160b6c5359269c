//! Statements and jumps: what the control does while it reads.

use super::variables::Seen;
use super::{At, Call, Here, Interpreter, Reading};
use crate::action::{Action, Ask};
use crate::event::{EndedBy, Spot, What};
use crate::lathe::State;
use model::files::control::RepeatForm;
use nc::expression::{evaluate_as, variables_read};
use nc::tree::{ExpressionId, ItemKind};
use std::cell::{Cell, RefCell};

/// System variables by which a program raises an alarm or stops with a message.
const ALARM: u32 = 3000;
const MESSAGE: u32 = 3006;

impl Interpreter<'_> {
    /// Goes through the statements of a block; words are left to [`Interpreter::words`].
    pub(super) fn statements(&mut self, here: &Here<'_>, state: &State, reading: &mut Reading) {
        for item in here.items() {
            let spot = here.spot(item.span);
            match item.kind {
                ItemKind::If(condition)
                    if self.holds(here, condition, state, reading) != Some(true) =>
                {
                    return;
                }
                ItemKind::While(condition) => match self.holds(here, condition, state, reading) {
                    Some(true) => {}
                    _ => return self.leave_loop(here),
                },
                ItemKind::End(_) => {
                    if let Some(start) = self.library.loop_start(self.at.program, here.block_index)
                    {
                        self.at.block = start;
                        reading.jumped_back = Some(spot);
                    }
                    return;
                }
                ItemKind::Goto(target) => {
                    return self.go_to_term(here, target, spot, state, reading);
                }
                ItemKind::Assign { target, value } => {
                    self.assign(here, target, value, spot, state, reading);
                }
                _ => {}
            }
            if reading.ended.is_some() {
                return;
            }
        }
        if here.has_words() {
            self.words(here, state, reading);
        }
    }

    /// Works out a term; a fault ends the program.
    pub(super) fn value(
        &self,
        here: &Here<'_>,
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
            null_compared: RefCell::default(),
        };
        let result = evaluate_as(here.tree, term, &self.setup.control.terms, &seen);
        for (comparison, variable) in seen.null_compared.take() {
            reading.notes.push((here.spot(comparison), What::NullCompared(variable)));
        }
        if let Some(number) = seen.unknown.get() {
            let span = here.tree.expression(term).span;
            reading.notes.push((here.spot(span), What::UnknownVariable(number)));
        }
        match result {
            Ok(value) => value,
            Err(fault) => {
                let spot = here.spot(fault.span);
                reading.notes.push((spot, What::TermFault(fault.kind)));
                reading.ended = Some((spot, EndedBy::Fault));
                None
            }
        }
    }

    fn holds(
        &mut self,
        here: &Here<'_>,
        condition: ExpressionId,
        state: &State,
        reading: &mut Reading,
    ) -> Option<bool> {
        for number in variables_read(here.tree, condition) {
            if !self.looked_at.contains(&number) {
                self.looked_at.push(number);
            }
        }
        let value = self.value(here, condition, state, reading);
        if reading.ended.is_some() { None } else { Some(value.is_some_and(|value| value != 0.0)) }
    }

    fn assign(
        &mut self,
        here: &Here<'_>,
        target: ExpressionId,
        value: ExpressionId,
        spot: Spot,
        state: &State,
        reading: &mut Reading,
    ) {
        let number = self.value(here, target, state, reading).unwrap_or(0.0);
        let to = self.value(here, value, state, reading);
        if reading.ended.is_some() {
            return;
        }
        let number = if (0.0..1e6).contains(&number) { number as u32 } else { 0 };
        if number == ALARM || number == MESSAGE {
            reading.stops_reading = true;
            let ask = if number == ALARM { Ask::Message } else { Ask::Halt };
            reading.actions.push(Action { spot, ask });
            if number == ALARM {
                reading.ended = Some((spot, EndedBy::Fault));
            }
            return;
        }
        if variables_read(here.tree, value).contains(&number) {
            reading.step = to.map(|to| (spot, number, to));
        } else {
            reading.set = Some((spot, number));
        }
        let made = self.setup.control.counter.as_ref().map(|counter| counter.made);
        if made == Some(number) {
            reading.counter = to;
        } else if !self.variables.set(number, to) {
            reading.notes.push((spot, What::UnknownVariable(number)));
        }
    }

    fn leave_loop(&mut self, here: &Here<'_>) {
        let end = self.library.loop_end(self.at.program, here.block_index);
        let program_end = self.library.program(self.at.program).blocks.end as u32;
        self.at.block = end.map_or(program_end, |end| end + 1);
    }

    fn go_to_term(
        &mut self,
        here: &Here<'_>,
        target: ExpressionId,
        spot: Spot,
        state: &State,
        reading: &mut Reading,
    ) {
        let number = self.value(here, target, state, reading);
        if reading.ended.is_none() {
            let number = number.unwrap_or(0.0);
            let number = if (0.0..1e9).contains(&number) { number as u32 } else { 0 };
            self.go_to(number, spot, reading);
        }
    }

    /// Goes to a block number of the present program.
    pub(super) fn go_to(&mut self, number: u32, spot: Spot, reading: &mut Reading) {
        let search = self.setup.control.terms.jump_search;
        match self.library.search_from(self.at.program, self.at.block, number, search) {
            Some(block) => {
                if block < self.at.block {
                    reading.jumped_back = Some(spot);
                }
                self.at.block = block;
            }
            None => {
                reading.notes.push((spot, What::NoTarget(number)));
                reading.ended = Some((spot, EndedBy::Fault));
            }
        }
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
        self.most_repeats = self.most_repeats.max(repeats);
        let Some(program) = self.library.find(number) else {
            reading.notes.push((spot, What::NoProgram(number)));
            reading.ended = Some((spot, EndedBy::Fault));
            return false;
        };
        if self.calls.len() >= self.setup.control.variables.call_depth {
            reading.notes.push((spot, What::TooDeep));
            reading.ended = Some((spot, EndedBy::Fault));
            return false;
        }
        if repeats == 0 {
            return false;
        }
        if own_locals {
            self.variables.enter();
        }
        let back = self.at;
        self.calls.push(Call { back, program, repeats_left: repeats - 1, own_locals });
        self.at = At { program, block: self.library.program(program).blocks.start as u32 };
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
            self.at.block = self.library.program(call.program).blocks.start as u32;
            reading.jumped_back = Some(spot);
            return;
        }
        self.at = call.back;
        if call.own_locals {
            self.variables.leave();
        }
        self.calls.pop();
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
