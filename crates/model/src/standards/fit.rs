//! Tolerance classes of ISO 286: a letter for where the tolerance lies, a number for how wide it is.
//!
//! Source: ISO 286-1:2010, tables 1 to 5, up to 500 mm; figures from memory, held to a published
//! copy of the tables of ISO 286-2 in `handbook/drawing.toml`.

mod table;

use super::Refusal;
use crate::{Length, Units};
use table::{GRADE_ENDS, GRADES, HOLE_J, SHAFT_J, SHAFTS, SIZE_ENDS};

/// The largest size that the tables have.
pub const LARGEST: Length = Length::from_mm(500);

/// A tolerance class, as `h7` or `H7`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Class {
    letters: String,
    grade: usize,
}

impl Class {
    /// Reads a class such as `h7`, `js6` or `H11`.
    ///
    /// # Errors
    /// What is no letter with a number, a letter that the tables here do not have, or a grade
    /// outside 1 to 16.
    pub fn read(text: &str) -> Result<Class, Refusal> {
        let text = text.trim();
        let digits = text.find(|c: char| c.is_ascii_digit()).unwrap_or(text.len());
        let (letters, number) = text.split_at(digits);
        let lower = letters.to_ascii_lowercase();
        let one_case = letters == lower || letters == letters.to_ascii_uppercase();
        let known = SHAFTS.iter().any(|(name, _, _)| *name == lower) || lower == "j";
        let help = "write a letter and a grade: h7, g6 or k6 outside, H7 inside";
        let Some(grade) = number.parse().ok().filter(|grade| (1..=16).contains(grade)) else {
            return Err(Refusal::new(format!("\"{text}\" is no tolerance class"), help));
        };
        if !(known && one_case) {
            let message =
                format!("there is no tolerance position \"{letters}\" in the tables here");
            let help = "they have a to h, js, j, k, m, n, p, r, s, t and u, in capitals for holes; \
                        else write `upper` and `lower`";
            return Err(Refusal::new(message, help));
        }
        Ok(Class { letters: letters.to_owned(), grade })
    }

    /// Whether it is a class of holes: those have capitals.
    pub fn is_for_holes(&self) -> bool {
        self.letters.starts_with(|c: char| c.is_ascii_uppercase())
    }

    /// The class as a drawing has it.
    pub fn name(&self) -> String {
        format!("{}{}", self.letters, self.grade)
    }

    /// The same grade and position of the other kind: `H7` for `h7`.
    #[must_use]
    pub fn other(&self) -> Class {
        let letters = if self.is_for_holes() {
            self.letters.to_ascii_lowercase()
        } else {
            self.letters.to_ascii_uppercase()
        };
        Class { letters, grade: self.grade }
    }

    /// The largest and the smallest deviation from this nominal size.
    ///
    /// Valid: above zero, to 500 mm. For holes K to U the grades up to 8 (K, M, N) or 7 (P to U)
    /// have what the finer grade takes off added, as ISO 286-1 has it.
    ///
    /// # Errors
    /// A size beyond the tables, or a class that the standard has not at this size.
    pub fn deviations(&self, size: Length) -> Result<(Length, Length), Refusal> {
        let tenths = |it: i64| Length::from_nm(it * 100);
        let Some((row, column)) = rows(size) else {
            let message =
                format!("tolerance classes go up to 500 mm, not to {}", size.shown(Units::Mm));
            return Err(Refusal::new(message, "write `upper` and `lower`"));
        };
        let width = tenths(GRADES[self.grade - 1][row]);
        let missing = || {
            let message = format!("there is no {} at {}", self.name(), size.shown(Units::Mm));
            Refusal::new(message, "take another class, or write `upper` and `lower`")
        };
        let letter = self.letters.to_ascii_lowercase();
        let holes = self.is_for_holes();
        if letter == "js" {
            return Ok((width.half(), -width.half()));
        }
        if letter == "j" {
            let table = if holes { &HOLE_J } else { &SHAFT_J };
            let list = table.iter().find(|(grade, _)| *grade == self.grade).ok_or_else(missing)?;
            let end = Length::from_um(list.1[row]);
            return Ok(if holes { (end, end - width) } else { (end + width, end) });
        }
        let (_, below, list) =
            SHAFTS.iter().find(|(name, ..)| *name == letter).ok_or_else(missing)?;
        let off = Length::from_um(list[column]);
        if *below {
            // The tolerance of a shaft hangs below, that of a hole stands above.
            return Ok(if holes { (off + width, off) } else { (-off, -off - width) });
        }
        if !off.is_positive() && letter == "t" {
            return Err(missing());
        }
        if !holes {
            // The position k has its distance only in the middle grades.
            let off =
                if letter == "k" && !(4..=7).contains(&self.grade) { Length::ZERO } else { off };
            return Ok((off + width, off));
        }
        let upper = self.hole_above(&letter, off, row, column).ok_or_else(missing)?;
        Ok((upper, upper - width))
    }

    /// The largest deviation of a hole that is smaller than its nominal size.
    fn hole_above(&self, letter: &str, off: Length, row: usize, column: usize) -> Option<Length> {
        let finest = matches!(letter, "k" | "m" | "n");
        let with_more = self.grade <= if finest { 8 } else { 7 };
        if !with_more {
            return match letter {
                "k" => (row == 0).then_some(Length::ZERO),
                "n" => Some(if row == 0 { -off } else { Length::ZERO }),
                _ => Some(-off),
            };
        }
        if row == 0 || self.grade < 3 {
            return Some(-off);
        }
        // The one figure of the table that its rule does not give: M6 over 250 to 315 mm.
        if letter == "m" && self.grade == 6 && (19..=20).contains(&column) {
            return Some(Length::from_um(-9));
        }
        let more = GRADES[self.grade - 1][row] - GRADES[self.grade - 2][row];
        Some(Length::from_nm(more * 100) - off)
    }
}

/// Where a size stands in the table of grades and in that of positions.
fn rows(size: Length) -> Option<(usize, usize)> {
    let place = |ends: &[i64]| ends.iter().position(|end| size <= Length::from_mm(*end));
    let both = (place(&GRADE_ENDS)?, place(&SIZE_ENDS)?);
    size.is_positive().then_some(both)
}

/// How wide the tolerance of a grade is at a size: `IT7` of 10 mm is 15 µm.
///
/// # Errors
/// None for a grade outside 1 to 16 or a size beyond the table.
pub fn grade(grade: usize, size: Length) -> Option<Length> {
    let (row, _) = rows(size)?;
    let list = GRADES.get(grade.checked_sub(1)?)?;
    Some(Length::from_nm(list[row] * 100))
}
