//! Every tip, every line and part: long lists, for spreadsheets or asked for by name.

use crate::columns::{Columns, Table};
use crate::results::{Finished, FinishedStep};
use sim_core::findings::{LossFinding, TipFinding};
use sim_core::plumbing::{Branch, Plumbing};
use sim_core::procedure::{Action, Step};
use sim_core::units::Quantity as Q;

/// A tip in a step.
type StepTip<'a> = (&'a Step, &'a TipFinding);

/// Every tip of every step, as comma-separated values.
pub(crate) fn tips_csv(finished: &Finished) -> String {
    let columns = Columns::new().words("step", |(step, _): &StepTip<'_>| step.name.clone());
    tip_columns(columns).csv(finished.steps().flat_map(tips), finished.units)
}

/// Every tip of each step.
pub(super) fn tip_tables(finished: &Finished) -> impl Iterator<Item = Table> {
    let table = |of: FinishedStep<'_>| {
        tip_columns(Columns::new()).table(titled("Tips", of), tips(of), of.units)
    };
    finished.steps().map(table)
}

/// Every line and part of every step, as comma-separated values.
pub(crate) fn lines_csv(finished: &Finished) -> String {
    let columns = Columns::new().words("step", |row: &StepBranch<'_>| row.step.name.clone());
    let columns = line_columns(columns, finished.plumbing());
    columns.csv(finished.steps().flat_map(lines), finished.units)
}

/// Every line and part of each step.
pub(super) fn line_tables(finished: &Finished) -> impl Iterator<Item = Table> {
    let table = |of: FinishedStep<'_>| {
        let columns = line_columns(Columns::new(), of.plumbing());
        columns.table(titled("Lines and parts", of), lines(of), of.units)
    };
    finished.steps().map(table)
}

fn titled(title: &str, of: FinishedStep<'_>) -> String {
    format!("{title}, step \"{}\"", of.step.name)
}

/// The tips of a step; none while air blows: no tip runs then.
fn tips(of: FinishedStep<'_>) -> impl Iterator<Item = StepTip<'_>> {
    let tips = of.findings.tips.iter().filter(move |_| of.step.action != Action::Purge);
    tips.map(move |tip| (of.step, tip))
}

fn tip_columns<'a>(columns: Columns<'a, StepTip<'a>>) -> Columns<'a, StepTip<'a>> {
    columns
        .words("tip", |(_, found): &StepTip<'_>| found.tip.to_string())
        .words("section", |(_, found)| found.section.as_ref().map(ToString::to_string))
        .under("x", Q::Length, |(_, found)| found.x_m)
        .under("pressure", Q::Pressure, |(_, found)| found.pressure_pa)
        .under("flow", Q::Flow, |(_, found)| found.flow_m3_s)
        .under("from nominal", Q::Share, |(_, found)| found.from_nominal_share)
        .under("from mean", Q::Share, |(_, found)| found.from_mean_share)
}

/// A line or part in a step.
struct StepBranch<'a> {
    step: &'a Step,
    branch: &'a Branch,
    flow_m3_s: f64,
    loss: Option<&'a LossFinding>,
}

/// The lines and parts of a step.
fn lines(of: FinishedStep<'_>) -> Vec<StepBranch<'_>> {
    let FinishedStep { step, record, findings, .. } = of;
    let plumbing = of.plumbing();
    let mut loss_of = vec![None; plumbing.branches.len()];
    findings.losses.iter().for_each(|loss| loss_of[loss.branch.id.index()] = Some(loss));
    let branches = plumbing.branches.iter().zip(&record.end.flow_m3_s).zip(loss_of);
    let passed = |((branch, &flow_m3_s), loss)| StepBranch { step, branch, flow_m3_s, loss };
    branches.map(passed).collect()
}

fn line_columns<'a>(
    columns: Columns<'a, StepBranch<'a>>,
    plumbing: &'a Plumbing,
) -> Columns<'a, StepBranch<'a>> {
    columns
        .words("name", |row: &StepBranch<'_>| row.branch.name.clone())
        .words("kind", |row| row.branch.part.kind().replace('_', " "))
        .words("from", |row| plumbing.node(row.branch.from).name.clone())
        .words("to", |row| plumbing.node(row.branch.to).name.clone())
        .under("flow", Q::Flow, |row| row.flow_m3_s)
        .plain("velocity m/s", 2, |row| row.loss?.velocity_m_s)
        .plain("reynolds", 0, |row| row.loss?.reynolds)
        .under("loss", Q::Pressure, |row| Some(row.loss?.loss_pa))
        .plain("power W", 1, |row| Some(row.loss?.power_w))
        .under("share", Q::Share, |row| Some(row.loss?.power_share))
}
