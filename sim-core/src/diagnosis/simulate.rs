//! What would be read at a machine with given faults.

use super::catalogue::caught;
use super::fault::Fault;
use super::machine::InstrumentedMachine;
use super::model::Unreal;
use crate::scenario::{Readings, Scenario};

/// The readings that the machine of `scenario` with `faults` of their severities would give: `readings` with every
/// value replaced, accuracies left as they are.
///
/// # Errors
/// An [`Unreal`] where a state has no flow to trust.
pub fn simulate(
    scenario: &Scenario,
    faults: &[(Fault, f64)],
    readings: &Readings,
) -> Result<Readings, Unreal> {
    let mut given = readings.clone();
    let machine = InstrumentedMachine::healthy(scenario);
    let machine = machine.with(faults, &caught(readings), &readings.states);
    let instants = machine.run(&readings.states)?;
    for (state, instant) in given.states.iter_mut().zip(&instants) {
        let as_set = state.clone();
        for reading in &mut state.readings {
            reading.value = machine.reading(reading.place, instant, &as_set);
        }
    }
    Ok(given)
}
