//! Weight of the liquid that air holds up in a rising line.

use super::law::Loss;

/// What liquid in a line of air weighs on the air, Pa: the density of the liquid times gravity times holdup times rise,
/// summed over what rises in the direction of the flow.
///
/// Air that rises through liquid carries its weight, whether the liquid goes with it or churns in place; liquid in parts
/// that fall runs down the wall and helps nothing. Up to `whole_from_m3_s` the weight counts in proportion, so that the
/// law has no jump at rest.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct Lift {
    /// Weight for flow forward and backward, Pa, >= 0.
    pub(crate) weight_pa: [f64; 2],
    /// Flow from which all of it counts, m3/s, > 0 where there is any.
    pub(crate) whole_from_m3_s: f64,
}

impl Lift {
    /// `loss` and its slope with the weight at `flow_m3_s`.
    pub(super) fn on(&self, loss: Loss, flow_m3_s: f64) -> Loss {
        let weight_pa = self.weight_pa[usize::from(flow_m3_s < 0.0)];
        if weight_pa <= 0.0 {
            return loss;
        }
        let share = (flow_m3_s.abs() / self.whole_from_m3_s).min(1.0);
        let pa = loss.pa + (share * weight_pa).copysign(flow_m3_s);
        let slope = if share < 1.0 { weight_pa / self.whole_from_m3_s } else { 0.0 };
        Loss { pa, slope: loss.slope + slope }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn weight_counts_for_air_that_rises_and_in_proportion_near_rest() {
        let lift = Lift { weight_pa: [4000.0, 0.0], whole_from_m3_s: 1e-5 };
        let at = |flow| lift.on(Loss { pa: 0.0, slope: 1.0 }, flow);
        assert_eq!(at(1e-3), Loss { pa: 4000.0, slope: 1.0 });
        assert_eq!(at(5e-6).pa, 2000.0);
        assert!((at(5e-6).slope / 4e8 - 1.0).abs() < 1e-8);
        assert_eq!(at(-1e-3), Loss { pa: 0.0, slope: 1.0 });
        assert_eq!(at(0.0).pa, 0.0);
    }
}
