//! Terms: brackets, variables, functions and what joins them.

use super::Reader;
use crate::tree::{Expression, ExpressionId, ExpressionKind, Function, Operator, TroubleKind};

/// Deepest nesting of brackets that is read.
const DEEPEST: u32 = 60;

/// Most terms that are joined in one row.
const LONGEST: u32 = 500;

/// Names that stand between two terms, and how tightly they bind.
const NAMES: [(&[u8], Operator, u8); 10] = [
    (b"MOD", Operator::Modulo, 4),
    (b"AND", Operator::And, 4),
    (b"XOR", Operator::Xor, 3),
    (b"OR", Operator::Or, 3),
    (b"EQ", Operator::Equal, 2),
    (b"NE", Operator::NotEqual, 2),
    (b"GT", Operator::Greater, 2),
    (b"GE", Operator::GreaterOrEqual, 2),
    (b"LT", Operator::Less, 2),
    (b"LE", Operator::LessOrEqual, 2),
];

/// Signs that stand between two terms; longer ones first.
const SIGNS: [(&[u8], Operator, u8); 11] = [
    (b"**", Operator::Power, 5),
    (b"*", Operator::Multiply, 4),
    (b"/", Operator::Divide, 4),
    (b"+", Operator::Add, 3),
    (b"-", Operator::Subtract, 3),
    (b"<>", Operator::NotEqual, 2),
    (b"<=", Operator::LessOrEqual, 2),
    (b">=", Operator::GreaterOrEqual, 2),
    (b"<", Operator::Less, 2),
    (b">", Operator::Greater, 2),
    (b"=", Operator::Equal, 2),
];

const FUNCTIONS: [(&[u8], Function); 15] = [
    (b"SIN", Function::Sin),
    (b"COS", Function::Cos),
    (b"TAN", Function::Tan),
    (b"ASIN", Function::Asin),
    (b"ACOS", Function::Acos),
    (b"ATAN", Function::Atan),
    (b"SQRT", Function::Sqrt),
    (b"ABS", Function::Abs),
    (b"ROUND", Function::Round),
    (b"FIX", Function::Fix),
    (b"FUP", Function::Fup),
    (b"LN", Function::Ln),
    (b"EXP", Function::Exp),
    (b"BIN", Function::Bin),
    (b"BCD", Function::Bcd),
];

impl Reader<'_> {
    /// A whole term up to where it can go no further.
    pub(super) fn term(&mut self) -> ExpressionId {
        self.joined(0, 0)
    }

    /// A sign and what it stands before, as in `X-[#1+2.]`.
    pub(super) fn signed_primary(&mut self) -> ExpressionId {
        self.primary_or_negated(0)
    }

    pub(super) fn function_follows(&mut self) -> bool {
        let start = self.at.start();
        let found = self.function_name().is_some() && self.at.peek() == Some(b'[');
        self.at.go_to(start);
        found
    }

    fn joined(&mut self, least: u8, depth: u32) -> ExpressionId {
        let mut left = self.primary_or_negated(depth);
        let mut parts = 0;
        while let Some((operator, binding)) = self.operator(least) {
            parts += 1;
            if parts > LONGEST {
                let start = self.at.start();
                self.at.pass_comment(false);
                return self.bad(start, TroubleKind::TooDeep);
            }
            let right = self.joined(binding + 1, depth + 1);
            let span = self.tree.expression(left).span.to(self.tree.expression(right).span);
            left =
                self.add(Expression { span, kind: ExpressionKind::Binary(operator, left, right) });
        }
        left
    }

    /// Takes an operator that binds at least so tightly.
    fn operator(&mut self, least: u8) -> Option<(Operator, u8)> {
        let first = self.at.peek()?;
        let table: &[(&[u8], Operator, u8)] =
            if first.is_ascii_alphabetic() { &NAMES } else { &SIGNS };
        for (name, operator, binding) in table {
            if name[0] != first || *binding < least {
                continue;
            }
            if self.at.take_name(name) {
                return Some((*operator, *binding));
            }
        }
        None
    }

    fn primary_or_negated(&mut self, depth: u32) -> ExpressionId {
        let mut negated = false;
        let sign_at = {
            self.at.peek();
            self.at.start()
        };
        while let Some(sign @ (b'-' | b'+')) = self.at.peek() {
            self.at.bump();
            negated ^= sign == b'-';
        }
        let value = self.primary(depth);
        if !negated {
            return value;
        }
        let span = self.span_from(sign_at);
        self.add(Expression { span, kind: ExpressionKind::Negate(value) })
    }

    /// A number, a variable, a bracket or a function.
    pub(super) fn primary(&mut self, depth: u32) -> ExpressionId {
        let first = self.at.peek();
        let start = self.at.start();
        if depth > DEEPEST {
            self.at.pass_comment(false);
            return self.bad(start, TroubleKind::TooDeep);
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
            Some(b'A'..=b'Z') => match self.function_name() {
                Some(function) => self.function(function, start, depth),
                None => self.bad(start, TroubleKind::BadExpression),
            },
            _ => self.bad(start, TroubleKind::BadExpression),
        }
    }

    fn bracket(&mut self, start: usize, depth: u32) -> ExpressionId {
        self.at.bump();
        let inner = self.joined(0, depth + 1);
        if !self.at.take(b']') {
            let bad = matches!(self.tree.expression(inner).kind, ExpressionKind::Unreadable);
            return if bad { inner } else { self.bad(start, TroubleKind::BadExpression) };
        }
        // The brackets belong to the term they hold, for messages about it.
        let span = self.span_from(start);
        let kind = self.tree.expression(inner).kind;
        self.add(Expression { span, kind })
    }

    fn function(&mut self, function: Function, start: usize, depth: u32) -> ExpressionId {
        if self.at.peek() != Some(b'[') {
            return self.bad(start, TroubleKind::BadExpression);
        }
        let open = self.at.start();
        let argument = self.bracket(open, depth + 1);
        if function == Function::Atan
            && self.at.peek() == Some(b'/')
            && self.at.peek_second() == Some(b'[')
        {
            self.at.bump();
            self.at.peek();
            let open = self.at.start();
            let other = self.bracket(open, depth + 1);
            return self.done(start, ExpressionKind::Atan2(argument, other));
        }
        self.done(start, ExpressionKind::Function(function, argument))
    }

    fn function_name(&mut self) -> Option<Function> {
        let named = FUNCTIONS.iter().find(|(name, _)| self.at.take_name(name));
        named.map(|(_, function)| *function)
    }

    fn done(&mut self, start: usize, kind: ExpressionKind) -> ExpressionId {
        let span = self.span_from(start);
        self.add(Expression { span, kind })
    }

    fn bad(&mut self, start: usize, kind: TroubleKind) -> ExpressionId {
        self.trouble(start, kind);
        self.done(start, ExpressionKind::Unreadable)
    }

    fn add(&mut self, expression: Expression) -> ExpressionId {
        self.tree.expressions.push(expression);
        ExpressionId(self.tree.expressions.len() as u32 - 1)
    }
}
