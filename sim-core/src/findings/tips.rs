//! Each tip against its table and its fellows.

use super::controls::ControlFinding;
use super::measured::{Measures, Place};
use super::named::Named;
use super::warning::Warning;
use crate::fluids::{Liquid, TIP_DENSITY_KG_M3};
use crate::hydraulics::STILL_M3_S;
use crate::measures::Measure;
use crate::plumbing::{Plumbing, SectionId, Tip, TipId};
use crate::procedure::Step;
use crate::simulation::StepRecord;
use schemars::JsonSchema;
use serde::Serialize;

/// One tip.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TipFinding {
    /// Which tip.
    pub tip: Named<TipId>,
    /// Its section.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub section: Option<Named<SectionId>>,
    /// Position along the boom, right of the centre.
    pub x_m: f64,
    /// Static pressure at its body, gauge.
    pub pressure_pa: f64,
    /// Its mean flow; 0 when closed.
    pub flow_m3_s: f64,
    /// Concentration at its body, for a step that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub concentration: Option<f64>,
    /// Flow from its table at the held pressure (at the mean tip pressure where none is held), for this density
    /// and duty.
    pub nominal_flow_m3_s: f64,
    /// Flow over nominal, less 1; of running tips.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_nominal_share: Option<f64>,
    /// Flow over nominal over the mean of that of running tips, less 1; of running tips.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub from_mean_share: Option<f64>,
    /// Where its pressure lies against its droplet window; of running tips that have one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub window: Option<Window>,
}

impl TipFinding {
    /// Whether it runs.
    pub fn runs(&self) -> bool {
        self.from_mean_share.is_some()
    }
}

/// Where a pressure lies against a window.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Window {
    /// Below it: coarser droplets, pattern may fail.
    Below,
    /// Inside.
    Inside,
    /// Above it: finer droplets, more drift.
    Above,
}

/// The measures of `tips`.
pub(super) fn measure(tips: &[TipFinding], found: &mut Measures) {
    let off = |tip: &TipFinding| Some((tip.from_mean_share?.abs(), Place::Tip(tip.tip.clone())));
    found.largest(Measure::TipFlowOffMean, tips.iter().filter_map(off));
}

/// Tips of `tips` outside their droplet windows.
pub(super) fn warnings(tips: &[TipFinding]) -> Vec<Warning> {
    let of = |window: Window| {
        let outside = tips.iter().filter(move |tip| tip.window == Some(window));
        outside.map(|tip| tip.tip.clone()).collect::<Vec<_>>()
    };
    let (below, above) = (of(Window::Below), of(Window::Above));
    let below = (!below.is_empty()).then_some(Warning::TipBelowWindow { tips: below });
    let above = (!above.is_empty()).then_some(Warning::TipAboveWindow { tips: above });
    below.into_iter().chain(above).collect()
}

pub(super) fn tips(
    (plumbing, liquid): (&Plumbing, &Liquid),
    step: &Step,
    record: &StepRecord,
    controls: &[ControlFinding],
) -> Vec<TipFinding> {
    let end = &record.end;
    let flows = |i: usize| end.tip_flow_m3_s[i] > STILL_M3_S;
    let runs = |i: usize| step.settings.tip_opening[i] > 0.0 && flows(i);
    let running: Vec<usize> = (0..plumbing.tips.len()).filter(|i| runs(*i)).collect();
    let pressures = running.iter().map(|i| end.tip_pressure_pa[*i]);
    let mean = pressures.sum::<f64>() / (running.len().max(1)) as f64;
    let reference_pa = controls.iter().find_map(ControlFinding::held_pa).unwrap_or(mean);
    let nominal = |i: usize| nominal_flow(&plumbing.tips[i], reference_pa, liquid.density_kg_m3);
    // Tips of different rating are compared through flow over rating.
    let over_nominal = |i: usize| end.tip_flow_m3_s[i] / nominal(i);
    let mean_over =
        running.iter().map(|i| over_nominal(*i)).sum::<f64>() / running.len().max(1) as f64;
    let finding = |(i, tip): (usize, &Tip)| {
        let running = runs(i);
        let pressure_pa = end.tip_pressure_pa[i];
        let window = tip.window_pa.map(|window| position(pressure_pa, window));
        TipFinding {
            tip: Named::new(TipId::at(i), &tip.name),
            section: tip.section.map(|id| Named::section(plumbing, id)),
            x_m: tip.x_m,
            pressure_pa,
            flow_m3_s: if flows(i) { end.tip_flow_m3_s[i] } else { 0.0 },
            concentration: record.moved.as_ref().map(|moved| moved.tip_concentration[i]),
            nominal_flow_m3_s: nominal(i),
            from_nominal_share: running.then(|| over_nominal(i) - 1.0),
            from_mean_share: running.then(|| over_nominal(i) / mean_over - 1.0),
            window: window.filter(|_| running),
        }
    };
    plumbing.tips.iter().enumerate().map(finding).collect()
}

/// Flow a new tip's table gives at `pressure_pa` for a liquid of `density_kg_m3`, duty included, m3/s:
/// `q = q_rated sqrt(p / p_rated) sqrt(rho_water / rho)` (ISO 5682-1; density as in extension tables).
fn nominal_flow(tip: &Tip, pressure_pa: f64, density_kg_m3: f64) -> f64 {
    let density = (TIP_DENSITY_KG_M3 / density_kg_m3).sqrt();
    tip.rated_flow_m3_s * (pressure_pa.max(0.0) / tip.rated_at_pa).sqrt() * density * tip.duty
}

fn position(pressure_pa: f64, (low, high): (f64, f64)) -> Window {
    if pressure_pa < low {
        Window::Below
    } else if pressure_pa > high {
        Window::Above
    } else {
        Window::Inside
    }
}
