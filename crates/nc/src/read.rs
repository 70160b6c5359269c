//! Text to tree. Reading never fails and takes time in proportion to the text: one bad word costs
//! one trouble, and reading goes on behind it.

mod cursor;
mod outside;
mod plain;
mod statement;
mod term;

use crate::tree::{Block, Item, ItemKind, Tree, Trouble, TroubleKind, Value, Word};
use cursor::Cursor;
use model::files::Control;
use model::files::control::{AndPlace, Semicolon};
use model::{Source, Span};

/// Reads a file; a semicolon starts a comment.
///
/// ```
/// let source = model::Source::new("pin.nc", "N10 G1 X-3.5 (to size)\n");
/// let tree = nc::read::read(&source);
/// assert_eq!(tree.blocks[0].number.unwrap().0, 10);
/// assert_eq!(tree.items.len(), 3);
/// assert_eq!(tree.print(), source.bytes());
/// ```
pub fn read(source: &Source) -> Tree {
    Reader::new(source, Semicolon::Comment, AndPlace::WithProducts).read()
}

/// Reads a file as a control does: `AND` binds as its file says; where that does not say what a
/// semicolon is, it starts a comment.
pub fn read_for(source: &Source, control: &Control) -> Tree {
    let semicolon = control.semicolon.unwrap_or(Semicolon::Comment);
    Reader::new(source, semicolon, control.terms.and_place).read()
}

/// What the items of the present line are so far; each kind allows less than the one before it.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum SoFar {
    /// None but comments: a skip sign may follow.
    Comments,
    /// An end sign too: a program number may follow.
    EndSign,
    /// Words: a block number may follow.
    Words,
    /// Parts of statements and what could not be read.
    Other,
}

impl SoFar {
    const fn with(kind: ItemKind) -> SoFar {
        match kind {
            ItemKind::Comment => SoFar::Comments,
            ItemKind::Percent => SoFar::EndSign,
            ItemKind::Program(_) | ItemKind::Word(_) => SoFar::Words,
            _ => SoFar::Other,
        }
    }
}

struct Reader<'t> {
    at: Cursor<'t>,
    tree: Tree,
    /// What stands on the present line already.
    so_far: SoFar,
    /// How many parts the present term joins so far.
    joins: u32,
    /// Whether a trouble of the present term was told.
    term_is_bad: bool,
    and_place: AndPlace,
    /// Index of the first and of the last end sign among the items.
    signs: Option<(usize, usize)>,
}

impl<'t> Reader<'t> {
    fn new(source: &'t Source, semicolon: Semicolon, and_place: AndPlace) -> Reader<'t> {
        let bytes = source.bytes();
        Reader {
            at: Cursor::new(bytes, semicolon),
            tree: Tree {
                source: source.clone(),
                blocks: Vec::with_capacity(bytes.len() / 16),
                items: Vec::with_capacity(bytes.len() / 5),
                expressions: Vec::new(),
                troubles: Vec::new(),
            },
            so_far: SoFar::Comments,
            joins: 0,
            term_is_bad: false,
            and_place,
            signs: None,
        }
    }

    fn read(mut self) -> Tree {
        while self.at.more() {
            self.block();
        }
        let mut tree = self.tree;
        if let Some((first, last)) = self.signs {
            outside::leave_out(&mut tree, first, last);
        }
        tree.troubles.sort_by_key(|trouble| trouble.span);
        tree
    }

    /// A line, or one block of it.
    fn block(&mut self) {
        let start = self.at.start();
        let first = self.tree.items.len();
        let mut block = Block {
            span: Span::default(),
            skip: None,
            number: None,
            first: first as u32,
            count: 0,
        };
        self.so_far = SoFar::Comments;
        while let Some(byte) = self.at.peek() {
            match byte {
                b'/' if block.skip.is_none() && self.so_far == SoFar::Comments => {
                    self.at.bump();
                    block.skip = Some(self.level());
                }
                // Behind words an N is still the block's number; in a statement it is not.
                b'N' if block.number.is_none() && self.so_far <= SoFar::Words => {
                    self.block_number(&mut block);
                }
                b';' if self.at.ends_block(byte) => {
                    let start = self.at.start();
                    self.at.bump();
                    self.push(start, ItemKind::Comment);
                    break;
                }
                _ => self.item(byte),
            }
        }
        block.count = (self.tree.items.len() - first) as u32;
        block.span = Span::new(start, self.at.end());
        if block.count > 0 || block.number.is_some() || block.skip.is_some() {
            self.tree.blocks.push(block);
        }
        self.at.pass_line_end();
    }

    /// The level behind a skip sign.
    fn level(&mut self) -> u8 {
        match self.at.peek() {
            Some(digit @ b'1'..=b'9') => {
                self.at.bump();
                digit - b'0'
            }
            _ => 1,
        }
    }

    fn block_number(&mut self, block: &mut Block) {
        let start = self.at.start();
        if let Some(number) = self.at.take_with_whole() {
            block.number = Some((number, self.span_from(start)));
            return;
        }
        let mark = self.at.mark();
        self.at.bump();
        match self.whole() {
            Ok(number) => block.number = Some((number, self.span_from(start))),
            Err(TroubleKind::NoValue) => {
                self.at.back_to(mark);
                self.word(start, false);
            }
            Err(kind) => self.unreadable(start, kind),
        }
    }

    /// One item that starts with this byte.
    fn item(&mut self, byte: u8) {
        let start = self.at.start();
        match byte {
            b'%' => {
                self.at.bump();
                let index = self.tree.items.len();
                self.signs = Some((self.signs.map_or(index, |(first, _)| first), index));
                self.push(start, ItemKind::Percent);
            }
            b'(' => {
                let closed = self.at.pass_comment();
                self.push(start, ItemKind::Comment);
                if !closed {
                    self.trouble(start, TroubleKind::OpenComment);
                }
            }
            b';' => {
                self.at.pass_block();
                self.push(start, ItemKind::Comment);
            }
            b'/' => {
                self.at.bump();
                let level = self.level();
                self.push(start, ItemKind::SkipFromHere(level));
            }
            b':' | b'O' if self.so_far <= SoFar::EndSign => self.program_number(start),
            b'#' => self.assignment(start),
            b',' => self.comma_word(start),
            b'A'..=b'Z' => match self.at.take_with_number() {
                Some(number) => {
                    let value = Value::Number(number);
                    self.push(start, ItemKind::Word(Word { letter: byte, comma: false, value }));
                }
                None => self.name_or_word(start, byte),
            },
            _ => {
                self.at.bump();
                self.at.pass_stray();
                self.unreadable(start, TroubleKind::StrayCharacter);
            }
        }
    }

    /// `O1002` or `:1002`. Names right behind it belong to another dialect, whose loops and calls
    /// are written so; nothing on such a line is guessed.
    fn program_number(&mut self, start: usize) {
        self.at.bump();
        match self.whole() {
            Ok(number) => {
                self.push(start, ItemKind::Program(number));
                if self.at.name_follows() {
                    self.rest_of_block();
                }
            }
            Err(TroubleKind::NoValue) if self.at.peek() == Some(b'<') || self.at.name_follows() => {
                self.at.pass_block();
                self.unreadable(start, TroubleKind::UnknownName);
            }
            Err(kind) => self.unreadable(start, kind),
        }
    }

    fn rest_of_block(&mut self) {
        let start = self.at.start();
        self.at.pass_block();
        self.unreadable(start, TroubleKind::UnknownName);
    }

    fn span_from(&self, start: usize) -> Span {
        Span::new(start, self.at.end())
    }

    fn push(&mut self, start: usize, kind: ItemKind) {
        let span = self.span_from(start);
        self.so_far = self.so_far.max(SoFar::with(kind));
        self.tree.items.push(Item { span, kind });
    }

    /// An item with a term; what is left over of one that could not be read belongs to it.
    fn push_with_term(&mut self, start: usize, kind: ItemKind) {
        if std::mem::take(&mut self.term_is_bad) {
            self.at.pass_stray();
        }
        self.push(start, kind);
    }

    /// Tells a trouble from `start` to here. Where nothing was taken, it is at the byte that is not
    /// the awaited one, or, where that does not stand right behind, at the byte before.
    fn trouble(&mut self, start: usize, kind: TroubleKind) {
        let end = self.at.end();
        let span = if start < end {
            Span::new(start, end)
        } else if self.at.adjoins() && self.at.peek().is_some() {
            Span::new(end, end + 1)
        } else {
            Span::new(end.saturating_sub(1), end)
        };
        self.tree.troubles.push(Trouble { span, kind });
    }

    /// An item that cannot be read, with the digits and signs that it leaves behind.
    fn unreadable(&mut self, start: usize, kind: TroubleKind) {
        self.trouble(start, kind);
        self.at.pass_stray();
        self.push(start, ItemKind::Unreadable);
    }
}

impl Tree {
    /// The text again, from its stretches and the white space between them.
    pub fn print(&self) -> Vec<u8> {
        let bytes = self.source.bytes();
        let mut text = Vec::with_capacity(bytes.len());
        let mut end = 0;
        for stretch in self.blocks.iter().flat_map(|block| self.stretches(block)) {
            let range = stretch.range();
            text.extend_from_slice(bytes.get(end..range.start).unwrap_or(&[]));
            text.extend_from_slice(self.source.slice(stretch));
            end = range.end;
        }
        text.extend_from_slice(bytes.get(end..).unwrap_or(&[]));
        text
    }
}
