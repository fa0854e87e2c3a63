//! Sums and probabilities.

/// Chance of a misfit below which the model does not fit.
pub(super) const LEAST_CHANCE: f64 = 1e-3;

/// Sum of the squares of `values`.
pub(super) fn square(values: &[f64]) -> f64 {
    values.iter().map(|value| value * value).sum()
}

/// Logarithm of the sum of the exponentials of `logarithms`.
pub(super) fn sum_of_exponentials(logarithms: impl Iterator<Item = f64>) -> f64 {
    let all: Vec<f64> = logarithms.collect();
    let largest = all.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    if largest == f64::NEG_INFINITY {
        return largest;
    }
    largest + all.iter().map(|log| (log - largest).exp()).sum::<f64>().ln()
}

/// Probability that chi-squared with `freedom` degrees exceeds `misfit` (Wilson & Hilferty 1931, from memory).
pub(super) fn chance(misfit: f64, freedom: usize) -> f64 {
    if freedom == 0 {
        return 1.0;
    }
    let n = freedom as f64;
    let third = 2.0 / (9.0 * n);
    let z = ((misfit / n).cbrt() - (1.0 - third)) / third.sqrt();
    0.5 * libm::erfc(z / std::f64::consts::SQRT_2)
}

#[cfg(test)]
mod tests {
    use super::chance;
    use approx::assert_relative_eq;

    #[test]
    fn chance_of_a_misfit_is_that_of_the_tables_of_chi_squared() {
        // Upper 5 % and 1 % points (Abramowitz & Stegun, table 26.8; from memory).
        for (freedom, misfit, expected) in
            [(5, 11.070, 0.05), (10, 18.307, 0.05), (10, 23.209, 0.01), (15, 30.578, 0.01)]
        {
            assert_relative_eq!(chance(misfit, freedom), expected, max_relative = 0.03);
        }
    }
}
