//! Scenarios that a person might write, drawn at random: whatever a run shows can be.

use crate::random_machines::{Draw, scenario};
use sim_core::fluids::Liquid;
use sim_core::scenario::{NoFiles, Scenario, read};
use sim_core::simulation::{RunError, Sample, StepRecord, run};
use std::collections::BTreeMap;

/// Imbalance of a step from which something is wrong.
const MOST_IMBALANCE: f64 = 1e-9;

/// How a run came out, or what is wrong with it.
fn outcome(scenario: &Scenario) -> Result<&'static str, String> {
    let record = match run(&scenario.machine, &scenario.course) {
        Ok(record) => record,
        Err(RunError::Boils { .. } | RunError::Parts { .. }) => return Ok("boils"),
        Err(error) => return Err(error.to_string()),
    };
    let wrong = record.steps.iter().find_map(|step| wrong(&scenario.course.liquid, step));
    wrong.map_or(Ok("runs"), Err)
}

/// What is wrong with a step, if anything: numbers that are none, sums that do not close, states that nothing can be in.
fn wrong(liquid: &Liquid, step: &StepRecord) -> Option<String> {
    let moved = step.moved.as_ref()?;
    let off = moved.liquid_error.max(moved.product_error);
    if off.is_nan() || off > MOST_IMBALANCE {
        return Some(format!("out of balance by {off:.1e}"));
    }
    let volumes = moved.tank_m3.iter().flatten().chain([&moved.returned.liquid_m3]);
    if let Some(volume) = volumes.into_iter().find(|volume| volume.is_nan() || **volume < -1e-12) {
        return Some(format!("a volume of {volume} m3"));
    }
    moved.samples.iter().find_map(|sample| wrong_moment(liquid, sample))
}

fn wrong_moment(liquid: &Liquid, sample: &Sample) -> Option<String> {
    let at = |what: String| Some(format!("{what} at {} s", sample.time_s));
    // Samples have seven digits.
    let least_pa = liquid.vapour_pressure.gauge().pa as f32 - 1.0;
    if let Some(pa) = sample.nodes_pa.iter().find(|pa| pa.is_nan() || **pa < least_pa) {
        return at(format!("{pa} Pa"));
    }
    if sample.flows_m3_s.iter().any(|flow| !flow.is_finite()) {
        return at("a flow that is no number".into());
    }
    let shares = sample.tips.iter().chain(&sample.tanks).chain(&sample.lines);
    let shares = shares.map(|share| f64::from(*share));
    let lines = sample.air.iter().flat_map(|air| &air.lines);
    let held = lines.map(|line| line.liquid_share());
    let possible = |share: &f64| share.is_nan() || (-1e-6..=1.000_001).contains(share);
    let share = shares.chain(held).find(|share| !possible(share))?;
    at(format!("a share of {share}"))
}

fn all_can_be(seeds: std::ops::Range<u64>, with_air: bool) -> BTreeMap<&'static str, usize> {
    let (mut outcomes, mut faults) = (BTreeMap::new(), Vec::new());
    for seed in seeds {
        let text = scenario(&mut Draw::new(seed), with_air);
        let scenario = read(&text, &NoFiles).unwrap_or_else(|faults| panic!("{seed}: {faults:#?}"));
        match outcome(&scenario) {
            Ok(outcome) => *outcomes.entry(outcome).or_default() += 1,
            Err(fault) => faults.push((seed, fault)),
        }
    }
    println!("{outcomes:?}");
    assert!(faults.is_empty(), "{} scenarios fail: {faults:?}", faults.len());
    outcomes
}

#[test]
fn a_few_random_scenarios_show_nothing_that_cannot_be() {
    all_can_be(1000..1060, false);
    all_can_be(1000..1003, true);
}

/// `cargo test --release -p checks --test outside -- --ignored random_scenarios --nocapture`
#[test]
#[ignore = "takes minutes; the command is beside it"]
fn thousands_of_random_scenarios_show_nothing_that_cannot_be() {
    all_can_be(0..20_000, false);
    all_can_be(0..1_000, true);
}
