//! `summary.json`: what other programs read. What was run, and each step with its findings as `sim-core` has them.

use crate::results::{Finished, FinishedStep, PROGRAM, Source};
use crate::words::sentence;
use schemars::JsonSchema;
use serde::Serialize;
use sim_core::findings::StepFindings;
use sim_core::plumbing::{Plumbing, Side};
use sim_core::procedure::Action;
use sim_core::scenario::InputFault;
use sim_core::simulation::{MovedRecord, Record};
use sim_core::units::UnitSystem;
use std::collections::BTreeMap;

/// Version of the layout of `summary.json`.
const SCHEMA: &str = "2";

/// The findings of a run.
#[derive(Debug, Serialize, JsonSchema)]
pub(crate) struct Summary<'a> {
    /// Version of this layout.
    schema: &'static str,
    /// Name and version of the program.
    program: &'static str,
    /// What was run.
    scenario: Source,
    /// Volume of the lines, by the side of the machine they belong to.
    volumes_m3: BTreeMap<Side, f64>,
    /// Keys of the scenario that change nothing.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    ignored: Vec<IgnoredKey>,
    /// Each step, in order; of steps that repeat, the first and the last pass.
    steps: Vec<StepSummary<'a>>,
    /// Relative errors over the run.
    balances: Balances,
}

/// A key of the scenario that changes nothing.
#[derive(Debug, Serialize, JsonSchema)]
struct IgnoredKey {
    /// Line of the scenario's file, from 1.
    line: usize,
    /// Letter of that line, from 1.
    column: usize,
    /// Why it changes nothing.
    message: String,
    /// What to do.
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<String>,
}

impl IgnoredKey {
    fn of(key: &InputFault, text: &str) -> Self {
        let (line, column) = key.place(text);
        Self { line, column, message: key.message.clone(), help: key.help.clone() }
    }
}

/// One step.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Step")]
struct StepSummary<'a> {
    /// Its name.
    name: &'a str,
    /// What it does.
    #[serde(rename = "do")]
    action: Action,
    /// When it starts, after the run's start.
    start_s: f64,
    /// When it ends; the figures of the step are those of this moment.
    end_s: f64,
    /// Every node.
    nodes: Vec<NodeSummary<'a>>,
    /// Every line and part.
    branches: Vec<BranchSummary<'a>>,
    /// What the solve cost.
    work: Work,
    /// What was kept of its course, for a step that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    kept: Option<KeptMoments>,
    /// What the figures mean.
    findings: &'a StepFindings,
    /// Each of `findings.warnings` in words.
    cautions: Vec<String>,
}

/// A point where lines and parts meet.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Node")]
struct NodeSummary<'a> {
    /// Its name.
    name: &'a str,
    /// Static pressure: what a gauge reads.
    pressure_pa: f64,
    /// Static pressure plus velocity head of what arrives.
    total_pressure_pa: f64,
    /// Concentration there, for a step that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    concentration: Option<f64>,
    /// Position along the boom, right of the centre.
    #[serde(skip_serializing_if = "Option::is_none")]
    x_m: Option<f64>,
}

/// A line or part.
#[derive(Debug, Serialize, JsonSchema)]
#[schemars(rename = "Branch")]
struct BranchSummary<'a> {
    /// Its name.
    name: &'a str,
    /// `line`, `valve`, `strainer`, `meter`, `orifice`, `check_valve` or `pump`.
    kind: &'static str,
    /// Node where a positive flow enters.
    from: &'a str,
    /// Node where a positive flow leaves.
    to: &'a str,
    /// Its flow.
    flow_m3_s: f64,
    /// Drop of total pressure from `from` to `to`, lift not counted; negative: a pump's rise.
    loss_pa: f64,
    /// Mean concentration of a line, for a step that lasts.
    #[serde(skip_serializing_if = "Option::is_none")]
    concentration: Option<f64>,
}

/// What the solve of a step cost.
#[derive(Debug, Serialize, JsonSchema)]
struct Work {
    /// Newton iterations.
    iterations: u32,
    /// Numeric factorisations.
    factorisations: u32,
}

/// What was kept of a step's course: rows of `series.csv`, moments of pictures and pages.
#[derive(Debug, Serialize, JsonSchema)]
struct KeptMoments {
    /// Moves that the step took.
    moves: usize,
    /// Of every how many moves a moment is kept, the first and the last of the step in any case: 1, 2, 4, ...
    every: usize,
    /// Moments that are kept.
    moments: usize,
}

/// Relative errors.
#[derive(Debug, Serialize, JsonSchema)]
struct Balances {
    /// Largest imbalance of flow at a node, over the largest flow, or of liquid over a step.
    liquid: f64,
    /// Largest imbalance of product over a step, for steps that last.
    #[serde(skip_serializing_if = "Option::is_none")]
    product: Option<f64>,
    /// Largest error of air over a step with air.
    #[serde(skip_serializing_if = "Option::is_none")]
    air: Option<f64>,
}

impl<'a> Summary<'a> {
    /// The summary of `finished`.
    pub(crate) fn of(finished: &'a Finished) -> Self {
        let (plumbing, loaded) = (finished.plumbing(), &finished.loaded);
        Self {
            schema: SCHEMA,
            program: PROGRAM,
            scenario: Source::of(&finished.loaded),
            volumes_m3: plumbing.volume_by_side().into_iter().collect(),
            ignored: loaded.ignored.iter().map(|key| IgnoredKey::of(key, &loaded.text)).collect(),
            steps: finished.steps().map(StepSummary::of).collect(),
            balances: Balances::of(&finished.record),
        }
    }
}

impl<'a> StepSummary<'a> {
    fn of(FinishedStep { scenario, step, record, findings, .. }: FinishedStep<'a>) -> Self {
        let plumbing = &scenario.machine.plumbing;
        let (end, moved) = (&record.end, record.moved.as_ref());
        let node = |(i, node): (usize, &'a sim_core::plumbing::Node)| NodeSummary {
            name: &node.name,
            pressure_pa: end.static_pressure_pa[i],
            total_pressure_pa: end.total_pressure_pa[i],
            concentration: moved.and_then(|moved| concentration_near(plumbing, moved, i)),
            x_m: node.x_m,
        };
        let branch = |(i, branch): (usize, &'a sim_core::plumbing::Branch)| BranchSummary {
            name: &branch.name,
            kind: branch.part.kind(),
            from: &plumbing.node(branch.from).name,
            to: &plumbing.node(branch.to).name,
            flow_m3_s: end.flow_m3_s[i],
            loss_pa: end.loss_pa[i],
            concentration: moved.and_then(|moved| moved.line_concentration[i]),
        };
        Self {
            name: &step.name,
            action: step.action,
            start_s: record.start_s,
            end_s: record.end_s,
            nodes: plumbing.nodes.iter().enumerate().map(node).collect(),
            branches: plumbing.branches.iter().enumerate().map(branch).collect(),
            work: Work {
                iterations: end.statistics.iterations,
                factorisations: end.statistics.factorisations,
            },
            kept: moved.map(|moved| KeptMoments {
                moves: moved.moves,
                every: moved.kept_every,
                moments: moved.samples.len(),
            }),
            findings,
            cautions: findings.warnings.iter().map(|w| sentence(w, UnitSystem::Si)).collect(),
        }
    }
}

impl Balances {
    fn of(record: &Record) -> Self {
        let moved = || record.steps.iter().filter_map(|step| step.moved.as_ref());
        let liquid = moved().map(|moved| moved.liquid_error);
        Self {
            liquid: record
                .steps
                .iter()
                .map(|step| step.imbalance)
                .chain(liquid)
                .fold(0.0, f64::max),
            product: moved().map(|moved| moved.product_error).reduce(f64::max),
            air: moved().filter_map(|moved| Some(moved.air.as_ref()?.error)).reduce(f64::max),
        }
    }
}

/// Concentration of the tank a node opens into, of the tip there, or of the lines that meet there.
fn concentration_near(plumbing: &Plumbing, moved: &MovedRecord, node: usize) -> Option<f64> {
    if let Some(connection) = plumbing.nodes[node].tank {
        return Some(moved.tank_concentration[connection.tank.index()]);
    }
    if let Some(tip) = plumbing.tips.iter().position(|tip| tip.node.index() == node) {
        return Some(moved.tip_concentration[tip]);
    }
    let meets = |b: &sim_core::plumbing::Branch| b.from.index() == node || b.to.index() == node;
    let lines = plumbing.branches.iter().zip(&moved.line_concentration).filter(|(b, _)| meets(b));
    let (sum, count) =
        lines.filter_map(|(_, s)| *s).fold((0.0, 0.0), |(sum, n), s| (sum + s, n + 1.0));
    (count > 0.0).then(|| sum / count)
}
