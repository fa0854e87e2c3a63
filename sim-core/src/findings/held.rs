//! How each control stands.

use super::step::HeldFinding;
use crate::hydraulics::{Instant, Reached};
use crate::plumbing::Plumbing;
use crate::procedure::{Actuator, Control, Held};

pub(super) fn held(plumbing: &Plumbing, controls: &[Control], end: &Instant) -> Vec<HeldFinding> {
    let finding = |(control, actuated): (&Control, &crate::hydraulics::Actuated)| {
        let (at, wanted, got, is_pressure) = match control.held {
            Held::Pressure { node, pa } => {
                let gauge = plumbing.gauges.iter().find(|gauge| gauge.node == node);
                let name = gauge.map_or(&plumbing.node(node).name, |gauge| &gauge.name);
                (name.clone(), pa, end.static_pressure_pa[node.index()], true)
            }
            Held::Flow { branch, m3_s } => {
                (plumbing.branch(branch).name.clone(), m3_s, end.flow_m3_s[branch.index()], false)
            }
        };
        let (Actuator::PumpSpeed(by) | Actuator::ValveOpening(by)) = control.by;
        HeldFinding {
            wanted,
            got,
            is_pressure,
            at,
            by: plumbing.branch(by).name.clone(),
            actuator: actuated.value,
            reached: actuated.reached == Reached::Yes,
        }
    };
    controls.iter().zip(&end.actuator).map(finding).collect()
}
