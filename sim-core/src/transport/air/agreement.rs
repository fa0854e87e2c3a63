//! Search for the flow of liquid at which what a part's resistance counts is what reaches it.

/// Least part of a bracket that a trial stays away from its ends.
const INSIDE: f64 = 0.1;

/// A bracket around the flow of liquid that one part passes beside air.
///
/// The more liquid a part counts, the less it passes of anything, and the less of it a layer ahead of the part brings: what is found less
/// what is counted falls as the latter rises. It may fall all at once, where a layer begins to be carried: then the bracket closes around
/// that place, where liquid comes and stays away by turns.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Bracket {
    /// Below and above: a flow that was counted, and how much more was found, m3/s.
    ends: [Option<(f64, f64)>; 2],
    /// Which end moved last.
    moved: Option<usize>,
}

impl Bracket {
    /// The flow to count next, m3/s, where `found_m3_s` was found when `counted_m3_s` was counted.
    pub(super) fn next(&mut self, counted_m3_s: f64, found_m3_s: f64) -> f64 {
        let more = found_m3_s - counted_m3_s;
        let end = usize::from(more < 0.0);
        let again = self.moved.replace(end) == Some(end);
        self.ends[end] = Some((counted_m3_s, more));
        let [Some(low), Some(high)] = self.ends else { return counted_m3_s + 0.5 * more };
        let width = high.0 - low.0;
        if width <= 0.0 {
            // Other parts have changed what reaches this one.
            self.ends[1 - end] = None;
            return counted_m3_s + 0.5 * more;
        }
        let share = if again { 0.5 } else { low.1 / (low.1 - high.1) };
        low.0 + width * share.clamp(INSIDE, 1.0 - INSIDE)
    }

    /// Whether it is narrower than `share` of its upper end and `least_m3_s`.
    pub(super) fn is_within(&self, share: f64, least_m3_s: f64) -> bool {
        match self.ends {
            [Some(low), Some(high)] => (high.0 - low.0).abs() <= share * high.0 + least_m3_s,
            _ => false,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Trials until the bracket around where `found` meets what is counted is within a thousandth, and where that is.
    fn searched(found: impl Fn(f64) -> f64) -> (usize, f64) {
        let (mut bracket, mut counted) = (Bracket::default(), 0.0);
        for trial in 1..60 {
            counted = bracket.next(counted, found(counted));
            if bracket.is_within(1e-3, 0.0) {
                return (trial, counted);
            }
        }
        panic!("not found: {bracket:?}");
    }

    #[test]
    fn steep_and_broken_functions_are_met_where_they_cross() {
        let (trials, at) = searched(|counted| 1.0 / (1.0 + 50.0 * counted));
        let root = (201.0_f64.sqrt() - 1.0) / 100.0;
        assert!((at / root - 1.0).abs() < 2e-3 && trials < 20, "{at} after {trials}");
        let (trials, at) = searched(|counted| if counted < 0.03 { 5.0 } else { 0.0 });
        assert!((at / 0.03 - 1.0).abs() < 2e-3 && trials < 30, "{at} after {trials}");
    }
}
