//! The order of ranked lists: by value, and by name where values differ by no more than rounding.

use std::cmp::Ordering;

/// Decimal digits that count: what follows is rounding of the solver, and must not order mirror images.
const DIGITS: i32 = 8;

/// `value` to the digits that count.
fn rounded(value: f64) -> f64 {
    if value == 0.0 || !value.is_finite() {
        return value;
    }
    let scale = 10f64.powi(DIGITS - value.abs().log10().floor() as i32);
    (value * scale).round() / scale
}

/// The larger value first, of equal ones the first by name.
pub(super) fn largest_first(a: (f64, &str), b: (f64, &str)) -> Ordering {
    rounded(b.0).total_cmp(&rounded(a.0)).then_with(|| a.1.cmp(b.1))
}

/// The smaller value first, of equal ones the first by name.
pub(super) fn smallest_first(a: (f64, &str), b: (f64, &str)) -> Ordering {
    largest_first((-a.0, a.1), (-b.0, b.1))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_differs_by_rounding_goes_by_name() {
        let (one, less) = ((1.0, "b"), (1.0 - 1e-13, "a"));
        assert_eq!(largest_first(one, less), Ordering::Greater);
        assert_eq!(largest_first((1.0, "b"), (0.999, "a")), Ordering::Less);
        assert_eq!(smallest_first((1.0, "b"), (0.999, "a")), Ordering::Greater);
        assert_eq!(largest_first((0.0, "a"), (-1e-300, "b")), Ordering::Less);
    }
}
