//! Tables for spreadsheets: every tip, every line and part, everything over time.

use crate::columns::Columns;
use crate::results::{Finished, FinishedStep};
use sim_core::findings::{LossFinding, TipFinding};
use sim_core::plumbing::Branch;
use sim_core::procedure::{Action, Step};
use sim_core::simulation::{AirSample, Sample};
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

/// A sample and the step it is of.
type StepSample<'a> = (&'a Step, &'a Sample);

/// Everything over time: a row for each sample of each step that lasts; `None` where none does.
pub(crate) fn series(finished: &Finished) -> Option<String> {
    let plumbing = finished.plumbing();
    let moved = finished.all_steps().filter_map(|of| Some((of.step, of.record.moved.as_ref()?)));
    let samples = moved.flat_map(|(step, moved)| moved.samples.iter().map(move |s| (step, s)));
    let samples: Vec<StepSample<'_>> = samples.collect();
    let mut columns = Columns::new()
        .words("step", |(step, _): &StepSample<'_>| step.name.clone())
        .plain("time s", 1, |(_, sample)| sample.time_s)
        .under("pumped", Q::Flow, |(_, sample)| f64::from(sample.pumped_m3_s))
        .under("sprayed", Q::Flow, |(_, sample)| f64::from(sample.sprayed_m3_s))
        .under("returned", Q::Flow, |(_, sample)| f64::from(sample.returned_m3_s));
    for (i, gauge) in plumbing.gauges.iter().enumerate() {
        let head = format!("gauge {}", gauge.name);
        columns = columns.under(&head, Q::Pressure, move |(_, s)| f64::from(s.gauges_pa[i]));
    }
    for (i, tank) in plumbing.tanks.iter().enumerate() {
        let head = format!("tank {} concentration", tank.name);
        columns = columns.plain(&head, 3, move |(_, s)| f64::from(s.tanks[i]));
    }
    for (i, tip) in plumbing.tips.iter().enumerate() {
        let head = format!("tip {} concentration", tip.name);
        columns = columns.plain(&head, 3, move |(_, s)| f64::from(s.tips[i]));
    }
    if samples.iter().any(|(_, sample)| sample.air.is_some()) {
        columns = with_air(columns);
    }
    (!samples.is_empty()).then(|| columns.csv(samples, finished.units))
}

/// What air does in a sample: volumes since the step's start and gauge pressures; nothing where there is none.
fn with_air<'a>(columns: Columns<'a, StepSample<'a>>) -> Columns<'a, StepSample<'a>> {
    let of =
        |sample: &Sample, value: fn(&AirSample) -> Option<f64>| sample.air.as_ref().and_then(value);
    columns
        .under("returned", Q::Volume, move |(_, s)| of(s, |air| Some(f64::from(air.returned_m3))))
        .under("lost", Q::Volume, move |(_, s)| of(s, |air| Some(f64::from(air.lost_m3))))
        .under("receiver", Q::Pressure, move |(_, s)| of(s, |air| Some(air.receiver()?.gauge().pa)))
        .under("air inlet", Q::Pressure, move |(_, s)| of(s, |air| Some(air.inlet()?.pa)))
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
