//! The part of the summary that steps through time leave.

use crate::results::Finished;
use serde::Serialize;
use sim_core::findings::{self, StepFindings};
use sim_core::plumbing::Plumbing;
use sim_core::scenario::Scenario;
use sim_core::simulation::{Arrival, Ended, MovedRecord};

/// The first step of the scenario that lasts and brings new liquid to the tips.
#[derive(Debug, Serialize)]
pub(super) struct Priming {
    step: String,
    lasted_s: f64,
    tips: Vec<TipPriming>,
    all_full_s: Option<f64>,
    sections: Vec<SectionPriming>,
    sprayed_m3: f64,
    sprayed_weak_m3: f64,
    product_weak_m3: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    weak_price: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    weak_distance_m: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    turnover_s: Option<f64>,
    dead_legs: Vec<DeadLeg>,
}

#[derive(Debug, Serialize)]
struct TipPriming {
    name: String,
    first_s: Option<f64>,
    half_s: Option<f64>,
    most_s: Option<f64>,
    full_s: Option<f64>,
}

#[derive(Debug, Serialize)]
struct SectionPriming {
    name: String,
    first_s: Option<f64>,
    median_s: Option<f64>,
    last_s: Option<f64>,
}

#[derive(Debug, Serialize)]
struct DeadLeg {
    name: String,
    volume_m3: f64,
    bores: f64,
    strength: f64,
    full_s: Option<f64>,
}

/// What a step that lasts moved.
#[derive(Debug, Serialize)]
pub(super) struct Lasting {
    step: String,
    ended: String,
    steady_after_s: Option<f64>,
    sprayed_m3: f64,
    product_sprayed_m3: f64,
    returned_m3: f64,
    settled_m3: f64,
    tanks: Vec<Tank>,
    #[serde(skip_serializing_if = "Option::is_none")]
    all_full_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    circulation: Option<Circulation>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drool_m3: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rinse: Option<Rinse>,
    #[serde(skip_serializing_if = "Option::is_none")]
    standing: Option<Standing>,
}

#[derive(Debug, Serialize)]
struct Tank {
    name: String,
    strength: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    holds_m3: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Circulation {
    flow_m3_s: f64,
    pump_share: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    slowest_m_s: Option<f64>,
    too_slow_lines: Vec<String>,
    tips_that_would_open: Vec<String>,
    return_half_s: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Rinse {
    sprayed_m3: f64,
    sprayed_strength: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    strongest_tip: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    strongest_strength: Option<f64>,
    rinsed_s: Option<f64>,
    product_left_m3: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    dead_leg_strength: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Standing {
    settling_m_s: f64,
    particle_reynolds: f64,
    still_suspended_share: f64,
    clears_in_s: f64,
}

pub(super) fn priming(scenario: &Scenario, found: &[StepFindings]) -> Option<Priming> {
    let plumbing = &scenario.plumbing;
    let steps = scenario.steps.iter().zip(found);
    let (step, found) = steps.filter_map(|(s, f)| Some((s, f.priming.as_ref()?))).next()?;
    let tip = |(tip, arrival): (&sim_core::plumbing::Tip, &Arrival)| TipPriming {
        name: tip.name.clone(),
        first_s: arrival.first_s,
        half_s: arrival.half_s,
        most_s: arrival.most_s,
        full_s: arrival.full_s,
    };
    let section = |s: &findings::SectionPriming| SectionPriming {
        name: plumbing.sections[s.section.index()].name.clone(),
        first_s: s.first_s,
        median_s: s.median_s,
        last_s: s.last_s,
    };
    let leg = |leg: &findings::DeadLeg| DeadLeg {
        name: plumbing.branch(leg.branch).name.clone(),
        volume_m3: leg.volume_m3,
        bores: leg.bores,
        strength: leg.strength,
        full_s: leg.full_s,
    };
    Some(Priming {
        step: step.name.clone(),
        lasted_s: found.lasted_s,
        tips: plumbing.tips.iter().zip(&found.arrivals).map(tip).collect(),
        all_full_s: found.all_full_s,
        sections: found.sections.iter().map(section).collect(),
        sprayed_m3: found.sprayed_m3,
        sprayed_weak_m3: found.sprayed_weak_m3,
        product_weak_m3: found.product_weak_m3,
        weak_price: found.weak_price,
        weak_distance_m: found.weak_distance_m,
        turnover_s: found.turnover_s,
        dead_legs: found.dead_legs.iter().map(leg).collect(),
    })
}

/// Every step that lasts, passes of a repeat but the first and last left out.
pub(super) fn lasting(finished: &Finished) -> Option<Vec<Lasting>> {
    let scenario = &finished.loaded.scenario;
    let steps = scenario.steps.iter().zip(&finished.record.steps).zip(&finished.findings);
    let steps = steps.filter(|((step, _), _)| !step.is_middle_pass());
    let lasting: Vec<Lasting> = steps
        .filter_map(|((step, record), found)| {
            let moved = record.moved.as_ref()?;
            Some(of_step(scenario, step.name.clone(), moved, found))
        })
        .collect();
    (!lasting.is_empty()).then_some(lasting)
}

fn of_step(
    scenario: &Scenario,
    step: String,
    moved: &MovedRecord,
    found: &StepFindings,
) -> Lasting {
    let plumbing = &scenario.plumbing;
    let tanks = plumbing.tanks.iter().enumerate().map(|(i, tank)| Tank {
        name: tank.name.clone(),
        strength: moved.tank_strength[i],
        holds_m3: moved.tank_m3[i],
    });
    Lasting {
        step,
        ended: match moved.ended {
            Ended::Time => "time".into(),
            Ended::Reached => "reached".into(),
            Ended::TankEmpty(tank) => format!("tank {} empty", plumbing.tank(tank).name),
        },
        steady_after_s: moved.steady_after_s,
        sprayed_m3: moved.sprayed.liquid_m3,
        product_sprayed_m3: moved.sprayed.product_m3,
        returned_m3: moved.returned.liquid_m3,
        settled_m3: moved.settled_m3,
        tanks: tanks.collect(),
        all_full_s: found.priming.as_ref().and_then(|priming| priming.all_full_s),
        circulation: found.circulation.as_ref().map(|c| circulation(plumbing, c)),
        drool_m3: found.drool.as_ref().map(|drool| drool.volume_m3),
        rinse: found.rinse.as_ref().map(|r| rinse(plumbing, r)),
        standing: found.standing.as_ref().map(|s| Standing {
            settling_m_s: s.settling_m_s,
            particle_reynolds: s.particle_reynolds,
            still_suspended_share: s.still_suspended,
            clears_in_s: s.clears_in_s,
        }),
    }
}

fn circulation(plumbing: &Plumbing, found: &findings::Circulation) -> Circulation {
    Circulation {
        flow_m3_s: found.flow_m3_s,
        pump_share: found.share_of_pump,
        slowest_m_s: found.slowest.map(|(_, velocity)| velocity),
        too_slow_lines: found
            .too_slow
            .iter()
            .map(|(id, ..)| plumbing.branch(*id).name.clone())
            .collect(),
        tips_that_would_open: found
            .would_open
            .iter()
            .map(|id| plumbing.tips[id.index()].name.clone())
            .collect(),
        return_half_s: found.return_half_s,
    }
}

fn rinse(plumbing: &Plumbing, found: &findings::Rinse) -> Rinse {
    Rinse {
        sprayed_m3: found.sprayed_m3,
        sprayed_strength: found.sprayed_strength,
        strongest_tip: found.strongest.map(|(id, _)| plumbing.tips[id.index()].name.clone()),
        strongest_strength: found.strongest.map(|(_, strength)| strength),
        rinsed_s: found.rinsed_s,
        product_left_m3: found.product_left_m3,
        dead_leg_strength: found.dead_legs,
    }
}
