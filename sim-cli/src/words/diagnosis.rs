//! A diagnosis in words.

use super::count_of;
use crate::results::Diagnosed;
use sim_core::diagnosis::{Explanation, Fitted, Spot};
use sim_core::scenario::ReadingPlace;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Readings below which a diagnosis says that it has too few: a fault's size takes one, its place two or three.
const FEW: usize = 4;
/// Explanations named beside the best where they count as one with it.
const NAMED: usize = 4;

/// Cautions that go with every diagnosis.
pub(crate) const CAUTIONS: [&str; 4] = [
    "Stop the pump, relieve the pressure and let it fall to nothing before a line, strainer or valve is opened; hoses and \
     air chambers can hold pressure with the pump at rest.",
    "Wear the protection the product label asks for; residues in lines and on tips are pesticide.",
    "Take readings with clean water, stand clear of hoses under pressure, keep hands off a leak.",
    "The product label, local rules and licensed practice decide; a repair is checked by reading again.",
];

/// The answer in a few paragraphs.
pub(crate) fn answer(diagnosed: &Diagnosed) -> Vec<String> {
    let d = &diagnosed.diagnosis;
    let best = &d.explanations[0];
    let read = diagnosed.readings.states.iter().filter(|state| !state.readings.is_empty());
    let states = read.count();
    let mut said = Vec::new();
    if !d.fits {
        said.push(format!(
            "! The model of this machine does not fit the readings: even the best of {} explanations leaves a misfit of \
             {:.1} over {}, which chance gives once in {}. Check the scenario (tips, bores, pump, what was \
             open), the units and the accuracy of the readings before you believe what follows; a machine known to be healthy \
             can be fitted with --calibrate.",
            d.considered,
            best.misfit,
            count_of(d.count, "reading"),
            once_in(d.chance_of_misfit)
        ));
    }
    let percent = percent(best.probability);
    if best.is_healthy() {
        said.push(format!(
            "No fault is called: the readings are what the healthy machine gives ({percent} among {} explanations).",
            d.considered
        ));
    } else {
        said.push(format!("{} ({percent}).", capital(&words(diagnosed, best))));
        let alike = alike(diagnosed);
        if !alike.is_empty() {
            let together: f64 =
                d.explanations.iter().filter(|e| e.group == 0).map(|e| e.probability).sum();
            said.push(format!(
                "The readings cannot tell this apart from: {}. Together {}.",
                alike.join("; "),
                self::percent(together)
            ));
        }
    }
    let states = if states == 1 { "one state".into() } else { format!("{states} states") };
    let count = count_of(d.count, "reading");
    said.push(format!("{count} in {states}, held against {} explanations.", d.considered));
    if d.count < FEW {
        said.push(format!(
            "That is too few: nearly any fault can be sized to fit {}. Take what is asked for below, {FEW} readings at least, \
             before a part is opened.",
            if d.count == 1 { "it" } else { "them" }
        ));
    }
    if !d.unseen.is_empty() {
        let plumbing = &diagnosed.scenario.machine.plumbing;
        let names: Vec<String> = d.unseen.iter().take(6).map(|f| f.words(plumbing)).collect();
        let more = if d.unseen.len() > names.len() { "; and more" } else { "" };
        said.push(format!("No reading would show: {}{more}.", names.join("; ")));
    }
    said
}

/// Explanations that count as one with the best, in words.
fn alike(diagnosed: &Diagnosed) -> Vec<String> {
    let d = &diagnosed.diagnosis;
    let lead = &d.explanations[0];
    // A pair that holds the leading fault and another that does nothing says no more than the fault alone.
    let new = |e: &&Explanation| {
        e.faults.len() <= lead.faults.len()
            || !lead.faults.iter().all(|f| e.faults.iter().any(|g| g.fault == f.fault))
    };
    let others: Vec<&Explanation> =
        d.explanations.iter().skip(1).filter(|e| e.group == 0).filter(new).collect();
    let named = others.iter().take(NAMED);
    let mut said: Vec<String> =
        named.map(|e| format!("{} ({})", words(diagnosed, e), percent(e.probability))).collect();
    if others.len() > NAMED {
        said.push(format!("{} more", others.len() - NAMED));
    }
    said
}

/// An explanation with its severities.
pub(crate) fn words(diagnosed: &Diagnosed, explanation: &Explanation) -> String {
    if explanation.is_healthy() {
        return "no fault".into();
    }
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let one = |fitted: &Fitted| {
        let severity = severity(diagnosed, explanation, fitted);
        let name = fitted.fault.words(plumbing);
        if severity.is_empty() { name } else { format!("{name}: {severity}") }
    };
    explanation.faults.iter().map(one).collect::<Vec<_>>().join(", and ")
}

/// An explanation without severities.
pub(crate) fn short_words(diagnosed: &Diagnosed, explanation: &Explanation) -> String {
    if explanation.is_healthy() {
        return "no fault".into();
    }
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let names = explanation.faults.iter().map(|fitted| fitted.fault.words(plumbing));
    names.collect::<Vec<_>>().join(" and ")
}

fn severity(diagnosed: &Diagnosed, explanation: &Explanation, fitted: &Fitted) -> String {
    let drop = match fitted.fault.spot {
        Spot::Branch(id) => {
            explanation.instants.iter().map(|i| i.loss_pa[id.index()]).find(|pa| pa.abs() > 0.0)
        }
        _ => None,
    };
    let words = fitted.severity_words(&diagnosed.scenario.machine.plumbing, drop, diagnosed.units);
    let bounded = fitted.severity_factor.is_finite() && fitted.severity_factor < 20.0;
    if words.is_empty() || bounded { words } else { format!("{words} (hardly bounded)") }
}

fn percent(share: f64) -> String {
    if share > 0.995 { "over 99 %".into() } else { format!("{:.0} %", 100.0 * share) }
}

fn once_in(chance: f64) -> String {
    if chance < 1e-6 { "a million or less often".into() } else { format!("{:.0}", 1.0 / chance) }
}

fn capital(text: &str) -> String {
    let mut chars = text.chars();
    chars.next().map_or_else(String::new, |first| first.to_uppercase().chain(chars).collect())
}

/// A value read at `place`.
pub(crate) fn value_words(place: ReadingPlace, value: f64, units: UnitSystem) -> String {
    match place {
        ReadingPlace::OwnGauge(_) | ReadingPlace::TestGauge(_) => show(value, Q::Pressure, units),
        ReadingPlace::Catch(_) | ReadingPlace::Meter(_) => show(value, Q::Flow, units),
        ReadingPlace::Speed(_) => show(value, Q::Share, units),
    }
}
