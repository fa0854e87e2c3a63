//! Where a sparse matrix of a network has entries, and in which order its unknowns are eliminated.
//!
//! Unknowns are reordered by approximate minimum degree (Amestoy, Davis & Duff 1996), without which fill-in makes a wide
//! boom hundreds of times dearer.

use nalgebra_sparse::factorization::CscSymbolicCholesky;
use nalgebra_sparse::pattern::SparsityPattern;

/// A symmetric pattern: a diagonal, and one pair of entries for each link between two unknowns.
#[derive(Clone, Debug)]
pub(super) struct Pattern {
    /// Position of each unknown in the fill-reducing order.
    pub(super) place: Vec<usize>,
    /// Slot of each unknown's diagonal entry.
    pub(super) diagonal: Vec<usize>,
    /// Slots of each link's two off-diagonal entries, for links between two unknowns: in the row of its first end, and in
    /// that of its second.
    pub(super) pairs: Vec<Option<[usize; 2]>>,
    /// Where each row, in that order, starts among the slots, and one more.
    pub(super) offsets: Vec<usize>,
    /// Column of each slot, rising in each row.
    pub(super) columns: Vec<usize>,
}

impl Pattern {
    /// The pattern of `size` unknowns with a pair of entries for each of `links` whose two ends are different
    /// unknowns (`None` is an end that is no unknown).
    ///
    /// # Panics
    /// Where an end is not below `size`.
    pub(super) fn new(size: usize, links: &[[Option<usize>; 2]]) -> Self {
        let ends = |link: &[Option<usize>; 2]| Some((link[0]?, link[1]?)).filter(|(a, b)| a != b);
        let edges: Vec<(usize, usize)> = links.iter().filter_map(ends).collect();
        let place = minimum_degree(&rows(size, &edges));
        let moved = edges.iter().map(|&(a, b)| (place[a], place[b])).collect::<Vec<_>>();
        let (offsets, columns) = compressed(&rows(size, &moved));
        let slot = |row: usize, column: usize| {
            let start = offsets[row];
            let lane = &columns[start..offsets[row + 1]];
            start + lane.partition_point(|&c| c < column)
        };
        let diagonal: Vec<usize> = place.iter().map(|&k| slot(k, k)).collect();
        let pair = |link: &[Option<usize>; 2]| {
            ends(link).map(|(a, b)| [slot(place[a], place[b]), slot(place[b], place[a])])
        };
        let pairs = links.iter().map(pair).collect();
        Self { place, diagonal, pairs, offsets, columns }
    }

    /// Which entries the factors have.
    #[expect(clippy::expect_used, reason = "rows() sorts and dedups")]
    pub(super) fn symbolic(&self) -> CscSymbolicCholesky {
        let size = self.place.len();
        let (offsets, columns) = (self.offsets.clone(), self.columns.clone());
        let pattern = SparsityPattern::try_from_offsets_and_indices(size, size, offsets, columns)
            .expect("a sorted pattern without repeats");
        CscSymbolicCholesky::factor(pattern)
    }
}

/// Sorted columns of each row of the full symmetric pattern, diagonal included.
fn rows(size: usize, edges: &[(usize, usize)]) -> Vec<Vec<usize>> {
    let mut rows: Vec<Vec<usize>> = (0..size).map(|i| vec![i]).collect();
    for &(a, b) in edges {
        rows[a].push(b);
        rows[b].push(a);
    }
    for row in &mut rows {
        row.sort_unstable();
        row.dedup();
    }
    rows
}

/// The same pattern as offsets and columns.
fn compressed(rows: &[Vec<usize>]) -> (Vec<usize>, Vec<usize>) {
    let mut offsets = vec![0];
    let mut columns = Vec::new();
    for row in rows {
        columns.extend_from_slice(row);
        offsets.push(columns.len());
    }
    (offsets, columns)
}

/// Position of each unknown in the fill-reducing order; the natural order if none is found, which
/// costs time and never correctness.
fn minimum_degree(rows: &[Vec<usize>]) -> Vec<usize> {
    let (offsets, columns) = compressed(rows);
    let order = amd::order(rows.len(), &offsets, &columns, &amd::Control::default());
    order.map_or_else(|_| (0..rows.len()).collect(), |(_, place, _)| place)
}
