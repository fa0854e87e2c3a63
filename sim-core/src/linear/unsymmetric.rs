//! Sparse systems whose entries are not symmetric, though their pattern is: set the pattern once, then factor and solve in
//! place.

use super::Singular;
use super::pattern::Pattern;

/// A matrix of fixed symmetric pattern, factored into a lower and an upper triangle row by row.
///
/// Rows are not exchanged: meant for matrices whose diagonal outweighs the rest of its column or nearly so.
#[derive(Clone, Debug)]
pub(crate) struct SparseLu {
    pattern: Pattern,
    values: Vec<f64>,
    /// Below the diagonal: where each row starts, the columns of its entries, and these.
    lower: Triangle,
    /// Right of the diagonal.
    upper: Triangle,
    /// One over each entry of the upper triangle's diagonal.
    inverse: Vec<f64>,
    work: Vec<f64>,
}

/// Entries of a triangle, row by row.
#[derive(Clone, Debug)]
struct Triangle {
    offsets: Vec<usize>,
    columns: Vec<usize>,
    values: Vec<f64>,
}

impl Triangle {
    fn new(rows: &[Vec<usize>]) -> Self {
        let mut offsets = vec![0];
        offsets.extend(rows.iter().scan(0, |end, row| {
            *end += row.len();
            Some(*end)
        }));
        let columns = rows.concat();
        let values = vec![0.0; columns.len()];
        Self { offsets, columns, values }
    }

    fn row(&self, k: usize) -> std::ops::Range<usize> {
        self.offsets[k]..self.offsets[k + 1]
    }

    /// Sum of row `k`'s entries times those of `x`.
    fn times(&self, k: usize, x: &[f64]) -> f64 {
        let row = self.row(k);
        let entries = self.columns[row.clone()].iter().zip(&self.values[row]);
        entries.map(|(&column, value)| value * x[column]).sum()
    }
}

impl SparseLu {
    /// A matrix of `size` unknowns with a pair of off-diagonal entries for each of `links` whose two ends are different
    /// unknowns (`None` is an end that is no unknown).
    ///
    /// # Panics
    /// Where an end is not below `size`.
    pub(crate) fn with_pattern(size: usize, links: &[[Option<usize>; 2]]) -> Self {
        let pattern = Pattern::new(size, links);
        let symbolic = pattern.symbolic();
        // The factors of a matrix of symmetric pattern are where those of Cholesky's method are.
        let (mut lower, mut upper) = (vec![Vec::new(); size], vec![Vec::new(); size]);
        for (column, row) in symbolic.l_pattern().entries().filter(|(column, row)| row > column) {
            lower[row].push(column);
            upper[column].push(row);
        }
        Self {
            values: vec![0.0; pattern.columns.len()],
            pattern,
            lower: Triangle::new(&lower),
            upper: Triangle::new(&upper),
            inverse: vec![0.0; size],
            work: vec![0.0; size],
        }
    }

    /// Sets every entry to zero.
    pub(crate) fn clear(&mut self) {
        self.values.fill(0.0);
    }

    /// Adds `value` to the diagonal entry of `unknown`.
    pub(crate) fn add_diagonal(&mut self, unknown: usize, value: f64) {
        self.values[self.pattern.diagonal[unknown]] += value;
    }

    /// Adds to the off-diagonal entries of link number `link`, if it has any: in the row of its first end, and in that of
    /// its second.
    pub(crate) fn add_pair(&mut self, link: usize, [first, second]: [f64; 2]) {
        if let Some(slots) = self.pattern.pairs[link] {
            self.values[slots[0]] += first;
            self.values[slots[1]] += second;
        }
    }

    /// Factors the matrix as it is (Doolittle's method, row by row).
    ///
    /// # Errors
    /// [`Singular`] where an entry that is divided by is not positive.
    pub(crate) fn factor(&mut self) -> Result<(), Singular> {
        let Self { pattern, values, lower, upper, inverse, work } = self;
        for k in 0..inverse.len() {
            for slot in pattern.offsets[k]..pattern.offsets[k + 1] {
                work[pattern.columns[slot]] = values[slot];
            }
            for entry in lower.row(k) {
                let above = lower.columns[entry];
                let share = std::mem::take(&mut work[above]) * inverse[above];
                lower.values[entry] = share;
                let row = upper.row(above);
                for (&column, value) in upper.columns[row.clone()].iter().zip(&upper.values[row]) {
                    work[column] -= share * value;
                }
            }
            let pivot = std::mem::take(&mut work[k]);
            for entry in upper.row(k) {
                upper.values[entry] = std::mem::take(&mut work[upper.columns[entry]]);
            }
            if !(pivot > 0.0 && pivot.is_finite()) {
                work.fill(0.0);
                return Err(Singular);
            }
            inverse[k] = 1.0 / pivot;
        }
        Ok(())
    }

    /// Replaces `x`, the right-hand side, by the solution, using the last factorisation.
    pub(crate) fn solve_in_place(&mut self, x: &mut [f64]) {
        let ordered = &mut self.work;
        for (unknown, &k) in self.pattern.place.iter().enumerate() {
            ordered[k] = x[unknown];
        }
        for k in 0..ordered.len() {
            ordered[k] -= self.lower.times(k, ordered);
        }
        for k in (0..ordered.len()).rev() {
            ordered[k] = (ordered[k] - self.upper.times(k, ordered)) * self.inverse[k];
        }
        for (unknown, &k) in self.pattern.place.iter().enumerate() {
            x[unknown] = std::mem::take(&mut ordered[k]);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn solution_agrees_with_dense_elimination(
            raw in prop::collection::vec((0usize..12, 0usize..12, 0.01f64..10.0, 0.2f64..5.0), 1..40),
            right in prop::collection::vec(-5.0f64..5.0, 12),
        ) {
            let links: Vec<_> = raw.iter().map(|&(a, b, ..)| [Some(a), Some(b)]).collect();
            let mut sparse = SparseLu::with_pattern(12, &links);
            // Twice: a factorisation leaves nothing to the next.
            for _ in 0..2 {
                sparse.clear();
                let mut dense = DMatrix::<f64>::identity(12, 12);
                (0..12).for_each(|i| sparse.add_diagonal(i, 1.0));
                for (link, &(a, b, y, ratio)) in raw.iter().enumerate() {
                    if a == b {
                        continue;
                    }
                    sparse.add_diagonal(a, y * ratio);
                    sparse.add_diagonal(b, y);
                    sparse.add_pair(link, [-y, -y * ratio]);
                    dense[(a, a)] += y * ratio;
                    dense[(b, b)] += y;
                    dense[(a, b)] -= y;
                    dense[(b, a)] -= y * ratio;
                }
                sparse.factor().unwrap();
                let mut x = right.clone();
                sparse.solve_in_place(&mut x);
                let expected = dense.lu().solve(&DVector::from_vec(right.clone())).unwrap();
                for (got, want) in x.iter().zip(expected.iter()) {
                    prop_assert!((got - want).abs() < 1e-9 * (1.0 + want.abs()), "{got} against {want}");
                }
            }
        }
    }

    #[test]
    fn a_pivot_of_nothing_is_an_error() {
        let mut matrix = SparseLu::with_pattern(2, &[[Some(0), None]]);
        matrix.add_diagonal(0, 1.0);
        assert_eq!(matrix.factor(), Err(Singular));
    }
}
