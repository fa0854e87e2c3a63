//! Faults close to the severity at which the suction boils and the machine has no state at all.

use crate::booms::booms;
use crate::workshop::Real;
use approx::assert_relative_eq;
use sim_core::diagnosis::{Fault, FaultKind, Spot, diagnose};
use sim_core::plumbing::BranchId;
use sim_core::scenario::Accuracy;

/// Larger kinks of this suction hose have no solution: a search that ends there must not miss it.
#[test]
fn a_kinked_suction_hose_is_fitted_although_the_next_larger_sizes_have_no_solution() {
    let boom = &booms()[3];
    let kink = Fault { kind: FaultKind::HoseKinked, spot: Spot::Branch(BranchId(1)) };
    for severity in [40.0, 80.0] {
        let real = Real::healthy(&boom.scenario).with(&[(kink, severity)]);
        let mut readings = boom.readings(&real, None).unwrap();
        for reading in readings.states.iter_mut().flat_map(|state| &mut state.readings) {
            reading.accuracy = Accuracy::Share(0.01);
        }
        readings.model_accuracy = 0.0;
        let diagnosis = diagnose(&boom.scenario, &readings).unwrap();
        let mut found = diagnosis.explanations.iter().flat_map(|e| match e.faults.as_slice() {
            [one] if one.fault == kink => Some(one.severity),
            _ => None,
        });
        assert_relative_eq!(found.next().unwrap(), severity, max_relative = 0.05);
    }
}
