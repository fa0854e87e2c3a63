//! Pictures, each as SVG and PNG. The only folder that names the plotting crate.

mod against_published;
mod against_setting;
mod air_frames;
mod along_boom;
mod axes;
mod boom_pressure;
mod concentration_bar;
mod concentration_frames;
mod concentration_over_time;
mod curves;
mod diagnosis;
mod flow_and_pressure;
mod frames;
mod front_map;
mod line_contents;
mod liquid_left;
mod plan;
mod pump_curve;
mod purge_air;
mod render;
mod residual_map;
mod schematic;
mod shortened;
mod simplify;
mod step_spans;
mod theme;
mod timeline;
mod tip_flow;
mod two_frames;
mod view;
mod volume_bands;

pub use against_published::{Compared, PublishedPlot, Range};
pub(crate) use against_setting::{SettingCurve, SettingPlot};

use crate::output::OutputFile;
use crate::results::{Diagnosed, Finished};
use render::{Picture, render};
use sim_core::procedure::Step;
use sim_core::units::UnitSystem;
use view::View;

/// Every picture of the run; with several steps their names start with the step's number.
pub(crate) fn all(finished: &Finished, units: UnitSystem) -> Result<Vec<OutputFile>, String> {
    theme::register_fonts()?;
    let scenario = &finished.loaded.scenario;
    let mut files = Vec::new();
    let steps = scenario.course.steps.iter().enumerate();
    // While air blows nothing of this is at rest: pictures over time show it.
    let told = |step: &Step| !step.is_middle_pass() && step.purge.is_none();
    for (i, step) in steps.filter(|(_, step)| told(step)) {
        let prefix =
            if scenario.course.steps.len() > 1 { format!("{}-", i + 1) } else { String::new() };
        let (end, findings) = (&finished.record.steps[i].end, &finished.findings[i]);
        let view = View { scenario, step, end, findings, units };
        let mut add = |name: &str, picture: &dyn Picture| -> Result<(), String> {
            files.extend(render(&format!("{prefix}{name}"), picture)?);
            Ok(())
        };
        if !findings.tips.is_empty() {
            add("pressure-along-boom", &boom_pressure::BoomPressure::of(&view))?;
        }
        if findings.boom.is_some() {
            add("tip-flow", &tip_flow::TipFlow::of(&view))?;
        }
        for duty in &findings.pumps {
            let several = findings.pumps.len() > 1;
            let suffix = if several { format!("-{}", duty.pump) } else { String::new() };
            if let Some(picture) = pump_curve::PumpCurve::of(&view, duty)? {
                add(&format!("pump-curve{suffix}"), &picture)?;
            }
        }
        add("plumbing", &schematic::Schematic::of(&view))?;
    }
    files.extend(over_time(finished, units)?);
    Ok(files)
}

/// A finding against a setting, as the files `NAME.svg` and `NAME.png`.
pub(crate) fn against_setting(name: &str, plot: &SettingPlot) -> Result<[OutputFile; 2], String> {
    theme::register_fonts()?;
    render(name, plot)
}

/// Curves of the product under published points, as the bytes of a PNG picture.
///
/// # Errors
/// Says why it could not be drawn.
pub fn against_published(plot: &PublishedPlot) -> Result<Vec<u8>, String> {
    theme::register_fonts()?;
    let [_, png] = render("against-published", plot)?;
    Ok(png.bytes)
}

/// The picture of a diagnosis.
pub(crate) fn diagnosis(diagnosed: &Diagnosed) -> Result<[OutputFile; 2], String> {
    theme::register_fonts()?;
    render("diagnosis", &diagnosis::MeasuredPressure::of(diagnosed))
}

/// Pictures of the whole run over time, if anything moved in it.
fn over_time(finished: &Finished, units: UnitSystem) -> Result<Vec<OutputFile>, String> {
    let mut files = Vec::new();
    let Some(run) = timeline::Run::of(finished, units) else { return Ok(files) };
    if let Some(picture) = front_map::FrontMap::of(&run) {
        files.extend(render("front-map", &picture)?);
    }
    if let Some(picture) = concentration_over_time::ConcentrationOverTime::of(&run) {
        files.extend(render("concentration-over-time", &picture)?);
    }
    files.extend(render("flow-and-pressure", &flow_and_pressure::flow_and_pressure(&run))?);
    if let Some(picture) = concentration_frames::concentration_frames(&run) {
        files.extend(render("concentration-frames", &picture)?);
    }
    if let Some(airy) = run.with_air() {
        files.extend(with_air(&airy)?);
    }
    Ok(files)
}

/// Pictures of the part of a run that air takes part in.
fn with_air(run: &timeline::Run<'_>) -> Result<Vec<OutputFile>, String> {
    let mut files = Vec::new();
    if let Some(picture) = liquid_left::LiquidLeft::of(run) {
        files.extend(render("liquid-left", &picture)?);
    }
    if let Some(picture) = purge_air::purge_air(run) {
        files.extend(render("purge-air", &picture)?);
    }
    if let Some(picture) = air_frames::air_frames(run) {
        files.extend(render("air-frames", &picture)?);
    }
    if let Some(picture) = residual_map::ResidualMap::of(run) {
        files.extend(render("residual", &picture)?);
    }
    Ok(files)
}
