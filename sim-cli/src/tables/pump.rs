//! Pumps and what is held.

use super::page::Page;
use crate::columns::cells;
use crate::words::or_dash;
use sim_core::findings::{ControlFinding, PumpDuty, StepFindings};
use sim_core::units::{Quantity as Q, UnitSystem, show};

pub(super) fn tables(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    let row = |duty: &PumpDuty| {
        vec![
            duty.pump.to_string(),
            show(duty.flow_m3_s, Q::Flow, units),
            show(duty.rise_pa, Q::Pressure, units),
            show(duty.speed_share, Q::Share, units),
            or_dash(duty.efficiency_share, Q::Share, units),
            or_dash(duty.shaft_power_w, Q::Power, units),
            format!(
                "{} / {}",
                show(duty.npsh_available_m, Q::Head, units),
                or_dash(duty.npsh_required_m, Q::Head, units)
            ),
        ]
    };
    let rows: Vec<Vec<String>> = findings.pumps.iter().map(row).collect();
    let header = cells([
        "pump",
        "flow",
        "rise",
        "speed",
        "efficiency",
        "at shaft",
        "NPSH available / required",
    ]);
    if !rows.is_empty() {
        out.table("Operating point", header, rows, 1);
    }
    let control = |control: &ControlFinding| {
        let (of, setpoint, actual) = control.held.values();
        vec![
            format!("{} at {}", show(setpoint, of, units), control.at),
            format!("{} at {}", control.actuator, show(control.actuator_share, Q::Share, units)),
            show(actual, of, units),
            if control.reached { "held" } else { "NOT held" }.to_owned(),
        ]
    };
    let rows: Vec<Vec<String>> = findings.controls.iter().map(control).collect();
    if !rows.is_empty() {
        out.table("Held", cells(["wanted", "by", "comes to", ""]), rows, 2);
    }
}
