//! Tables for spreadsheets: every tip, every line and part.

use crate::columns::Columns;
use crate::results::{Finished, FinishedStep};
use sim_core::findings::{LossFinding, TipFinding};
use sim_core::plumbing::Branch;
use sim_core::procedure::{Action, Step};
use sim_core::units::Quantity as Q;

/// Every tip of every step.
pub(crate) fn tips(finished: &Finished) -> String {
    // While air blows no tip runs.
    let steps = finished.steps().filter(|of| of.step.action != Action::Purge);
    let tips = steps.flat_map(|of| of.findings.tips.iter().map(move |tip| (of.step, tip)));
    Columns::new()
        .words("step", |(step, _): &(&Step, &TipFinding)| step.name.clone())
        .words("tip", |(_, found)| found.tip.to_string())
        .words("section", |(_, found)| found.section.as_ref().map(ToString::to_string))
        .under("x", Q::Length, |(_, found)| found.x_m)
        .under("pressure", Q::Pressure, |(_, found)| found.pressure_pa)
        .under("flow", Q::Flow, |(_, found)| found.flow_m3_s)
        .under("from nominal", Q::Share, |(_, found)| found.from_nominal_share)
        .under("from mean", Q::Share, |(_, found)| found.from_mean_share)
        .csv(tips, finished.units)
}

/// A line or part in a step.
struct StepBranch<'a> {
    step: &'a Step,
    branch: &'a Branch,
    flow_m3_s: f64,
    loss: Option<&'a LossFinding>,
}

/// Every line and part of every step.
pub(crate) fn lines(finished: &Finished) -> String {
    let plumbing = finished.plumbing();
    let mut rows = Vec::new();
    for FinishedStep { step, record, findings, .. } in finished.steps() {
        let mut loss_of = vec![None; plumbing.branches.len()];
        findings.losses.iter().for_each(|loss| loss_of[loss.branch.id.index()] = Some(loss));
        let branches = plumbing.branches.iter().zip(&record.end.flow_m3_s).zip(loss_of);
        let passed = |((branch, &flow_m3_s), loss)| StepBranch { step, branch, flow_m3_s, loss };
        rows.extend(branches.map(passed));
    }
    Columns::new()
        .words("step", |row: &StepBranch<'_>| row.step.name.clone())
        .words("name", |row| row.branch.name.clone())
        .words("kind", |row| row.branch.part.kind().replace('_', " "))
        .words("from", |row| plumbing.node(row.branch.from).name.clone())
        .words("to", |row| plumbing.node(row.branch.to).name.clone())
        .under("flow", Q::Flow, |row| row.flow_m3_s)
        .plain("velocity m/s", 2, |row| row.loss?.velocity_m_s)
        .plain("reynolds", 0, |row| row.loss?.reynolds)
        .under("loss", Q::Pressure, |row| Some(row.loss?.loss_pa))
        .plain("power W", 1, |row| Some(row.loss?.power_w))
        .under("share", Q::Share, |row| Some(row.loss?.power_share))
        .csv(rows, finished.units)
}
