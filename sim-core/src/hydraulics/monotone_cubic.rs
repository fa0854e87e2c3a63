//! Monotone cubic interpolation through points.

/// A C1 curve through points that neither overshoots nor turns where the points do not
/// (Fritsch & Carlson 1980; slopes by the weighted harmonic mean of Fritsch & Butland 1984).
#[derive(Clone, Debug, PartialEq)]
pub(super) struct MonotoneCubic {
    x: Vec<f64>,
    y: Vec<f64>,
    slope: Vec<f64>,
}

impl MonotoneCubic {
    /// The curve through `x` (rising, two or more) and `y` of the same length. Points that are no numbers or do not rise
    /// are left out; a single one makes a level curve, none makes one at 0.
    pub(super) fn new(x: Vec<f64>, y: Vec<f64>) -> Self {
        let mut points: Vec<(f64, f64)> = Vec::with_capacity(x.len());
        for (x, y) in x.into_iter().zip(y) {
            let rises = points.last().is_none_or(|(last, _)| x > *last);
            if rises && x.is_finite() && y.is_finite() {
                points.push((x, y));
            }
        }
        if points.len() < 2 {
            let (x, y) = points.pop().unwrap_or((0.0, 0.0));
            points = vec![(x, y), (x + 1.0, y)];
        }
        let (x, y): (Vec<f64>, Vec<f64>) = points.into_iter().unzip();
        let slope = slopes(&x, &y);
        Self { x, y, slope }
    }

    /// Value and slope at `at`, which lies within the points.
    pub(super) fn at(&self, at: f64) -> (f64, f64) {
        let i = self.x.partition_point(|&x| x <= at).clamp(1, self.x.len() - 1) - 1;
        let width = self.x[i + 1] - self.x[i];
        let t = (at - self.x[i]) / width;
        let (m0, m1) = (self.slope[i] * width, self.slope[i + 1] * width);
        let rise = self.y[i + 1] - self.y[i];
        let cubic = m0 + m1 - 2.0 * rise;
        let square = 3.0 * rise - 2.0 * m0 - m1;
        let value = self.y[i] + t * (m0 + t * (square + t * cubic));
        (value, (m0 + t * (2.0 * square + t * 3.0 * cubic)) / width)
    }

    /// First and last abscissa.
    pub(super) fn range(&self) -> (f64, f64) {
        (self.x[0], self.x[self.x.len() - 1])
    }
}

fn slopes(x: &[f64], y: &[f64]) -> Vec<f64> {
    let width: Vec<f64> = x.windows(2).map(|w| w[1] - w[0]).collect();
    let secant: Vec<f64> = y.windows(2).zip(&width).map(|(w, h)| (w[1] - w[0]) / h).collect();
    let last = secant.len() - 1;
    let inner = (1..=last).map(|i| harmonic(secant[i - 1], secant[i], width[i - 1], width[i]));
    let mut slopes = vec![end_slope(&secant, &width, 0, 1.min(last))];
    slopes.extend(inner);
    slopes.push(end_slope(&secant, &width, last, last.saturating_sub(1)));
    slopes
}

fn harmonic(before: f64, after: f64, width_before: f64, width_after: f64) -> f64 {
    if before * after <= 0.0 {
        return 0.0;
    }
    let w1 = 2.0 * width_after + width_before;
    let w2 = width_after + 2.0 * width_before;
    (w1 + w2) / (w1 / before + w2 / after)
}

/// One-sided three-point slope at an end, kept from turning against its interval.
fn end_slope(secant: &[f64], width: &[f64], end: usize, next: usize) -> f64 {
    let (s0, s1, h0, h1) = (secant[end], secant[next], width[end], width[next]);
    let slope = ((2.0 * h0 + h1) * s0 - h0 * s1) / (h0 + h1);
    if slope * s0 <= 0.0 {
        0.0
    } else if s0 * s1 <= 0.0 && slope.abs() > 3.0 * s0.abs() {
        3.0 * s0
    } else {
        slope
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn passes_through_its_points() {
        let curve = MonotoneCubic::new(vec![0.0, 1.0, 3.0, 4.0], vec![9.0, 8.0, 4.0, 0.0]);
        for (x, y) in [(0.0, 9.0), (1.0, 8.0), (3.0, 4.0), (4.0, 0.0)] {
            assert!((curve.at(x).0 - y).abs() < 1e-12);
        }
    }

    #[test]
    fn two_points_make_a_straight_line() {
        let curve = MonotoneCubic::new(vec![0.0, 2.0], vec![4.0, 0.0]);
        assert_eq!(curve.at(0.5), (3.0, -2.0));
    }

    proptest! {
        #[test]
        fn falling_points_make_a_falling_curve(
            steps in prop::collection::vec((0.1f64..3.0, 0.01f64..5.0), 2..8), t in 0.0f64..1.0,
        ) {
            let (mut x, mut y) = (vec![0.0], vec![50.0]);
            for (dx, dy) in steps {
                x.push(x[x.len() - 1] + dx);
                y.push(y[y.len() - 1] - dy);
            }
            let curve = MonotoneCubic::new(x, y);
            prop_assert!(curve.at(t * curve.range().1).1 <= 1e-12);
        }
    }
}
