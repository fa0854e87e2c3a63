//! What a step did beside spraying: circulation, after-drip, rinsing, standing, tanks.

use super::page::Page;
use crate::words::count_of;
use sim_core::findings::{
    AfterDrip, CheckValves, Circulation, End, LineVelocity, Outcome, Rinse, SlowLine, Standing,
    StepFindings, TipConcentration,
};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// The paragraphs of a step.
pub(super) fn paragraphs(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    if let Some(circulation) = &findings.circulation {
        out.paragraph(circulating(circulation, units));
    }
    let outcome = findings.outcome.as_ref();
    if let Some((standing, outcome)) = findings.standing.as_ref().zip(outcome) {
        out.paragraph(stood(standing, outcome, units));
    }
    if let Some((rinse, outcome)) = findings.rinse.as_ref().zip(outcome) {
        out.paragraph(rinsed(rinse, outcome, units));
    }
    if let Some(after_drip) = &findings.after_drip {
        out.paragraph(dripping(after_drip, units));
    }
    if let Some(outcome) = outcome {
        out.paragraph(course(outcome, findings.standing.is_some(), units));
    }
}

fn circulating(found: &Circulation, units: UnitSystem) -> String {
    let mut text = format!(
        "Circulation: {} return to the tank, {:.0} % of what the pump moves.",
        show(found.flow_m3_s, Q::Flow, units),
        100.0 * found.pump_share
    );
    if let Some(LineVelocity { line, velocity_m_s }) = &found.slowest {
        text.push_str(&format!(" The slowest line that flows is {line} at {velocity_m_s:.2} m/s."));
    }
    if let Some(SlowLine { line, velocity_m_s, needed_m_s }) = found.too_slow.first() {
        text.push_str(&format!(
            " {} too slow to keep the product's particles moving, {line} {}: \
             {velocity_m_s:.2} m/s where {needed_m_s:.2} m/s are needed (Oroskar and Turian 1980; \
             fine ones Thomas 1979, from memory; the larger).",
            match found.too_slow.len() {
                1 => "1 line is".to_owned(),
                count => format!("{count} lines are"),
            },
            if found.too_slow.len() == 1 { "it is" } else { "among them" }
        ));
    }
    if let Some(CheckValves { highest_pa, opens_at_pa }) = found.check_valves {
        let (highest, opening) =
            (show(highest_pa, Q::Pressure, units), show(opens_at_pa, Q::Pressure, units));
        text.push_str(&match found.tips_that_would_open.len() {
            0 => format!(" No tip would open: {highest} at most, opening from {opening}."),
            count => format!(
                " {} WOULD OPEN if nothing but check valves held tips: up to {highest} there, opening from {opening}.",
                count_of(count, "tip")
            ),
        });
    }
    if let Some(time) = found.return_half_s {
        text.push_str(&format!(
            " What comes back is half new liquid {} after the step began.",
            show(time, Q::Duration, units)
        ));
    }
    text
}

fn stood(found: &Standing, outcome: &Outcome, units: UnitSystem) -> String {
    let mut text = format!(
        "Standing: particles fall at {:.3} mm/s; after {} {:.0} % are still suspended in the tubes, which \
         clear in {}; the product of {} of mix has settled on their floors. Level lines, even mix at the \
         start, particles of one size; the tank is taken as stirred.",
        1e3 * found.settling_m_s,
        show(outcome.lasted_s, Q::Duration, units),
        100.0 * found.suspended_share,
        show(found.clears_in_s, Q::Duration, units),
        show(outcome.settled_m3, Q::Volume, units),
    );
    if found.particle_reynolds > 1.0 {
        text.push_str(" The particles are too coarse for Stokes' law: they fall slower than that.");
    }
    text
}

fn rinsed(found: &Rinse, outcome: &Outcome, units: UnitSystem) -> String {
    let mut text = format!(
        "Rinse: {} sprayed at a mean concentration of {}; {} of product (as full-strength mix) remain.",
        show(outcome.sprayed_m3, Q::Volume, units),
        percent(found.sprayed_concentration),
        show(found.residual_product_m3, Q::Volume, units)
    );
    if let Some(TipConcentration { tip, concentration }) = &found.highest_concentration {
        text.push_str(&format!(
            " The highest concentration at a tip is {} (tip {tip}).",
            percent(*concentration)
        ));
    }
    if let Some(time) = found.rinsed_s {
        let time = show(time, Q::Duration, units);
        text.push_str(&format!(
            " Every running tip is within the limit from {time} after the step began."
        ));
    }
    if let Some(concentration) = found.dead_leg_concentration {
        text.push_str(&format!(" Dead legs are at {}.", percent(concentration)));
    }
    text.push_str(
        " Walls, strainers and hoses that give product back later are left out: a sample decides.",
    );
    text
}

/// A tank in a sentence.
fn called(name: &str, starts: bool) -> String {
    match (name, starts) {
        ("tank", true) => "The tank".into(),
        ("tank", false) => "the tank".into(),
        (_, true) => format!("Tank {name}"),
        (_, false) => format!("tank {name}"),
    }
}

/// A concentration with figures that show small ones too.
fn percent(concentration: f64) -> String {
    let percent = 100.0 * concentration;
    match percent {
        p if p >= 10.0 || p == 0.0 => format!("{p:.0} %"),
        p if p >= 0.1 => format!("{p:.2} %"),
        p => format!("{p:.4} %"),
    }
}

fn dripping(found: &AfterDrip, units: UnitSystem) -> String {
    let largest = found.ends.iter().map(|end| end.volume_m3).fold(0.0, f64::max);
    format!(
        "After-drip: if the capped ends still hold the air of the first filling, they push out {:.0} mL after \
         shut-off, {:.0} mL at most from one, until tips stop at {} (Boyle, constant temperature).",
        1e6 * found.volume_m3,
        1e6 * largest,
        show(found.stops_at_pa, Q::Pressure, units)
    )
}

fn course(outcome: &Outcome, stands: bool, units: UnitSystem) -> String {
    let lasted = show(outcome.lasted_s, Q::Duration, units);
    let mut text = match &outcome.ended {
        End::Time => format!("The step ends when its time is up, after {lasted}."),
        End::Reached => format!("The step ends when its condition is met, after {lasted}."),
        End::TankEmpty(tank) => format!(
            "The step ends after {lasted}: {} is down to its heel; going on would draw air.",
            called(&tank.name, false)
        ),
    };
    if let Some(time) = outcome.steady_after_s {
        text.push_str(&format!(
            " Flows are steady from {} after its start on.",
            show(time, Q::Duration, units)
        ));
    } else {
        text.push_str(" Flows were still changing then.");
    }
    if outcome.settled_m3 > 0.0 && !stands {
        let settled = show(outcome.settled_m3, Q::Volume, units);
        text.push_str(&format!(
            " The product of {settled} of mix has settled in lines too slow to pick it up."
        ));
    }
    for tank in &outcome.tanks {
        if let Some(volume) = tank.holds_m3 {
            text.push_str(&format!(
                " {} then holds {} at a concentration of {}.",
                called(&tank.tank.name, true),
                show(volume, Q::Volume, units),
                percent(tank.concentration)
            ));
        }
    }
    text
}
