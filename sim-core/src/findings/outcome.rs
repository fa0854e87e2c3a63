//! How a step that lasts ended, and what it moved.

use super::measured::Measures;
use super::named::Named;
use crate::hydraulics::STILL_M3_S;
use crate::measures::Measure;
use crate::plumbing::{Plumbing, TankId};
use crate::simulation::{Ended, MovedRecord, Sample, StepRecord};
use schemars::JsonSchema;
use serde::Serialize;

/// How a step that lasts ended, and what it moved. Product is given as volume at full strength.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Outcome {
    /// How long it lasted.
    pub lasted_s: f64,
    /// What ended it.
    pub ended: End,
    /// When flows had come to rest, after its start.
    pub steady_after_s: Option<f64>,
    /// Volume sprayed.
    pub sprayed_m3: f64,
    /// Product in what was sprayed.
    pub sprayed_product_m3: f64,
    /// Volume that came back to tanks through the return side.
    pub returned_m3: f64,
    /// How long any tip sprayed at a pressure above its droplet window; left out where none sprays or has one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub above_window_s: Option<f64>,
    /// Product settled in lines at its end.
    pub settled_m3: f64,
    /// Each tank at its end.
    pub tanks: Vec<TankFinding>,
}

/// What ended a step.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum End {
    /// Its time was up.
    Time,
    /// What it waited for came.
    Reached,
    /// This tank was down to its heel.
    TankEmpty(Named<TankId>),
}

/// What a tank holds.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct TankFinding {
    /// Which tank.
    pub tank: Named<TankId>,
    /// Its concentration.
    pub concentration: f64,
    /// Its volume, if known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub holds_m3: Option<f64>,
}

impl Outcome {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        let some = |volume_m3: f64| (volume_m3 > 0.0).then_some(volume_m3);
        found.add(Measure::Sprayed, some(self.sprayed_m3));
        found.add(Measure::Settled, some(self.settled_m3));
        found.add(Measure::AboveWindow, self.above_window_s);
    }
}

/// The outcome that `record` shows; `None` for a step that lasts no time.
pub(super) fn outcome(plumbing: &Plumbing, record: &StepRecord) -> Option<Outcome> {
    let moved = record.moved.as_ref()?;
    let tank = |i: usize| TankFinding {
        tank: Named::tank(plumbing, TankId::at(i)),
        concentration: moved.tank_concentration[i],
        holds_m3: moved.tank_m3[i],
    };
    Some(Outcome {
        lasted_s: record.end_s - record.start_s,
        ended: match moved.ended {
            Ended::Time => End::Time,
            Ended::Reached => End::Reached,
            Ended::TankEmpty(tank) => End::TankEmpty(Named::tank(plumbing, tank)),
        },
        steady_after_s: moved.steady_after_s,
        sprayed_m3: moved.sprayed.liquid_m3,
        sprayed_product_m3: moved.sprayed.product_m3,
        returned_m3: moved.returned.liquid_m3,
        above_window_s: above_window_s(plumbing, moved),
        settled_m3: moved.settled_m3,
        tanks: (0..plumbing.tanks.len()).map(tank).collect(),
    })
}

/// How long any tip of `plumbing` sprayed above its droplet window: from one sample to the next what the later one
/// tells, for the first of a step is of the moment before its settings. `None` where none sprays or has a window.
fn above_window_s(plumbing: &Plumbing, moved: &MovedRecord) -> Option<f64> {
    let windows = plumbing.tips.iter().enumerate();
    let highest: Vec<(usize, f64)> =
        windows.filter_map(|(i, tip)| Some((i, tip.window_pa?.1))).collect();
    let above = |sample: &Sample| {
        highest.iter().any(|&(i, most_pa)| {
            let pressure_pa = f64::from(sample.nodes_pa[plumbing.tips[i].node.index()]);
            f64::from(sample.tip_flows_m3_s[i]) > STILL_M3_S && pressure_pa > most_pa
        })
    };
    let pairs = moved.samples.windows(2).filter(|pair| above(&pair[1]));
    let whole_s = pairs.fold(0.0, |sum, pair| sum + pair[1].time_s - pair[0].time_s);
    (!highest.is_empty() && moved.sprayed.liquid_m3 > 0.0).then_some(whole_s)
}
