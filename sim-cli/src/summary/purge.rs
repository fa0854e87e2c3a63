//! The part of the summary that compressed air and empty lines leave.

use serde::Serialize;
use sim_core::findings::{self, StepFindings};
use sim_core::plumbing::Plumbing;
use sim_core::scenario::Scenario;
use sim_core::transport::LineLeft;

/// A purge: all steps of purging that follow one another.
#[derive(Debug, Serialize)]
pub(super) struct Purge {
    steps: Vec<String>,
    lasted_s: f64,
    at_start_m3: f64,
    returned_m3: f64,
    returned_product_m3: f64,
    lost_m3: f64,
    left_m3: f64,
    left_product_m3: f64,
    by_cause: Left,
    by_line: Vec<LineOf>,
    sections: Vec<Section>,
    half_home_s: Option<f64>,
    most_home_s: Option<f64>,
    nearly_home_s: Option<f64>,
    air_kg: f64,
    free_air_m3: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    receiver: Option<Receiver>,
    #[serde(skip_serializing_if = "Option::is_none")]
    highest_pa: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    highest_at: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rating_share: Option<f64>,
    tips_opened: usize,
    rinse_once_m3: f64,
    rinse_thrice_m3: f64,
    rinse_to_share: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    left_price: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lost_price: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Left {
    full_stretch_m3: f64,
    layer_m3: f64,
    low_spot_m3: f64,
    dead_leg_m3: f64,
}

#[derive(Debug, Serialize)]
struct LineOf {
    name: String,
    left_m3: f64,
    #[serde(flatten)]
    by_cause: Left,
}

#[derive(Debug, Serialize)]
struct Section {
    name: String,
    breakthrough_s: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Receiver {
    start_pa: f64,
    end_pa: f64,
    lowest_pa: f64,
}

/// A step in which empty lines filled.
#[derive(Debug, Serialize)]
pub(super) struct Filling {
    step: String,
    filled_s: Option<f64>,
    sections: Vec<Filled>,
    air_caught_m3: f64,
    air_left_m3: f64,
}

#[derive(Debug, Serialize)]
struct Filled {
    name: String,
    first_s: Option<f64>,
    last_s: Option<f64>,
}

impl From<&LineLeft> for Left {
    fn from(left: &LineLeft) -> Self {
        Self {
            full_stretch_m3: left.column_m3,
            layer_m3: left.layer_m3,
            low_spot_m3: left.pool_m3,
            dead_leg_m3: left.stub_m3,
        }
    }
}

/// Every purge; `None` where there is none.
pub(super) fn purges(scenario: &Scenario, found: &[StepFindings]) -> Option<Vec<Purge>> {
    let purges: Vec<Purge> =
        found.iter().filter_map(|step| Some(purge(scenario, step.purge.as_ref()?))).collect();
    (!purges.is_empty()).then_some(purges)
}

fn purge(scenario: &Scenario, found: &findings::Purge) -> Purge {
    let plumbing = &scenario.plumbing;
    let [half, most, nearly] = found.home_s.map_or([None; 3], |home| home.map(Some));
    Purge {
        steps: scenario.steps[found.steps.clone()].iter().map(|step| step.name.clone()).collect(),
        lasted_s: found.lasted_s,
        at_start_m3: found.at_start_m3,
        returned_m3: found.returned.liquid_m3,
        returned_product_m3: found.returned.product_m3,
        lost_m3: found.lost.liquid_m3,
        left_m3: found.left_m3,
        left_product_m3: found.left_product_m3,
        by_cause: Left::from(&found.causes),
        by_line: found
            .by_line
            .iter()
            .map(|(id, left)| LineOf {
                name: plumbing.branch(*id).name.clone(),
                left_m3: left.liquid_m3(),
                by_cause: Left::from(left),
            })
            .collect(),
        sections: found
            .breakthrough
            .iter()
            .map(|(id, time)| section(plumbing, *id, *time))
            .collect(),
        half_home_s: half,
        most_home_s: most,
        nearly_home_s: nearly,
        air_kg: found.air_kg,
        free_air_m3: found.free_air_m3,
        receiver: found.receiver_pa.map(|[start_pa, end_pa, lowest_pa]| Receiver {
            start_pa,
            end_pa,
            lowest_pa,
        }),
        highest_pa: found.highest.map(|(pa, _)| pa),
        highest_at: found.highest.map(|(_, node)| plumbing.node(node).name.clone()),
        rating_share: found.over_rating.map(|(share, _)| share),
        tips_opened: found.opened.map_or(0, |(count, ..)| count),
        rinse_once_m3: found.rinse_m3[0],
        rinse_thrice_m3: found.rinse_m3[1],
        rinse_to_share: found.rinse_to,
        left_price: found.price.map(|[left, _]| left),
        lost_price: found.price.map(|[_, lost]| lost),
    }
}

fn section(plumbing: &Plumbing, id: sim_core::plumbing::SectionId, time: Option<f64>) -> Section {
    Section { name: plumbing.sections[id.index()].name.clone(), breakthrough_s: time }
}

/// Every step that began with air in lines; `None` where there is none.
pub(super) fn fillings(scenario: &Scenario, found: &[StepFindings]) -> Option<Vec<Filling>> {
    let steps = scenario.steps.iter().zip(found);
    let fillings: Vec<Filling> = steps
        .filter_map(|(step, found)| {
            let filling = found.filling.as_ref()?;
            let section = |(id, first_s, last_s): &(_, _, _)| {
                let id: &sim_core::plumbing::SectionId = id;
                let name = scenario.plumbing.sections[id.index()].name.clone();
                Filled { name, first_s: *first_s, last_s: *last_s }
            };
            Some(Filling {
                step: step.name.clone(),
                filled_s: filling.filled_s,
                sections: filling.sections.iter().map(section).collect(),
                air_caught_m3: filling.caught.iter().map(|caught| caught.air_m3).sum(),
                air_left_m3: filling.air_left.iter().map(|(_, m3)| m3).sum(),
            })
        })
        .collect();
    (!fillings.is_empty()).then_some(fillings)
}
