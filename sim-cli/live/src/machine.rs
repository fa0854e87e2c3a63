//! What the page needs to draw a machine, once for each machine.

use page_model::page::{Drawing, ShownUnits};
use serde::Serialize;
use sim_core::procedure::Course;
use sim_core::scenario::Scenario;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// A machine as the page draws it.
#[derive(Debug, Serialize)]
pub(crate) struct ShownMachine {
    drawing: Drawing,
    units: ShownUnits,
    /// How many lines and parts, nodes, tips, tanks a frame has.
    counts: [usize; 4],
    gauges: Vec<ShownGauge>,
    /// Place of each tip along the boom, in the unit of lengths.
    places: Vec<f64>,
    length: &'static str,
}

#[derive(Debug, Serialize)]
struct ShownGauge {
    name: String,
    node: usize,
}

impl ShownMachine {
    /// The machine of `scenario` in `units`.
    pub(crate) fn of(scenario: &Scenario, units: UnitSystem) -> Self {
        let plumbing = &scenario.machine.plumbing;
        let length = display_unit(Q::Length, units);
        let gauge = |gauge: &sim_core::plumbing::Gauge| ShownGauge {
            name: gauge.name.clone(),
            node: gauge.node.index(),
        };
        Self {
            drawing: Drawing::of(&scenario.machine, units),
            units: ShownUnits::of(units),
            counts: [
                plumbing.branches.len(),
                plumbing.nodes.len(),
                plumbing.tips.len(),
                plumbing.tanks.len(),
            ],
            gauges: plumbing.gauges.iter().map(gauge).collect(),
            places: plumbing.tips.iter().map(|tip| length.from_si(tip.x_m)).collect(),
            length: length.symbol,
        }
    }
}

/// A step of the course as the page names it.
#[derive(Debug, Serialize)]
pub(crate) struct ShownStep {
    name: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    lasts: Option<f64>,
    air: bool,
}

/// The steps of `course`.
pub(crate) fn steps(course: &Course) -> Vec<ShownStep> {
    let step = |step: &sim_core::procedure::Step| ShownStep {
        name: step.name.clone(),
        lasts: step.lasts.map(|lasts| lasts.most_s),
        air: step.purge.is_some(),
    };
    course.steps.iter().map(step).collect()
}
