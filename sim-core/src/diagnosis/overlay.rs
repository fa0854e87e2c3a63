//! A machine with the factors of an overlay on what its scenario says.

use super::spreads::losses_factor;
use crate::plumbing::{Part, Restriction, Valve};
use crate::scenario::{Overlay, Scenario};

/// `scenario` with the factors of `overlay` on its lines and parts.
pub fn overlaid(scenario: &Scenario, overlay: &Overlay) -> Scenario {
    let mut scenario = scenario.clone();
    for branch in &mut scenario.machine.plumbing.branches {
        let factor = losses_factor(branch, overlay);
        match &mut branch.part {
            Part::Line(line) => {
                // A wall rougher than a twentieth of the bore is outside the friction law.
                line.roughness_m = (line.roughness_m * overlay.roughness).min(0.049 * line.bore_m);
                line.losses *= factor;
            }
            // Loss at equal flow goes with the square of 1 / kv.
            Part::Valve(Valve { kv_si, .. })
            | Part::Strainer(Restriction { kv_si })
            | Part::Meter(Restriction { kv_si }) => *kv_si /= overlay.part_losses.sqrt(),
            _ => {}
        }
    }
    scenario
}
