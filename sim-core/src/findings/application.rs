//! Rate over the field.

use super::measured::Measures;
use super::tips::TipFinding;
use crate::measures::Measure;
use crate::plumbing::Plumbing;
use crate::procedure::Travel;
use schemars::JsonSchema;
use serde::Serialize;

/// Rate over the field.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Application {
    /// Rate, m3 of spray on m2 of field.
    pub rate_m: f64,
    /// Rate wanted, if given.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub target_rate_m: Option<f64>,
    /// Forward speed.
    pub speed_m_s: f64,
    /// Width that the running tips cover.
    pub width_m: f64,
}

impl Application {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        let off = self.target_rate_m.map(|target_m| (self.rate_m / target_m - 1.0).abs());
        found.add(Measure::RateOff, off);
    }
}

/// Rate = flow of a width / (that width times speed): L/min = L/ha * km/h * m / 600.
pub(super) fn application(
    plumbing: &Plumbing,
    travel: Option<&Travel>,
    tips: &[TipFinding],
) -> Option<Application> {
    let travel = travel?;
    let running: Vec<&TipFinding> = tips.iter().filter(|tip| tip.runs()).collect();
    let flow: f64 = running.iter().map(|tip| tip.flow_m3_s).sum();
    let width_m: f64 = swaths(plumbing, &running).iter().sum();
    (width_m > 0.0).then(|| Application {
        rate_m: flow / (width_m * travel.speed_m_s),
        target_rate_m: travel.rate_m,
        speed_m_s: travel.speed_m_s,
        width_m,
    })
}

/// The strip each nozzle body with a running tip covers, m: half the way to the bodies beside it, an end one as wide on its
/// free side as on the other; a gap of closed tips is not covered.
fn swaths(plumbing: &Plumbing, running: &[&TipFinding]) -> Vec<f64> {
    let mut all: Vec<f64> = plumbing.tips.iter().map(|tip| tip.x_m).collect();
    all.sort_by(f64::total_cmp);
    all.dedup();
    let swath = |x: f64| {
        let at = all.partition_point(|other| *other < x);
        let left = (at > 0).then(|| x - all[at - 1]);
        let right = all.get(at + 1).map(|next| next - x);
        match (left, right) {
            (Some(left), Some(right)) => 0.5 * (left + right),
            (Some(side), None) | (None, Some(side)) => side,
            (None, None) => 0.0,
        }
    };
    let mut running: Vec<f64> = running.iter().map(|tip| tip.x_m).collect();
    running.sort_by(f64::total_cmp);
    running.dedup();
    running.into_iter().map(swath).collect()
}
