//! Which designs are better: dominance under limits, fronts, and how crowded a front is.

use super::judged::Judged;
use std::cmp::Ordering;

/// Whether `a` is better than `b`: of two that break limits the one that breaks them less, one that keeps them before one that
/// does not, and of two that keep them the one that is nowhere worse and somewhere better (Deb 2000, from memory).
pub(super) fn dominates(a: &Judged, b: &Judged) -> bool {
    match (a.violation > 0.0, b.violation > 0.0) {
        (true, _) => a.violation < b.violation,
        (false, true) => true,
        (false, false) => {
            let mut pairs = a.aims.iter().zip(&b.aims);
            let worse = pairs.clone().any(|(a, b)| a > b);
            !worse && pairs.any(|(a, b)| a < b)
        }
    }
}

/// Indices of `judged` in fronts: each is dominated only by earlier ones (Deb and others 2002, doi 10.1109/4235.996017, from memory).
pub(super) fn fronts(judged: &[&Judged]) -> Vec<Vec<usize>> {
    let mut left: Vec<usize> = (0..judged.len()).collect();
    let mut fronts = Vec::new();
    while !left.is_empty() {
        let is_first =
            |at: &usize| !left.iter().any(|other| dominates(judged[*other], judged[*at]));
        let (front, rest): (Vec<usize>, Vec<usize>) = left.iter().copied().partition(is_first);
        fronts.push(front);
        left = rest;
    }
    fronts
}

/// Of `judged`, the indices of those that no other dominates and that keep every limit, each point of aims once.
pub fn front(judged: &[&Judged]) -> Vec<usize> {
    let kept: Vec<usize> = (0..judged.len()).filter(|at| judged[*at].violation <= 0.0).collect();
    let first = |at: &usize| {
        !kept.iter().any(|other| {
            let same = other < at && judged[*other].aims == judged[*at].aims;
            same || dominates(judged[*other], judged[*at])
        })
    };
    kept.iter().copied().filter(first).collect()
}

/// How lonely each of `front` is: the sum over aims of the distance between its neighbours, endless at the ends.
pub(super) fn crowding(judged: &[&Judged], front: &[usize]) -> Vec<f64> {
    let mut lonely = vec![0.0; front.len()];
    let aims = front.first().map_or(0, |first| judged[*first].aims.len());
    for aim in 0..aims {
        let value = |at: usize| judged[front[at]].aims[aim];
        let mut order: Vec<usize> = (0..front.len()).collect();
        order.sort_by(|a, b| value(*a).total_cmp(&value(*b)).then(a.cmp(b)));
        let (first, last) = (order[0], order[order.len() - 1]);
        let span = value(last) - value(first);
        lonely[first] = f64::INFINITY;
        lonely[last] = f64::INFINITY;
        if span.is_finite() && span > 0.0 {
            for three in order.windows(3) {
                lonely[three[1]] += (value(three[2]) - value(three[0])) / span;
            }
        }
    }
    lonely
}

/// Ranks: which front each of `judged` is in, and how lonely it is there.
pub(super) fn ranks(judged: &[&Judged]) -> Vec<(usize, f64)> {
    let mut ranks = vec![(0, 0.0); judged.len()];
    for (rank, front) in fronts(judged).iter().enumerate() {
        for (at, lonely) in front.iter().zip(crowding(judged, front)) {
            ranks[*at] = (rank, lonely);
        }
    }
    ranks
}

/// The better rank first.
pub(super) fn better((front, lonely): (usize, f64), other: (usize, f64)) -> Ordering {
    front.cmp(&other.0).then(other.1.total_cmp(&lonely))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(aims: [f64; 2], violation: f64) -> Judged {
        Judged { aims: aims.to_vec(), violation }
    }

    #[test]
    fn limits_count_before_aims_and_fronts_follow_one_another() {
        let all = [
            judged([1.0, 3.0], 0.0),
            judged([2.0, 2.0], 0.0),
            judged([3.0, 3.0], 0.0),
            judged([0.0, 0.0], 0.5),
            judged([9.0, 9.0], 0.1),
        ];
        let all: Vec<&Judged> = all.iter().collect();
        assert_eq!(fronts(&all), [vec![0, 1], vec![2], vec![4], vec![3]]);
        assert_eq!(front(&all), [0, 1]);
        let line: Vec<Judged> = [0.0, 1.0, 3.0].map(|x| judged([x, 3.0 - x], 0.0)).to_vec();
        let line: Vec<&Judged> = line.iter().collect();
        assert_eq!(crowding(&line, &[0, 1, 2]), [f64::INFINITY, 2.0, f64::INFINITY]);
    }
}
