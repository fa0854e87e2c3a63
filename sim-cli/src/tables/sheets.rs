//! A diagnosis in tables, for the screen and for the page.

use crate::columns::{Columns, Table, signless_nothing};
use crate::results::Diagnosed;
use crate::words::diagnosis::{measurement_words, percent, rival_words, value_words, words, worth};
use sim_core::diagnosis::{Conclusion, Explanation, InUse, Measurement, ReadingResidual, TipWear};
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

/// The tables of a diagnosis that have rows.
pub(crate) fn sheets(diagnosed: &Diagnosed) -> Vec<Table> {
    let sheets = [explanations, readings, next, tips, in_use].map(|sheet| sheet(diagnosed));
    sheets.into_iter().filter(|sheet| !sheet.rows.is_empty()).collect()
}

fn explanations(diagnosed: &Diagnosed) -> Table {
    let all = || diagnosed.diagnosis.explanations.iter().enumerate();
    let leads =
        |i: usize, e: &Explanation| i == 0 || all().all(|(k, o)| k >= i || o.group != e.group);
    let (first, least) = if diagnosed.diagnosis.conclusion == Conclusion::NoFault {
        (1, LEAST_BESIDE_HEALTHY)
    } else {
        (3, LEAST)
    };
    let listed = all()
        .filter(|(i, e)| *i < first || (*i < LISTED && e.probability >= least) || e.is_healthy())
        .map(|(i, e)| (leads(i, e), e));
    let share = |lead: bool, e: &Explanation| {
        if lead { percent(diagnosed.diagnosis.groups[e.group]) } else { String::new() }
    };
    Columns::new()
        .words("", |(lead, e): &(bool, &Explanation)| {
            if *lead { (e.group + 1).to_string() } else { format!("same as {}", e.group + 1) }
        })
        .text("group", |(lead, e)| share(*lead, e))
        .words("explanation", |(_, e)| words(diagnosed, e))
        .each("probability", Q::Share, |(_, e)| e.probability)
        .plain("misfit", 1, |(_, e)| e.misfit)
        .plain("score", 1, |(_, e)| e.score)
        .table("What explains the readings", listed, diagnosed.units)
}

fn readings(diagnosed: &Diagnosed) -> Table {
    let best = &diagnosed.diagnosis.explanations[0];
    let read = diagnosed.diagnosis.healthy_readings.iter().enumerate();
    let say = |r: &ReadingResidual, value: f64| value_words(r.place, value, diagnosed.units);
    let off = |(i, r): &(usize, &ReadingResidual)| (r.read - best.predicted[*i]) / r.sigma;
    Columns::new()
        .words("state", |(_, r): &(usize, &ReadingResidual)| {
            diagnosed.readings.states[r.state].name.clone()
        })
        .words("place", |(_, r)| r.place.words(&diagnosed.scenario.machine.plumbing))
        .text("read", |(_, r)| say(r, r.read))
        .text("healthy", |(_, r)| say(r, r.modelled))
        .text("best", |(i, r)| say(r, best.predicted[*i]))
        .text("off, in accuracies", |row| signed(off(row)))
        .table("Readings beside the model", read, diagnosed.units)
}

fn next(diagnosed: &Diagnosed) -> Table {
    let worthwhile = diagnosed.next.iter().filter(|m| m.gain_bits > LITTLE).take(3);
    Columns::new()
        .words("reading", |m: &Measurement| measurement_words(diagnosed, m))
        .words("expect", |m| expectation(diagnosed, m))
        .words("", |m| worth(m.gain_bits))
        .plain("bits", 2, |m| m.gain_bits)
        .table("Measure next (most informative first)", worthwhile, diagnosed.units)
}

/// A number with its sign and one decimal.
fn signed(number: f64) -> String {
    signless_nothing(format!("{number:+.1}")).replace('-', "\u{2212}")
}

/// What the likeliest explanations let expect of a measurement, those of equal value together.
pub(crate) fn expectation(diagnosed: &Diagnosed, m: &Measurement) -> String {
    let mut said: Vec<(f64, Vec<String>)> = Vec::new();
    for (rival, value) in &m.expected {
        let name = rival_words(diagnosed, rival);
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

fn tips(diagnosed: &Diagnosed) -> Table {
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let pressure = |tip: &TipWear| {
        let source = if tip.pressure_is_read { "read" } else { "modelled" };
        format!("{} ({source})", show(tip.pressure_pa, Q::Pressure, diagnosed.units))
    };
    Columns::new()
        .words("", |tip: &TipWear| if tip.met { "within 10 %" } else { "NOT within 10 %" })
        .words("tip", |tip| plumbing.tips[tip.tip.index()].name.clone())
        .words("state", |tip| diagnosed.readings.states[tip.state].name.clone())
        .text("pressure at its body", pressure)
        .each("caught", Q::Flow, |tip| tip.read_m3_s)
        .each("new tip", Q::Flow, |tip| tip.nominal_m3_s)
        .text("wear", |tip| format!("{} %", signed(100.0 * tip.off)))
        .table(
            "Tips beside new ones (ISO 16122-2, from memory: within 10 % of nominal)",
            &diagnosed.wear,
            diagnosed.units,
        )
}

fn in_use(diagnosed: &Diagnosed) -> Table {
    let value = |verdict: &InUse, number: f64| {
        let quantity = if verdict.is_pressure { Q::Pressure } else { Q::Share };
        show(number, quantity, diagnosed.units)
    };
    Columns::new()
        .words("", |verdict: &InUse| if verdict.met { "met" } else { "NOT met" })
        .words("tolerance on", |verdict| verdict.what)
        .words("where", |verdict| verdict.place.clone())
        .text("value", |verdict| value(verdict, verdict.value))
        .text("limit", |verdict| value(verdict, verdict.limit))
        .text("demanded by", |verdict| verdict.source.clone())
        .table("In-use inspection", &diagnosed.in_use, diagnosed.units)
}
