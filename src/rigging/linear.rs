//! A small dense linear system, solved in place so that a thousand solves need one allocation.

/// The relative size below which a pivot counts as nothing.
const SMALLEST_PIVOT: f64 = 1e-12;

/// A square system `matrix * unknowns = right`.
pub(super) struct System {
    size: usize,
    matrix: Vec<f64>,
    right: Vec<f64>,
    scale: Vec<f64>,
}

impl System {
    /// A system of this many unknowns, with nothing in it.
    pub fn new(size: usize) -> Self {
        Self {
            size,
            matrix: vec![0.0; size * size],
            right: vec![0.0; size],
            scale: vec![0.0; size],
        }
    }

    /// Empties every row.
    pub fn clear(&mut self) {
        self.matrix.fill(0.0);
        self.right.fill(0.0);
    }

    /// Adds to the coefficient of an unknown in a row.
    pub fn add(&mut self, row: usize, unknown: usize, coefficient: f64) {
        self.matrix[row * self.size + unknown] += coefficient;
    }

    /// Sets the right side of a row.
    pub fn set_right(&mut self, row: usize, value: f64) {
        self.right[row] = value;
    }

    /// The unknowns, by elimination with scaled partial pivoting; `None` if the system is singular.
    ///
    /// What was in the system is used up.
    pub fn solve(&mut self) -> Option<&mut [f64]> {
        let n = self.size;
        for row in 0..n {
            let entries = &self.matrix[row * n..(row + 1) * n];
            self.scale[row] = entries
                .iter()
                .fold(0.0, |most, entry| entry.abs().max(most));
        }
        for column in 0..n {
            let pivot = (column..n)
                .max_by(|&a, &b| self.weight(a, column).total_cmp(&self.weight(b, column)))?;
            let weight = self.weight(pivot, column);
            if weight.is_nan() || weight <= SMALLEST_PIVOT {
                return None;
            }
            self.swap(column, pivot);
            self.eliminate_below(column);
        }
        for row in (0..n).rev() {
            let known: f64 = (row + 1..n)
                .map(|column| self.matrix[row * n + column] * self.right[column])
                .sum();
            self.right[row] = (self.right[row] - known) / self.matrix[row * n + row];
        }
        Some(&mut self.right)
    }

    /// The entry of a column, relative to the largest of its row as given.
    fn weight(&self, row: usize, column: usize) -> f64 {
        self.matrix[row * self.size + column].abs() / self.scale[row]
    }

    fn swap(&mut self, a: usize, b: usize) {
        if a == b {
            return;
        }
        for column in 0..self.size {
            self.matrix
                .swap(a * self.size + column, b * self.size + column);
        }
        self.right.swap(a, b);
        self.scale.swap(a, b);
    }

    fn eliminate_below(&mut self, column: usize) {
        let n = self.size;
        for row in column + 1..n {
            let share = self.matrix[row * n + column] / self.matrix[column * n + column];
            if share == 0.0 {
                continue;
            }
            for k in column..n {
                self.matrix[row * n + k] -= share * self.matrix[column * n + k];
            }
            self.right[row] -= share * self.right[column];
        }
    }
}
