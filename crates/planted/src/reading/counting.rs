//! The counting of a text.

use super::Reading;
use model::Span;
use nc::blocks::StepKind;
use nc::tree::{ExpressionId, ExpressionKind, ItemKind, Operator, Tree};

/// `IF[#500GE23]GOTO800`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Compare {
    /// Index of its line.
    pub line: usize,
    /// The variable.
    pub variable: u32,
    /// How they are compared.
    pub operator: Operator,
    /// What stands between variable and number.
    pub between: Span,
    /// The number.
    pub number: f64,
    /// Where it stands.
    pub number_at: Span,
    /// Where the number of the block stands that is jumped to, and the number.
    pub target: (Span, u32),
}

/// `#500=#500+1`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CountStep {
    /// Index of its line.
    pub line: usize,
    /// The variable.
    pub variable: u32,
    /// By how much.
    pub by: f64,
    /// Where that stands.
    pub by_at: Span,
}

impl Reading<'_> {
    /// Jumps that hang on a variable against a number.
    pub fn compares(&self) -> Vec<Compare> {
        (0..self.lines.len()).filter_map(|line| self.compare(line)).collect()
    }

    fn compare(&self, index: usize) -> Option<Compare> {
        let line = &self.lines[index];
        let tree = &self.trees[line.file];
        let condition = line.steps.iter().find_map(|step| match step.kind {
            StepKind::If(condition) => Some(condition),
            _ => None,
        })?;
        let target = line.steps.iter().find_map(|step| match step.kind {
            StepKind::Goto(target) => Some(target),
            _ => None,
        })?;
        let ExpressionKind::Binary(operator, left, right) = tree.expression(condition).kind else {
            return None;
        };
        if !operator.compares() {
            return None;
        }
        let ExpressionKind::Number(number) = tree.expression(right).kind else { return None };
        let ExpressionKind::Number(to) = tree.expression(target).kind else { return None };
        Some(Compare {
            line: index,
            variable: variable(tree, left)?,
            operator,
            between: Span {
                start: tree.expression(left).span.end,
                end: tree.expression(right).span.start,
            },
            number,
            number_at: tree.expression(right).span,
            target: (tree.expression(target).span, to as u32),
        })
    }

    /// Steps of variables that something is compared with.
    pub fn count_steps(&self) -> Vec<CountStep> {
        let compared: Vec<u32> = self.compares().iter().map(|one| one.variable).collect();
        (0..self.lines.len())
            .filter_map(|line| self.count_step(line))
            .filter(|step| compared.contains(&step.variable))
            .collect()
    }

    fn count_step(&self, index: usize) -> Option<CountStep> {
        let line = &self.lines[index];
        let tree = &self.trees[line.file];
        let [step] = line.steps.as_slice() else { return None };
        let StepKind::Assign { fixed: Some(set), value, .. } = step.kind else { return None };
        let ExpressionKind::Binary(Operator::Add, left, right) = tree.expression(value).kind else {
            return None;
        };
        let ExpressionKind::Number(by) = tree.expression(right).kind else { return None };
        let same = variable(tree, left) == Some(set) && line.words.is_empty();
        same.then_some(CountStep {
            line: index,
            variable: set,
            by,
            by_at: tree.expression(right).span,
        })
    }

    /// Parts that a bar gives, by the arithmetic of its length.
    pub fn parts_of_bar(&self) -> Option<i64> {
        let setup = &self.good.setup;
        let (part, bar, lathe) = (setup.part.as_ref()?, setup.bar.as_ref()?, setup.lathe.as_ref()?);
        let first = part.face_stock + part.first_face - part.jaw_face();
        let rest = bar.length - bar.length_tolerance - first - lathe.chuck.least_grip;
        Some((rest / part.advance() + 1) * i64::from(part.parts_per_advance))
    }

    /// The variable that ends the bar: the first that is compared behind a step of it, with no more
    /// than the bar gives and a jump to where the program ends.
    pub fn bar_count(&self) -> Option<Compare> {
        let jumps_out = |compare: &Compare| {
            let end = self.lines.iter().position(|line| {
                line.number.is_some_and(|(number, _)| number == compare.target.1)
                    && line.program == self.lines[compare.line].program
            });
            end.is_some_and(|end| {
                end > compare.line
                    && (end..self.lines.len())
                        .take_while(|index| {
                            self.lines[*index].program == self.lines[compare.line].program
                        })
                        .take(4)
                        .any(|index| self.lines[index].ends().is_some())
            })
        };
        let stepped: Vec<_> = self.count_steps();
        self.compares().into_iter().find(|compare| {
            compare.operator == Operator::GreaterOrEqual
                && self.parts_of_bar().is_some_and(|parts| compare.number <= parts as f64)
                && jumps_out(compare)
                && stepped
                    .iter()
                    .any(|step| step.variable == compare.variable && step.line < compare.line)
        })
    }

    /// The lines with a jump back that is always taken, or the return that starts the program anew.
    pub fn jumps_back(&self) -> Vec<usize> {
        self.find(|line| {
            matches!(line.steps.as_slice(), [step] if matches!(step.kind, StepKind::Goto(_)))
                && line.items.iter().all(|item| !matches!(item.kind, ItemKind::If(_)))
        })
    }
}

impl Reading<'_> {
    /// Whether a jump's block is worked out by a term.
    pub fn jumps_by_term(&self) -> bool {
        self.lines.iter().any(|line| {
            let number = |term| self.trees[line.file].expression(term).kind;
            line.steps.iter().any(|step| {
                matches!(step.kind, StepKind::Goto(term)
                    if !matches!(number(term), ExpressionKind::Number(_)))
            })
        })
    }

    /// The number of the block to which the program jumps back behind a line.
    pub fn loop_head(&self, line: usize) -> Option<u32> {
        let back = self
            .jumps_back()
            .into_iter()
            .find(|back| *back > line && self.lines[*back].program == self.lines[line].program)?;
        let of = &self.lines[back];
        let target = of.steps.iter().find_map(|step| match step.kind {
            StepKind::Goto(target) => Some(target),
            _ => None,
        })?;
        match self.trees[of.file].expression(target).kind {
            ExpressionKind::Number(number) => Some(number as u32),
            _ => None,
        }
    }
}

fn variable(tree: &Tree, term: ExpressionId) -> Option<u32> {
    let ExpressionKind::Variable(inner) = tree.expression(term).kind else { return None };
    match tree.expression(inner).kind {
        ExpressionKind::Number(number) if number >= 0.0 => Some(number as u32),
        _ => None,
    }
}
