//! The control's variables and what a reset leaves of them.

use crate::lathe::State;
use crate::recurrence::Trail;
use model::Span;
use model::files::Control;
use std::cell::{Cell, RefCell};

const LOCALS: usize = 34;
const FIRST_COMMON: u32 = 100;
const LAST_COMMON: u32 = 999;

/// Local and common variables; none is null.
#[derive(Debug, Clone, PartialEq)]
pub struct Variables {
    locals: Vec<[Option<f64>; LOCALS]>,
    common: Vec<Option<f64>>,
}

impl Default for Variables {
    fn default() -> Variables {
        let commons = (LAST_COMMON - FIRST_COMMON + 1) as usize;
        Variables { locals: vec![[None; LOCALS]], common: vec![None; commons] }
    }
}

impl Variables {
    /// The value of a variable that is no system variable.
    pub fn get(&self, number: u32) -> Option<f64> {
        match number {
            0 => None,
            1..=33 => self.locals.last().and_then(|locals| locals[number as usize]),
            FIRST_COMMON..=LAST_COMMON => self.common[(number - FIRST_COMMON) as usize],
            _ => None,
        }
    }

    /// Gives a variable a value; `false` where there is no such variable.
    pub fn set(&mut self, number: u32, value: Option<f64>) -> bool {
        match number {
            1..=33 => {
                if let Some(locals) = self.locals.last_mut() {
                    locals[number as usize] = value;
                }
                true
            }
            FIRST_COMMON..=LAST_COMMON => {
                self.common[(number - FIRST_COMMON) as usize] = value;
                true
            }
            _ => false,
        }
    }

    /// All of them, each in a place that is the same as long as no program is called.
    pub(super) fn all(&self) -> impl Iterator<Item = &Option<f64>> {
        self.locals.iter().flatten().chain(&self.common)
    }

    /// All of them, to be changed.
    pub(super) fn all_mut(&mut self) -> impl Iterator<Item = &mut Option<f64>> {
        self.locals.iter_mut().flatten().chain(&mut self.common)
    }

    /// New local variables for a call.
    pub fn enter(&mut self) {
        self.locals.push([None; LOCALS]);
    }

    /// The caller's local variables again.
    pub fn leave(&mut self) {
        if self.locals.len() > 1 {
            self.locals.pop();
        }
    }

    /// What a reset clears: the locals, and the volatile ones where the control does so.
    pub fn reset(&mut self, control: &Control) {
        self.locals = vec![[None; LOCALS]];
        if control.variables.reset_clears_volatile {
            let (first, last) = control.variables.volatile;
            for number in first..=last.min(LAST_COMMON) {
                self.set(number, None);
            }
        }
    }
}

/// The variables as a term sees them, with the control's system variables.
pub(super) struct Seen<'v> {
    pub(super) variables: &'v Variables,
    pub(super) control: &'v Control,
    pub(super) state: &'v State,
    pub(super) wanted: Option<u32>,
    /// A system variable that was looked at without anyone knowing what it holds.
    pub(super) unknown: Cell<Option<u32>>,
    /// What the run goes by, where that is kept.
    pub(super) trail: RefCell<Option<Trail>>,
    /// Comparisons that had null on a side, with the variable.
    pub(super) null_compared: RefCell<Vec<(Span, u32)>>,
}

impl nc::expression::Variables for Seen<'_> {
    fn get(&self, number: u32) -> Option<f64> {
        if number < 1000 {
            return self.variables.get(number);
        }
        let counter = self.control.counter.as_ref();
        if counter.is_some_and(|counter| counter.made == number) {
            return Some(self.state.counter);
        }
        if counter.is_some_and(|counter| counter.wanted == Some(number))
            && let Some(wanted) = self.wanted
        {
            return Some(f64::from(wanted));
        }
        self.unknown.set(Some(number));
        None
    }

    fn null_compared(&self, comparison: Span, variable: u32) {
        self.null_compared.borrow_mut().push((comparison, variable));
    }

    fn compared(&self, one: Option<f64>, other: Option<f64>) {
        if let Some(trail) = self.trail.borrow_mut().as_mut() {
            trail.compared(one, other);
        }
    }

    fn bent(&self, value: Option<f64>) {
        if let Some(trail) = self.trail.borrow_mut().as_mut() {
            trail.bent(value);
        }
    }
}
