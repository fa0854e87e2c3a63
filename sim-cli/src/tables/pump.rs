//! Pumps and what is held.

use crate::columns::{Columns, Table};
use crate::words::or_dash;
use sim_core::findings::{ControlFinding, PumpDuty, StepFindings};
use sim_core::units::{Quantity as Q, UnitSystem, show};

pub(super) fn duties(findings: &StepFindings, units: UnitSystem) -> Table {
    let suction = |duty: &PumpDuty| {
        let available = show(duty.npsh_available_m, Q::Head, units);
        format!("{available} / {}", or_dash(duty.npsh_required_m, Q::Head, units))
    };
    Columns::new()
        .words("pump", |duty: &PumpDuty| duty.pump.to_string())
        .each("flow", Q::Flow, |duty| duty.flow_m3_s)
        .each("rise", Q::Pressure, |duty| duty.rise_pa)
        .each("speed", Q::Share, |duty| duty.speed_share)
        .each("efficiency", Q::Share, |duty| duty.efficiency_share)
        .each("at shaft", Q::Power, |duty| duty.shaft_power_w)
        .text("NPSH available / required", suction)
        .table("Operating point", &findings.pumps, units)
}

pub(super) fn held(findings: &StepFindings, units: UnitSystem) -> Table {
    let setpoint = |control: &ControlFinding| {
        let (quantity, setpoint, _) = control.held.values();
        format!("{} at {}", show(setpoint, quantity, units), control.at)
    };
    let actual = |control: &ControlFinding| {
        let (quantity, _, actual) = control.held.values();
        show(actual, quantity, units)
    };
    let share = |control: &ControlFinding| show(control.actuator_share, Q::Share, units);
    Columns::new()
        .words("setpoint", setpoint)
        .words("by", |control| format!("{} at {}", control.actuator, share(control)))
        .text("actual", actual)
        .text("", |control| if control.reached { "held" } else { "NOT held" })
        .table("Held", &findings.controls, units)
}
