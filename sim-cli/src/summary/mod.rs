//! `summary.json`: what other programs read. SI units; names end in their unit.

mod purge;
mod spraying;
mod time;

use crate::results::{Finished, PROGRAM, Source};
use serde::Serialize;
use sim_core::findings::StepFindings;
use sim_core::plumbing::Plumbing;
use sim_core::procedure::Action;
use sim_core::scenario::Scenario;
use sim_core::simulation::StepRecord;

/// Version of the layout of `summary.json`.
const SCHEMA: &str = "1";

/// The whole summary.
#[derive(Debug, Serialize)]
pub(crate) struct Summary {
    schema: &'static str,
    program: &'static str,
    scenario: Source,
    steps: Vec<Step>,
    findings: Findings,
    balances: Balances,
    warnings: Vec<Warning>,
}

#[derive(Debug, Serialize)]
struct Step {
    name: String,
    #[serde(rename = "do")]
    action: Action,
    start_s: f64,
    end_s: f64,
    nodes: Vec<Node>,
    branches: Vec<Branch>,
    tips: Vec<Tip>,
    work: Work,
}

#[derive(Debug, Serialize)]
struct Node {
    name: String,
    pressure_pa: f64,
    total_pressure_pa: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    strength: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    x_m: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Branch {
    name: String,
    kind: &'static str,
    from: String,
    to: String,
    flow_m3_s: f64,
    loss_pa: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    strength: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Tip {
    name: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    section: Option<String>,
    x_m: f64,
    pressure_pa: f64,
    flow_m3_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    strength: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Work {
    iterations: u32,
    factorisations: u32,
}

#[derive(Debug, Serialize)]
struct Findings {
    spraying: Spraying,
    #[serde(skip_serializing_if = "Option::is_none")]
    priming: Option<time::Priming>,
    #[serde(skip_serializing_if = "Option::is_none")]
    through_time: Option<Vec<time::Lasting>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    filling: Option<Vec<purge::Filling>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    purges: Option<Vec<purge::Purge>>,
    volumes_m3: serde_json::Map<String, serde_json::Value>,
}

#[derive(Debug, Serialize)]
struct Spraying {
    steps: Vec<spraying::StepFinding>,
}

#[derive(Debug, Serialize)]
struct Balances {
    liquid: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    product: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    air: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Warning {
    step: String,
    code: &'static str,
    text: String,
}

impl Summary {
    /// The summary of `finished`.
    pub(crate) fn of(finished: &Finished) -> Self {
        let scenario = &finished.loaded.scenario;
        let steps = scenario.steps.iter().zip(&finished.record.steps);
        let steps = steps.filter(|(step, _)| !step.is_middle_pass());
        let moved = || finished.record.steps.iter().filter_map(|step| step.moved.as_ref());
        let volume = |(side, m3): (sim_core::plumbing::Side, f64)| {
            let name = serde_json::to_value(side).ok()?;
            Some((name.as_str()?.to_owned(), serde_json::json!(m3)))
        };
        Self {
            schema: SCHEMA,
            program: PROGRAM,
            scenario: Source::of(&finished.loaded),
            steps: steps.map(|(s, record)| step(scenario, s, record)).collect(),
            findings: Findings {
                spraying: Spraying { steps: spraying::step_findings(scenario, &finished.findings) },
                priming: time::priming(scenario, &finished.findings),
                through_time: time::lasting(finished),
                filling: purge::fillings(scenario, &finished.findings),
                purges: purge::purges(scenario, &finished.findings),
                volumes_m3: scenario
                    .plumbing
                    .volume_by_side()
                    .into_iter()
                    .filter_map(volume)
                    .collect(),
            },
            balances: Balances {
                liquid: imbalance(&finished.record),
                product: moved().map(|moved| moved.product_error).reduce(f64::max),
                air: moved().filter_map(|m| Some(m.air.as_ref()?.error)).reduce(f64::max),
            },
            warnings: warnings(scenario, &finished.findings),
        }
    }

    /// The summary as JSON text.
    pub(crate) fn to_json(&self) -> String {
        // Plain structs of text and finite numbers always serialise.
        serde_json::to_string_pretty(self).unwrap_or_default()
    }
}

/// Largest error of any step in the balance of flows or of liquid.
fn imbalance(record: &sim_core::simulation::Record) -> f64 {
    let of = |step: &StepRecord| {
        step.imbalance.max(step.moved.as_ref().map_or(0.0, |moved| moved.liquid_error))
    };
    record.steps.iter().map(of).fold(0.0, f64::max)
}

fn step(scenario: &Scenario, step: &sim_core::procedure::Step, record: &StepRecord) -> Step {
    let plumbing = &scenario.plumbing;
    let end = &record.end;
    let moved = record.moved.as_ref();
    let near = |i: usize| moved.and_then(|moved| strength_near(plumbing, moved, i));
    let node = |(i, node): (usize, &sim_core::plumbing::Node)| Node {
        strength: near(i),
        name: node.name.clone(),
        pressure_pa: end.static_pressure_pa[i],
        total_pressure_pa: end.total_pressure_pa[i],
        x_m: node.x_m,
    };
    let branch = |(i, branch): (usize, &sim_core::plumbing::Branch)| Branch {
        name: branch.name.clone(),
        kind: branch.part.kind(),
        from: plumbing.node(branch.from).name.clone(),
        to: plumbing.node(branch.to).name.clone(),
        flow_m3_s: end.flow_m3_s[i],
        loss_pa: end.loss_pa[i],
        strength: moved.and_then(|moved| moved.line_strength[i]),
    };
    let tip = |(i, tip): (usize, &sim_core::plumbing::Tip)| Tip {
        name: tip.name.clone(),
        section: tip.section.map(|id| plumbing.sections[id.index()].name.clone()),
        x_m: tip.x_m,
        pressure_pa: end.tip_pressure_pa[i],
        flow_m3_s: end.tip_flow_m3_s[i],
        strength: moved.map(|moved| moved.tip_strength[i]),
    };
    Step {
        name: step.name.clone(),
        action: step.action,
        start_s: record.start_s,
        end_s: record.end_s,
        nodes: plumbing.nodes.iter().enumerate().map(node).collect(),
        branches: plumbing.branches.iter().enumerate().map(branch).collect(),
        tips: plumbing.tips.iter().enumerate().map(tip).collect(),
        work: Work { iterations: end.work.iterations, factorisations: end.work.factorisations },
    }
}

/// Strength of the tank a node opens into, of the tip there, or of the lines that meet there.
fn strength_near(
    plumbing: &Plumbing,
    moved: &sim_core::simulation::MovedRecord,
    node: usize,
) -> Option<f64> {
    if let Some(connection) = plumbing.nodes[node].tank {
        return Some(moved.tank_strength[connection.tank.index()]);
    }
    if let Some(tip) = plumbing.tips.iter().position(|tip| tip.node.index() == node) {
        return Some(moved.tip_strength[tip]);
    }
    let meets = |b: &sim_core::plumbing::Branch| b.from.index() == node || b.to.index() == node;
    let lines = plumbing.branches.iter().zip(&moved.line_strength).filter(|(b, _)| meets(b));
    let (sum, count) =
        lines.filter_map(|(_, s)| *s).fold((0.0, 0.0), |(sum, n), s| (sum + s, n + 1.0));
    (count > 0.0).then(|| sum / count)
}

fn warnings(scenario: &Scenario, findings: &[StepFindings]) -> Vec<Warning> {
    let steps = scenario.steps.iter().zip(findings).filter(|(step, _)| !step.is_middle_pass());
    let of_step = steps.flat_map(|(step, found)| {
        found.warnings.iter().map(move |warning| Warning {
            step: step.name.clone(),
            code: warning.code,
            text: warning.text.clone(),
        })
    });
    of_step.collect()
}
