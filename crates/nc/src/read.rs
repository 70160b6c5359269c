//! Text to tree. Reading never fails and takes time in proportion to the text: one bad word costs
//! one trouble, and reading goes on behind it.

mod cursor;
mod statement;
mod term;

use crate::tree::{Block, Item, ItemKind, Tree, Trouble, TroubleKind};
use cursor::Cursor;
use model::{Source, Span};

/// Reads a file.
///
/// ```
/// let source = model::Source::new("pin.nc", "N10 G1 X-3.5 (to size)\n");
/// let tree = nc::read::read(&source);
/// assert_eq!(tree.blocks[0].number.unwrap().0, 10);
/// assert_eq!(tree.items.len(), 3);
/// assert_eq!(tree.print(), source.bytes());
/// ```
pub fn read(source: &Source) -> Tree {
    let bytes = source.bytes();
    let mut reader = Reader {
        at: Cursor::new(bytes),
        tree: Tree {
            source: source.clone(),
            blocks: Vec::with_capacity(bytes.len() / 16),
            items: Vec::with_capacity(bytes.len() / 6),
            expressions: Vec::new(),
            troubles: Vec::new(),
        },
    };
    while reader.at.more() {
        reader.line();
    }
    reader.tree.troubles.sort_by_key(|trouble| trouble.span);
    reader.tree
}

struct Reader<'t> {
    at: Cursor<'t>,
    tree: Tree,
}

impl Reader<'_> {
    fn line(&mut self) {
        let start = self.at.start();
        let first = self.tree.items.len();
        let mut block = Block {
            span: Span::default(),
            skip: None,
            number: None,
            first: first as u32,
            count: 0,
        };
        while let Some(byte) = self.at.peek() {
            match byte {
                b'/' if block.skip.is_none() && self.tree.items.len() == first => {
                    self.skip_sign(&mut block);
                }
                b'N' if block.number.is_none() && self.tree.items.len() == first => {
                    self.block_number(&mut block);
                }
                _ => self.item(byte, first),
            }
        }
        block.count = (self.tree.items.len() - first) as u32;
        block.span = Span::new(start, self.at.end());
        if block.count > 0 || block.number.is_some() || block.skip.is_some() {
            self.tree.blocks.push(block);
        }
        self.at.next_line();
    }

    fn skip_sign(&mut self, block: &mut Block) {
        self.at.bump();
        block.skip = Some(self.level());
    }

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
        self.at.bump();
        match self.at.digits() {
            Some(number) => block.number = Some((number, Span::new(start, self.at.end()))),
            None => {
                self.at.go_to(start);
                self.item(b'N', self.tree.items.len());
            }
        }
    }

    /// One item that starts with this byte.
    fn item(&mut self, byte: u8, first: usize) {
        let start = self.at.start();
        match byte {
            b'%' => self.single(start, ItemKind::Percent),
            b'(' => self.comment(start, true),
            b';' => self.comment(start, false),
            b'/' => {
                self.at.bump();
                let level = self.level();
                self.push(start, ItemKind::SkipFromHere(level));
            }
            b':' => self.program_number(start),
            b'O' if self.tree.items[first..].iter().all(|item| is_comment(*item))
                && !self.at.after_is_letter() =>
            {
                self.program_number(start);
            }
            b'#' => self.assignment(start),
            b',' => self.comma_word(start),
            b'A'..=b'Z' => self.name_or_word(start),
            _ => {
                self.at.bump();
                self.unreadable(start, TroubleKind::StrayCharacter);
            }
        }
    }

    fn single(&mut self, start: usize, kind: ItemKind) {
        self.at.bump();
        self.push(start, kind);
    }

    fn comment(&mut self, start: usize, bracket: bool) {
        let closed = self.at.pass_comment(bracket);
        self.push(start, ItemKind::Comment);
        if bracket && !closed {
            self.trouble(start, TroubleKind::OpenComment);
        }
    }

    fn program_number(&mut self, start: usize) {
        self.at.bump();
        match self.at.digits() {
            Some(number) => self.push(start, ItemKind::Program(number)),
            None => self.unreadable(start, TroubleKind::NoValue),
        }
    }

    fn push(&mut self, start: usize, kind: ItemKind) {
        let span = Span::new(start, self.at.end());
        self.tree.items.push(Item { span, kind });
    }

    fn trouble(&mut self, start: usize, kind: TroubleKind) {
        let span = Span::new(start, self.at.end());
        self.tree.troubles.push(Trouble { span, kind });
    }

    fn unreadable(&mut self, start: usize, kind: TroubleKind) {
        self.push(start, ItemKind::Unreadable);
        self.trouble(start, kind);
    }
}

fn is_comment(item: Item) -> bool {
    matches!(item.kind, ItemKind::Comment | ItemKind::Percent)
}

impl Tree {
    /// The text again, from its items and what stands between them.
    pub fn print(&self) -> Vec<u8> {
        let bytes = self.source.bytes();
        let mut text = Vec::with_capacity(bytes.len());
        let mut end = 0;
        for item in &self.items {
            let range = item.span.range();
            text.extend_from_slice(&bytes[end..range.start]);
            text.extend_from_slice(self.source.slice(item.span));
            end = range.end;
        }
        text.extend_from_slice(&bytes[end..]);
        text
    }
}
