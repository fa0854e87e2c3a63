//! A diagnosis, and a calibration, for programs and as files.

use crate::results::Diagnosed;
use crate::words::diagnosis::{group_words, measurement_words};
use serde_json::{Value, json};
use sim_core::diagnosis::{
    Calibration, Explanation, Fault, Measurement, ReadingResidual, Rival, Spot,
};
use sim_core::plumbing::Plumbing;
use sim_core::scenario::ReadingPlace;

/// Groups of explanations written.
const GROUPS: usize = 8;
/// The layout's number.
const SCHEMA: &str = "1";

/// What `--json` prints; SI units throughout.
pub(crate) fn diagnosis(diagnosed: &Diagnosed) -> Value {
    let (d, plumbing) = (&diagnosed.diagnosis, &diagnosed.scenario.machine.plumbing);
    let mut value = json!({
        "schema": SCHEMA,
        "scenario": diagnosed.scenario.title,
        "readings": diagnosed.readings.title,
        "count": d.count,
        "considered": d.considered,
        "conclusion": d.conclusion,
        "groups": d.groups.iter().enumerate().take(GROUPS).map(|(i, p)| json!({
            "group": i, "words": group_words(diagnosed, i), "probability": p,
        })).collect::<Vec<_>>(),
        "something_else": d.something_else,
        "fits": d.fits,
        "chance_of_misfit": d.chance_of_misfit,
        "explanations": d.explanations.iter().map(|e| explanation(diagnosed, e)).collect::<Vec<_>>(),
        "read": d.healthy_readings.iter().enumerate().map(|(i, r)| reading(diagnosed, i, r)).collect::<Vec<_>>(),
        "next": diagnosed.next.iter().map(|m| measurement(diagnosed, m)).collect::<Vec<_>>(),
        "unseen": d.unseen.iter().map(|fault| fault.words(plumbing)).collect::<Vec<_>>(),
        "tips": diagnosed.wear.iter().map(|tip| json!({
            "state": diagnosed.readings.states[tip.state].name,
            "tip": plumbing.tips[tip.tip.index()].name,
            "read_m3_s": tip.read_m3_s,
            "pressure_pa": tip.pressure_pa,
            "pressure_is_read": tip.pressure_is_read,
            "nominal_m3_s": tip.nominal_m3_s,
            "off_share": tip.off,
            "met": tip.met,
        })).collect::<Vec<_>>(),
        "in_use": diagnosed.in_use.iter().map(|v| json!({
            "what": v.what, "place": v.place, "value": v.value, "limit": v.limit,
            "is_pressure": v.is_pressure, "met": v.met, "source": v.source,
        })).collect::<Vec<_>>(),
    });
    if let Some(odd) = &d.odd {
        value["odd"] = json!({
            "readings": odd.readings, "expected": odd.expected,
            "faults": odd.faults.iter().map(|(fault, severity)| json!({
                "kind": fault.kind, "words": fault.words(plumbing), "place": place(fault, plumbing), "severity": severity,
            })).collect::<Vec<_>>(),
        });
        if let Some(slip) = &odd.slip {
            value["odd"]["slip"] = json!(slip);
        }
    }
    value
}

fn explanation(diagnosed: &Diagnosed, explanation: &Explanation) -> Value {
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let faults: Vec<Value> = explanation
        .faults
        .iter()
        .map(|fitted| {
            json!({
                "kind": fitted.fault.kind,
                "words": fitted.fault.words(plumbing),
                "place": place(&fitted.fault, plumbing),
                "severity": fitted.severity,
                "severity_factor": fitted.severity_factor.is_finite().then_some(fitted.severity_factor),
            })
        })
        .collect();
    json!({
        "faults": faults,
        "probability": explanation.probability,
        "group": explanation.group,
        "misfit": explanation.misfit,
        "score": explanation.score,
    })
}

/// Where a fault is: what it is in, and its name there.
fn place(fault: &Fault, plumbing: &Plumbing) -> Value {
    let (of, name) = match fault.spot {
        Spot::Boom => ("boom", None),
        Spot::Branch(id) => ("branch", Some(&plumbing.branch(id).name)),
        Spot::Section(id) => ("section", Some(&plumbing.sections[id.index()].name)),
        Spot::Tip(id) => ("tip", Some(&plumbing.tips[id.index()].name)),
        Spot::Node(id) => ("node", Some(&plumbing.node(id).name)),
        Spot::Gauge(id) => ("gauge", Some(&plumbing.gauges[id.index()].name)),
        Spot::TestGauge => ("test_gauge", None),
        Spot::Liquid => ("liquid", None),
    };
    match name {
        Some(name) => json!({ "of": of, "name": name }),
        None => json!({ "of": of }),
    }
}

fn reading(diagnosed: &Diagnosed, i: usize, r: &ReadingResidual) -> Value {
    let best = &diagnosed.diagnosis.explanations[0];
    json!({
        "state": diagnosed.readings.states[r.state].name,
        "place": r.place.name(&diagnosed.scenario.machine.plumbing),
        "what": what(r.place),
        "read": r.read,
        "healthy": r.modelled,
        "best": best.predicted[i],
        "sigma": r.sigma,
    })
}

fn measurement(diagnosed: &Diagnosed, m: &Measurement) -> Value {
    let plumbing = &diagnosed.scenario.machine.plumbing;
    let expected: Vec<Value> = m
        .expected
        .iter()
        .map(|(rival, value)| match rival {
            Rival::Explanation(i) => json!({ "explanation": i, "value": value }),
            Rival::Hidden(hidden) => {
                json!({ "hidden": hidden.fault.words(plumbing), "value": value })
            }
        })
        .collect();
    json!({
        "state": m.state.name,
        "state_is_known": m.state_is_known,
        "place": m.place.name(&diagnosed.scenario.machine.plumbing),
        "what": what(m.place),
        "gain_bits": m.gain_bits,
        "words": measurement_words(diagnosed, m),
        "expected": expected,
        "sigma": m.sigma,
    })
}

/// What is read at `place`, with its unit.
fn what(place: ReadingPlace) -> &'static str {
    match place {
        ReadingPlace::OwnGauge(_) => "own_gauge_pa",
        ReadingPlace::TestGauge(_) => "test_gauge_pa",
        ReadingPlace::Catch(_) => "catch_m3_s",
        ReadingPlace::Meter(_) => "meter_m3_s",
        ReadingPlace::Speed(_) => "speed_share",
    }
}

/// The overlay file of `calibration`.
pub(crate) fn overlay(title: &str, calibration: &Calibration) -> String {
    let title: String = title.chars().filter(|c| !c.is_control()).collect();
    let mut out = format!(
        "# Factors on roughness and loss coefficients of \"{title}\", found from {} readings of the\n\
         # healthy machine. Use: millstream diagnose SCENARIO READINGS --overlay THIS-FILE\n",
        calibration.count
    );
    for factor in &calibration.factors {
        if factor.suspected {
            out.push_str(&format!(
                "# {} was found {:.4}: at the edge of what it can be, so a fault is suspected and it is left out\n",
                factor.name, factor.value
            ));
            continue;
        }
        let note = if factor.constrained {
            format!("within a factor of {:.2}", factor.within)
        } else {
            "the readings say little of it".to_owned()
        };
        out.push_str(&format!("{} = {:.4} # {note}\n", factor.name, factor.value));
    }
    out
}

/// A calibration for programs.
pub(crate) fn calibration(calibration: &Calibration) -> Value {
    let factors: Vec<Value> = calibration
        .factors
        .iter()
        .map(|f| json!({ "name": f.name, "value": f.value, "within": f.within, "constrained": f.constrained, "suspected": f.suspected }))
        .collect();
    json!({
        "schema": SCHEMA,
        "count": calibration.count,
        "misfit_before": calibration.misfit_before,
        "misfit": calibration.misfit,
        "chance_of_misfit": calibration.chance_of_misfit,
        "factors": factors,
    })
}
