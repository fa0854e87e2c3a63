//! What the user must be told beside the numbers.

use super::controls::ControlFinding;
use super::step::StepFindings;
use super::tips::Window;
use super::warning::Warning;
use crate::hydraulics::{Instant, LAMINAR_UP_TO, Notice, TURBULENT_FROM};
use crate::plumbing::{BranchId, Part, TipId};
use crate::scenario::Scenario;
use crate::units::{Quantity, UnitSystem, show};

/// Opening pressure from which a check valve is taken for a relief valve, Pa.
const RELIEF_FROM_PA: f64 = 1e5;
/// Loss below which an uncertain friction does not matter, Pa.
const MATTERS_FROM_PA: f64 = 200.0;
/// Names listed before the rest is only counted.
const MOST_NAMES: usize = 6;

pub(super) fn warnings(
    scenario: &Scenario,
    step: usize,
    end: &Instant,
    findings: &StepFindings,
) -> Vec<Warning> {
    let mut warnings = Vec::new();
    warnings.extend(not_held(findings));
    warnings.extend(from_notices(scenario, end));
    warnings.extend(tips_by_notice(scenario, end));
    warnings.extend(outside_window(findings));
    warnings.extend(between_regimes(findings));
    if step == 0
        && let Some(caution) = &scenario.course.liquid.caution
    {
        warnings.push(warning("liquid", format!("{}.", upper_first(caution))));
    }
    warnings
}

fn warning(code: &'static str, text: String) -> Warning {
    Warning { code, text }
}

fn upper_first(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// `value_si` in both unit systems.
pub(super) fn both(value_si: f64, quantity: Quantity) -> String {
    let (si, us) =
        (show(value_si, quantity, UnitSystem::Si), show(value_si, quantity, UnitSystem::Us));
    format!("{si} ({us})")
}

fn not_held(findings: &StepFindings) -> Vec<Warning> {
    let missed = findings.controls.iter().filter(|control| !control.reached);
    let text = |control: &ControlFinding| {
        let (quantity, setpoint, actual) = control.held.values();
        format!(
            "{} at {} is not reached: it comes to {} with {} at {:.0} %, the end of its range.",
            both(setpoint, quantity),
            control.at,
            both(actual, quantity),
            control.actuator,
            control.actuator_share * 100.0
        )
    };
    missed.map(|control| warning("not_held", text(control))).collect()
}

fn from_notices(scenario: &Scenario, end: &Instant) -> Vec<Warning> {
    let name = |branch: BranchId| scenario.machine.plumbing.branch(branch).name.as_str();
    let text = |notice: &Notice| match notice {
        Notice::CutOff(nodes) => {
            let names =
                nodes.iter().map(|node| scenario.machine.plumbing.node(*node).name.as_str());
            let text = format!(
                "Shut valves cut off {}: nothing flows there and the pressure stays what it was.",
                listed("node", names.collect())
            );
            Some(warning("cut_off", text))
        }
        Notice::HeldShut { branch } => held_shut(scenario, end, *branch),
        Notice::BeyondCurve { branch } => Some(warning(
            "beyond_curve",
            format!(
                "{} runs beyond the last point of its curve; pressure there is extrapolated.",
                name(*branch)
            ),
        )),
        Notice::SuctionShort { branch, available_m, required_m } => Some(warning(
            "suction_short",
            format!(
                "{} needs {} of net positive suction head and has {}: it would cavitate and lose \
                 pressure. Widen or shorten the suction, clean its strainer, or ask for less flow.",
                name(*branch),
                both(*required_m, Quantity::Head),
                both(*available_m, Quantity::Head)
            ),
        )),
        _ => None,
    };
    end.notices.iter().filter_map(text).collect()
}

/// A check that passes nothing; a relief valve below its setting is as it should be.
fn held_shut(scenario: &Scenario, end: &Instant, branch: BranchId) -> Option<Warning> {
    let part = scenario.machine.plumbing.branch(branch);
    let across = end.loss_pa[branch.index()];
    let why = match &part.part {
        Part::CheckValve(check) if across > 0.0 && check.opens_at_pa >= RELIEF_FROM_PA => {
            return None;
        }
        Part::CheckValve(check) if across > 0.0 => format!(
            "stays shut: {} across it, and it opens at {}",
            both(across, Quantity::Pressure),
            both(check.opens_at_pa, Quantity::Pressure)
        ),
        _ => "is held shut by the pressure behind it; nothing passes".to_owned(),
    };
    Some(warning("held_shut", format!("{} {why}.", part.name)))
}

fn tips_by_notice(scenario: &Scenario, end: &Instant) -> Vec<Warning> {
    let of = |pick: fn(&Notice) -> Option<TipId>| -> Vec<&str> {
        let tips = end.notices.iter().filter_map(pick);
        tips.map(|tip| scenario.machine.plumbing.tips[tip.index()].name.as_str()).collect()
    };
    let below = of(|notice| match notice {
        Notice::TipBelowAtmosphere(tip) => Some(*tip),
        _ => None,
    });
    let shut = of(|notice| match notice {
        Notice::TipCheckShut(tip) => Some(*tip),
        _ => None,
    });
    let mut warnings = Vec::new();
    if !below.is_empty() {
        let text =
            format!("{} below atmospheric pressure and would draw air.", stands("tip", below));
        warnings.push(warning("tip_below_atmosphere", text));
    }
    if !shut.is_empty() {
        let text = format!(
            "{} below the opening pressure of the check valve and {} shut.",
            stands("tip", shut.clone()),
            if shut.len() == 1 { "stays" } else { "stay" }
        );
        warnings.push(warning("tip_check_shut", text));
    }
    warnings
}

fn outside_window(findings: &StepFindings) -> Vec<Warning> {
    let of = |window: Window| -> Vec<&str> {
        let tips = findings.tips.iter().filter(|tip| tip.window == Some(window));
        tips.map(|tip| &*tip.tip.name).collect()
    };
    let mut warnings = Vec::new();
    let (below, above) = (of(Window::Below), of(Window::Above));
    let close = "the product label and the tip maker's chart decide.";
    if !below.is_empty() {
        let text = format!(
            "{} below the droplet window: coarser droplets, and the pattern may fail; {close}",
            stands("tip", below)
        );
        warnings.push(warning("tip_below_window", text));
    }
    if !above.is_empty() {
        let text = format!(
            "{} above the droplet window: finer droplets, more drift; {close}",
            stands("tip", above)
        );
        warnings.push(warning("tip_above_window", text));
    }
    warnings
}

/// Lines whose friction is uncertain because the flow is between laminar and turbulent.
fn between_regimes(findings: &StepFindings) -> Option<Warning> {
    let between = |reynolds: f64| reynolds > LAMINAR_UP_TO && reynolds < TURBULENT_FROM;
    let uncertain = findings.losses.iter().filter(|loss| loss.reynolds.is_some_and(between));
    let lines: Vec<_> = uncertain.filter(|loss| loss.loss_pa >= MATTERS_FROM_PA).collect();
    let most = lines.iter().map(|loss| loss.loss_pa).fold(0.0, f64::max);
    let names: Vec<&str> = lines.iter().map(|loss| &*loss.branch.name).collect();
    (!names.is_empty()).then(|| {
        let text = format!(
            "{} between laminar and turbulent flow (Reynolds number 2000 to 4000), where friction is \
             uncertain by half; the largest loss among them is {}.",
            stands("line", names),
            both(most, Quantity::Pressure)
        );
        warning("between_regimes", text)
    })
}

/// `3 tips (a, b, c)`.
fn listed(kind: &str, names: Vec<&str>) -> String {
    match names.as_slice() {
        [one] => format!("{kind} {one}"),
        _ if names.len() <= MOST_NAMES => format!("{} {kind}s ({})", names.len(), names.join(", ")),
        [first, .., last] => format!("{} {kind}s ({first} to {last})", names.len()),
        [] => format!("no {kind}"),
    }
}

/// `3 tips (a, b, c) stand`.
fn stands(kind: &str, names: Vec<&str>) -> String {
    let verb = if names.len() == 1 { "stands" } else { "stand" };
    let text = listed(kind, names);
    format!("{} {verb}", upper_first(&text))
}
