//! A diagnosis as sheets of rows, for the screen and for the page.

use crate::results::Diagnosed;
use crate::words::diagnosis::{short_words, value_words, words};
use sim_core::diagnosis::{InUse, Measurement};
use sim_core::units::{Quantity as Q, show};

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
                r.place.words(&diagnosed.scenario.machine.plumbing),
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
    let place = m.place.words(&diagnosed.scenario.machine.plumbing);
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
    let plumbing = &diagnosed.scenario.machine.plumbing;
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
