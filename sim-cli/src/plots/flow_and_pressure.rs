//! What do flows and gauges do while the run goes on?

use super::axes::least_span;
use super::curves::Curve;
use super::picture::Picture;
use super::theme::CURVES;
use super::timeline::Run;
use super::two_frames::two_frames;
use sim_core::simulation::Sample;
use sim_core::units::{Quantity as Q, display_unit};

/// Flows above, gauges below.
pub(super) fn flow_and_pressure(run: &Run<'_>) -> Option<Picture> {
    let plumbing = &run.scenario.machine.plumbing;
    let unit = display_unit(Q::Flow, run.units);
    let flow = |name: &str, k: usize, of: &dyn Fn(&Sample) -> f32| {
        let points = run.curve(|sample| unit.from_si(f64::from(of(sample))));
        Curve::full(name, points, CURVES[k])
    };
    let flows = vec![
        flow("pumped", 0, &|sample| sample.pumped_m3_s),
        flow("sprayed", 1, &|sample| sample.sprayed_m3_s),
        flow("returned", 2, &|sample| sample.returned_m3_s),
    ];
    let pressure = display_unit(Q::Pressure, run.units);
    let gauge = |(i, colour): (usize, _)| {
        let name: &str = &plumbing.gauges[i].name;
        let points = run.curve(|sample| pressure.from_si(f64::from(sample.gauges_pa[i])));
        Curve::full(&format!("gauge {name}"), points, colour)
    };
    let gauges: Vec<Curve> = (0..plumbing.gauges.len()).zip(CURVES).map(gauge).collect();
    let below = match plumbing.gauges.len() - gauges.len() {
        0 => "flow of all pumps, of all tips, and of the return side into tanks".to_owned(),
        more => format!("flow of pumps, tips and return side; {more} more gauges not shown"),
    };
    Some(two_frames(
        run,
        (format!("{}: flow and pressure over time", run.scenario.title), below),
        (format!("flow, {}", unit.symbol), least_span(&unit), flows),
        (format!("static pressure, {}", pressure.symbol), least_span(&pressure), gauges),
    ))
}
