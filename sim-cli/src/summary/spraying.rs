//! The part of the summary that the state of flow of each step gives.

use serde::Serialize;
use sim_core::findings::{Measure, StepFindings, Window};
use sim_core::plumbing::Plumbing;
use sim_core::scenario::Scenario;

#[derive(Debug, Serialize)]
pub(super) struct StepFinding {
    step: String,
    pumps: Vec<Pump>,
    held: Vec<Held>,
    #[serde(skip_serializing_if = "Option::is_none")]
    boom: Option<Boom>,
    sections: Vec<Section>,
    tips: Vec<TipFinding>,
    lines: Vec<Line>,
    #[serde(skip_serializing_if = "Option::is_none")]
    application: Option<Application>,
    verdicts: Vec<Verdict>,
}

#[derive(Debug, Serialize)]
struct Pump {
    name: String,
    flow_m3_s: f64,
    rise_pa: f64,
    head_m: f64,
    speed_share: f64,
    hydraulic_power_w: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    efficiency_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    shaft_power_w: Option<f64>,
    npsh_available_m: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    npsh_required_m: Option<f64>,
}

#[derive(Debug, Serialize)]
struct Held {
    at: String,
    by: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted_pa: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    got_pa: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted_m3_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    got_m3_s: Option<f64>,
    actuator_share: f64,
    reached: bool,
}

#[derive(Debug, Serialize)]
struct Boom {
    flow_m3_s: f64,
    mean_pressure_pa: f64,
    spread_share: f64,
    flow_variation_share: f64,
    lowest_tip: String,
    highest_tip: String,
}

#[derive(Debug, Serialize)]
struct Section {
    name: String,
    running_tips: usize,
    flow_m3_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    feed_end_pa: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    far_end_pa: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    spread_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drop_from_gauge_share: Option<f64>,
}

#[derive(Debug, Serialize)]
struct TipFinding {
    name: String,
    nominal_flow_m3_s: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    from_nominal_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    from_mean_share: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    window: Option<&'static str>,
}

#[derive(Debug, Serialize)]
struct Line {
    name: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    velocity_m_s: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    reynolds: Option<f64>,
    loss_pa: f64,
    power_w: f64,
    power_share: f64,
}

#[derive(Debug, Serialize)]
struct Application {
    rate_m: f64,
    #[serde(skip_serializing_if = "Option::is_none")]
    wanted_m: Option<f64>,
    speed_m_s: f64,
    width_m: f64,
}

#[derive(Debug, Serialize)]
struct Verdict {
    limit: &'static str,
    meaning: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    value: f64,
    at_most: f64,
    unit: &'static str,
    source: String,
    met: bool,
}

pub(super) fn step_findings(scenario: &Scenario, findings: &[StepFindings]) -> Vec<StepFinding> {
    let plumbing = &scenario.plumbing;
    let steps = scenario.steps.iter().zip(findings).filter(|(step, _)| !step.is_middle_pass());
    let finding = |(step, found): (&sim_core::procedure::Step, &StepFindings)| StepFinding {
        step: step.name.clone(),
        pumps: pumps(plumbing, found),
        held: held(found),
        boom: found.boom.as_ref().map(|boom| Boom {
            flow_m3_s: boom.flow_m3_s,
            mean_pressure_pa: boom.mean_pressure_pa,
            spread_share: boom.spread,
            flow_variation_share: boom.flow_variation,
            lowest_tip: plumbing.tips[boom.lowest.index()].name.clone(),
            highest_tip: plumbing.tips[boom.highest.index()].name.clone(),
        }),
        sections: sections(plumbing, found),
        tips: tips(plumbing, found),
        lines: lines(plumbing, found),
        application: found.application.as_ref().map(|application| Application {
            rate_m: application.rate_m,
            wanted_m: application.wanted_m,
            speed_m_s: application.speed_m_s,
            width_m: application.width_m,
        }),
        verdicts: verdicts(found),
    };
    steps.map(finding).collect()
}

fn pumps(plumbing: &Plumbing, found: &StepFindings) -> Vec<Pump> {
    let pump = |duty: &sim_core::findings::PumpDuty| Pump {
        name: plumbing.branch(duty.branch).name.clone(),
        flow_m3_s: duty.flow_m3_s,
        rise_pa: duty.rise_pa,
        head_m: duty.head_m,
        speed_share: duty.speed,
        hydraulic_power_w: duty.hydraulic_power_w,
        efficiency_share: duty.efficiency,
        shaft_power_w: duty.shaft_power_w,
        npsh_available_m: duty.npsh_available_m,
        npsh_required_m: duty.npsh_required_m,
    };
    found.pumps.iter().map(pump).collect()
}

fn held(found: &StepFindings) -> Vec<Held> {
    let held = |held: &sim_core::findings::HeldFinding| {
        let pressure = |value: f64| held.is_pressure.then_some(value);
        let flow = |value: f64| (!held.is_pressure).then_some(value);
        Held {
            at: held.at.clone(),
            by: held.by.clone(),
            wanted_pa: pressure(held.wanted),
            got_pa: pressure(held.got),
            wanted_m3_s: flow(held.wanted),
            got_m3_s: flow(held.got),
            actuator_share: held.actuator,
            reached: held.reached,
        }
    };
    found.held.iter().map(held).collect()
}

fn sections(plumbing: &Plumbing, found: &StepFindings) -> Vec<Section> {
    let section = |section: &sim_core::findings::SectionFinding| Section {
        name: plumbing.sections[section.section.index()].name.clone(),
        running_tips: section.running,
        flow_m3_s: section.flow_m3_s,
        feed_end_pa: section.feed_end_pa,
        far_end_pa: section.far_end_pa,
        spread_share: section.spread,
        drop_from_gauge_share: section.drop_from_gauge,
    };
    found.sections.iter().map(section).collect()
}

fn tips(plumbing: &Plumbing, found: &StepFindings) -> Vec<TipFinding> {
    let tip = |tip: &sim_core::findings::TipFinding| TipFinding {
        name: plumbing.tips[tip.tip.index()].name.clone(),
        nominal_flow_m3_s: tip.nominal_flow_m3_s,
        from_nominal_share: tip.from_nominal,
        from_mean_share: tip.from_mean,
        window: tip.window.map(|window| match window {
            Window::Below => "below",
            Window::Inside => "inside",
            Window::Above => "above",
        }),
    };
    found.tips.iter().map(tip).collect()
}

fn lines(plumbing: &Plumbing, found: &StepFindings) -> Vec<Line> {
    let line = |loss: &sim_core::findings::LossFinding| Line {
        name: plumbing.branch(loss.branch).name.clone(),
        velocity_m_s: loss.velocity_m_s,
        reynolds: loss.reynolds,
        loss_pa: loss.loss_pa,
        power_w: loss.power_w,
        power_share: loss.share,
    };
    found.losses.iter().map(line).collect()
}

fn verdicts(found: &StepFindings) -> Vec<Verdict> {
    let verdict = |verdict: &sim_core::findings::Verdict| Verdict {
        limit: verdict.limit,
        meaning: verdict.meaning,
        place: verdict.place.clone(),
        value: verdict.value,
        at_most: verdict.at_most,
        unit: match verdict.measure {
            Measure::Share => "share",
            Measure::Velocity => "m/s",
            Measure::Time => "s",
            Measure::Volume => "m3",
        },
        source: verdict.source.clone(),
        met: verdict.met,
    };
    found.verdicts.iter().map(verdict).collect()
}
