//! Which points of a curve does the eye need?

/// How far a curve may be moved, px.
const WITHIN: f64 = 0.4;

/// The points of `path` without those that lie on the way between the ones kept. Many short pieces
/// would come out ragged on a grid of pixels.
pub(super) fn simplified(path: &[(f64, f64)]) -> Vec<(f64, f64)> {
    let Some(last) = path.len().checked_sub(1) else { return Vec::new() };
    let mut keep = vec![false; path.len()];
    keep[0] = true;
    keep[last] = true;
    let mut open = vec![(0, last)];
    while let Some((from, to)) = open.pop() {
        let off = |i: usize| distance(path[i], path[from], path[to]);
        let farthest = (from + 1..to).max_by(|a, b| off(*a).total_cmp(&off(*b)));
        if let Some(middle) = farthest.filter(|i| off(*i) > WITHIN) {
            keep[middle] = true;
            open.extend([(from, middle), (middle, to)]);
        }
    }
    path.iter().zip(keep).filter(|(_, keep)| *keep).map(|(point, _)| *point).collect()
}

/// Distance of `point` from the piece from `a` to `b`.
fn distance(point: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let square = dx * dx + dy * dy;
    let along = if square > 0.0 {
        (((point.0 - a.0) * dx + (point.1 - a.1) * dy) / square).clamp(0.0, 1.0)
    } else {
        0.0
    };
    (point.0 - a.0 - along * dx).hypot(point.1 - a.1 - along * dy)
}

#[cfg(test)]
mod tests {
    use super::simplified;

    #[test]
    fn corners_stay_and_points_between_go() {
        let path: Vec<(f64, f64)> = (0..=100)
            .map(|i| (f64::from(i), if i < 50 { 0.0 } else { f64::from(i - 50) }))
            .collect();
        assert_eq!(simplified(&path), vec![(0.0, 0.0), (50.0, 0.0), (100.0, 50.0)]);
        assert_eq!(simplified(&[]), vec![]);
        assert_eq!(simplified(&[(1.0, 2.0)]), vec![(1.0, 2.0); 1]);
    }
}
