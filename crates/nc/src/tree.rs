//! What an NC file says, word by word, each with its place in the text.
//!
//! The tree is lossless: it holds the source, and every byte that is not white space or line end
//! lies in exactly one item, so the text can be given back byte for byte.

use model::{Source, Span};

/// One file as read. Reading never fails: what cannot be understood is an
/// [`ItemKind::Unreadable`] item and a [`Trouble`].
#[derive(Debug, Clone)]
pub struct Tree {
    /// The text.
    pub source: Source,
    /// The blocks in the order of the file; one for each line that holds anything, and more where
    /// the control ends blocks at a semicolon.
    pub blocks: Vec<Block>,
    /// The items of all blocks, in the order of the text.
    pub items: Vec<Item>,
    /// The terms of all items; an expression's parts stand before it.
    pub expressions: Vec<Expression>,
    /// What could not be read as it stands, in the order of the text.
    pub troubles: Vec<Trouble>,
}

/// One line of a program, or a part of it up to a semicolon that ends the block.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Block {
    /// The whole line without its line end, or the part of it with its semicolon.
    pub span: Span,
    /// The level of a skip sign at its start: `/` and `/1` are 1.
    pub skip: Option<u8>,
    /// Its number: the digits after N, and the stretch of the word.
    pub number: Option<(u32, Span)>,
    /// Index of its first item in [`Tree::items`].
    pub first: u32,
    /// How many items it has, without skip sign and number.
    pub count: u32,
}

/// One word, statement part or comment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Item {
    /// Its stretch, with letter and value.
    pub span: Span,
    /// What it is.
    pub kind: ItemKind,
}

/// What an item is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ItemKind {
    /// `%`.
    Percent,
    /// `O1002` or `:1002`.
    Program(u32),
    /// A letter with its value, such as `G1`, `X-3.5`, `F#9`, `,R2.`.
    Word(Word),
    /// `#500 = …`.
    Assign {
        /// The number of the variable.
        target: ExpressionId,
        /// The value.
        value: ExpressionId,
    },
    /// `IF[…]`.
    If(ExpressionId),
    /// `THEN`.
    Then,
    /// `GOTO …`.
    Goto(ExpressionId),
    /// `WHILE[…]`; the `DO` follows as an item of its own.
    While(ExpressionId),
    /// `DO1`.
    Do(u32),
    /// `END1`.
    End(u32),
    /// `( … )`, `;` with what follows it, or a lone `;` that ends the block.
    Comment,
    /// Text that no control takes as an order: before the first and behind the last `%`, and
    /// lines that print or send something (`POPEN`, `DPRNT[…]`, `PCLOS`).
    Ignored,
    /// A skip sign inside a block: what follows is skipped when that switch is on.
    SkipFromHere(u8),
    /// What could not be read; a trouble says why.
    Unreadable,
}

/// A letter with its value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Word {
    /// A capital letter.
    pub letter: u8,
    /// Whether a comma stands before it.
    pub comma: bool,
    /// Its value.
    pub value: Value,
}

/// The value of a word.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Value {
    /// Digits as they stand.
    Number(Number),
    /// A term to work out.
    Expression(ExpressionId),
}

/// A decimal number exactly as written.
// Packed, an item takes 24 bytes instead of 32, and most of reading's time is memory.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[repr(Rust, packed(4))]
pub struct Number {
    /// All digits with the sign, the point left out.
    pub digits: i64,
    /// How many of them stand behind the point.
    pub decimals: u8,
    /// Whether a point was written.
    pub point: bool,
}

impl Number {
    /// As a binary float.
    pub fn value(self) -> f64 {
        self.digits as f64 / POWERS[usize::from(self.decimals).min(POWERS.len() - 1)]
    }

    /// As a whole number, where it is one and not negative.
    pub fn whole(self) -> Option<u32> {
        let power = 10_i64.checked_pow(u32::from(self.decimals))?;
        if self.digits % power == 0 { u32::try_from(self.digits / power).ok() } else { None }
    }
}

const POWERS: [f64; 19] = [
    1.0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16,
    1e17, 1e18,
];

/// Index of a term in [`Tree::expressions`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ExpressionId(pub u32);

/// One term.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Expression {
    /// Its stretch.
    pub span: Span,
    /// What it is.
    pub kind: ExpressionKind,
}

/// What a term is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ExpressionKind {
    /// A number.
    Number(f64),
    /// `#…`: the variable whose number the inner term gives.
    Variable(ExpressionId),
    /// `-…`.
    Negate(ExpressionId),
    /// `SIN[…]` and the like.
    Function(Function, ExpressionId),
    /// `ATAN[…]/[…]`.
    Atan2(ExpressionId, ExpressionId),
    /// Two terms and what joins them.
    Binary(Operator, ExpressionId, ExpressionId),
    /// A term that could not be read; a trouble says why.
    Unreadable,
}

/// A function of one term; angles in degrees.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Function {
    Sin,
    Cos,
    Tan,
    Asin,
    Acos,
    Atan,
    Sqrt,
    Abs,
    Round,
    Fix,
    Fup,
    Ln,
    Exp,
    Bin,
    Bcd,
}

/// What joins two terms.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)]
pub enum Operator {
    Power,
    Multiply,
    Divide,
    Modulo,
    And,
    Add,
    Subtract,
    Or,
    Xor,
    Equal,
    NotEqual,
    Greater,
    GreaterOrEqual,
    Less,
    LessOrEqual,
}

impl Operator {
    /// Whether it asks which of two is the larger: GT, GE, LT and LE.
    pub const fn orders(self) -> bool {
        matches!(
            self,
            Operator::Greater | Operator::GreaterOrEqual | Operator::Less | Operator::LessOrEqual
        )
    }

    /// Whether it is one of the six comparisons.
    pub const fn compares(self) -> bool {
        self.orders() || matches!(self, Operator::Equal | Operator::NotEqual)
    }
}

/// What could not be read as it stands, and how it was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Trouble {
    /// The stretch it is about.
    pub span: Span,
    /// What is wrong.
    pub kind: TroubleKind,
}

/// What can be wrong with a text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum TroubleKind {
    /// A letter O stands where a zero is meant; it is taken as the zero.
    LetterOForZero,
    /// A letter without a number.
    NoValue,
    /// A sign, point or other character that belongs to no word.
    StrayCharacter,
    /// Letters that are no word of the language.
    UnknownName,
    /// A number with two points, two signs, or more than eighteen digits.
    BadNumber,
    /// A bracket without its other half, or a term that is not complete.
    BadExpression,
    /// A comment that is not closed on its line; it is taken to the line's end.
    OpenComment,
    /// A statement without its other half, such as `IF[…]` with nothing after it.
    IncompleteStatement,
    /// Terms nested deeper than 60; the rest is not read.
    TooDeep,
}

impl Tree {
    /// The items of a block.
    pub fn items_of(&self, block: &Block) -> &[Item] {
        let first = block.first as usize;
        self.items.get(first..first + block.count as usize).unwrap_or(&[])
    }

    /// The stretches of a block's items and its number, in the order of the text.
    pub fn stretches(&self, block: &Block) -> impl Iterator<Item = Span> + use<'_> {
        let items = self.items_of(block);
        let number = block.number.map(|(_, span)| span);
        let before =
            number.map_or(0, |number| items.partition_point(|item| item.span.start < number.start));
        let (before, behind) = items.split_at(before);
        let span = |item: &Item| item.span;
        before.iter().map(span).chain(number).chain(behind.iter().map(span))
    }

    /// A term.
    pub fn expression(&self, id: ExpressionId) -> Expression {
        let unreadable = Expression { span: Span::default(), kind: ExpressionKind::Unreadable };
        self.expressions.get(id.0 as usize).copied().unwrap_or(unreadable)
    }
}
