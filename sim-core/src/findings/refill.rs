//! Water that flushes lines once they are refilled.

/// Water that flushes lines of `held_m3` to `to_share` (above 0) once what `residual_m3` of the former liquid leaves free has
/// been filled up with water, m3: `V ln(c/to)` with c the residual's share of the volume, 0 where that is low enough.
///
/// The balance of a stirred tank (Levenspiel): an upper bound, since a front that runs through needs less.
pub(super) fn flush_refilled_m3(residual_m3: f64, held_m3: f64, to_share: f64) -> f64 {
    let refilled = residual_m3 / held_m3.max(residual_m3).max(f64::MIN_POSITIVE);
    held_m3 * (refilled / to_share).ln().max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use approx::assert_relative_eq;

    /// Hand calculation: 23 L in 81 L are 0.284; 81 ln(0.284/0.02) = 215 L.
    #[test]
    fn lines_refilled_are_flushed_like_a_stirred_tank() {
        assert_relative_eq!(flush_refilled_m3(0.023, 0.081, 0.02), 0.2149, max_relative = 1e-3);
        assert_eq!(flush_refilled_m3(0.001, 0.081, 0.02), 0.0);
        assert_eq!(flush_refilled_m3(0.0, 0.0, 0.02), 0.0);
    }
}
