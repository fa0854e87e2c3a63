//! How clean is it, with how much water?

use super::measured::{Measures, Place};
use super::named::Named;
use super::ranking::largest_first;
use crate::hydraulics::STILL_M3_S;
use crate::measures::Measure;
use crate::plumbing::{Plumbing, TipId};
use crate::procedure::Action;
use crate::simulation::StepRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// The end of a rinse.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Rinse {
    /// Mean concentration of what went out of the tips.
    pub sprayed_concentration: f64,
    /// The running tip with the highest concentration at the end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest_concentration: Option<TipConcentration>,
    /// From when on every running tip stayed within `rinsed_to` of the limits, after the step's start.
    pub rinsed_s: Option<f64>,
    /// Product still in lines, dead legs and known tanks, as volume at full strength.
    pub residual_product_m3: f64,
    /// Mean concentration of the dead legs, if there are any.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub dead_leg_concentration: Option<f64>,
}

impl Rinse {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        let highest_concentration = self.highest_concentration.as_ref();
        let highest_concentration =
            highest_concentration.map(|s| (s.concentration, Some(Place::Tip(s.tip.clone()))));
        found.add_at(Measure::HighestTipConcentration, highest_concentration);
        found.add(Measure::ResidualProduct, self.residual_product_m3);
    }
}

/// What is in the body of a tip.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TipConcentration {
    /// Which tip.
    pub tip: Named<TipId>,
    /// Its concentration.
    pub concentration: f64,
}

/// The rinse of a step of that action; `None` for others.
pub(super) fn rinse(
    plumbing: &Plumbing,
    action: Action,
    record: &StepRecord,
    dead_leg_concentration: Option<f64>,
) -> Option<Rinse> {
    let moved = record.moved.as_ref()?;
    if action != Action::Rinse {
        return None;
    }
    let running = || (0..plumbing.tips.len()).filter(|i| record.end.tip_flow_m3_s[*i] > STILL_M3_S);
    let highest_concentration = running()
        .min_by(|a, b| {
            let key = |i: usize| (moved.tip_concentration[i], plumbing.tips[i].name.as_str());
            largest_first(key(*a), key(*b))
        })
        .map(|i| TipConcentration {
            tip: Named::tip(plumbing, TipId::at(i)),
            concentration: moved.tip_concentration[i],
        });
    let rinsed_s = running()
        .try_fold(0.0f64, |latest, i| moved.arrivals[i].rinsed_s.map(|s| latest.max(s)))
        .filter(|_| running().next().is_some());
    let lines = plumbing.branches.iter().zip(&moved.line_concentration);
    let in_lines: f64 = lines
        .filter_map(|(branch, concentration)| {
            Some(branch.part.line()?.volume_m3() * (*concentration)?)
        })
        .sum();
    let in_tanks: f64 = moved
        .tank_m3
        .iter()
        .zip(&moved.tank_concentration)
        .filter_map(|(m3, s)| Some((*m3)? * s))
        .sum();
    let sprayed = moved.sprayed;
    Some(Rinse {
        sprayed_concentration: if sprayed.liquid_m3 > 0.0 {
            sprayed.product_m3 / sprayed.liquid_m3
        } else {
            0.0
        },
        highest_concentration,
        rinsed_s,
        residual_product_m3: in_lines + in_tanks + moved.settled_m3,
        dead_leg_concentration,
    })
}
