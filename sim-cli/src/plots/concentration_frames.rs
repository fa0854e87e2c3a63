//! How does new liquid move through the plumbing?

use super::frames::{MOST_FRAMES, frames};
use super::picture::Picture;
use super::plan::Plan;
use super::timeline::Run;
use sim_core::simulation::Sample;

/// Letters of a step's name in a title.
const MOST_LETTERS: usize = 40;
/// Change of the mean concentration, as a share, below which one frame says it all.
const LEAST_CHANGE: f64 = 1e-3;

/// The frames, if any concentration changes.
pub(super) fn concentration_frames(run: &Run<'_>) -> Option<Picture> {
    if !run.concentrations_change() {
        return None;
    }
    let plan = Plan::of(&run.scenario.machine);
    let samples: Vec<(usize, &Sample)> = run.samples().collect();
    let places = chosen(run, &samples);
    let title = format!("{}: concentration in the lines", run.scenario.title);
    let below = "mean concentration in each line and in the tank; grey: parts. Times from the start of the run";
    let shown = (&samples[..], &places[..]);
    Some(frames(run, &plan, (title, below), shown, MOST_LETTERS, |_| String::new()))
}

/// Samples between which the mean concentration of the lines changes by about the same.
fn chosen(run: &Run<'_>, samples: &[(usize, &Sample)]) -> Vec<usize> {
    let volume = |branch: &sim_core::plumbing::Branch| {
        branch.part.line().map_or(0.0, sim_core::plumbing::Line::volume_m3)
    };
    let volumes: Vec<f64> = run.scenario.machine.plumbing.branches.iter().map(volume).collect();
    let whole = volumes.iter().sum::<f64>().max(f64::MIN_POSITIVE);
    let mean = |sample: &Sample| {
        let lines =
            sample.lines.iter().zip(&volumes).filter(|(concentration, _)| !concentration.is_nan());
        lines.map(|(concentration, volume)| f64::from(*concentration) * volume).sum::<f64>() / whole
    };
    let means: Vec<f64> = samples.iter().map(|(_, sample)| mean(sample)).collect();
    evenly(&means, LEAST_CHANGE)
}

/// Places between which `values` change by about the same, the last among them; one where they change by
/// less than `least` in all.
fn evenly(values: &[f64], least: f64) -> Vec<usize> {
    let mut changed = vec![0.0; values.len()];
    for i in 1..values.len() {
        changed[i] = changed[i - 1] + (values[i] - values[i - 1]).abs();
    }
    let total = changed.last().copied().unwrap_or(0.0);
    if total < least {
        return vec![0];
    }
    let nth = |k: usize| {
        let due = total * k as f64 / (MOST_FRAMES - 1) as f64;
        let place = changed.partition_point(|so_far| *so_far < due);
        if k + 1 == MOST_FRAMES { values.len() - 1 } else { place.min(values.len() - 1) }
    };
    let mut places: Vec<usize> = (0..MOST_FRAMES).map(nth).collect();
    places.dedup();
    places
}
