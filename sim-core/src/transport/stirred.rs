//! A well-stirred tank over a move in which constant flows come in and go out.

/// Volumes of a move: what the tank holds at its start, what comes in and what goes out, m3.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stirred {
    pub(super) holds_m3: f64,
    pub(super) comes_m3: f64,
    pub(super) goes_m3: f64,
}

impl Stirred {
    /// Mean concentration of what goes out, where the tank starts at `concentration` and what comes in has concentration `entering`.
    ///
    /// With flows that stay the same, the difference to what comes in falls as `(V/V0)^(-qin/(qin - qout))`, at constant
    /// volume as `exp(-q t/V)` (the balance of a stirred tank; Levenspiel, *Chemical Reaction Engineering*). A tank that
    /// holds nothing gives what comes in; one that gets nothing keeps its concentration.
    pub(super) fn mean_concentration(self, concentration: f64, entering: f64) -> f64 {
        entering + (concentration - entering) * self.mean_left()
    }

    /// Share of the difference at the start, averaged over what goes out, 0 to 1.
    fn mean_left(self) -> f64 {
        let Self { holds_m3, comes_m3, goes_m3 } = self;
        if comes_m3 <= 0.0 || goes_m3 <= 0.0 {
            return 1.0;
        }
        if holds_m3 <= 0.0 {
            return 0.0;
        }
        let left_m3 = (holds_m3 + comes_m3 - goes_m3).max(0.0);
        if left_m3 <= 0.0 {
            return (1.0 - comes_m3 / goes_m3).max(0.0);
        }
        let growth = left_m3 / holds_m3 - 1.0;
        // ln(1 + growth)/growth, which is 1 where nothing grows.
        let mean = if growth.abs() < 1e-8 { 1.0 - 0.5 * growth } else { growth.ln_1p() / growth };
        let fallen = (-comes_m3 / holds_m3 * mean).exp_m1();
        (1.0 - (comes_m3 + left_m3 * fallen) / goes_m3).clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn one_move_is_as_good_as_many(
            holds in 0.0f64..1.0, comes in 0.0f64..2.0, share in 0.0f64..1.0, old in 0.0f64..1.0, new in 0.0f64..1.0,
        ) {
            let goes = share * (holds + comes);
            let whole = Stirred { holds_m3: holds, comes_m3: comes, goes_m3: goes };
            let gave = goes * whole.mean_concentration(old, new);
            let (mut volume, mut product, mut sum) = (holds, holds * old, 0.0);
            let parts = 50;
            for _ in 0..parts {
                let (comes, goes) = (comes / f64::from(parts), goes / f64::from(parts));
                let concentration = if volume > 1e-12 { product / volume } else { new };
                let part = Stirred { holds_m3: volume, comes_m3: comes, goes_m3: goes };
                let gives = goes * part.mean_concentration(concentration, new);
                sum += gives;
                product += comes * new - gives;
                volume += comes - goes;
            }
            prop_assert!((gave - sum).abs() < 1e-9, "{gave} {sum}");
            let mean = whole.mean_concentration(old, new);
            prop_assert!(mean >= old.min(new) - 1e-12 && mean <= old.max(new) + 1e-12);
        }
    }
}
