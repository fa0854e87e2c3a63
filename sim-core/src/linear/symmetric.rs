//! Sparse symmetric positive definite systems: set the pattern once, then factor and solve in place.

use super::Singular;
use super::pattern::Pattern;
use nalgebra::DMatrixViewMut;
use nalgebra_sparse::factorization::CscCholesky;

/// A symmetric matrix of fixed pattern: a diagonal, and one pair of entries for each link between
/// two unknowns.
#[derive(Clone, Debug)]
pub(crate) struct SparseSpd {
    pattern: Pattern,
    values: Vec<f64>,
    factor: CscCholesky<f64>,
    ordered: Vec<f64>,
}

impl SparseSpd {
    /// A matrix of `size` unknowns with a pair of off-diagonal entries for each of `links` whose
    /// two ends are different unknowns (`None` is an end that is no unknown).
    ///
    /// Links may share their ends; their entries then add up.
    ///
    /// # Panics
    /// Where an end is not below `size`.
    #[expect(clippy::expect_used, reason = "a unit diagonal factors")]
    pub(crate) fn with_pattern(size: usize, links: &[[Option<usize>; 2]]) -> Self {
        let pattern = Pattern::new(size, links);
        let mut values = vec![0.0; pattern.columns.len()];
        pattern.diagonal.iter().for_each(|&slot| values[slot] = 1.0);
        let factor = CscCholesky::factor_numerical(pattern.symbolic(), &values)
            .expect("the identity is positive definite");
        values.fill(0.0);
        Self { pattern, values, factor, ordered: vec![0.0; size] }
    }

    /// Sets every entry to zero.
    pub(crate) fn clear(&mut self) {
        self.values.fill(0.0);
    }

    /// Adds `value` to the diagonal entry of `unknown`.
    pub(crate) fn add_diagonal(&mut self, unknown: usize, value: f64) {
        self.values[self.pattern.diagonal[unknown]] += value;
    }

    /// Adds `value` to both off-diagonal entries of link number `link`, if it has any.
    pub(crate) fn add_pair(&mut self, link: usize, value: f64) {
        if let Some([first, second]) = self.pattern.pairs[link] {
            self.values[first] += value;
            self.values[second] += value;
        }
    }

    /// Factors the matrix as it is.
    ///
    /// # Errors
    /// [`Singular`] if it is not positive definite to working precision.
    pub(crate) fn factor(&mut self) -> Result<(), Singular> {
        self.factor.refactor(&self.values).map_err(|_| Singular)
    }

    /// Replaces `x`, the right-hand side, by the solution, using the last factorisation.
    pub(crate) fn solve_in_place(&mut self, x: &mut [f64]) {
        for (unknown, &k) in self.pattern.place.iter().enumerate() {
            self.ordered[k] = x[unknown];
        }
        let size = self.ordered.len();
        self.factor.solve_mut(DMatrixViewMut::from_slice(&mut self.ordered, size, 1));
        for (unknown, &k) in self.pattern.place.iter().enumerate() {
            x[unknown] = self.ordered[k];
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;
    use nalgebra::{DMatrix, DVector};
    use proptest::prelude::*;

    fn ladder(rungs: usize) -> Vec<[Option<usize>; 2]> {
        let rail = |i: usize| [[Some(i), Some(i + 2)], [Some(i + 1), Some(i + 3)]];
        let mut links: Vec<_> = (0..rungs - 1).flat_map(|r| rail(2 * r)).collect();
        links.extend((0..rungs).map(|r| [Some(2 * r), Some(2 * r + 1)]));
        links
    }

    proptest! {
        #[test]
        fn solution_agrees_with_dense_cholesky(
            raw in prop::collection::vec((0usize..12, 0usize..12, 0.01f64..10.0), 1..40),
            right in prop::collection::vec(-5.0f64..5.0, 12),
        ) {
            let links: Vec<_> = raw.iter().map(|&(a, b, _)| [Some(a), Some(b)]).collect();
            let mut sparse = SparseSpd::with_pattern(12, &links);
            let mut dense = DMatrix::<f64>::identity(12, 12);
            (0..12).for_each(|i| sparse.add_diagonal(i, 1.0));
            for (link, &(a, b, y)) in raw.iter().enumerate() {
                sparse.add_diagonal(a, y);
                sparse.add_diagonal(b, y);
                sparse.add_pair(link, -y);
                dense[(a, a)] += y;
                dense[(b, b)] += y;
                if a != b {
                    dense[(a, b)] -= y;
                    dense[(b, a)] -= y;
                }
            }
            sparse.factor().unwrap();
            let mut x = right.clone();
            sparse.solve_in_place(&mut x);
            let expected = dense.cholesky().unwrap().solve(&DVector::from_vec(right));
            for (got, want) in x.iter().zip(expected.iter()) {
                prop_assert!((got - want).abs() < 1e-10, "{got} against {want}");
            }
        }
    }

    #[test]
    fn ordering_keeps_fill_in_of_a_ladder_linear() {
        let entries = |rungs| SparseSpd::with_pattern(2 * rungs, &ladder(rungs)).factor.l().nnz();
        let growth = entries(2000) as f64 / entries(200) as f64;
        assert_relative_eq!(growth, 10.0, max_relative = 0.1);
    }

    #[test]
    fn an_unknown_tied_to_nothing_is_an_error() {
        let mut matrix = SparseSpd::with_pattern(2, &[[Some(0), None]]);
        matrix.add_diagonal(0, 1.0);
        assert_eq!(matrix.factor(), Err(Singular));
    }
}
