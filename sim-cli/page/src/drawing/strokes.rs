//! Where marks and names are on the lines of the schematic.

/// A point of a picture, px.
pub type Pixel = (i32, i32);

/// The longest straight piece of `path` that is worth an arrow.
pub fn longest_piece(path: &[Pixel]) -> Option<(Pixel, Pixel)> {
    let length =
        |a: Pixel, b: Pixel| f64::from((b.0 - a.0).abs()).hypot(f64::from((b.1 - a.1).abs()));
    let pieces = path.windows(2).map(|w| (w[0], w[1]));
    pieces
        .max_by(|a, b| length(a.0, a.1).total_cmp(&length(b.0, b.1)))
        .filter(|(a, b)| length(*a, *b) > 14.0)
}

/// The middle between `from` and `to` and the unit vector that way.
pub fn direction(from: Pixel, to: Pixel) -> (Pixel, (f64, f64)) {
    let (dx, dy) = (f64::from(to.0 - from.0), f64::from(to.1 - from.1));
    let length = dx.hypot(dy).max(1.0);
    (((from.0 + to.0) / 2, (from.1 + to.1) / 2), (dx / length, dy / length))
}

/// A small triangle within a line of `width`.
pub fn arrow_head((x, y): Pixel, (dx, dy): (f64, f64), width: u32) -> Vec<Pixel> {
    let size = (0.42 * f64::from(width)).clamp(2.5, 6.0);
    let point = |along: f64, across: f64| {
        let px = f64::from(x) + along * dx - across * dy;
        (px.round() as i32, (f64::from(y) + along * dy + across * dx).round() as i32)
    };
    vec![point(1.4 * size, 0.0), point(-size, size), point(-size, -size)]
}

/// The middle of the longest straight piece of `path`.
pub fn midpoint(path: &[Pixel]) -> Pixel {
    let (a, b) = longest_piece(path).unwrap_or((path[0], path[path.len() - 1]));
    ((a.0 + b.0) / 2, (a.1 + b.1) / 2)
}

/// Whether the longest straight piece of `path` is nearer to upright than to level.
pub fn upright(path: &[Pixel]) -> bool {
    let (a, b) = longest_piece(path).unwrap_or((path[0], path[path.len() - 1]));
    (a.0 - b.0).abs() < (a.1 - b.1).abs()
}

/// Points along `path`, a few px apart.
pub fn points_along(path: &[Pixel]) -> Vec<Pixel> {
    let mut points = Vec::new();
    for w in path.windows(2) {
        let steps = ((w[1].0 - w[0].0).abs() + (w[1].1 - w[0].1).abs()) / 8 + 1;
        for k in 0..steps {
            let along = |a: i32, b: i32| a + (b - a) * (2 * k + 1) / (2 * steps);
            points.push((along(w[0].0, w[1].0), along(w[0].1, w[1].1)));
        }
    }
    points
}

/// One point of each of `candidates`, none of them empty, as near the middle of each as keeps it `apart` px
/// from those of the ones before; its middle where none does.
pub fn clear_of_each_other(candidates: &[Vec<Pixel>], apart: i32) -> Vec<Pixel> {
    let mut taken: Vec<Pixel> = Vec::new();
    for points in candidates {
        let middle = points.len() / 2;
        let mut order: Vec<usize> = (0..points.len()).collect();
        order.sort_by_key(|k| k.abs_diff(middle));
        let free = |k: &&usize| {
            let (x, y) = points[**k];
            taken.iter().all(|at| (at.0 - x).abs() >= apart || (at.1 - y).abs() >= apart)
        };
        let at = order.iter().find(free).or(order.first()).map(|k| points[*k]);
        taken.extend(at);
    }
    taken
}

#[cfg(test)]
mod tests {
    use super::{clear_of_each_other, points_along};

    #[test]
    fn marks_on_crossing_lines_keep_clear_of_each_other() {
        let level = points_along(&[(0, 50), (100, 50)]);
        let upright = points_along(&[(50, 0), (50, 100)]);
        let at = clear_of_each_other(&[level, upright], 30);
        assert!((at[0].0 - 50).abs() < 8 && at[0].1 == 50);
        assert!(at[1].0 == 50 && (at[1].1 - 50).abs() >= 30);
    }
}
