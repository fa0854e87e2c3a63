//! The table of tip sizes.

use crate::columns::{Columns, wrapped};
use sim_core::sizing::{TipDemand, TipWindow};
use sim_core::units::{Quantity as Q, UnitSystem, show, show_number};

/// Sizes this far outside the pressures are left out of the table.
const FAR: f64 = 4.0;

/// What `millstream tips` prints.
pub(crate) fn report(demand: &TipDemand, table: &[TipWindow], units: UnitSystem) -> String {
    let flow = |speed: f64| show(demand.rate_m * demand.spacing_m * speed, Q::Flow, units);
    let (slow, fast) = demand.speed_m_s;
    let pulsed = demand.least_duty < 1.0;
    let mut out = wrapped(
        &format!(
            "{} at {} to {} with tips {} apart asks {} to {} of each tip.",
            show(demand.rate_m, Q::ApplicationRate, units),
            show(slow, Q::Speed, units),
            show(fast, Q::Speed, units),
            match units {
                UnitSystem::Si => show(demand.spacing_m, Q::Length, units),
                UnitSystem::Us => format!("{:.1} in", demand.spacing_m / 0.0254),
            },
            flow(slow),
            flow(fast)
        ),
        "",
    );
    let (low, high) = demand.pressure_pa;
    let near =
        |window: &&TipWindow| window.pressure_pa.1 > low / FAR && window.pressure_pa.0 < high * FAR;
    let speeds = |window: &TipWindow| {
        let (slowest, fastest) = window.speed_m_s;
        format!("{} to {}", show_number(slowest, Q::Speed, units), show(fastest, Q::Speed, units))
    };
    let mut columns = Columns::new()
        .words("", |window: &TipWindow| if window.serves { "serves" } else { "" })
        .words("size", |window| window.size.code)
        .words("colour", |window| window.size.colour.unwrap_or(""))
        .each("flow at 3 bar", Q::Flow, |window| window.size.flow_m3_s())
        .each("pressure at slowest", Q::Pressure, |window| window.pressure_pa.0)
        .each("pressure at fastest", Q::Pressure, |window| window.pressure_pa.1)
        .text("speeds within the pressures", speeds);
    if pulsed {
        columns = columns.text("duty at one pressure", |window| {
            format!("{:.0} to {:.0} %", 100.0 * window.duty.0, 100.0 * window.duty.1)
        });
    }
    let near = table.iter().filter(near);
    out.push_str(&columns.table("Sizes after ISO 10625", near, units).to_text());
    out.push_str(&wrapped(
        &format!(
            "A size serves if it meets the rate over all these speeds between {} and {}{}. Sizes far \
             outside are left out. Higher pressure makes finer droplets and more drift; the product label \
             and the tip maker's chart decide.",
            show(low, Q::Pressure, units),
            show(high, Q::Pressure, units),
            if pulsed { ", at one pressure with pulse-width duty following speed" } else { "" }
        ),
        "",
    ));
    out
}
