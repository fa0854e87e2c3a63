//! What a step did beside spraying: circulation, drool, rinsing, standing, tanks.

use super::page::Page;
use sim_core::findings::{Circulation, Drool, Rinse, Standing, StepFindings};
use sim_core::plumbing::Plumbing;
use sim_core::scenario::Scenario;
use sim_core::simulation::{Ended, MovedRecord, StepRecord};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// The paragraphs of a step.
pub(super) fn paragraphs(
    out: &mut Page,
    scenario: &Scenario,
    record: &StepRecord,
    findings: &StepFindings,
    units: UnitSystem,
) {
    let plumbing = &scenario.plumbing;
    if let Some(circulation) = &findings.circulation {
        out.tell(circulating(plumbing, circulation, units));
    }
    if let Some(standing) = &findings.standing {
        out.tell(stood(standing, units));
    }
    if let Some(rinse) = &findings.rinse {
        out.tell(rinsed(plumbing, rinse, units));
    }
    if let Some(drool) = &findings.drool {
        out.tell(drooling(drool, units));
    }
    if let Some(moved) = &record.moved {
        let lasted_s = record.end_s - record.start_s;
        out.tell(course(plumbing, moved, lasted_s, findings.standing.is_some(), units));
    }
}

fn circulating(plumbing: &Plumbing, found: &Circulation, units: UnitSystem) -> String {
    let mut text = format!(
        "Circulation: {} return to the tank, {:.0} % of what the pump moves.",
        show(found.flow_m3_s, Q::Flow, units),
        100.0 * found.share_of_pump
    );
    if let Some((line, velocity)) = found.slowest {
        let name = &plumbing.branch(line).name;
        text.push_str(&format!(" The slowest line that flows is {name} at {velocity:.2} m/s."));
    }
    if let Some((line, velocity, needed)) = found.too_slow.first() {
        text.push_str(&format!(
            " {} lines are too slow to keep the product's particles moving, {} among them: {velocity:.2} m/s \
             where {needed:.2} m/s are needed (Oroskar and Turian 1980).",
            found.too_slow.len(),
            plumbing.branch(*line).name
        ));
    }
    if let Some((highest, opening)) = found.highest_and_opening_pa {
        let (highest, opening) =
            (show(highest, Q::Pressure, units), show(opening, Q::Pressure, units));
        text.push_str(&match found.would_open.len() {
            0 => format!(" No tip would open: {highest} at most, opening from {opening}."),
            count => format!(
                " {count} tips WOULD OPEN if nothing but their check valves held them: up to {highest} \
                 stand there, opening from {opening}."
            ),
        });
    }
    if let Some(time) = found.return_half_s {
        text.push_str(&format!(
            " What comes back is half new liquid after {}.",
            show(time, Q::Duration, units)
        ));
    }
    text
}

fn stood(found: &Standing, units: UnitSystem) -> String {
    let mut text = format!(
        "Standing: particles fall at {:.3} mm/s; after {} {:.0} % are still suspended in the tubes, which \
         clear in {}; the product of {} of mix lies on their floors. Level lines, even mix at the \
         start, particles of one size; the tank is taken as stirred.",
        1e3 * found.settling_m_s,
        show(found.stood_s, Q::Duration, units),
        100.0 * found.still_suspended,
        show(found.clears_in_s, Q::Duration, units),
        show(found.settled_m3, Q::Volume, units),
    );
    if found.particle_reynolds > 1.0 {
        text.push_str(" The particles are too coarse for Stokes' law: they fall slower than that.");
    }
    text
}

fn rinsed(plumbing: &Plumbing, found: &Rinse, units: UnitSystem) -> String {
    let mut text = format!(
        "Rinse: {} went out at {} strength on average; {} of product (as full-strength mix) are left.",
        show(found.sprayed_m3, Q::Volume, units),
        percent(found.sprayed_strength),
        show(found.product_left_m3, Q::Volume, units)
    );
    if let Some((tip, strength)) = found.strongest {
        let name = &plumbing.tips[tip.index()].name;
        text.push_str(&format!(" The strongest tip, {name}, stands at {}.", percent(strength)));
    }
    if let Some(time) = found.rinsed_s {
        let time = show(time, Q::Duration, units);
        text.push_str(&format!(" Every running tip is within the limit from {time} on."));
    }
    if let Some(strength) = found.dead_legs {
        text.push_str(&format!(" Dead legs stand at {}.", percent(strength)));
    }
    text.push_str(
        " Walls, strainers and hoses that give product back later are left out: a sample has the last word.",
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

/// A strength with figures that show small ones too.
fn percent(strength: f64) -> String {
    let percent = 100.0 * strength;
    match percent {
        p if p >= 10.0 || p == 0.0 => format!("{p:.0} %"),
        p if p >= 0.1 => format!("{p:.2} %"),
        p => format!("{p:.4} %"),
    }
}

fn drooling(found: &Drool, units: UnitSystem) -> String {
    let largest = found.ends.iter().map(|(_, m3)| *m3).fold(0.0, f64::max);
    format!(
        "Drool: if the capped ends still hold the air of the first filling, they push out {:.0} mL after \
         shut-off, {:.0} mL at most from one, until tips stop at {} (Boyle, constant temperature).",
        1e6 * found.volume_m3,
        1e6 * largest,
        show(found.stops_at_pa, Q::Pressure, units)
    )
}

fn course(
    plumbing: &Plumbing,
    moved: &MovedRecord,
    lasted_s: f64,
    stands: bool,
    units: UnitSystem,
) -> String {
    let lasted = show(lasted_s, Q::Duration, units);
    let mut text = match moved.ended {
        Ended::Time => format!("The step ends when its time is up, after {lasted}."),
        Ended::Reached => format!("The step ends when what it waits for has come, after {lasted}."),
        Ended::TankEmpty(tank) => format!(
            "The step ends after {lasted}: {} is down to its heel; going on would draw air.",
            called(&plumbing.tank(tank).name, false)
        ),
    };
    if let Some(time) = moved.steady_after_s {
        text.push_str(&format!(" Flows are steady from {} on.", show(time, Q::Duration, units)));
    } else {
        text.push_str(" Flows were still changing then.");
    }
    if moved.settled_m3 > 0.0 && !stands {
        let settled = show(moved.settled_m3, Q::Volume, units);
        text.push_str(&format!(
            " The product of {settled} of mix lies settled in lines too slow to pick it up."
        ));
    }
    for (i, tank) in plumbing.tanks.iter().enumerate() {
        if let Some(volume) = moved.tank_m3[i] {
            text.push_str(&format!(
                " {} then holds {} at {} strength.",
                called(&tank.name, true),
                show(volume, Q::Volume, units),
                percent(moved.tank_strength[i])
            ));
        }
    }
    text
}
