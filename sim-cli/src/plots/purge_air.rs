//! What does the compressed air do while it blows?

use super::axes::least_span;
use super::curves::Curve;
use super::picture::Picture;
use super::theme::{BLUE, GREEN, VERMILION};
use super::timeline::Run;
use super::two_frames::two_frames;
use sim_core::fluids::{AbsolutePressure, GaugePressure};
use sim_core::simulation::AirSample;
use sim_core::units::{Quantity as Q, Unit, UnitSystem, display_unit, show, units_of};

/// Least that an axis of free air spans, in either unit.
const LEAST_FREE_AIR: f64 = 1.0;

/// Pressures of the supply above, flow of free air below; `run` is the part of a run that air takes part
/// in. `None` if none is blown in.
pub(super) fn purge_air(run: &Run<'_>) -> Option<Picture> {
    let supply = run.scenario.machine.plumbing.air.as_ref()?;
    if !run.shown().any(|i| run.scenario.course.steps[i].purge.is_some()) {
        return None;
    }
    // A step's first sample stands for the moment before the air is let in.
    let starts: Vec<f64> = run.shown().map(|i| run.time(run.record.steps[i].start_s)).collect();
    let value = |of: &dyn Fn(&AirSample) -> f64| {
        let mut points = run.curve(|sample| sample.air.as_ref().map_or(f64::NAN, of));
        points.retain(|(time, _)| !starts.contains(time));
        points
    };
    let pressure = display_unit(Q::Pressure, run.units);
    let shown = |gauge: Option<GaugePressure>| gauge.map_or(f64::NAN, |g| pressure.from_si(g.pa));
    let receiver = value(&|air| shown(air.receiver().map(AbsolutePressure::gauge)));
    let inlet = value(&|air| shown(air.inlet()));
    let regulated = pressure.from_si(supply.regulated_pa);
    let x = run.axis();
    let level = vec![(x.from, regulated), (x.to, regulated)];
    let mut pressures = vec![
        Curve::full("where air enters", inlet, VERMILION),
        Curve::dashed("regulated", level, GREEN),
    ];
    if supply.receiver_m3 > 0.0 {
        pressures.insert(0, Curve::full("receiver", receiver, BLUE));
    }
    let unit = free_air_unit(run.units);
    let flow =
        value(&|air| unit.map_or(f64::NAN, |unit| f64::from(air.supplied_m3_s) / unit.factor));
    let symbol = unit.map_or("", |unit| unit.spellings[0]);
    let receiver = if supply.receiver_m3 > 0.0 {
        format!("a receiver of {}", show(supply.receiver_m3, Q::Volume, run.units))
    } else {
        "no receiver".to_owned()
    };
    let below = format!(
        "air regulated to {}, from {receiver}; flow of free air as it comes in",
        show(supply.regulated_pa, Q::Pressure, run.units)
    );
    Some(two_frames(
        run,
        (format!("{}: compressed air over time", run.scenario.title), below),
        (format!("gauge pressure, {}", pressure.symbol), least_span(&pressure), pressures),
        (
            format!("free air, {symbol}"),
            LEAST_FREE_AIR,
            vec![Curve::full("free air that comes in", flow, BLUE)],
        ),
    ))
}

/// The unit that free air is shown in.
fn free_air_unit(units: UnitSystem) -> Option<Unit> {
    let symbol = match units {
        UnitSystem::Si => "L/min",
        UnitSystem::Us => "ft3/min",
    };
    units_of(Q::Flow).iter().find(|unit| unit.spellings.contains(&symbol)).copied()
}
