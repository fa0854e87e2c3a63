//! The running tips of the whole boom.

use super::step::{BoomFinding, TipFinding};
use crate::plumbing::Plumbing;

pub(super) fn boom(plumbing: &Plumbing, tips: &[TipFinding]) -> Option<BoomFinding> {
    debug_assert_eq!(plumbing.tips.len(), tips.len());
    let running: Vec<&TipFinding> = tips.iter().filter(|tip| tip.from_mean.is_some()).collect();
    let by_pressure = |a: &&&TipFinding, b: &&&TipFinding| a.pressure_pa.total_cmp(&b.pressure_pa);
    let lowest = running.iter().min_by(by_pressure)?;
    let highest = running.iter().max_by(by_pressure)?;
    let count = running.len() as f64;
    let mean = running.iter().map(|tip| tip.pressure_pa).sum::<f64>() / count;
    let squares = running.iter().filter_map(|tip| tip.from_mean).map(|d| d * d).sum::<f64>();
    Some(BoomFinding {
        flow_m3_s: running.iter().map(|tip| tip.flow_m3_s).sum(),
        mean_pressure_pa: mean,
        spread: (highest.pressure_pa - lowest.pressure_pa) / mean,
        flow_variation: if count > 1.0 { (squares / (count - 1.0)).sqrt() } else { 0.0 },
        lowest: lowest.tip,
        highest: highest.tip,
    })
}
