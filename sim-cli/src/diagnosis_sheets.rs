//! A diagnosis in words and as sheets of rows, for the screen and for the page.

use crate::commands::Diagnosed;
use sim_core::diagnosis::{Explanation, Fitted, InUse, Measurement, Spot};
use sim_core::scenario::Place;
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// Explanations listed.
const LISTED: usize = 8;
/// Probability below which an explanation is not listed beside a fault, unless it stands among the first three; and beside
/// the healthy machine.
const LEAST: f64 = 0.005;
const LEAST_BESIDE_HEALTHY: f64 = 0.02;
/// Rivals named beside a measurement.
const RIVALS: usize = 3;
/// Gain below which a measurement tells next to nothing, bits.
const LITTLE: f64 = 0.05;

/// A table: its title, header and rows; the first `left` columns are words.
pub(crate) struct Sheet {
    pub(crate) title: String,
    pub(crate) header: Vec<String>,
    pub(crate) rows: Vec<Vec<String>>,
    pub(crate) left: usize,
}

fn sheet<const N: usize>(
    title: &str,
    header: [&str; N],
    rows: Vec<Vec<String>>,
    left: usize,
) -> Sheet {
    Sheet { title: title.into(), header: header.map(str::to_owned).to_vec(), rows, left }
}

/// The answer in a few paragraphs.
pub(crate) fn answer(diagnosed: &Diagnosed) -> Vec<String> {
    let d = &diagnosed.diagnosis;
    let best = &d.explanations[0];
    let states = diagnosed.readings.states.len();
    let mut said = Vec::new();
    if !d.fits {
        said.push(format!(
            "! The model of this machine does not fit the readings: even the best of {} explanations leaves a misfit of \
             {:.1} over {} readings, which chance gives once in {}. Check the scenario (tips, bores, pump, what was \
             open), the units and the accuracy of the readings before you believe what follows; a machine known to be healthy \
             can be fitted with --calibrate.",
            d.considered,
            best.misfit,
            d.count,
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
    let (count, states) =
        (d.count, if states == 1 { "one state".into() } else { format!("{states} states") });
    said.push(format!("{count} readings in {states}, held against {} explanations.", d.considered));
    if !d.unseen.is_empty() {
        let plumbing = &diagnosed.scenario.plumbing;
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
    let others = d.explanations.iter().skip(1).filter(|e| e.group == 0).filter(new);
    others.map(|e| format!("{} ({})", words(diagnosed, e), percent(e.probability))).collect()
}

/// An explanation with its sizes.
pub(crate) fn words(diagnosed: &Diagnosed, explanation: &Explanation) -> String {
    if explanation.is_healthy() {
        return "no fault".into();
    }
    let plumbing = &diagnosed.scenario.plumbing;
    let one = |fitted: &Fitted| {
        let size = size(diagnosed, explanation, fitted);
        let name = fitted.fault.words(plumbing);
        if size.is_empty() { name } else { format!("{name}: {size}") }
    };
    explanation.faults.iter().map(one).collect::<Vec<_>>().join(", and ")
}

/// An explanation without sizes.
pub(crate) fn short_words(diagnosed: &Diagnosed, explanation: &Explanation) -> String {
    if explanation.is_healthy() {
        return "no fault".into();
    }
    let plumbing = &diagnosed.scenario.plumbing;
    let names = explanation.faults.iter().map(|fitted| fitted.fault.words(plumbing));
    names.collect::<Vec<_>>().join(" and ")
}

fn size(diagnosed: &Diagnosed, explanation: &Explanation, fitted: &Fitted) -> String {
    let drop = match fitted.fault.spot {
        Spot::Branch(id) => {
            explanation.instants.iter().map(|i| i.loss_pa[id.index()]).find(|pa| pa.abs() > 0.0)
        }
        _ => None,
    };
    let words = fitted.size_words(&diagnosed.scenario.plumbing, drop, diagnosed.units);
    let bounded = fitted.size_factor.is_finite() && fitted.size_factor < 20.0;
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

/// The sheets of a diagnosis.
pub(crate) fn sheets(diagnosed: &Diagnosed) -> Vec<Sheet> {
    let mut sheets = vec![explanations(diagnosed), readings(diagnosed)];
    let worthwhile: Vec<&Measurement> =
        diagnosed.next.iter().filter(|m| m.gain_bits > LITTLE).take(3).collect();
    if !worthwhile.is_empty() {
        sheets.push(next(diagnosed, &worthwhile));
    }
    if !diagnosed.wear.is_empty() {
        sheets.push(tips(diagnosed));
    }
    if !diagnosed.in_use.is_empty() {
        sheets.push(in_use(diagnosed));
    }
    sheets
}

fn explanations(diagnosed: &Diagnosed) -> Sheet {
    let listed = diagnosed.diagnosis.explanations.iter().enumerate();
    let healthy = diagnosed.diagnosis.explanations[0].is_healthy();
    let (first, least) = if healthy { (1, LEAST_BESIDE_HEALTHY) } else { (3, LEAST) };
    let rows = listed
        .filter(|(i, e)| *i < first || (*i < LISTED && e.probability >= least) || e.is_healthy())
        .map(|(i, e)| {
            vec![
                (i + 1).to_string(),
                if i > 0 && e.group == 0 { "same as 1" } else { "" }.to_owned(),
                words(diagnosed, e),
                format!("{:.1} %", 100.0 * e.probability),
                format!("{:.1}", e.misfit),
                format!("{:.1}", e.score),
            ]
        })
        .collect();
    let header = ["", "", "explanation", "probability", "misfit", "score"];
    sheet("What explains the readings", header, rows, 3)
}

fn readings(diagnosed: &Diagnosed) -> Sheet {
    let best = &diagnosed.diagnosis.explanations[0];
    let read = diagnosed.diagnosis.healthy_readings.iter().enumerate();
    let rows = read
        .map(|(i, r)| {
            let say = |value: f64| value_words(r.place, value, diagnosed.units);
            vec![
                diagnosed.readings.states[r.state].name.clone(),
                r.place.words(&diagnosed.scenario.plumbing),
                say(r.read),
                say(r.modelled),
                say(best.predicted[i]),
                format!("{:+.1}", (r.read - best.predicted[i]) / r.sigma).replace('-', "\u{2212}"),
            ]
        })
        .collect();
    let header = ["state", "place", "read", "healthy", "best", "off, in accuracies"];
    sheet("Readings beside the model", header, rows, 2)
}

fn next(diagnosed: &Diagnosed, measurements: &[&Measurement]) -> Sheet {
    let rows = measurements
        .iter()
        .map(|m| {
            vec![
                measurement_words(diagnosed, m),
                expectation(diagnosed, m),
                format!("{:.2}", m.gain_bits),
            ]
        })
        .collect();
    sheet("Measure next (what tells most, first)", ["reading", "expect", "gain, bits"], rows, 2)
}

/// Where and in what state to read.
fn measurement_words(diagnosed: &Diagnosed, m: &Measurement) -> String {
    let place = m.place.words(&diagnosed.scenario.plumbing);
    let held =
        m.state.held_pa().map(|pa| format!(" at {}", show(pa, Q::Pressure, diagnosed.units)));
    let state = if m.state_is_known { "state" } else { "new state" };
    format!("{place}; {state} \"{}\"{}", m.state.name, held.unwrap_or_default())
}

/// What the likeliest explanations let expect of a measurement, those of equal value together.
fn expectation(diagnosed: &Diagnosed, m: &Measurement) -> String {
    let mut said: Vec<(f64, Vec<String>)> = Vec::new();
    for (i, value) in &m.expected {
        let name = short_words(diagnosed, &diagnosed.diagnosis.explanations[*i]);
        let known = said.iter().position(|(other, _)| (other - value).abs() < m.sigma);
        match known {
            Some(at) if said[at].1.len() < 2 => said[at].1.push(name),
            None if said.len() < RIVALS => said.push((*value, vec![name])),
            _ => {}
        }
    }
    let one = |(value, names): &(f64, Vec<String>)| {
        format!("{}: {}", value_words(m.place, *value, diagnosed.units), names.join(" or "))
    };
    said.iter().map(one).collect::<Vec<_>>().join("; ")
}

fn tips(diagnosed: &Diagnosed) -> Sheet {
    let plumbing = &diagnosed.scenario.plumbing;
    let rows = diagnosed
        .wear
        .iter()
        .map(|tip| {
            let source = if tip.pressure_is_read { "read" } else { "modelled" };
            vec![
                if tip.met { "within 10 %" } else { "NOT within 10 %" }.to_owned(),
                plumbing.tips[tip.tip.index()].name.clone(),
                diagnosed.readings.states[tip.state].name.clone(),
                format!("{} ({source})", show(tip.pressure_pa, Q::Pressure, diagnosed.units)),
                show(tip.read_m3_s, Q::Flow, diagnosed.units),
                show(tip.nominal_m3_s, Q::Flow, diagnosed.units),
                format!("{:+.1} %", 100.0 * tip.off).replace('-', "\u{2212}"),
            ]
        })
        .collect();
    let header = ["", "tip", "state", "pressure at its body", "caught", "new tip", "wear"];
    sheet(
        "Tips beside new ones (ISO 16122-2, from memory: within 10 % of nominal)",
        header,
        rows,
        3,
    )
}

fn in_use(diagnosed: &Diagnosed) -> Sheet {
    let value = |verdict: &InUse, number: f64| {
        let quantity = if verdict.is_pressure { Q::Pressure } else { Q::Share };
        show(number, quantity, diagnosed.units)
    };
    let rows = diagnosed
        .in_use
        .iter()
        .map(|verdict| {
            vec![
                if verdict.met { "met" } else { "NOT met" }.to_owned(),
                verdict.what.to_owned(),
                verdict.place.clone(),
                value(verdict, verdict.value),
                value(verdict, verdict.limit),
                verdict.source.clone(),
            ]
        })
        .collect();
    let header = ["", "tolerance on", "where", "value", "limit", "demanded by"];
    sheet("In-use inspection", header, rows, 3)
}

/// A value read at `place`.
pub(crate) fn value_words(place: Place, value: f64, units: UnitSystem) -> String {
    match place {
        Place::OwnGauge(_) | Place::TestGauge(_) => show(value, Q::Pressure, units),
        Place::Catch(_) | Place::Meter(_) => show(value, Q::Flow, units),
        Place::Speed(_) => show(value, Q::Share, units),
    }
}
