//! The running tips of the whole boom.

use super::measured::Measures;
use super::named::Named;
use super::ranking::{largest_first, smallest_first};
use super::tips::TipFinding;
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::measures::Measure;
use crate::plumbing::{Plumbing, Side, TipId};
use schemars::JsonSchema;
use serde::Serialize;

/// The running tips of the whole boom.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct BoomFinding {
    /// How many tips run.
    pub running_tips: usize,
    /// Flow of all tips.
    pub flow_m3_s: f64,
    /// Mean tip pressure, gauge.
    pub mean_pressure_pa: f64,
    /// (highest - lowest) / mean of tip pressures.
    pub pressure_variation_share: f64,
    /// Coefficient of variation of tip flows over their own nominal flow.
    pub flow_variation_share: f64,
    /// Stretches of tube that nothing flows through.
    pub still_tubes: usize,
    /// Their volume.
    pub still_tubes_m3: f64,
    /// Tip at the lowest pressure.
    pub lowest_tip: Named<TipId>,
    /// Tip at the highest pressure.
    pub highest_tip: Named<TipId>,
}

impl BoomFinding {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        found.add(Measure::TipPressureVariation, self.pressure_variation_share);
        found.add(Measure::TipFlowVariation, self.flow_variation_share);
        found.add(Measure::BoomFlow, self.flow_m3_s);
        found.add(Measure::MeanTipPressure, self.mean_pressure_pa);
        found.add(Measure::StillTubes, self.still_tubes_m3);
    }
}

pub(super) fn boom(
    plumbing: &Plumbing,
    end: &FlowState,
    tips: &[TipFinding],
) -> Option<BoomFinding> {
    let running: Vec<&TipFinding> = tips.iter().filter(|tip| tip.runs()).collect();
    fn key(tip: &TipFinding) -> (f64, &str) {
        (tip.pressure_pa, &tip.tip.name)
    }
    let lowest = running.iter().min_by(|a, b| smallest_first(key(a), key(b)))?;
    let highest = running.iter().min_by(|a, b| largest_first(key(a), key(b)))?;
    let count = running.len() as f64;
    let mean = running.iter().map(|tip| tip.pressure_pa).sum::<f64>() / count;
    let squares = running.iter().filter_map(|tip| tip.from_mean_share).map(|d| d * d).sum::<f64>();
    let tubes = plumbing.branches.iter().zip(&end.flow_m3_s).filter(|(b, _)| b.side == Side::Boom);
    let still = tubes.filter(|(_, flow)| flow.abs() <= STILL_M3_S);
    let still: Vec<f64> = still.filter_map(|(b, _)| Some(b.part.line()?.volume_m3())).collect();
    Some(BoomFinding {
        running_tips: running.len(),
        flow_m3_s: running.iter().map(|tip| tip.flow_m3_s).sum(),
        mean_pressure_pa: mean,
        pressure_variation_share: (highest.pressure_pa - lowest.pressure_pa) / mean,
        flow_variation_share: if count > 1.0 { (squares / (count - 1.0)).sqrt() } else { 0.0 },
        still_tubes: still.len(),
        still_tubes_m3: still.iter().sum(),
        lowest_tip: lowest.tip.clone(),
        highest_tip: highest.tip.clone(),
    })
}
