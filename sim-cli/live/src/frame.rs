//! What is where at one moment, as plain numbers in the units shown; concentrations in percent.
//!
//! Lines: flow, mean concentration, concentration that leaves, share of air, where the column of liquid begins and ends.
//! Nodes: concentration, pressure. Tips: concentration, flow. Tanks: concentration. Not a number where there is none.

use sim_core::hydraulics::{FlowState, STILL_M3_S};
use sim_core::plumbing::Plumbing;
use sim_core::simulation::Sample;
use sim_core::units::{Quantity as Q, UnitSystem, display_unit};

/// The numbers of the steady `state`, in which nothing is followed.
pub(crate) fn of_state(plumbing: &Plumbing, state: &FlowState, units: UnitSystem) -> Vec<f32> {
    let lines = plumbing.branches.len();
    let unknown = |count: usize| std::iter::repeat_n(f32::NAN, count);
    let (flow, pressure) = (flow(units), pressure(units));
    let mut frame: Vec<f32> = state.flow_m3_s.iter().map(|q| flow(*q)).collect();
    frame.extend(unknown(2 * lines));
    frame.extend(std::iter::repeat_n(0.0, 2 * lines));
    frame.extend(std::iter::repeat_n(1.0, lines));
    frame.extend(unknown(plumbing.nodes.len()));
    frame.extend(state.static_pressure_pa.iter().map(|pa| pressure(*pa)));
    frame.extend(unknown(plumbing.tips.len()));
    frame.extend(state.tip_flow_m3_s.iter().map(|q| flow(*q)));
    frame.extend(unknown(plumbing.tanks.len()));
    frame
}

/// The numbers of a moment of a run.
pub(crate) fn of_sample(plumbing: &Plumbing, sample: &Sample, units: UnitSystem) -> Vec<f32> {
    let lines = 0..plumbing.branches.len();
    let (flow, pressure) = (flow(units), pressure(units));
    let percent = |share: &f32| 100.0 * share;
    let column = |i: usize, end: usize| match &sample.air {
        Some(air) => air.lines[i].column.map_or(f32::NAN, |column| column[end]),
        None => end as f32,
    };
    let air = |i: usize| sample.air.as_ref().map_or(0.0, |air| air.air_share(i) as f32);
    let mut frame: Vec<f32> = sample.flows_m3_s.iter().map(|q| flow(f64::from(*q))).collect();
    frame.extend(sample.lines.iter().map(percent));
    frame.extend(sample.leaving.iter().map(percent));
    frame.extend(lines.clone().map(air));
    frame.extend(lines.clone().map(|i| column(i, 0)));
    frame.extend(lines.map(|i| column(i, 1)));
    frame.extend(sample.nodes.iter().map(percent));
    frame.extend(sample.nodes_pa.iter().map(|pa| pressure(f64::from(*pa))));
    frame.extend(sample.tips.iter().map(percent));
    frame.extend(sample.tip_flows_m3_s.iter().map(|q| flow(f64::from(*q))));
    frame.extend(sample.tanks.iter().map(percent));
    frame
}

fn pressure(units: UnitSystem) -> impl Fn(f64) -> f32 {
    let unit = display_unit(Q::Pressure, units);
    move |pa| unit.from_si(pa) as f32
}

/// What is still in the solve is still on the drawing: rounding is no flow.
fn flow(units: UnitSystem) -> impl Fn(f64) -> f32 {
    let unit = display_unit(Q::Flow, units);
    move |m3_s| if m3_s.abs() <= STILL_M3_S { 0.0 } else { unit.from_si(m3_s) as f32 }
}
