//! Sparse symmetric positive definite systems: set the pattern once, then factor and solve in place.
//!
//! The only file that names the sparse crates. Unknowns are reordered by approximate minimum degree
//! (Amestoy, Davis & Duff 1996), without which fill-in makes a wide boom hundreds of times dearer.

use nalgebra::DMatrixViewMut;
use nalgebra_sparse::factorization::{CscCholesky, CscSymbolicCholesky};
use nalgebra_sparse::pattern::SparsityPattern;

/// A symmetric matrix of fixed pattern: a diagonal, and one pair of entries for each link between
/// two unknowns.
#[derive(Clone, Debug)]
pub(crate) struct SparseSpd {
    /// Position of each unknown in the fill-reducing order.
    place: Vec<usize>,
    /// Slot of each unknown's diagonal entry.
    diagonal: Vec<usize>,
    /// Slots of each link's two off-diagonal entries, for links between two unknowns.
    pairs: Vec<Option<[usize; 2]>>,
    values: Vec<f64>,
    factor: CscCholesky<f64>,
    ordered: Vec<f64>,
}

/// The matrix is not positive definite: some unknown is tied to nothing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("the system of equations is singular")]
pub(crate) struct NotPositiveDefinite;

impl SparseSpd {
    /// A matrix of `size` unknowns with a pair of off-diagonal entries for each of `links` whose
    /// two ends are different unknowns (`None` is an end that is no unknown).
    ///
    /// Links may share their ends; their entries then add up.
    ///
    /// # Panics
    /// Where an end is not below `size`.
    pub(crate) fn with_pattern(size: usize, links: &[[Option<usize>; 2]]) -> Self {
        let ends = |link: &[Option<usize>; 2]| Some((link[0]?, link[1]?)).filter(|(a, b)| a != b);
        let edges: Vec<(usize, usize)> = links.iter().filter_map(ends).collect();
        let natural = columns(size, &edges);
        let place = minimum_degree(&natural);
        let moved = edges.iter().map(|&(a, b)| (place[a], place[b])).collect::<Vec<_>>();
        let (offsets, rows) = compressed(&columns(size, &moved));
        let slot = |row: usize, column: usize| {
            let start = offsets[column];
            let lane = &rows[start..offsets[column + 1]];
            start + lane.partition_point(|&r| r < row)
        };
        let diagonal: Vec<usize> = place.iter().map(|&k| slot(k, k)).collect();
        let pair = |link: &[Option<usize>; 2]| {
            ends(link).map(|(a, b)| [slot(place[a], place[b]), slot(place[b], place[a])])
        };
        let pairs = links.iter().map(pair).collect();
        let mut values = vec![0.0; rows.len()];
        diagonal.iter().for_each(|&slot| values[slot] = 1.0);
        let factor = factor_of_identity(size, offsets, rows, &values);
        values.fill(0.0);
        Self { place, diagonal, pairs, values, factor, ordered: vec![0.0; size] }
    }

    /// Sets every entry to zero.
    pub(crate) fn clear(&mut self) {
        self.values.fill(0.0);
    }

    /// Adds `value` to the diagonal entry of `unknown`.
    pub(crate) fn add_diagonal(&mut self, unknown: usize, value: f64) {
        self.values[self.diagonal[unknown]] += value;
    }

    /// Adds `value` to both off-diagonal entries of link number `link`, if it has any.
    pub(crate) fn add_pair(&mut self, link: usize, value: f64) {
        if let Some([upper, lower]) = self.pairs[link] {
            self.values[upper] += value;
            self.values[lower] += value;
        }
    }

    /// Factors the matrix as it is.
    ///
    /// # Errors
    /// [`NotPositiveDefinite`] if it is not positive definite to working precision.
    pub(crate) fn factor(&mut self) -> Result<(), NotPositiveDefinite> {
        self.factor.refactor(&self.values).map_err(|_| NotPositiveDefinite)
    }

    /// Replaces `x`, the right-hand side, by the solution, using the last factorisation.
    pub(crate) fn solve_in_place(&mut self, x: &mut [f64]) {
        for (unknown, &k) in self.place.iter().enumerate() {
            self.ordered[k] = x[unknown];
        }
        let size = self.ordered.len();
        self.factor.solve_mut(DMatrixViewMut::from_slice(&mut self.ordered, size, 1));
        for (unknown, &k) in self.place.iter().enumerate() {
            x[unknown] = self.ordered[k];
        }
    }
}

/// Sorted row indices of each column of the full symmetric pattern, diagonal included.
fn columns(size: usize, edges: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut columns: Vec<Vec<usize>> = (0..size).map(|i| vec![i]).collect();
    for &(a, b) in edges {
        columns[a].push(b);
        columns[b].push(a);
    }
    for column in &mut columns {
        column.sort_unstable();
        column.dedup();
    }
    columns
}

/// The same pattern as offsets and row indices.
fn compressed(columns: &[Vec<usize>]) -> (Vec<usize>, Vec<usize>) {
    let mut offsets = vec![0];
    let mut rows = Vec::new();
    for column in columns {
        rows.extend_from_slice(column);
        offsets.push(rows.len());
    }
    (offsets, rows)
}

/// Position of each unknown in the fill-reducing order; the natural order if none is found, which
/// costs time and never correctness.
fn minimum_degree(columns: &[Vec<usize>]) -> Vec<usize> {
    let (offsets, rows) = compressed(columns);
    let order = amd::order(columns.len(), &offsets, &rows, &amd::Control::default());
    order.map_or_else(|_| (0..columns.len()).collect(), |(_, place, _)| place)
}

#[expect(clippy::expect_used, reason = "columns() sorts and dedups; a unit diagonal factors")]
fn factor_of_identity(
    size: usize,
    offsets: Vec<usize>,
    rows: Vec<usize>,
    values: &[f64],
) -> CscCholesky<f64> {
    let pattern = SparsityPattern::try_from_offsets_and_indices(size, size, offsets, rows)
        .expect("a sorted pattern without repeats");
    let symbolic = CscSymbolicCholesky::factor(pattern);
    CscCholesky::factor_numerical(symbolic, values).expect("the identity is positive definite")
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
        assert_eq!(matrix.factor(), Err(NotPositiveDefinite));
    }
}
