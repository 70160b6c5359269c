//! The words of one block, looked up by their letters.

use super::Here;
use crate::event::Spot;
use model::{Length, Span, Units};
use nc::blocks::Said;

/// The words of one block.
#[derive(Clone, Copy)]
pub(super) struct Words<'w> {
    all: &'w [Said],
    here: Here,
}

impl<'w> Words<'w> {
    pub(super) const fn new(all: &'w [Said], here: Here) -> Words<'w> {
        Words { all, here }
    }

    /// All words, in the order of the block.
    pub(super) const fn all(&self) -> &'w [Said] {
        self.all
    }

    /// The last word with this letter and no comma: where one stands twice, controls take the last.
    pub(super) fn get(&self, letter: u8) -> Option<&'w Said> {
        self.all.iter().rev().find(|said| said.letter == letter && !said.comma)
    }

    /// The word with this letter behind a comma.
    pub(super) fn behind_comma(&self, letter: u8) -> Option<&'w Said> {
        self.all.iter().rev().find(|said| said.letter == letter && said.comma)
    }

    /// The word with this letter behind a comma, else without one.
    pub(super) fn get_comma(&self, letter: u8) -> Option<&'w Said> {
        self.behind_comma(letter).or(self.get(letter))
    }

    /// A length by the control's rule for numbers without a point.
    pub(super) fn length(&self, letter: u8, units: Units) -> Option<Length> {
        self.get(letter)?.length(units)
    }

    /// A number that is whole and not negative.
    pub(super) fn whole(&self, letter: u8) -> Option<u32> {
        self.get(letter)?.whole()
    }

    pub(super) fn has(&self, letters: [u8; 2]) -> bool {
        letters.into_iter().any(|letter| self.get(letter).is_some())
    }

    pub(super) fn has_axis(&self) -> bool {
        self.all.iter().any(Said::is_axis)
    }

    /// Whether X is named, as a place or an increment.
    pub(super) fn has_x(&self) -> bool {
        self.has([b'X', b'U'])
    }

    /// Whether Z is named, as a place or an increment.
    pub(super) fn has_z(&self) -> bool {
        self.has([b'Z', b'W'])
    }

    /// Where a word stands.
    pub(super) const fn spot(&self, said: &Said) -> Spot {
        self.here.spot(said.span)
    }

    /// Where the block as a whole stands.
    pub(super) const fn whole_spot(&self) -> Spot {
        self.here.spot(self.here.span)
    }

    /// The stretch that a motion is pointed at: its axis words.
    pub(super) fn motion_spot(&self) -> Spot {
        let axes = self.all.iter().filter(|said| said.is_axis()).map(|said| said.span);
        axes.reduce(Span::to).map_or(self.whole_spot(), |span| self.here.spot(span))
    }
}
