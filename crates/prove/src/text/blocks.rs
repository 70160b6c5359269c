//! Words of one block that do not go together, or not with this control.

use crate::event::TextTrouble;
use model::Span;
use model::files::Control;
use model::files::control::{Code, CodeSystem, MixedBlock};
use nc::codes::{Codes, GCode, Group};
use nc::language::{COMMA_WORDS, address_of};
use nc::likely;
use nc::tree::{Item, ItemKind, Number, Tree, Value, Word};

type Tell<'t> = dyn FnMut(TextTrouble, Span) + 't;

/// Whether a file calls a drilling cycle.
pub(super) fn drills(tree: &Tree, control: &Control) -> bool {
    let codes = Codes::of(control);
    let meanings = tree.items.iter().filter_map(|item| codes.meaning(code_of(item)?));
    let mut drilling = meanings.filter(|meaning| meaning.group() == Group::DrillingCycle);
    drilling.any(|meaning| meaning != GCode::DrillingCycleEnd)
}

/// Tells what is wrong with the words of each block; `drills` says whether any file drills.
pub(super) fn troubles(tree: &Tree, control: &Control, drills: bool, tell: &mut Tell<'_>) {
    // Behind a skip sign inside a block a word may stand once more on purpose.
    let skip = |item: &Item| matches!(item.kind, ItemKind::SkipFromHere(_));
    if control.terms.mixed_block == MixedBlock::Refused {
        mixed(tree, tell);
    }
    for items in tree.blocks.iter().flat_map(|block| tree.items_of(block).split(skip)) {
        let words = Words::of(items, tree, control);
        words.twice(tell);
        words.replaced(tell);
        words.points(tell);
        words.another_system(drills, tell);
        words.digits_twice(tell);
        words.next_keys(tell);
    }
}

/// Tells each value of a variable that stands in a block with words.
fn mixed(tree: &Tree, tell: &mut Tell<'_>) {
    for block in &tree.blocks {
        let items = tree.items_of(block);
        let assign = items.iter().find(|item| matches!(item.kind, ItemKind::Assign { .. }));
        let word = items.iter().any(|item| matches!(item.kind, ItemKind::Word(_)));
        if let Some(assign) = assign.filter(|_| word) {
            tell(TextTrouble::Mixed, assign.span);
        }
    }
}

/// The words that stand together in a block. A block may be as long as a file: each look over it
/// is one pass.
struct Words<'t> {
    all: Vec<(Word, Span)>,
    /// The G words that this control has.
    meanings: Vec<(GCode, Code, Span)>,
    /// The G words and M words.
    codes: Vec<(Code, Span)>,
    /// Whether letters are arguments here.
    calls_macro: bool,
    /// Whether P and Q are block numbers, or depths that controls take without a point.
    cycle: bool,
    /// Whether P is the number of a program or of an offset.
    names_a_program: bool,
    tree: &'t Tree,
    control: &'t Control,
}

impl Words<'_> {
    fn of<'t>(items: &[Item], tree: &'t Tree, control: &'t Control) -> Words<'t> {
        let words = items.iter().filter_map(|item| match item.kind {
            ItemKind::Word(word) => Some((word, item.span)),
            _ => None,
        });
        let codes = items.iter().filter_map(|item| Some((code_of(item)?, item.span)));
        let codes: Vec<_> = codes.collect();
        let meanings = codes
            .iter()
            .filter_map(|(code, span)| Some((Codes::of(control).meaning(*code)?, *code, *span)));
        let meanings: Vec<_> = meanings.collect();
        let means =
            |wanted: &dyn Fn(GCode) -> bool| meanings.iter().any(|(meaning, ..)| wanted(*meaning));
        let call = |code: Code| code.letter == 'M' && matches!(code.tenths, 970 | 980 | 990);
        Words {
            all: words.collect(),
            calls_macro: means(&|it| matches!(it, GCode::MacroCall | GCode::ModalMacroCall)),
            cycle: means(&GCode::is_cycle_once),
            names_a_program: codes.iter().any(|(code, _)| call(*code))
                || means(&|it| it == GCode::DataSetting),
            meanings,
            codes,
            tree,
            control,
        }
    }

    fn has(&self, letters: &[u8]) -> bool {
        self.all.iter().any(|(word, _)| letters.contains(&word.letter) && !word.comma)
    }

    fn twice(&self, tell: &mut Tell<'_>) {
        let repeats: &[u8] = if self.calls_macro { b"GMIJK" } else { b"GM" };
        let mut seen = [[false; 2]; 256];
        for (word, span) in &self.all {
            let seen = &mut seen[usize::from(word.letter)][usize::from(word.comma)];
            let again = std::mem::replace(seen, true);
            if again && !repeats.contains(&word.letter) {
                tell(TextTrouble::LetterTwice(char::from(word.letter)), *span);
            }
        }
    }

    fn replaced(&self, tell: &mut Tell<'_>) {
        let mut in_force: Vec<(Group, GCode, Code)> = Vec::new();
        let modal = self.meanings.iter().filter(|(meaning, ..)| meaning.group() != Group::Once);
        for (meaning, last, span) in modal {
            let group = meaning.group();
            match in_force.iter_mut().find(|(other, ..)| *other == group) {
                Some((_, before, first)) if before != meaning => {
                    tell(TextTrouble::Replaced { first: *first, last: *last }, *span);
                    (*before, *first) = (*meaning, *last);
                }
                Some(_) => {}
                None => in_force.push((group, *meaning, *last)),
            }
        }
    }

    fn points(&self, tell: &mut Tell<'_>) {
        for (word, span) in &self.all {
            let letter = char::from(word.letter);
            if word.comma {
                if COMMA_WORDS.iter().all(|(known, _)| *known != word.letter) {
                    tell(TextTrouble::CommaWord(letter), *span);
                }
            } else if let Value::Number(number) = word.value
                && number.point
                && self.wants_whole(word.letter, number)
            {
                tell(TextTrouble::PointInWhole(letter), *span);
            }
        }
    }

    /// Whether controls want a whole number behind this letter of this block.
    fn wants_whole(&self, letter: u8, number: Number) -> bool {
        // Some words have a digit behind a point of their own.
        let whole = number.whole().is_some();
        match letter {
            b'G' => whole || Codes::of(self.control).meaning(code('G', number)).is_none(),
            b'M' if !self.calls_macro => {
                whole || self.control.function(code('M', number)).is_none()
            }
            b'P' => self.calls_macro || self.cycle || self.names_a_program,
            b'Q' => self.cycle,
            b'L' => true,
            letter => !self.calls_macro && address_of(letter).is_some_and(|row| row.whole),
        }
    }

    fn another_system(&self, drills: bool, tell: &mut Tell<'_>) {
        let motions = self.meanings.iter().filter(|(meaning, ..)| meaning.group() == Group::Motion);
        let two_motions = motions.count() > 1;
        let alone = !self.has(b"XZUW") || two_motions;
        let bare = !self.has(b"PQUWRDXZIK");
        let contour = self.has(b"P") && self.has(b"Q");
        for (here, code, span) in &self.meanings {
            let fits = |meant: GCode| match here {
                GCode::TurningCycle | GCode::ThreadingCycle | GCode::FacingCycle => {
                    alone && !meant.is_cycle_once()
                }
                GCode::ReturnToInitial | GCode::ReturnToClearance => {
                    !drills && meant.group() == Group::Feed
                }
                GCode::Inch | GCode::Millimeter => contour && meant.is_cycle_once(),
                here => here.is_cycle_once() && bare && meant.group() == Group::Units,
            };
            let systems = [CodeSystem::A, CodeSystem::B, CodeSystem::C];
            let other = systems.into_iter().find_map(|system| {
                let meant = Codes { system, ..Codes::of(self.control) }.meaning(*code)?;
                (meant != *here && fits(meant)).then_some((system, meant))
            });
            if let Some((there, meant)) = other {
                let (code, here) = (*code, *here);
                tell(TextTrouble::AnotherSystem { code, here, there, meant }, *span);
            }
        }
    }

    /// `G011` is read as G11, and was likely meant to be G01.
    fn digits_twice(&self, tell: &mut Tell<'_>) {
        for (read, span) in &self.codes {
            let written = self.tree.source.text_of(*span);
            let meant = likely::digit_twice(self.control, &written, *read);
            if let Some(meant) = meant.filter(|_| !self.calls_macro) {
                tell(TextTrouble::DigitTwice { read: *read, meant }, *span);
            }
        }
    }

    /// `H1 X20.` for G1: only where the block has no G word.
    fn next_keys(&self, tell: &mut Tell<'_>) {
        if self.codes.iter().any(|(code, _)| code.letter == 'G') {
            return;
        }
        let alone = self.all.len() == 1;
        for (word, span) in self.all.iter().filter(|(word, _)| !word.comma) {
            let Value::Number(number) = word.value else { continue };
            let whole = number.whole().filter(|_| !number.point);
            let meant =
                whole.and_then(|whole| likely::next_key(self.control, word.letter, whole, alone));
            if let Some(meant) = meant {
                tell(TextTrouble::NextKey(meant), *span);
            }
        }
    }
}

fn code(letter: char, number: Number) -> Code {
    Code { letter, tenths: (number.value() * 10.0).round().clamp(0.0, 4e9) as u32 }
}

/// The G word or M word that an item is, where its number stands there.
fn code_of(item: &Item) -> Option<Code> {
    match item.kind {
        ItemKind::Word(Word {
            letter: letter @ (b'G' | b'M'),
            comma: false,
            value: Value::Number(number),
        }) if number.digits >= 0 => Some(code(char::from(letter), number)),
        _ => None,
    }
}
