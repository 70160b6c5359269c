//! Terms as postfix code, for whoever works them out very often.

use super::arithmetic::{apply, arc_tangent, finite, join, variable_number};
use super::{Fault, FaultKind, Variables, plain_variable};
use crate::tree::{ExpressionId, ExpressionKind, Function, ItemKind, Operator, Tree, Value};
use model::Span;
use model::files::control::Terms;

/// Values that most terms keep waiting at once, at most: the fewer places are set aside, the less
/// there is to clear before every run.
const FEW: usize = 4;
/// Values that nearly all others keep waiting.
const SEVERAL: usize = 16;
/// More than a term can keep waiting that was read: 61 levels of brackets, each with a comparison,
/// a sum, a product, a power and the first part of a pair left open.
const MANY: usize = 320;

/// All terms of one file as code for one control. Constant parts are worked out already.
///
/// ```
/// # use nc::expression::{Compiled, Variables};
/// # use nc::tree::ItemKind;
/// struct Twelve;
/// impl Variables for Twelve {
///     fn get(&self, _: u32) -> Option<f64> {
///         Some(12.0)
///     }
/// }
/// let tree = nc::read::read(&model::Source::new("pin.nc", "#500=#500+2*3\n"));
/// let compiled = Compiled::of(&tree, &model::files::control::Terms::COMMON);
/// let ItemKind::Assign { value, .. } = tree.items[0].kind else { unreachable!() };
/// assert_eq!(compiled.run(value, &Twelve), Ok(Some(18.0)));
/// ```
#[derive(Debug, Clone)]
pub struct Compiled {
    terms: Terms,
    steps: Vec<Step>,
    /// What each step comes from.
    origins: Vec<Origin>,
    /// Where the code of each term of the tree stands.
    places: Vec<Place>,
}

/// What a step comes from; looked at only where something is to be told.
#[derive(Debug, Clone, Copy)]
struct Origin {
    span: Span,
    /// The plain variables on both sides of an operator; 0 for anything else.
    sides: [u32; 2],
}

/// The code of one term.
#[derive(Debug, Clone, Copy, Default)]
struct Place {
    first: u32,
    end: u32,
    /// Most values that wait at once.
    waiting: u32,
}

/// One step; it works on the newest value, and older ones wait.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Step {
    Null,
    Number(f64),
    Variable(u32),
    /// The variable whose number the newest value is.
    Indirect,
    Negate,
    Function(Function),
    Atan2,
    Join(Operator),
    /// Joins the newest value with a constant.
    JoinNumber(Operator, f64),
    /// Joins the newest value with a variable.
    JoinVariable(Operator, u32),
    Fault(FaultKind),
}

impl Compiled {
    /// Compiles the terms of all items of a file.
    pub fn of(tree: &Tree, terms: &Terms) -> Compiled {
        let places = vec![Place::default(); tree.expressions.len()];
        let mut compiled =
            Compiled { terms: *terms, steps: Vec::new(), origins: Vec::new(), places };
        for item in &tree.items {
            match item.kind {
                ItemKind::Assign { target, value } => {
                    compiled.compile(tree, target);
                    compiled.compile(tree, value);
                }
                ItemKind::If(term) | ItemKind::While(term) | ItemKind::Goto(term) => {
                    compiled.compile(tree, term);
                }
                ItemKind::Word(word) => {
                    if let Value::Expression(term) = word.value {
                        compiled.compile(tree, term);
                    }
                }
                _ => {}
            }
        }
        compiled
    }

    /// Compiles one more term of the same tree, such as a part of one.
    pub fn compile(&mut self, tree: &Tree, id: ExpressionId) {
        let first = self.steps.len();
        self.emit(tree, id);
        let waiting = most_waiting(&self.steps[first..]);
        if waiting > MANY {
            self.fold(first, Step::Fault(FaultKind::Unreadable), tree.expression(id).span);
        }
        let place =
            Place { first: first as u32, end: self.steps.len() as u32, waiting: waiting as u32 };
        if let Some(old) = self.places.get_mut(id.0 as usize) {
            *old = place;
        }
    }

    /// Works out a term, exactly as [`super::evaluate_as`] does.
    ///
    /// # Errors
    /// The first part of the term that has no value. A term that was not compiled counts as one
    /// that could not be read.
    pub fn run(&self, id: ExpressionId, variables: &impl Variables) -> Result<Option<f64>, Fault> {
        let place = self.place(id);
        match self.code(place) {
            [Step::Number(value)] => Ok(Some(*value)),
            [Step::Variable(number)] => Ok(variables.get(*number)),
            [] => Err(Fault { span: Span::default(), kind: FaultKind::Unreadable }),
            _ if place.waiting as usize <= FEW => self.run_within::<FEW>(place, variables),
            _ if place.waiting as usize <= SEVERAL => self.run_within::<SEVERAL>(place, variables),
            _ => self.run_within::<MANY>(place, variables),
        }
    }

    /// The value of a term that is the same whatever the variables hold; none where it may differ,
    /// is null, or has no value.
    pub fn constant(&self, id: ExpressionId) -> Option<f64> {
        match self.code(self.place(id)) {
            [Step::Number(value)] => Some(*value),
            _ => None,
        }
    }

    fn place(&self, id: ExpressionId) -> Place {
        self.places.get(id.0 as usize).copied().unwrap_or_default()
    }

    fn code(&self, place: Place) -> &[Step] {
        self.steps.get(place.first as usize..place.end as usize).unwrap_or(&[])
    }

    /// Runs with places for `N` values, which are at least as many as wait at once.
    fn run_within<const N: usize>(
        &self,
        place: Place,
        variables: &impl Variables,
    ) -> Result<Option<f64>, Fault> {
        let mut waiting = [None; N];
        let mut count = 0;
        let mut newest: Option<f64> = None;
        for (index, step) in self.code(place).iter().enumerate() {
            let origin = || self.origins[place.first as usize + index];
            let fault = |kind| Fault { span: origin().span, kind };
            let next = match *step {
                Step::Null | Step::Number(_) | Step::Variable(_) => {
                    waiting[count] = newest;
                    count += 1;
                    newest = match *step {
                        Step::Number(value) => Some(value),
                        Step::Variable(number) => variables.get(number),
                        _ => None,
                    };
                    continue;
                }
                Step::Indirect => {
                    variables.bent(newest);
                    let number = variable_number(newest.unwrap_or(0.0)).map_err(fault)?;
                    newest = if number == 0 { None } else { variables.get(number) };
                    continue;
                }
                Step::Fault(kind) => return Err(fault(kind)),
                Step::Negate => Ok(-newest.unwrap_or(0.0)),
                Step::Function(function) => {
                    variables.bent(newest);
                    apply(function, newest.unwrap_or(0.0), &self.terms)
                }
                Step::Atan2 => {
                    count -= 1;
                    let rise = waiting[count].unwrap_or(0.0);
                    variables.bent(waiting[count]);
                    variables.bent(newest);
                    Ok(arc_tangent(rise, newest.unwrap_or(0.0), &self.terms))
                }
                Step::Join(operator) => {
                    count -= 1;
                    self.joined(operator, waiting[count], newest, variables, origin)
                }
                Step::JoinNumber(operator, value) => {
                    self.joined(operator, newest, Some(value), variables, origin)
                }
                Step::JoinVariable(operator, number) => {
                    self.joined(operator, newest, variables.get(number), variables, origin)
                }
            };
            newest = Some(next.and_then(finite).map_err(fault)?);
        }
        Ok(newest)
    }

    #[inline]
    fn joined(
        &self,
        operator: Operator,
        one: Option<f64>,
        other: Option<f64>,
        variables: &impl Variables,
        origin: impl Fn() -> Origin,
    ) -> Result<f64, FaultKind> {
        match operator {
            Operator::Add | Operator::Subtract => {}
            _ if operator.compares() => variables.compared(one, other),
            _ => {
                variables.bent(one);
                variables.bent(other);
            }
        }
        if (one.is_none() || other.is_none()) && operator.orders() {
            let Origin { span, sides } = origin();
            for (variable, value) in sides.into_iter().zip([one, other]) {
                if value.is_none() {
                    variables.null_compared(span, variable);
                }
            }
        }
        join(operator, one, other, &self.terms)
    }

    /// Adds the code of a term. The reader's two limits keep this as short as any walk over it.
    fn emit(&mut self, tree: &Tree, id: ExpressionId) {
        let term = tree.expression(id);
        let start = self.steps.len();
        match term.kind {
            ExpressionKind::Number(value) => {
                let step = finite(value).map_or_else(Step::Fault, Step::Number);
                self.push(step, term.span);
            }
            ExpressionKind::Variable(inner) => {
                self.emit(tree, inner);
                match self.steps[start..] {
                    [Step::Number(value)] if let Ok(number) = variable_number(value) => {
                        let plain = if number == 0 { Step::Null } else { Step::Variable(number) };
                        self.fold(start, plain, term.span);
                    }
                    _ => self.push(Step::Indirect, term.span),
                }
            }
            ExpressionKind::Negate(inner) => {
                self.emit(tree, inner);
                self.one(start, Step::Negate, term.span, |x| Ok(-x));
            }
            ExpressionKind::Function(function, inner) => {
                self.emit(tree, inner);
                let terms = self.terms;
                let value = |x| apply(function, x, &terms);
                self.one(start, Step::Function(function), term.span, value);
            }
            ExpressionKind::Atan2(one, other) => {
                self.emit(tree, one);
                self.emit(tree, other);
                match self.steps[start..] {
                    [Step::Number(rise), Step::Number(run)] => {
                        let angle = arc_tangent(rise, run, &self.terms);
                        self.fold(start, Step::Number(angle), term.span);
                    }
                    _ => self.push(Step::Atan2, term.span),
                }
            }
            ExpressionKind::Binary(operator, one, other) => {
                self.emit(tree, one);
                let middle = self.steps.len();
                self.emit(tree, other);
                self.two(start, middle, operator, term.span);
                if let Some(origin) = self.origins.last_mut() {
                    origin.sides = [plain_variable(tree, one), plain_variable(tree, other)];
                }
            }
            ExpressionKind::Unreadable => {
                self.push(Step::Fault(FaultKind::Unreadable), term.span);
            }
        }
    }

    /// A step on one value, done at once where that is a constant.
    fn one(
        &mut self,
        start: usize,
        step: Step,
        span: Span,
        value: impl Fn(f64) -> Result<f64, FaultKind>,
    ) {
        match self.steps[start..] {
            [Step::Number(x)] if let Ok(value) = value(x).and_then(finite) => {
                self.fold(start, Step::Number(value), span);
            }
            _ => self.push(step, span),
        }
    }

    /// A step on two values, done at once where both are constants; one that has no value waits
    /// until it is run.
    fn two(&mut self, start: usize, middle: usize, operator: Operator, span: Span) {
        match (&self.steps[start..middle], &self.steps[middle..]) {
            ([Step::Number(x)], [Step::Number(y)])
                if let Ok(value) =
                    join(operator, Some(*x), Some(*y), &self.terms).and_then(finite) =>
            {
                self.fold(start, Step::Number(value), span);
            }
            (_, [Step::Number(y)]) => self.fold(middle, Step::JoinNumber(operator, *y), span),
            (_, [Step::Variable(y)]) => self.fold(middle, Step::JoinVariable(operator, *y), span),
            _ => self.push(Step::Join(operator), span),
        }
    }

    fn push(&mut self, step: Step, span: Span) {
        self.steps.push(step);
        self.origins.push(Origin { span, sides: [0; 2] });
    }

    /// One step in place of all from `start`.
    fn fold(&mut self, start: usize, step: Step, span: Span) {
        self.steps.truncate(start);
        self.origins.truncate(start);
        self.push(step, span);
    }
}

/// The most values that are there at once, the newest among them.
fn most_waiting(steps: &[Step]) -> usize {
    let (mut now, mut most) = (0_usize, 0);
    for step in steps {
        match step {
            Step::Null | Step::Number(_) | Step::Variable(_) | Step::Fault(_) => now += 1,
            Step::Join(_) | Step::Atan2 => now = now.saturating_sub(1),
            _ => {}
        }
        most = most.max(now);
    }
    most
}
