//! How an uncertain input is spread: from a number between 0 and 1 to its value.

/// Standard deviations beyond which nothing is drawn: three machines in a thousand.
const FARTHEST: f64 = 3.0;

/// The spread of an input. Ranges are those in which it is; a deviation leaves about 95 of 100 within twice as much.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum SpreadLaw {
    /// Anywhere between two values alike.
    Between(f64, f64),
    /// About a value with a standard deviation, both in its own unit.
    Normal(f64, f64),
    /// About a value by factors whose logarithm has this standard deviation.
    Factor(f64, f64),
}

impl SpreadLaw {
    /// The value that a share `below` (above 0, below 1) of all is below.
    pub(super) fn quantile(self, below: f64) -> f64 {
        match self {
            Self::Between(low, high) => low + below * (high - low),
            Self::Normal(middle, deviation) => middle + deviation * normal_quantile(below),
            Self::Factor(middle, deviation) => middle * (deviation * normal_quantile(below)).exp(),
        }
    }
}

/// The value that a share `below` of a standard normal distribution is below, cut off at [`FARTHEST`] either way. By halving
/// an interval over the error function of `libm`: exact to its digits.
pub(super) fn normal_quantile(below: f64) -> f64 {
    let share = |z: f64| 0.5 * libm::erfc(-z / std::f64::consts::SQRT_2);
    let (mut low, mut high) = (-FARTHEST, FARTHEST);
    for _ in 0..50 {
        let middle = 0.5 * (low + high);
        if share(middle) < below { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

#[cfg(test)]
mod tests {
    use super::{SpreadLaw, normal_quantile};

    /// Abramowitz and Stegun 1964, table 26.5 (from memory): quantiles of the standard normal distribution.
    #[test]
    fn quantiles_are_those_of_the_tables() {
        for (below, z) in [(0.5, 0.0), (0.95, 1.644_854), (0.975, 1.959_964), (0.01, -2.326_348)] {
            assert!((normal_quantile(below) - z).abs() < 1e-6, "{below}");
        }
        assert!((normal_quantile(1e-9) + 3.0).abs() < 1e-12);
        assert_eq!(SpreadLaw::Between(2.0, 4.0).quantile(0.25), 2.5);
        assert!((SpreadLaw::Normal(3.0, 0.1).quantile(0.975) - 3.195_996).abs() < 1e-6);
        assert!((SpreadLaw::Factor(2.0, 0.5).quantile(0.95) - 2.0 * 2.275_7).abs() < 1e-3);
    }
}
