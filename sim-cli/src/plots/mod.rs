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
mod picture;
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
mod volume_bands;

pub use against_published::{Compared, PublishedPlot};
pub(crate) use against_setting::{SettingCurve, against_setting};
pub use axes::Axis;
pub(crate) use picture::Picture;
pub(crate) use render::render;

use crate::output::OutputFile;
use crate::results::{Diagnosed, Finished, FinishedStep};
use timeline::Run;

/// A picture and the name of its files; none where there is nothing to show.
type Named = (String, Option<Picture>);

/// Every picture of the run; with several steps their names start with the step's number.
pub(crate) fn all(finished: &Finished) -> Result<Vec<OutputFile>, String> {
    let several = finished.scenario().course.steps.len() > 1;
    let mut pictures: Vec<Named> = Vec::new();
    // While air blows nothing of this is at rest: pictures over time show it.
    for view in finished.steps().filter(|of| of.step.purge.is_none()) {
        let prefix = if several { format!("{}-", view.number + 1) } else { String::new() };
        let named = of_step(&view)?.into_iter();
        pictures.extend(named.map(|(name, picture)| (format!("{prefix}{name}"), picture)));
    }
    if let Some(run) = Run::of(finished) {
        pictures.extend(over_time(&run));
        pictures.extend(run.with_air().iter().flat_map(with_air));
    }
    let shown = pictures.iter().filter_map(|(name, picture)| Some((name, picture.as_ref()?)));
    let files: Result<Vec<_>, String> = shown.map(|(name, of)| render(name, of)).collect();
    Ok(files?.into_iter().flatten().collect())
}

/// Pictures of the state at the end of a step.
fn of_step(view: &FinishedStep<'_>) -> Result<Vec<Named>, String> {
    let mut pictures = vec![
        ("pressure-along-boom".to_owned(), boom_pressure::boom_pressure(view)),
        ("tip-flow".to_owned(), tip_flow::tip_flow(view)),
    ];
    let pumps = &view.findings.pumps;
    for duty in pumps {
        let suffix = if pumps.len() > 1 { format!("-{}", duty.pump) } else { String::new() };
        pictures.push((format!("pump-curve{suffix}"), pump_curve::of_pump(view, duty)?));
    }
    pictures.push(("plumbing".to_owned(), Some(schematic::schematic(view))));
    Ok(pictures)
}

/// Pictures of the whole run over time.
fn over_time(run: &Run<'_>) -> Vec<Named> {
    vec![
        ("front-map".to_owned(), front_map::front_map(run)),
        (
            "concentration-over-time".to_owned(),
            concentration_over_time::concentration_over_time(run),
        ),
        ("flow-and-pressure".to_owned(), Some(flow_and_pressure::flow_and_pressure(run))),
        ("concentration-frames".to_owned(), concentration_frames::concentration_frames(run)),
    ]
}

/// Pictures of the part of a run that air takes part in.
fn with_air(run: &Run<'_>) -> Vec<Named> {
    vec![
        ("liquid-left".to_owned(), liquid_left::liquid_left(run)),
        ("purge-air".to_owned(), purge_air::purge_air(run)),
        ("air-frames".to_owned(), air_frames::air_frames(run)),
        ("residual".to_owned(), residual_map::residual_map(run)),
    ]
}

/// Curves of the product under published points, as the bytes of a PNG picture.
///
/// # Errors
/// Says why it could not be drawn.
pub fn against_published(plot: &PublishedPlot) -> Result<Vec<u8>, String> {
    let [_, png] = render("against-published", &against_published::published(plot))?;
    Ok(png.bytes)
}

/// The picture of a diagnosis.
pub(crate) fn diagnosis(diagnosed: &Diagnosed) -> Result<[OutputFile; 2], String> {
    render("diagnosis", &diagnosis::measured_pressure(diagnosed))
}
