//! The table of tip sizes.

use super::bodies;
use crate::columns::{Columns, wrapped};
use sim_core::sizing::{TipDemand, TipWindow};
use sim_core::units::{Quantity as Q, UnitSystem, show, show_number};

/// Sizes this far outside the pressures are left out of the table.
const FAR: f64 = 4.0;

/// Which sizes serve, or that none does and what would.
fn in_words(demand: &TipDemand, table: &[TipWindow], units: UnitSystem) -> String {
    let serving: Vec<&TipWindow> = table.iter().filter(|window| window.serves).collect();
    let (low, high) = demand.pressure_pa;
    if low >= high {
        return bodies::at_one_pressure(demand, table, units);
    }
    if table.iter().any(|window| window.sizes.len() > 1) {
        return bodies::of_a_body(demand, table, units);
    }
    let of = |window: &TipWindow| match demand.least_duty < 1.0 {
        true => format!("held at {}", show(window.held_pa, Q::Pressure, units)),
        false => {
            let (slow, fast) = window.pressure_pa;
            let slow = show_number(slow, Q::Pressure, units);
            format!("{slow} to {}", show(fast, Q::Pressure, units))
        }
    };
    let each = |window: &&TipWindow| format!("{} ({})", window.code(), of(window));
    match &serving[..] {
        [] => format!("No size serves over all these speeds. {}", what_would(demand, table, units)),
        [only] => format!("One size serves: {}.", each(only)),
        several => {
            let named: Vec<String> = several.iter().map(each).collect();
            let middle = several
                .iter()
                .min_by(|a, b| off_centre(a, low, high).total_cmp(&off_centre(b, low, high)));
            // Under pulse-width control each is held at one pressure, whatever the speed.
            let middle = middle.filter(|_| demand.least_duty >= 1.0);
            let best = middle.map_or_else(String::new, |window| {
                format!(" {} keeps farthest from both ends of the pressures.", window.code())
            });
            format!("{} sizes serve: {}.{best}", several.len(), named.join(", "))
        }
    }
}

/// How far the pressures of `window` are off the middle of those allowed, as ratios go.
fn off_centre(window: &TipWindow, low: f64, high: f64) -> f64 {
    let (slow, fast) = window.pressure_pa;
    ((slow * fast).sqrt() / (low * high).sqrt()).ln().abs()
}

/// What would let a size serve: the one that comes nearest, at the speeds or at the pressures that it takes.
fn what_would(demand: &TipDemand, table: &[TipWindow], units: UnitSystem) -> String {
    let ((slow, fast), (low, high)) = (demand.speed_m_s, demand.pressure_pa);
    let covered = |window: &TipWindow| {
        let (slowest, fastest) = window.speed_m_s;
        (fastest.min(fast) / slowest.max(slow)).ln()
    };
    let Some(nearest) = table.iter().max_by(|a, b| covered(a).total_cmp(&covered(b))) else {
        return String::new();
    };
    let (slowest, fastest) = nearest.speed_m_s;
    let speeds =
        format!("{} to {}", show_number(slowest, Q::Speed, units), show(fastest, Q::Speed, units));
    let (from, to) = nearest.pressure_pa;
    let pressures = format!(
        "{} to {}",
        show_number(from.min(low), Q::Pressure, units),
        show(to.max(high), Q::Pressure, units)
    );
    let mut out = format!(
        "{} comes nearest: it meets the rate from {speeds}; over all of them it takes pressures of {pressures}.",
        nearest.code(),
    );
    // The smallest that reaches the highest speed follows to the lowest by its duty.
    if let Some(pulsed) = table.iter().find(|w| w.pressure_pa.1 <= high) {
        let held = show(pulsed.held_pa, Q::Pressure, units);
        let duty = 100.0 * pulsed.duty.0;
        let code = pulsed.code();
        out.push_str(&format!(
            " With pulse-width control {code} does, held at {held}, down to a duty of {duty:.0} %."
        ));
    }
    out
}

/// What `millstream tips` prints.
pub(crate) fn report(demand: &TipDemand, table: &[TipWindow], units: UnitSystem) -> String {
    let flow = |speed: f64| show(demand.rate_m * demand.spacing_m * speed, Q::Flow, units);
    let (slow, fast) = demand.speed_m_s;
    let mut out = wrapped(
        &format!(
            "{} at {} to {} with tips {} apart asks {} to {} of each {}.",
            show(demand.rate_m, Q::ApplicationRate, units),
            show(slow, Q::Speed, units),
            show(fast, Q::Speed, units),
            match units {
                UnitSystem::Si => show(demand.spacing_m, Q::Length, units),
                UnitSystem::Us => format!("{:.1} in", demand.spacing_m / 0.0254),
            },
            flow(slow),
            flow(fast),
            if table.iter().any(|window| window.sizes.len() > 1) { "body" } else { "tip" }
        ),
        "",
    );
    out.push_str(&wrapped(&in_words(demand, table, units), ""));
    let (low, high) = demand.pressure_pa;
    let alone = table.iter().all(|window| window.sizes.len() < 2);
    let near = |window: &&TipWindow| {
        !alone || window.pressure_pa.1 > low / FAR && window.pressure_pa.0 < high * FAR
    };
    let title =
        if alone { "Sizes after ISO 10625" } else { "Tips of a body, alone and two together" };
    let near = table.iter().filter(near);
    out.push_str(&columns(demand, units).table(title, near, units).to_text());
    let serves = match (low < high, demand.least_duty < 1.0) {
        (true, pulsed) => format!(
            "A size serves if it meets the rate over all these speeds between {} and {}{}. ",
            show(low, Q::Pressure, units),
            show(high, Q::Pressure, units),
            if pulsed { ", at one pressure with pulse-width duty following speed" } else { "" },
        ),
        (false, true) => "A size serves if duty can follow all these speeds. ".to_owned(),
        (false, false) => String::new(),
    };
    let left_out = if alone { "Sizes far outside are left out. " } else { "" };
    out.push_str(&wrapped(
        &format!(
            "{serves}{left_out}Higher pressure makes finer droplets and more drift; the product label and the tip \
             maker's chart decide."
        ),
        "",
    ));
    out
}

/// What is shown of each size, or of each two together.
fn columns(demand: &TipDemand, units: UnitSystem) -> Columns<'_, TipWindow> {
    let ((slow, fast), (low, high)) = (demand.speed_m_s, demand.pressure_pa);
    let columns = Columns::new()
        .words("", |window: &TipWindow| if window.serves { "serves" } else { "" })
        .words("size", TipWindow::code)
        .words("colour", |window| {
            window.sizes.iter().filter_map(|size| size.colour).collect::<Vec<_>>().join(" + ")
        })
        .each("flow at 3 bar", Q::Flow, TipWindow::flow_m3_s)
        .each("pressure at slowest", Q::Pressure, |window| window.pressure_pa.0)
        .each("pressure at fastest", Q::Pressure, |window| window.pressure_pa.1);
    let columns = if low < high {
        columns.text("speeds within the pressures", move |window| {
            let (slowest, fastest) = window.speed_m_s;
            let slowest = show_number(slowest, Q::Speed, units);
            format!("{slowest} to {}", show(fastest, Q::Speed, units))
        })
    } else {
        columns
            .each("speed for the rate", Q::Speed, |window| window.speed_m_s.1)
            .each("rate at slowest", Q::ApplicationRate, move |w| w.rate_m(demand, slow, low))
            .each("rate at fastest", Q::ApplicationRate, move |w| w.rate_m(demand, fast, low))
    };
    if demand.least_duty >= 1.0 {
        return columns;
    }
    columns
        .each("held", Q::Pressure, |window| window.held_pa)
        .text("duty at that pressure", |window| {
            format!("{:.0} to {:.0} %", 100.0 * window.duty.0, 100.0 * window.duty.1)
        })
}
