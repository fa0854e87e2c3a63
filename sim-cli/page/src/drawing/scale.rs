//! What a scale of pressures spans.

/// Least that a scale of pressures spans: a share of its top, and Pa. Across less the eye would find faults where there are
/// none: tip flows follow the root of pressure, and a tenth of it is the usual limit.
pub const LEAST_SPAN: (f64, f64) = (0.1, 5e3);

/// The ends of a scale that shows pressures from `low` to `high`, Pa.
pub fn pressure_scale((low, high): (f64, f64)) -> (f64, f64) {
    let (share, least_pa) = LEAST_SPAN;
    (low.min(high - (share * high).max(least_pa)), high)
}

#[cfg(test)]
mod tests {
    use super::pressure_scale;

    #[test]
    fn a_scale_spans_a_tenth_of_its_top_at_least() {
        let (low, high) = pressure_scale((2.97e5, 3.0e5));
        assert!((low - 2.7e5).abs() < 1.0 && high == 3.0e5);
        assert_eq!(pressure_scale((1.0e5, 3.0e5)), (1.0e5, 3.0e5));
        assert_eq!(pressure_scale((0.0, 0.0)), (-5e3, 0.0));
    }
}
