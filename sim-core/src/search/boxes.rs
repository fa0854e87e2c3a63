//! Few designs that stand for a front: one a box of aims, and those that go by a name.

/// The least and the largest of every aim of `points`; nothing where there is no point.
fn ranges(points: &[&[f64]]) -> Vec<(f64, f64)> {
    let aims = points.first().map_or(0, |point| point.len());
    let range = |aim: usize| {
        let values = points.iter().map(|point| point[aim]);
        values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
            (low.min(value), high.max(value))
        })
    };
    (0..aims).map(range).collect()
}

/// `point` as shares of `ranges`.
fn shares(point: &[f64], ranges: &[(f64, f64)]) -> Vec<f64> {
    let share = |(value, (low, high)): (&f64, &(f64, f64))| {
        if high > low { (value - low) / (high - low) } else { 0.0 }
    };
    point.iter().zip(ranges).map(share).collect()
}

/// Indices of at most `most` of `points`, which are a front: of those in one box the one that is best in all together. Boxes are as small
/// as so many allow (Laumanns and others 2002, doi 10.1162/106365602760234108, from memory).
pub fn in_boxes(points: &[&[f64]], most: usize) -> Vec<usize> {
    let ranges = ranges(points);
    let shares: Vec<Vec<f64>> = points.iter().map(|point| shares(point, &ranges)).collect();
    let mut width = 0.01;
    loop {
        let mut boxes: Vec<(Vec<u64>, usize)> = Vec::new();
        for (at, share) in shares.iter().enumerate() {
            let cell: Vec<u64> = share.iter().map(|share| (share / width) as u64).collect();
            match boxes.iter_mut().find(|(other, _)| *other == cell) {
                Some((_, best)) => {
                    let sum = |at: usize| shares[at].iter().sum::<f64>();
                    if sum(at) < sum(*best) {
                        *best = at;
                    }
                }
                None => boxes.push((cell, at)),
            }
        }
        if boxes.len() <= most || width > 2.0 {
            let mut kept: Vec<usize> = boxes.into_iter().map(|(_, at)| at).collect();
            kept.truncate(most);
            kept.sort_unstable();
            return kept;
        }
        width *= 1.25;
    }
}

/// Which of `points` is nearest to the best of every aim at once, each aim counted by its range.
pub fn compromise(points: &[&[f64]]) -> Option<usize> {
    let ranges = ranges(points);
    let far = |at: &usize| shares(points[*at], &ranges).iter().map(|s| s * s).sum::<f64>();
    (0..points.len()).min_by(|a, b| far(a).total_cmp(&far(b)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn boxes_leave_few_and_the_compromise_is_the_knee() {
        let line: Vec<[f64; 2]> = (0..=100).map(|i| [f64::from(i), f64::from(100 - i)]).collect();
        let points: Vec<&[f64]> = line.iter().map(<[f64; 2]>::as_slice).collect();
        let kept = in_boxes(&points, 12);
        assert!((6..=12).contains(&kept.len()), "{kept:?}");
        let knee: [&[f64]; 3] = [&[0.0, 10.0], &[1.0, 1.0], &[10.0, 0.0]];
        assert_eq!(compromise(&knee), Some(1));
        assert_eq!(compromise(&[]), None);
    }
}
