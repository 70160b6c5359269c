//! Solves the equations of a beam: symmetric, positive definite, each unknown tied to the three
//! before it at most.

/// How many unknowns back a row reaches.
const REACH: usize = 3;

/// A symmetric matrix of which only the band at and below the diagonal is kept.
#[derive(Debug, Clone)]
pub(super) struct Banded {
    /// `rows[i][k]` is the entry in row `i` and column `i − k`.
    rows: Vec<[f64; REACH + 1]>,
}

impl Banded {
    pub(super) fn new(unknowns: usize) -> Banded {
        Banded { rows: vec![[0.0; REACH + 1]; unknowns] }
    }

    /// Adds to the entries at (row, column) and (column, row); `row` is not less than `column`.
    pub(super) fn add(&mut self, row: usize, column: usize, value: f64) {
        let entry = self.rows.get_mut(row).and_then(|band| band.get_mut(row - column));
        if let Some(entry) = entry {
            *entry += value;
        }
    }

    /// Holds an unknown at zero.
    pub(super) fn hold(&mut self, unknown: usize) {
        if let Some(band) = self.rows.get_mut(unknown) {
            *band = [1.0, 0.0, 0.0, 0.0];
        }
        for back in 1..=REACH {
            if let Some(band) = self.rows.get_mut(unknown + back) {
                band[back] = 0.0;
            }
        }
    }

    /// Makes the matrix ready for right sides; none where it is not positive definite in floating
    /// point.
    ///
    /// `LDLᵀ` without exchanging rows, which a positive definite matrix does not need. Source:
    /// Golub and Van Loan, Matrix Computations, banded systems; from memory.
    pub(super) fn factored(mut self) -> Option<Factored> {
        for row in 0..self.rows.len() {
            for back in (1..=REACH.min(row)).rev() {
                let column = row - back;
                let mut entry = self.rows[row][back];
                for further in back + 1..=REACH.min(row) {
                    let pivot = self.rows[row - further][0];
                    let other = self.rows[column][further - back];
                    entry -= self.rows[row][further] * other * pivot;
                }
                self.rows[row][back] = entry / self.rows[column][0];
            }
            for back in 1..=REACH.min(row) {
                let factor = self.rows[row][back];
                self.rows[row][0] -= factor * factor * self.rows[row - back][0];
            }
            if !(self.rows[row][0] > 0.0 && self.rows[row][0].is_finite()) {
                return None;
            }
        }
        Some(Factored { rows: self.rows })
    }
}

/// A matrix ready for right sides: its factors `L` below the diagonal and `D` on it.
#[derive(Debug, Clone)]
pub(super) struct Factored {
    rows: Vec<[f64; REACH + 1]>,
}

impl Factored {
    /// How many unknowns there are.
    pub(super) fn unknowns(&self) -> usize {
        self.rows.len()
    }

    /// Turns a right side, whose held entries are zero, into the unknowns.
    pub(super) fn solve(&self, right: &mut [f64]) {
        let count = self.rows.len().min(right.len());
        for row in 0..count {
            for back in 1..=REACH.min(row) {
                right[row] -= self.rows[row][back] * right[row - back];
            }
        }
        for row in (0..count).rev() {
            right[row] /= self.rows[row][0];
            for ahead in 1..=REACH.min(count - 1 - row) {
                right[row] -= self.rows[row + ahead][ahead] * right[row + ahead];
            }
        }
    }
}
