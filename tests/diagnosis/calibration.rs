//! Factors of a healthy machine, found again.

use crate::booms::booms;
use crate::workshop::Real;
use sim_core::diagnosis::{calibrate, overlaid, simulate};
use sim_core::scenario::{Accuracy, Overlay};

#[test]
fn a_loss_coefficient_that_readings_show_is_found_and_one_they_do_not_show_stays_near_one() {
    let boom = &booms()[1];
    let truth = Overlay { part_losses: 1.4, ..Overlay::default() };
    let mut readings = boom.readings(&Real::healthy(&boom.scenario), None).unwrap();
    readings.model_accuracy = 0.0;
    for reading in readings.states.iter_mut().flat_map(|state| &mut state.readings) {
        reading.accuracy = Accuracy::Share(0.001);
    }
    let readings = simulate(&overlaid(&boom.scenario, &truth), &[], &readings).unwrap();
    let found = calibrate(&boom.scenario, &readings).unwrap();
    let factor = |name: &str| *found.factors.iter().find(|factor| factor.name == name).unwrap();
    let parts = factor("part_losses");
    assert!(
        parts.constrained && (parts.value / 1.4).ln().abs() < 2.0 * parts.within.ln(),
        "{found:?}"
    );
    // No reading was taken on the suction side.
    let suction = factor("suction_losses");
    assert!(!suction.constrained && suction.value.ln().abs() < 0.1, "{found:?}");
    assert!(found.misfit < 0.1 * found.misfit_before, "{found:?}");
}
