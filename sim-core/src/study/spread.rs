//! What many draws of one result say: its band, and the chance that a limit is met.

/// Share of draws below the lower end of a band.
pub const BAND_FROM: f64 = 0.05;
/// Share of draws below the upper end of a band.
pub const BAND_TO: f64 = 0.95;
/// Standard deviations of a confidence of 95 %.
const SURE: f64 = 1.959_964;

/// The value that a share `below` of `values`, which are sorted, is below: between two of them in proportion (Hyndman and Fan
/// 1996, definition 7, from memory). `None` where there are none.
pub fn quantile(values: &[f64], below: f64) -> Option<f64> {
    let last = values.len().checked_sub(1)?;
    let at = below.clamp(0.0, 1.0) * last as f64;
    let (low, share) = (at.floor() as usize, at.fract());
    Some(values[low] + share * (values[(low + 1).min(last)] - values[low]))
}

/// A chance counted in draws.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Chance {
    /// In how many it was so.
    pub met: usize,
    /// Of how many.
    pub of: usize,
}

impl Chance {
    /// The chance, 0 to 1; 0 of no draws.
    pub fn share(self) -> f64 {
        self.met as f64 / (self.of as f64).max(1.0)
    }

    /// Between what it is with a confidence of 95 % (Wilson 1927, Journal of the American Statistical Association 22, from memory).
    /// Points that are spread evenly know it better than draws by lot, for which this holds.
    pub fn within(self) -> (f64, f64) {
        let (n, share, z2) = ((self.of as f64).max(1.0), self.share(), SURE * SURE);
        let middle = (share + z2 / (2.0 * n)) / (1.0 + z2 / n);
        let half = SURE / (1.0 + z2 / n) * (share * (1.0 - share) / n + z2 / (4.0 * n * n)).sqrt();
        ((middle - half).max(0.0), (middle + half).min(1.0))
    }
}

#[cfg(test)]
mod tests {
    use super::{Chance, quantile};

    #[test]
    fn a_band_lies_between_values() {
        let values: Vec<f64> = (0..=20).map(f64::from).collect();
        assert_eq!((quantile(&values, 0.05), quantile(&values, 0.95)), (Some(1.0), Some(19.0)));
        assert_eq!(quantile(&[1.0, 2.0], 0.25), Some(1.25));
        assert_eq!(quantile(&[], 0.5), None);
    }

    /// Newcombe 1998, Statistics in Medicine 17, table I (from memory): 81 of 263, 15 of 148, 0 of 20 by Wilson's score without a
    /// correction for continuity.
    #[test]
    fn the_confidence_of_a_chance_is_wilsons() {
        for (met, of, low, high) in
            [(81, 263, 0.2553, 0.3662), (15, 148, 0.0624, 0.1605), (0, 20, 0.0, 0.1611)]
        {
            let within = Chance { met, of }.within();
            assert!((within.0 - low).abs() < 1e-4 && (within.1 - high).abs() < 1e-4, "{within:?}");
        }
    }
}
