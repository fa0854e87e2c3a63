//! How clean is it, with how much water?

use crate::plumbing::TipId;
use crate::procedure::Action;
use crate::scenario::Scenario;
use crate::simulation::StepRecord;

/// The end of a rinse.
#[derive(Clone, Debug, PartialEq)]
pub struct Rinse {
    /// What went out of the tips, m3.
    pub sprayed_m3: f64,
    /// Strength that went out on average, 0 to 1.
    pub sprayed_strength: f64,
    /// Strongest running tip at the end, and its strength.
    pub strongest: Option<(TipId, f64)>,
    /// When the last running tip came down to the limit and stayed there, s; `None`: not while it lasted.
    pub rinsed_s: Option<f64>,
    /// Strength of each tank at the end, with its name.
    pub tanks: Vec<(String, f64)>,
    /// Product still in lines, dead legs and known tanks, m3 of full strength.
    pub product_left_m3: f64,
    /// Mean strength of the dead legs, if there are any.
    pub dead_legs: Option<f64>,
}

/// The rinse of step number `step`; `None` for other steps.
pub(super) fn rinse(
    scenario: &Scenario,
    step: usize,
    record: &StepRecord,
    dead_legs: Option<f64>,
) -> Option<Rinse> {
    let moved = record.moved.as_ref()?;
    if scenario.steps[step].action != Action::Rinse {
        return None;
    }
    let plumbing = &scenario.plumbing;
    let running = || (0..plumbing.tips.len()).filter(|i| record.end.tip_flow_m3_s[*i] > 1e-9);
    let strongest = running().map(|i| (TipId::at(i), moved.tip_strength[i]));
    let rinsed_s = running()
        .try_fold(0.0f64, |latest, i| moved.arrivals[i].rinsed_s.map(|s| latest.max(s)))
        .filter(|_| running().next().is_some());
    let tanks = plumbing.tanks.iter().zip(&moved.tank_strength);
    let lines = plumbing.branches.iter().zip(&moved.line_strength);
    let in_lines: f64 = lines
        .filter_map(|(branch, strength)| Some(branch.part.line()?.volume_m3() * (*strength)?))
        .sum();
    let in_tanks: f64 =
        moved.tank_m3.iter().zip(&moved.tank_strength).filter_map(|(m3, s)| Some((*m3)? * s)).sum();
    let sprayed = moved.sprayed;
    Some(Rinse {
        sprayed_m3: sprayed.liquid_m3,
        sprayed_strength: if sprayed.liquid_m3 > 0.0 {
            sprayed.product_m3 / sprayed.liquid_m3
        } else {
            0.0
        },
        strongest: strongest.max_by(|a, b| a.1.total_cmp(&b.1)),
        rinsed_s,
        tanks: tanks.map(|(tank, strength)| (tank.name.clone(), *strength)).collect(),
        product_left_m3: in_lines + in_tanks + moved.settled_m3,
        dead_legs,
    })
}
