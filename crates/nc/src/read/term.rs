//! Terms: brackets, variables, functions and what joins them.
//!
//! Two limits keep every walk over a term short: how deep brackets nest, and how many parts one
//! term joins.

use super::Reader;
use crate::language::{FUNCTIONS, NAMES, OperatorRow, PAIRS, Pair, SIGNS};
use crate::tree::{Expression, ExpressionId, ExpressionKind, Function, Operator, TroubleKind};
use model::files::control::AndPlace;

/// Deepest nesting of brackets that is read.
const DEEPEST: u32 = 60;

/// Most parts that are joined in one term.
const MOST_JOINS: u32 = 500;

/// How tightly sums bind.
const AS_SUMS: u8 = 3;

impl Reader<'_> {
    /// A whole term up to where it can go no further.
    pub(super) fn term(&mut self) -> ExpressionId {
        self.joins = 0;
        self.joined(0, 0)
    }

    /// A sign and what it stands before, as in `X-[#1+2.]`.
    pub(super) fn signed_primary(&mut self) -> ExpressionId {
        self.joins = 0;
        self.primary_or_negated(0)
    }

    pub(super) fn function_follows(&mut self) -> bool {
        let mark = self.at.mark();
        let named = self.function_name().is_some() || self.pair_name().is_some();
        let found = named && self.at.peek() == Some(b'[');
        self.at.back_to(mark);
        found
    }

    /// Parts joined by operators that bind at least so tightly.
    fn joined(&mut self, least: u8, depth: u32) -> ExpressionId {
        let mut left = self.primary_or_negated(depth);
        while let Some((operator, binding)) = self.operator(least) {
            self.joins += 1;
            if self.joins > MOST_JOINS {
                return self.too_deep();
            }
            let right = self.joined(binding + 1, depth);
            left = self.pair(operator, left, right);
        }
        left
    }

    fn pair(&mut self, operator: Operator, one: ExpressionId, other: ExpressionId) -> ExpressionId {
        let span = self.tree.expression(one).span.to(self.tree.expression(other).span);
        self.add(Expression { span, kind: ExpressionKind::Binary(operator, one, other) })
    }

    /// Takes an operator that binds at least so tightly.
    fn operator(&mut self, least: u8) -> Option<(Operator, u8)> {
        let first = self.at.peek()?;
        let table: &[OperatorRow] = if first.is_ascii_alphabetic() { &NAMES } else { &SIGNS };
        table.iter().find_map(|row| {
            let binding = match (row.operator, self.and_place) {
                (Operator::And, AndPlace::WithSums) => AS_SUMS,
                _ => row.binding,
            };
            let name = row.name.as_bytes();
            let takes = name[0] == first && binding >= least && self.at.take_name(name);
            takes.then_some((row.operator, binding))
        })
    }

    fn primary_or_negated(&mut self, depth: u32) -> ExpressionId {
        let mut negated = false;
        let mut sign_at = None;
        while let Some(sign @ (b'-' | b'+')) = self.at.peek() {
            sign_at.get_or_insert(self.at.start());
            self.at.bump();
            negated ^= sign == b'-';
        }
        let value = self.primary(depth);
        match sign_at {
            Some(start) if negated => self.done(start, ExpressionKind::Negate(value)),
            _ => value,
        }
    }

    /// A number, a variable, a bracket or a function.
    pub(super) fn primary(&mut self, depth: u32) -> ExpressionId {
        let first = self.at.peek();
        let start = self.at.start();
        if depth > DEEPEST {
            return self.too_deep();
        }
        match first {
            Some(b'0'..=b'9' | b'.') => match self.number(false) {
                Some(number) => self.done(start, ExpressionKind::Number(number.value())),
                None => self.bad(start, TroubleKind::BadNumber),
            },
            Some(b'#') => {
                self.at.bump();
                let number = self.primary(depth + 1);
                self.done(start, ExpressionKind::Variable(number))
            }
            Some(b'[') => self.bracket(start, depth),
            Some(b'A'..=b'Z') => self.named(start, depth),
            _ => self.bad(start, TroubleKind::BadExpression),
        }
    }

    /// A term in brackets; where it cannot be read, reading goes on behind the closing one.
    fn bracket(&mut self, start: usize, depth: u32) -> ExpressionId {
        self.at.bump();
        let inner = self.joined(0, depth + 1);
        if !self.at.take(b']') {
            return self.not_closed(start);
        }
        // The brackets belong to the term they hold, for messages about it.
        let kind = self.tree.expression(inner).kind;
        self.done(start, kind)
    }

    fn not_closed(&mut self, start: usize) -> ExpressionId {
        let told = self.term_is_bad;
        self.at.pass_to_closing();
        if told {
            self.done(start, ExpressionKind::Unreadable)
        } else {
            self.bad(start, TroubleKind::BadExpression)
        }
    }

    fn named(&mut self, start: usize, depth: u32) -> ExpressionId {
        if let Some(pair) = self.pair_name() {
            return self.function_of_two(pair, start, depth);
        }
        match self.function_name() {
            Some(function) if self.at.peek() == Some(b'[') => {
                let open = self.at.start();
                let argument = self.bracket(open, depth);
                self.done(start, ExpressionKind::Function(function, argument))
            }
            _ => self.name_nobody_knows(start),
        }
    }

    /// A name with its bracket is told as one; other letters are a term that is not complete.
    fn name_nobody_knows(&mut self, start: usize) -> ExpressionId {
        let mark = self.at.mark();
        while matches!(self.at.peek(), Some(b'A'..=b'Z' | b'0'..=b'9')) && self.at.adjoins() {
            self.at.bump();
        }
        let named = self.at.peek() == Some(b'[');
        if named && self.span_from(start).range().len() > 1 {
            return self.bad(start, TroubleKind::UnknownName);
        }
        self.at.back_to(mark);
        self.bad(start, TroubleKind::BadExpression)
    }

    /// `POW[…,…]`, `ATAN[…]/[…]`, and `ATAN[…]`, which may also have just one.
    fn function_of_two(&mut self, pair: Pair, start: usize, depth: u32) -> ExpressionId {
        if !self.at.take(b'[') {
            return self.bad(start, TroubleKind::BadExpression);
        }
        let one = self.joined(0, depth + 1);
        let comma = self.at.take(b',');
        let other = comma.then(|| self.joined(0, depth + 1));
        if !self.at.take(b']') {
            return self.not_closed(start);
        }
        match (pair, other) {
            (Pair::Joined(operator), Some(other)) => {
                self.done(start, ExpressionKind::Binary(operator, one, other))
            }
            (Pair::Joined(_), None) => self.bad(start, TroubleKind::BadExpression),
            (Pair::Angle, Some(other)) => self.done(start, ExpressionKind::Atan2(one, other)),
            (Pair::Angle, None) if self.bracket_divides() => {
                let open = self.at.start();
                let other = self.bracket(open, depth);
                self.done(start, ExpressionKind::Atan2(one, other))
            }
            (Pair::Angle, None) => self.done(start, ExpressionKind::Function(Function::Atan, one)),
        }
    }

    /// Takes the stroke of `/[`.
    fn bracket_divides(&mut self) -> bool {
        let there = self.at.peek() == Some(b'/') && self.at.peek_second() == Some(b'[');
        if there {
            self.at.bump();
            self.at.peek();
        }
        there
    }

    fn function_name(&mut self) -> Option<Function> {
        let named = FUNCTIONS.iter().find(|row| self.at.take_name(row.name.as_bytes()));
        named.map(|row| row.function)
    }

    fn pair_name(&mut self) -> Option<Pair> {
        let named = PAIRS.iter().find(|row| self.at.take_name(row.name.as_bytes()));
        named.map(|row| row.pair)
    }

    /// Gives up the rest of the line, once.
    fn too_deep(&mut self) -> ExpressionId {
        let start = self.at.start();
        self.at.pass_block();
        self.bad(start, TroubleKind::TooDeep)
    }

    fn done(&mut self, start: usize, kind: ExpressionKind) -> ExpressionId {
        let span = self.span_from(start);
        self.add(Expression { span, kind })
    }

    /// A part that cannot be read; one trouble a term is told.
    fn bad(&mut self, start: usize, kind: TroubleKind) -> ExpressionId {
        if !self.term_is_bad {
            self.trouble(start, kind);
        }
        self.term_is_bad = true;
        self.done(start, ExpressionKind::Unreadable)
    }

    fn add(&mut self, expression: Expression) -> ExpressionId {
        self.tree.expressions.push(expression);
        ExpressionId(self.tree.expressions.len() as u32 - 1)
    }
}
