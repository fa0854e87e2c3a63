//! Which tip of a nozzle body serves which speeds, and what one held pressure comes to: in words.

use sim_core::sizing::{TipDemand, TipWindow};
use sim_core::units::{Quantity as Q, UnitSystem, show, show_number};

/// Speeds nearer to each other than this share are one.
const SAME: f64 = 1e-6;

fn range((from, to): (f64, f64), quantity: Q, units: UnitSystem) -> String {
    format!("{} to {}", show_number(from, quantity, units), show(to, quantity, units))
}

/// The tips of a body, alone and two together, by the speeds at which they serve, and the speeds at which none does.
pub(super) fn of_a_body(demand: &TipDemand, table: &[TipWindow], units: UnitSystem) -> String {
    let (slow, fast) = demand.speed_m_s;
    let within = |window: &TipWindow| {
        let (from, to) = (window.speed_m_s.0.max(slow), window.speed_m_s.1.min(fast));
        (from <= to * (1.0 + SAME)).then_some((from, to))
    };
    let serving = || table.iter().filter_map(|window| Some((window, within(window)?)));
    let each: Vec<String> = serving()
        .map(|(window, speeds)| {
            let how = if window.sizes.len() > 1 { " together" } else { "" };
            let names: Vec<&str> = window.sizes.iter().map(|size| size.code).collect();
            format!("{}{how} from {}", names.join(" and "), range(speeds, Q::Speed, units))
        })
        .collect();
    if each.is_empty() {
        return "Neither one of these tips nor two together meet the rate at any of these speeds."
            .into();
    }
    let mut out = format!("The rate is met by {}.", each.join("; "));
    let mut covered: Vec<(f64, f64)> = serving().map(|(_, speeds)| speeds).collect();
    covered.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut gaps, mut reached) = (Vec::new(), slow);
    for (from, to) in covered.into_iter().chain([(fast, fast)]) {
        if from > reached * (1.0 + SAME) {
            gaps.push(range((reached, from), Q::Speed, units));
        }
        reached = reached.max(to);
    }
    out.push_str(&match &gaps[..] {
        [] => " All these speeds are served.".to_owned(),
        gaps => format!(" At {} none does.", gaps.join(" and at ")),
    });
    out
}

/// At which speeds the rate is met where one pressure is held.
pub(super) fn at_one_pressure(
    demand: &TipDemand,
    table: &[TipWindow],
    units: UnitSystem,
) -> String {
    let ((slow, fast), (held, _)) = (demand.speed_m_s, demand.pressure_pa);
    let pulsed = demand.least_duty < 1.0;
    let held = show(held, Q::Pressure, units);
    let serving: Vec<String> =
        table.iter().filter(|window| pulsed && window.serves).map(TipWindow::code).collect();
    if !serving.is_empty() {
        return format!(
            "Held at {held}, duty follows all these speeds with {}.",
            serving.join(", ")
        );
    }
    let meets = |window: &&TipWindow| {
        let speed = window.speed_m_s.1;
        speed >= slow * (1.0 - SAME) && speed <= fast * (1.0 + SAME)
    };
    let each: Vec<String> = table
        .iter()
        .filter(meets)
        .map(|window| format!("{} at {}", window.code(), show(window.speed_m_s.1, Q::Speed, units)))
        .collect();
    match &each[..] {
        [] => format!("Held at {held}, no size gives the rate at any of these speeds."),
        each => format!("Held at {held}, the rate is met by {}.", each.join(", ")),
    }
}
