//! Tables for spreadsheets: every tip, every line and part.

use crate::results::Finished;
use sim_core::fluids::ATMOSPHERE_PA;
use sim_core::procedure::{Action, Step};
use sim_core::simulation::AirSample;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// Every tip of every step.
pub(crate) fn tips(finished: &Finished, units: UnitSystem) -> String {
    let scenario = &finished.loaded.scenario;
    let (p, q, x) = (unit(Q::Pressure, units), unit(Q::Flow, units), unit(Q::Length, units));
    let mut rows = vec![vec![
        "step".to_owned(),
        "tip".into(),
        "section".into(),
        format!("x {x}"),
        format!("pressure {p}"),
        format!("flow {q}"),
        "from nominal %".into(),
        "from mean %".into(),
    ]];
    let steps = scenario.course.steps.iter().zip(&finished.findings);
    // While air blows no tip runs.
    let told = |step: &Step| !step.is_middle_pass() && step.action != Action::Purge;
    for (step, findings) in steps.filter(|(step, _)| told(step)) {
        for finding in &findings.tips {
            let percent = |share: Option<f64>| share.map(|s| number(100.0 * s)).unwrap_or_default();
            rows.push(vec![
                step.name.clone(),
                finding.tip.to_string(),
                finding.section.as_ref().map(ToString::to_string).unwrap_or_default(),
                number(display_unit(Q::Length, units).from_si(finding.x_m)),
                number(display_unit(Q::Pressure, units).from_si(finding.pressure_pa)),
                number(display_unit(Q::Flow, units).from_si(finding.flow_m3_s)),
                percent(finding.from_nominal_share),
                percent(finding.from_mean_share),
            ]);
        }
    }
    csv(&rows)
}

/// Everything over time: a row for each sample of each step that lasts; `None` where none does.
pub(crate) fn series(finished: &Finished, units: UnitSystem) -> Option<String> {
    let plumbing = &finished.loaded.scenario.machine.plumbing;
    let (p, q) = (display_unit(Q::Pressure, units), display_unit(Q::Flow, units));
    let mut header = vec!["step".to_owned(), "time s".into()];
    header.extend(["pumped", "sprayed", "returned"].map(|flow| format!("{flow} {}", q.symbol)));
    header.extend(plumbing.gauges.iter().map(|gauge| format!("gauge {} {}", gauge.name, p.symbol)));
    header.extend(plumbing.tanks.iter().map(|tank| format!("tank {} strength", tank.name)));
    header.extend(plumbing.tips.iter().map(|tip| format!("tip {} strength", tip.name)));
    let v = display_unit(Q::Volume, units);
    let samples =
        || finished.record.steps.iter().filter_map(|s| s.moved.as_ref()).flat_map(|m| &m.samples);
    let air = samples().any(|sample| sample.air.is_some());
    if air {
        header.extend(["home", "lost"].map(|volume| format!("{volume} {}", v.symbol)));
        header.extend(["receiver", "air inlet"].map(|place| format!("{place} {}", p.symbol)));
    }
    let mut rows = vec![header];
    let steps = finished.loaded.scenario.course.steps.iter().zip(&finished.record.steps);
    for (step, record) in steps {
        for sample in record.moved.iter().flat_map(|moved| &moved.samples) {
            let flows = [sample.pumped_m3_s, sample.sprayed_m3_s, sample.returned_m3_s];
            let mut row = vec![step.name.clone(), number(sample.time_s)];
            row.extend(flows.map(|flow| number(q.from_si(f64::from(flow)))));
            row.extend(sample.gauges_pa.iter().map(|pa| number(p.from_si(f64::from(*pa)))));
            let strengths = sample.tanks.iter().chain(&sample.tips);
            row.extend(strengths.map(|strength| number(f64::from(*strength))));
            if air {
                row.extend(air_cells(sample.air.as_ref(), v.from_si(1.0), p.from_si(1.0)));
            }
            rows.push(row);
        }
    }
    (rows.len() > 1).then(|| csv(&rows))
}

/// What air does in a sample: volumes since the step's start and gauge pressures, in units of which an SI unit is so
/// many; empty where there is none.
fn air_cells(air: Option<&AirSample>, volume: f64, pressure: f64) -> [String; 4] {
    let Some(air) = air else { return Default::default() };
    let shown = |si: f32, scale: f64| {
        if si.is_finite() { number(f64::from(si) * scale) } else { String::new() }
    };
    let receiver = air.receiver_pa - ATMOSPHERE_PA as f32;
    [
        shown(air.returned_m3, volume),
        shown(air.lost_m3, volume),
        shown(receiver, pressure),
        shown(air.inlet_pa, pressure),
    ]
}

/// Every line and part of every step.
pub(crate) fn lines(finished: &Finished, units: UnitSystem) -> String {
    let scenario = &finished.loaded.scenario;
    let (p, q) = (unit(Q::Pressure, units), unit(Q::Flow, units));
    let mut rows = vec![vec![
        "step".to_owned(),
        "name".into(),
        "kind".into(),
        "from".into(),
        "to".into(),
        format!("flow {q}"),
        "velocity m/s".into(),
        "reynolds".into(),
        format!("loss {p}"),
        "power W".into(),
        "share %".into(),
    ]];
    let steps = scenario.course.steps.iter().zip(&finished.findings).zip(&finished.record.steps);
    for ((step, findings), record) in steps.filter(|((step, _), _)| !step.is_middle_pass()) {
        let mut loss_of = vec![None; scenario.machine.plumbing.branches.len()];
        findings.losses.iter().for_each(|loss| loss_of[loss.branch.id.index()] = Some(loss));
        for (i, branch) in scenario.machine.plumbing.branches.iter().enumerate() {
            let loss = loss_of[i];
            let optional = |value: Option<f64>| value.map(number).unwrap_or_default();
            let flow = record.end.flow_m3_s[i];
            rows.push(vec![
                step.name.clone(),
                branch.name.clone(),
                branch.part.kind().replace('_', " "),
                scenario.machine.plumbing.node(branch.from).name.clone(),
                scenario.machine.plumbing.node(branch.to).name.clone(),
                number(display_unit(Q::Flow, units).from_si(flow)),
                optional(loss.and_then(|loss| loss.velocity_m_s)),
                optional(loss.and_then(|loss| loss.reynolds)),
                optional(loss.map(|loss| display_unit(Q::Pressure, units).from_si(loss.loss_pa))),
                optional(loss.map(|loss| loss.power_w)),
                optional(loss.map(|loss| 100.0 * loss.power_share)),
            ]);
        }
    }
    csv(&rows)
}

fn unit(quantity: Q, units: UnitSystem) -> &'static str {
    display_unit(quantity, units).symbol
}

/// Seven figures: more than any gauge, fewer than rounding noise.
fn number(value: f64) -> String {
    if value == 0.0 {
        return "0".into();
    }
    let digits = (6 - value.abs().log10().floor() as i32).clamp(0, 12) as usize;
    let text = format!("{value:.digits$}");
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').into() } else { text }
}

fn csv(rows: &[Vec<String>]) -> String {
    let mut writer = csv::Writer::from_writer(Vec::new());
    for row in rows {
        // Rows of equal length into memory: neither can fail.
        let _ = writer.write_record(row);
    }
    writer
        .into_inner()
        .map(|bytes| String::from_utf8_lossy(&bytes).into_owned())
        .unwrap_or_default()
}
