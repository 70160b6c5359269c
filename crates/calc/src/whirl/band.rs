//! Symmetric matrices that are zero beyond the third side diagonal, as beam elements make them:
//! product, factors, solution, and how many eigenvalues lie below a figure.

/// Rows of zeros in front, so that the first rows need no special case.
const PAD: usize = 3;

/// A symmetric matrix; each row holds the diagonal and the three figures left of it, nearest first.
#[derive(Debug, Clone)]
pub(super) struct Band {
    rows: Vec<[f64; 4]>,
}

impl Band {
    pub(super) fn zeros(size: usize) -> Band {
        Band { rows: vec![[0.0; 4]; size] }
    }

    pub(super) fn size(&self) -> usize {
        self.rows.len()
    }

    /// Adds to the figure at row and column, and to its mirror image; at most three apart.
    pub(super) fn add(&mut self, row: usize, column: usize, value: f64) {
        let (below, above) = (row.max(column), row.min(column));
        self.rows[below][below - above] += value;
    }

    /// The figure at row and column.
    pub(super) fn at(&self, row: usize, column: usize) -> f64 {
        let (below, above) = (row.max(column), row.min(column));
        if below - above > 3 { 0.0 } else { self.rows[below][below - above] }
    }

    /// Clears a row and its column and sets their common figure: 1 in a stiffness and 0 in a mass
    /// takes the unknown out of the problem.
    pub(super) fn fix(&mut self, index: usize, diagonal: f64) {
        self.rows[index] = [diagonal, 0.0, 0.0, 0.0];
        for away in 1..=3 {
            if let Some(row) = self.rows.get_mut(index + away) {
                row[away] = 0.0;
            }
        }
    }

    /// This matrix times a vector.
    pub(super) fn times(&self, vector: &[f64]) -> Vec<f64> {
        let mut product = vec![0.0; self.size()];
        for (i, row) in self.rows.iter().enumerate() {
            let mut sum = row[0] * vector[i];
            for away in 1..=3.min(i) {
                sum += row[away] * vector[i - away];
                product[i - away] += row[away] * vector[i];
            }
            product[i] += sum;
        }
        product
    }

    /// `self − shift·other` as `L·D·Lᵀ`, without exchange of rows.
    pub(super) fn factor(&self, shift: f64, other: &Band) -> Factor {
        let mut rows = Vec::with_capacity(self.size() + PAD);
        rows.extend([[1.0, 0.0, 0.0, 0.0]; PAD]);
        let (mut negative, mut least) = (0, f64::INFINITY);
        for (own, other) in self.rows.iter().zip(&other.rows) {
            let a: [f64; 4] = core::array::from_fn(|i| own[i] - shift * other[i]);
            let [up3, up2, up1] =
                [rows[rows.len() - 3], rows[rows.len() - 2], rows[rows.len() - 1]];
            let u3 = a[3];
            let u2 = a[2] - u3 * up2[1];
            let u1 = a[1] - u3 * up1[2] - u2 * up1[1];
            let (l3, l2, l1) = (u3 * up3[0], u2 * up2[0], u1 * up1[0]);
            let mut pivot = a[0] - u3 * l3 - u2 * l2 - u1 * l1;
            // A pivot of zero would be an eigenvalue met to the last digit: step beside it.
            let tiny = f64::EPSILON * f64::EPSILON * (own[0].abs() + 1.0);
            if pivot.abs() < tiny {
                pivot = tiny;
            }
            negative += usize::from(pivot < 0.0);
            least = least.min(pivot / own[0].abs().max(f64::MIN_POSITIVE));
            rows.push([1.0 / pivot, l1, l2, l3]);
        }
        Factor { rows, negative, least }
    }
}

/// A matrix in factors: each row the inverse pivot and the figures of `L` left of the diagonal.
#[derive(Debug)]
pub(super) struct Factor {
    rows: Vec<[f64; 4]>,
    /// How many pivots are negative: by Sylvester's law of inertia, how many eigenvalues lie below
    /// the shift.
    pub(super) negative: usize,
    /// Smallest pivot against the diagonal figure it came from.
    pub(super) least: f64,
}

impl Factor {
    /// Turns the right side into the solution.
    pub(super) fn solve(&self, vector: &mut [f64]) {
        let rows = &self.rows[PAD..];
        for i in 0..vector.len() {
            let mut sum = vector[i];
            for away in 1..=3.min(i) {
                sum -= rows[i][away] * vector[i - away];
            }
            vector[i] = sum;
        }
        for (figure, row) in vector.iter_mut().zip(rows) {
            *figure *= row[0];
        }
        for i in (0..vector.len()).rev() {
            let figure = vector[i];
            for away in 1..=3.min(i) {
                vector[i - away] -= rows[i][away] * figure;
            }
        }
    }
}
