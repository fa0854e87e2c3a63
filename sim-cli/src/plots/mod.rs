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
mod lettering;
mod line_contents;
mod liquid_left;
mod map_colour;
mod picture;
mod plan;
mod pressure_bar;
mod pump_curve;
mod purge_air;
mod render;
mod residual_map;
mod schematic;
mod schematic_names;
mod search;
mod shortened;
mod simplify;
mod step_spans;
mod theme;
mod ticks;
mod timeline;
mod tip_flow;
mod two_frames;
mod uncertainty;
mod under_dosed;
mod volume_bands;

pub use against_published::{Compared, PublishedPlot};
pub(crate) use against_setting::{SettingAxis, SettingCurve, against_setting};
pub use axes::Axis;
pub(crate) use map_colour::map_colour;
pub(crate) use picture::Picture;
pub(crate) use render::render;

use crate::output::OutputFile;
use crate::results::{Diagnosed, Finished, FinishedStep, Searched, UncertainRun};
use page_model::drawing::sheet::Sheet;
use page_model::drawing::sheet_of;
use timeline::Run;

/// A kind of picture: the name of its files, what a page says of it, nothing where it shows the same better itself, and
/// what makes it, where there is something to show.
type PictureKind<Make> = (&'static str, &'static str, Make);
type OverTime = PictureKind<fn(&Run<'_>) -> Option<Picture>>;
type OfStep = PictureKind<fn(&FinishedStep<'_>, &Sheet) -> Option<Picture>>;

/// Pictures of a whole run over time.
const OVER_TIME: [OverTime; 4] = [
    (
        "front-map",
        "Concentration at the tips over time: across, places along the boom; upward, time.",
        front_map::front_map,
    ),
    (
        "concentration-over-time",
        "Concentration over time at tips that tell it best, and in tanks where it changes.",
        concentration_over_time::concentration_over_time,
    ),
    (
        "flow-and-pressure",
        "Flows of pumps, tips and return, and static pressure at gauges, over time.",
        flow_and_pressure::flow_and_pressure,
    ),
    ("concentration-frames", "", concentration_frames::concentration_frames),
];

/// Pictures of the part of a run that air takes part in.
const WITH_AIR: [OverTime; 5] = [
    (
        "air-map",
        "Liquid, film and air at the tips over time: across, places along the boom; upward, time.",
        front_map::air_map,
    ),
    ("liquid-left", "", liquid_left::liquid_left),
    ("purge-air", "", purge_air::purge_air),
    ("air-frames", "", air_frames::air_frames),
    ("residual", "", residual_map::residual_map),
];

/// Pictures of a step.
const OF_STEP: [OfStep; 4] = [
    (
        "pressure-along-boom",
        "Static pressure along the boom: at every tip and at both ends of every section.",
        |of, _| boom_pressure::boom_pressure(of),
    ),
    (
        "tip-flow",
        "Flow of every tip: bars, off its table; dots, off the mean of the tips.",
        |of, _| tip_flow::tip_flow(of),
    ),
    ("under-dosed", "What every tip sprayed below full strength.", |of, _| {
        under_dosed::under_dosed(of)
    }),
    ("plumbing", "", schematic::schematic),
];

/// Pictures of a pump in a step.
const PUMP_CURVE: (&str, &str) =
    ("pump-curve", "The pump's curve, what the machine asks of it, and the operating point.");

/// A picture of a run as files.
pub(crate) struct Plot {
    /// What a page says of it; empty where it leaves the picture out.
    pub(crate) caption: String,
    /// SVG and PNG.
    pub(crate) files: [OutputFile; 2],
}

/// Every picture of the run; with several steps their names start with the step's number.
pub(crate) fn all(finished: &Finished) -> Result<Vec<Plot>, String> {
    let mut plots = Vec::new();
    let mut add = |name: String, caption: String, picture: Option<Picture>| -> Result<(), String> {
        let files = picture.map(|picture| render(&name, &picture)).transpose()?;
        plots.extend(files.map(|files| Plot { caption, files }));
        Ok(())
    };
    let run = Run::of(finished);
    let with_air = run.as_ref().and_then(Run::with_air);
    for (run, kinds) in [(&run, &OVER_TIME[..]), (&with_air, &WITH_AIR[..])] {
        let Some(run) = run else { continue };
        kinds.iter().try_for_each(|(name, caption, of)| {
            add((*name).to_owned(), (*caption).to_owned(), of(run))
        })?;
    }
    let several = finished.scenario().course.steps.len() > 1;
    let named = |view: &FinishedStep<'_>, (name, caption): (&str, &str)| {
        let prefix = if several { format!("{}-", view.number + 1) } else { String::new() };
        let step = format!(" Step \u{201c}{}\u{201d}.", view.step.name);
        let step = if several && !caption.is_empty() { step } else { String::new() };
        (prefix + name, caption.to_owned() + &step)
    };
    // While air blows nothing of this is at rest: pictures over time show it.
    let at_rest = || finished.steps().filter(|of| of.step.purge.is_none());
    let sheet = sheet_of(&finished.scenario().machine);
    for (name, caption, of) in OF_STEP {
        for view in at_rest() {
            let (name, caption) = named(&view, (name, caption));
            add(name, caption, of(&view, &sheet))?;
        }
    }
    for view in at_rest() {
        let pumps = &view.findings.pumps;
        for duty in pumps {
            let (name, caption) = named(&view, PUMP_CURVE);
            let suffix = if pumps.len() > 1 { format!("-{}", duty.pump) } else { String::new() };
            add(name + &suffix, caption, pump_curve::of_pump(&view, duty)?)?;
        }
    }
    Ok(plots)
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

/// The picture of how far the figures of a run may be off.
pub(crate) fn uncertainty(of: &UncertainRun<'_>) -> Result<Plot, String> {
    let files = render("uncertainty", &uncertainty::uncertainty(of))?;
    let caption =
        "How far each figure may be off, how likely limits are met, and which inputs move it most.";
    Ok(Plot { caption: caption.into(), files })
}

/// Pictures of what a search found: each aim against the first.
pub(crate) fn search(of: &Searched<'_>) -> Result<Vec<[OutputFile; 2]>, String> {
    let aims = of.study.goals.aims.len();
    let name = |up: usize| if up == 1 { "front".to_owned() } else { format!("front-{up}") };
    (1..aims).filter_map(|up| Some(render(&name(up), &search::front(of, 0, up)?))).collect()
}
