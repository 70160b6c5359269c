//! The arithmetic of one bar, exact: whole nanometers and whole parts.
//!
//! This is the planner's. The prover counts by running the program and never uses it.

use model::Length;
use std::fmt;

/// Everything that decides how a bar is divided into parts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Division {
    /// Finished length Lp, front face to back face.
    pub finished: Length,
    /// Part-off width w, what the parting tool turns to chips.
    pub part_off: Length,
    /// Face stock f in front of the finished face after every advance.
    pub face_stock: Length,
    /// First-face stock x1, extra in front of the first part of a bar.
    pub first_face: Length,
    /// Jaw clearance c, from the parting tool's chuck-side edge to the jaw face.
    pub jaw_clearance: Length,
    /// Least grip g, shortest length of bar in the jaws with which a part may be cut.
    pub least_grip: Length,
    /// Parts per advance m, at least 1.
    pub parts_per_advance: u32,
}

/// Why a bar cannot be divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DivisionError {
    /// A length is negative, or a part uses no bar at all.
    NotALength,
    /// No part is cut in an advance.
    NoParts,
}

impl fmt::Display for DivisionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            DivisionError::NotALength => {
                "a length of the bar's division is negative, or its pitch is zero"
            }
            DivisionError::NoParts => "no part is cut in one advance",
        })
    }
}

impl std::error::Error for DivisionError {}

impl Division {
    /// Checks that the lengths can divide a bar.
    ///
    /// # Errors
    /// [`DivisionError::NotALength`] for a negative length or a pitch of zero,
    /// [`DivisionError::NoParts`] for no part an advance.
    pub fn checked(self) -> Result<Division, DivisionError> {
        let lengths = [
            self.finished,
            self.part_off,
            self.face_stock,
            self.first_face,
            self.jaw_clearance,
            self.least_grip,
        ];
        if lengths.into_iter().any(Length::is_negative) || !self.pitch().is_positive() {
            return Err(DivisionError::NotALength);
        }
        if self.parts_per_advance == 0 {
            return Err(DivisionError::NoParts);
        }
        Ok(self)
    }

    /// Pitch: what one part uses of the bar.
    ///
    /// `p = f + Lp + w`.
    /// Valid: any lengths.
    /// Source: the meaning of each length.
    /// Held to: `handbook/bar.toml`.
    pub fn pitch(&self) -> Length {
        self.face_stock + self.finished + self.part_off
    }

    /// Advance: how far the bar is drawn each time.
    ///
    /// `A = m·p`.
    /// Valid: any lengths.
    /// Source: the meaning of each length.
    /// Held to: `handbook/bar.toml`.
    pub fn advance(&self) -> Length {
        self.pitch() * i64::from(self.parts_per_advance)
    }

    /// Stick-out: bar in front of the jaw face after an advance.
    ///
    /// `s = A + c`.
    /// Valid: any lengths.
    /// Source: the meaning of each length.
    /// Held to: `handbook/bar.toml`.
    pub fn stick_out(&self) -> Length {
        self.advance() + self.jaw_clearance
    }

    /// Parts per bar.
    ///
    /// `n = m·(1 + ⌊(L − x1 − s − g)/A⌋)`, zero where the numerator is negative.
    /// Valid: a [checked](Division::checked) division and any bar; without a pitch above zero
    /// there are no parts. No more than `u32` holds.
    /// Source: the meaning of each length.
    /// Held to: `handbook/bar.toml`, and to exact fractions in `tests/it/bar_oracle.rs`.
    ///
    /// ```
    /// # use calc::bar::Division;
    /// # use model::Length;
    /// let mm = Length::from_mm;
    /// let division = Division {
    ///     finished: mm(28), part_off: Length::from_um(2500), face_stock: mm(1), first_face: mm(5),
    ///     jaw_clearance: mm(12), least_grip: mm(30), parts_per_advance: 1,
    /// };
    /// assert_eq!(division.parts_per_bar(mm(1000)), 30);
    /// assert_eq!(division.remnant(mm(1000), 30), mm(50));
    /// ```
    pub fn parts_per_bar(&self, bar: Length) -> u32 {
        let over = bar - self.first_face - self.stick_out() - self.least_grip;
        if over.is_negative() || !self.advance().is_positive() {
            return 0;
        }
        let advances = 1 + over / self.advance();
        u32::try_from(advances.saturating_mul(i64::from(self.parts_per_advance)))
            .unwrap_or(u32::MAX)
    }

    /// Remnant: what is left of a bar after this many parts; negative where the bar is too short.
    ///
    /// `L − x1 − n·p`.
    /// Valid: any bar.
    /// Source: the meaning of each length.
    /// Held to: `handbook/bar.toml`.
    pub fn remnant(&self, bar: Length, parts: u32) -> Length {
        bar - self.first_face - self.pitch() * i64::from(parts)
    }

    /// Longest blank: beyond it the bar hangs out behind the spindle.
    ///
    /// `s + x1 + Ls − r`, where `jaw_face_to_rear` is Ls and `margin` is r.
    /// Valid: `r ≥ 0`; a margin below zero counts as none.
    /// Source: the meaning of each length.
    /// Held to: `handbook/bar.toml`.
    pub fn longest_blank(&self, jaw_face_to_rear: Length, margin: Length) -> Length {
        self.stick_out() + self.first_face + jaw_face_to_rear - margin.max(Length::ZERO)
    }

    /// Shortest bar that still gives this many parts; zero for none.
    ///
    /// `x1 + s + g + A·(⌈n/m⌉ − 1)`.
    /// Valid: a [checked](Division::checked) division.
    /// Source: the formula of [`Division::parts_per_bar`], turned around.
    /// Held to: `handbook/bar.toml`.
    pub fn shortest_blank(&self, parts: u32) -> Length {
        if parts == 0 {
            return Length::ZERO;
        }
        let advances = i64::from(parts.div_ceil(self.parts_per_advance.max(1)));
        self.first_face + self.stick_out() + self.least_grip + self.advance() * (advances - 1)
    }
}

/// Blanks that an order needs; none where a blank gives no part. Stock bars for blanks
/// are counted the same way.
///
/// `⌈quantity / parts per bar⌉`.
/// Valid: any quantity, and at least one part per bar.
/// Source: arithmetic.
/// Held to: `handbook/bar.toml`.
pub fn blanks_for(quantity: u32, parts_per_bar: u32) -> Option<u32> {
    (parts_per_bar > 0).then(|| quantity.div_ceil(parts_per_bar))
}

/// Parts that the last blank of an order gives: 1 to `parts_per_bar`, or zero for no order.
///
/// `(quantity − 1) mod parts per bar + 1`.
/// Valid: any figures.
/// Source: arithmetic.
/// Held to: `handbook/bar.toml`.
pub fn parts_in_last(quantity: u32, parts_per_bar: u32) -> u32 {
    match (quantity, parts_per_bar) {
        (0, _) | (_, 0) => 0,
        _ => (quantity - 1) % parts_per_bar + 1,
    }
}

/// Blanks that a stock bar gives: after the end trim every blank costs its length and a kerf, but
/// the last may end with the bar.
///
/// `⌊(stock − trim + kerf) / (blank + kerf)⌋`.
/// Valid: a blank above zero and kerf and trim not below zero, else no blanks.
/// Source: arithmetic.
/// Held to: `handbook/bar.toml`.
pub fn blanks_per_stock(stock: Length, blank: Length, kerf: Length, trim: Length) -> u32 {
    let cut = blank + kerf;
    let usable = stock - trim + kerf;
    let wrong = kerf.is_negative() || trim.is_negative() || !blank.is_positive();
    if wrong || usable.is_negative() {
        return 0;
    }
    u32::try_from(usable / cut).unwrap_or(u32::MAX)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_order_is_shared_out_to_blanks() {
        // 500 parts at 44 a bar: 12 bars, 16 parts from the last (trade-checks K8, computed).
        assert_eq!(blanks_for(500, 44), Some(12));
        assert_eq!(parts_in_last(500, 44), 16);
        assert_eq!(parts_in_last(44, 44), 44);
        assert_eq!(blanks_for(1, 0), None);
    }

    #[test]
    fn a_stock_bar_is_sawn_with_a_kerf_between_blanks() {
        let mm = Length::from_mm;
        assert_eq!(blanks_per_stock(mm(3000), mm(1000), mm(0), mm(0)), 3);
        assert_eq!(blanks_per_stock(mm(3000), mm(1000), mm(3), mm(0)), 2);
        assert_eq!(blanks_per_stock(mm(3006), mm(1000), mm(3), mm(0)), 3);
        assert_eq!(blanks_per_stock(mm(500), mm(1000), mm(3), mm(10)), 0);
    }

    #[test]
    fn what_cannot_divide_a_bar_is_refused() {
        let none = Division {
            finished: Length::ZERO,
            part_off: Length::ZERO,
            face_stock: Length::ZERO,
            first_face: Length::ZERO,
            jaw_clearance: Length::ZERO,
            least_grip: Length::ZERO,
            parts_per_advance: 1,
        };
        assert_eq!(none.checked(), Err(DivisionError::NotALength));
        assert_eq!(none.parts_per_bar(Length::from_mm(1000)), 0);
        let some = Division { finished: Length::from_mm(10), ..none };
        assert_eq!(
            Division { parts_per_advance: 0, ..some }.checked(),
            Err(DivisionError::NoParts)
        );
        assert_eq!(
            Division { part_off: Length::from_mm(-1), ..some }.checked(),
            Err(DivisionError::NotALength)
        );
    }
}
