//! Pumps and what is held.

use super::page::Page;
use crate::columns::cells;
use crate::words::or_dash;
use sim_core::findings::{HeldFinding, PumpDuty, StepFindings};
use sim_core::scenario::Scenario;
use sim_core::units::{Quantity as Q, UnitSystem, show};

pub(super) fn tables(
    out: &mut Page,
    scenario: &Scenario,
    findings: &StepFindings,
    units: UnitSystem,
) {
    let row = |duty: &PumpDuty| {
        vec![
            scenario.plumbing.branch(duty.branch).name.clone(),
            show(duty.flow_m3_s, Q::Flow, units),
            show(duty.rise_pa, Q::Pressure, units),
            show(duty.speed, Q::Share, units),
            or_dash(duty.efficiency, Q::Share, units),
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
    let held = |held: &HeldFinding| {
        let of = if held.is_pressure { Q::Pressure } else { Q::Flow };
        vec![
            format!("{} at {}", show(held.wanted, of, units), held.at),
            format!("{} at {}", held.by, show(held.actuator, Q::Share, units)),
            show(held.got, of, units),
            if held.reached { "held" } else { "NOT held" }.to_owned(),
        ]
    };
    let rows: Vec<Vec<String>> = findings.held.iter().map(held).collect();
    if !rows.is_empty() {
        out.table("Held", cells(["wanted", "by", "comes to", ""]), rows, 2);
    }
}
