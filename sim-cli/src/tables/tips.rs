//! The table of tip sizes.

use crate::columns::wrapped;
use crate::columns::{cells, grid};
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
    let row = |window: &TipWindow| {
        let mut row = vec![
            if window.serves { "serves" } else { "" }.to_owned(),
            window.size.code.to_owned(),
            window.size.colour.unwrap_or("").to_owned(),
            show(window.size.flow_m3_s(), Q::Flow, units),
            show(window.pressure_pa.0, Q::Pressure, units),
            show(window.pressure_pa.1, Q::Pressure, units),
            format!("{} to {}", show_number(window.speed_m_s.0, Q::Speed, units), {
                show(window.speed_m_s.1, Q::Speed, units)
            }),
        ];
        if pulsed {
            row.push(format!("{:.0} to {:.0} %", 100.0 * window.duty.0, 100.0 * window.duty.1));
        }
        row
    };
    let rows: Vec<Vec<String>> = table.iter().filter(near).map(row).collect();
    let mut header = cells([
        "",
        "size",
        "colour",
        "flow at 3 bar",
        "pressure at slowest",
        "pressure at fastest",
        "speeds within the pressures",
    ]);
    if pulsed {
        header.push("duty at one pressure".into());
    }
    out.push_str(&grid("Sizes after ISO 10625", &header, &rows, 3));
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
