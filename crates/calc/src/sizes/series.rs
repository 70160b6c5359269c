//! Gauged sizes in the order of their parts, and the offset moves between them.

use crate::figure::BadFigure;
use model::Length;

/// One size that was gauged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Reading {
    /// Number of the part, counted from 1 since the order began.
    pub part: u32,
    /// What the gauge showed.
    pub size: Length,
}

/// One move of an offset.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Moved {
    /// The first part that was made with it.
    pub before: u32,
    /// By how much the size was meant to grow; below zero where it was to shrink.
    pub by: Length,
}

/// What a size may be: a least, a most, or both.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Band {
    least: Option<Length>,
    most: Option<Length>,
}

impl Band {
    /// From a least and a most size.
    ///
    /// # Errors
    /// Neither is given, or the least is not below the most.
    pub fn new(least: Option<Length>, most: Option<Length>) -> Result<Band, BadFigure> {
        let wrong =
            BadFigure { what: "gauge limits", must: "a least below a most, or one of both" };
        match (least, most) {
            (None, None) => Err(wrong),
            (Some(least), Some(most)) if least >= most => Err(wrong),
            _ => Ok(Band { least, most }),
        }
    }

    /// The least that the size may be.
    pub const fn least(self) -> Option<Length> {
        self.least
    }

    /// The most that the size may be.
    pub const fn most(self) -> Option<Length> {
        self.most
    }

    /// The same band so much higher.
    #[must_use]
    pub fn higher(self, by: Length) -> Band {
        Band { least: self.least.map(|it| it + by), most: self.most.map(|it| it + by) }
    }

    /// Whether a size is in it; its ends are.
    pub fn holds(self, size: Length) -> bool {
        self.least.is_none_or(|least| size >= least) && self.most.is_none_or(|most| size <= most)
    }

    /// The middle, where it has two ends.
    pub fn middle(self) -> Option<Length> {
        Some((self.least? + self.most?).half())
    }
}

/// The sizes as if no offset had ever been moved: each less the moves before its part. What is left
/// is what tool, bar and lathe did by themselves, so that wear is seen across a move.
///
/// Valid: any order of the moves.
/// Source: arithmetic.
pub fn without_moves(readings: &[Reading], moves: &[Moved]) -> Vec<Reading> {
    let until = |part| moves.iter().filter(|it| it.before <= part).map(|it| it.by).sum::<Length>();
    let unmoved = |it: &Reading| Reading { part: it.part, size: it.size - until(it.part) };
    readings.iter().map(unmoved).collect()
}

/// The readings from a part on: since an edge was changed, or since the last move.
pub fn since(readings: &[Reading], part: u32) -> Vec<Reading> {
    readings.iter().copied().filter(|it| it.part >= part).collect()
}

/// The readings, where each part comes after the one before it.
///
/// # Errors
/// Parts that are out of order or gauged twice.
pub(super) fn in_order(readings: &[Reading]) -> Result<&[Reading], BadFigure> {
    let rising = readings.windows(2).all(|pair| pair[0].part < pair[1].part);
    let must = "in the order of their parts, one for each";
    if rising { Ok(readings) } else { Err(BadFigure { what: "readings", must }) }
}

pub(super) fn sizes(readings: &[Reading]) -> Vec<Length> {
    readings.iter().map(|it| it.size).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn reading(part: u32, um: i64) -> Reading {
        Reading { part, size: Length::from_um(um) }
    }

    #[test]
    fn a_move_is_taken_back_from_its_part_on() {
        let moves = [
            Moved { before: 20, by: Length::from_um(-10) },
            Moved { before: 40, by: Length::from_um(4) },
        ];
        let read = [reading(10, 100), reading(20, 95), reading(39, 96), reading(40, 101)];
        let unmoved: Vec<i64> =
            without_moves(&read, &moves).iter().map(|it| it.size.nm() / 1000).collect();
        assert_eq!(unmoved, [100, 105, 106, 107]);
        assert_eq!(since(&read, 39).len(), 2);
    }

    #[test]
    fn a_band_has_an_end_and_holds_its_ends() {
        let um = |um| Some(Length::from_um(um));
        assert!(Band::new(None, None).is_err() && Band::new(um(3), um(3)).is_err());
        let band = Band::new(um(-5), um(8)).unwrap();
        assert!(band.holds(Length::from_um(-5)) && band.holds(Length::from_um(8)));
        assert!(!band.holds(Length::from_nm(8001)));
        assert_eq!(band.middle(), Some(Length::from_nm(1500)));
        assert!(Band::new(None, um(8)).unwrap().holds(Length::from_mm(-1)));
    }

    #[test]
    fn readings_out_of_order_are_refused() {
        assert!(in_order(&[reading(1, 0), reading(2, 0)]).is_ok());
        assert!(in_order(&[reading(2, 0), reading(2, 0)]).is_err());
    }
}
