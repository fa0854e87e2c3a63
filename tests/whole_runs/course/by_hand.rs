//! What a student works out by hand in each lesson, from the formulas of the sheet, beside what the program finds.

use super::quotes::{Quote, printed, printed_with, roughly, worked_out};
use super::{bar, explanation, findings, json_of, lesson, number, path, pieces, tips};
use serde_json::Value;
use std::f64::consts::PI;

/// Water of 20 degC: density kg/m3, kinematic viscosity m2/s (IAPWS, as every table of water has them).
const DENSITY: f64 = 998.2;
const KINEMATIC: f64 = 1.004e-6;
/// Bore and distance of tips in the lessons' tubes, m.
const BORE: f64 = 0.016;
const SPACING: f64 = 0.5;

/// A row of a sheet.
pub(crate) struct Worked {
    pub(crate) key: &'static str,
    pub(crate) by_hand: String,
    pub(crate) program: Quote,
}

/// Figures given on a sheet, and its rows.
pub(crate) type SheetFigures = (Vec<(&'static str, Quote)>, Vec<Worked>);

/// A row whose figure by hand, `hand`, is `within` the share of the program's, `found`; both in the unit shown.
fn row(
    key: &'static str,
    (hand, found): (f64, f64),
    within: f64,
    by_hand: String,
    program: Quote,
) -> Worked {
    assert!((hand / found - 1.0).abs() <= within, "{key}: {hand} by hand, {found} by the program");
    Worked { key, by_hand, program }
}

fn area(bore_m: f64) -> f64 {
    PI / 4.0 * bore_m * bore_m
}

/// Flow of all tips of a lesson, m3/s.
fn boom_flow(summary: &Value) -> f64 {
    number(&findings(summary)["boom"]["flow_m3_s"])
}

fn flow_given(flow_m3_s: f64) -> Quote {
    printed(format!("{:.2} L/min", flow_m3_s * 6e4))
}

pub(super) fn friction() -> SheetFigures {
    let summary = lesson("1-friction");
    let flow = boom_flow(&summary);
    let velocity = 23.0 / 24.0 * flow / area(BORE);
    let reynolds = velocity * BORE / KINEMATIC;
    let factor = 0.316 * reynolds.powf(-0.25);
    let piece_bar = factor * SPACING / BORE * DENSITY * velocity * velocity / 2.0 / 1e5;
    let share = 1.0 / 2.75 + 1.0 / 46.0 + 0.75f64.sqrt() / (6.0 * 23.0 * 23.0);
    let lost_bar = 23.0 * piece_bar * share;
    let (found_v, found_bar) =
        (pieces(&summary, "velocity_m_s")[1], pieces(&summary, "loss_pa")[0] / 1e5);
    let found_re = pieces(&summary, "reynolds")[1];
    let pressures = tips(&summary, "pressure_pa");
    let found_lost = (pressures[23] - pressures[0]) / 1e5;
    let rows = vec![
        row(
            "velocity",
            (velocity, found_v),
            0.01,
            format!("{velocity:.2} m/s"),
            printed(format!("{found_v:.2} m/s")),
        ),
        row(
            "reynolds",
            (reynolds, found_re),
            0.01,
            format!("{reynolds:.0}"),
            printed_with(format!("{found_re:.0}"), "reynolds"),
        ),
        row(
            "piece",
            (piece_bar, found_bar),
            0.08,
            format!("{piece_bar:.4} bar"),
            printed(format!("{found_bar:.4} bar")),
        ),
        row(
            "lost",
            (lost_bar, found_lost),
            0.05,
            format!("{lost_bar:.3} bar"),
            worked_out(format!("{found_lost:.3} bar")),
        ),
    ];
    (vec![("flow", flow_given(flow))], rows)
}

pub(super) fn last_tip() -> SheetFigures {
    let summary = lesson("2-last-tip");
    let flow = boom_flow(&summary);
    let tip = flow / 24.0;
    let (fast, slow) = (23.0 * tip / area(BORE), tip / area(BORE));
    let first_s = SPACING / fast;
    let harmonic: f64 = (1..=23).map(|k| 1.0 / f64::from(k)).sum();
    let travel_s = SPACING / slow * harmonic;
    let velocities = pieces(&summary, "velocity_m_s");
    let section = &findings(&summary)["priming"]["sections"][0];
    let plug = super::over("2-last-tip", "model.laminar_tail=true,false", "full_strength_s")[1];
    let first = number(&section["first_s"]);
    let shown = |s: f64| (10.0 * s).round() / 10.0;
    let found = shown(plug) - shown(first);
    let last = velocities[velocities.len() - 1];
    let rows = vec![
        row(
            "fast",
            (fast, velocities[1]),
            0.02,
            format!("{fast:.2} m/s"),
            printed(format!("{:.2} m/s", velocities[1])),
        ),
        row(
            "slow",
            (slow, last),
            0.03,
            format!("{slow:.3} m/s"),
            printed(format!("{last:.2} m/s")),
        ),
        Worked {
            key: "through",
            by_hand: format!("{first_s:.2} s"),
            program: worked_out(format!("{:.2} s", SPACING / velocities[1])),
        },
        // The program's front is dispersed, and full strength is its tail.
        row(
            "travel",
            (travel_s, found),
            0.15,
            format!("{travel_s:.1} s"),
            worked_out(format!("{found:.1} s")),
        ),
    ];
    (vec![("flow", flow_given(flow))], rows)
}

pub(super) fn dead_legs() -> SheetFigures {
    let legs = |name: &str| {
        let summary = lesson(name);
        let legs = findings(&summary)["priming"]["dead_legs"].as_array().unwrap().clone();
        let litres: f64 = legs.iter().map(|leg| 1e3 * number(&leg["volume_m3"])).sum();
        (litres, number(&legs[0]["length_bores"]))
    };
    let ((long, long_bores), (short, short_bores)) = (legs("3-dead-legs"), legs("3-short-ends"));
    let litres = |length_m: f64| 4.0 * 1e3 * area(BORE) * length_m;
    let shown = |litres: f64| printed(format!("{litres:.1} L"));
    let bores = |bores: f64| printed_with(format!("{bores:.1}"), "bores");
    let rows = vec![
        row("volume", (litres(0.2), long), 0.01, format!("{:.2} L", litres(0.2)), shown(long)),
        row(
            "bores",
            (0.2 / BORE, long_bores),
            0.01,
            format!("{:.1}", 0.2 / BORE),
            bores(long_bores),
        ),
        row(
            "short_volume",
            (litres(0.05), short),
            0.01,
            format!("{:.2} L", litres(0.05)),
            shown(short),
        ),
        row(
            "short_bores",
            (0.05 / BORE, short_bores),
            0.01,
            format!("{:.1}", 0.05 / BORE),
            bores(short_bores),
        ),
    ];
    (Vec::new(), rows)
}

pub(super) fn recirculation() -> SheetFigures {
    let run = |name: &str| json_of(&["run", &path(&format!("scenarios/{name}.toml")), "--json"]);
    let summary = run("heron-36m-prime-one-end");
    let volumes = &summary["volumes_m3"];
    let litres = |side: &str| 1e3 * number(&volumes[side]);
    let suction = litres("suction");
    let all: f64 = ["suction", "feed", "boom", "return"].iter().map(|side| litres(side)).sum();
    let circulation = number(&findings(&summary)["circulation"]["flow_m3_s"]) * 6e4;
    let moving = all - suction;
    let (turnover, found) =
        (moving / circulation * 60.0, number(&findings(&summary)["priming"]["turnover_s"]));
    let holds = 2500.0;
    let (diluted, tank) = (
        (holds - moving) / holds,
        number(&findings(&summary)["outcome"]["tanks"][0]["concentration"]),
    );
    let rows = vec![
        row(
            "turnover",
            (turnover, found),
            0.02,
            format!("{turnover:.1} s"),
            printed(format!("{found:.1} s")),
        ),
        row(
            "diluted",
            (diluted, tank),
            0.01,
            format!("{:.1} %", 100.0 * diluted),
            printed(format!("{:.0} %", 100.0 * tank)),
        ),
    ];
    let given = vec![
        ("all", printed(format!("{all:.1} L"))),
        ("suction", printed(format!("{suction:.1} L"))),
        ("flow", printed(format!("{circulation:.2} L/min"))),
    ];
    (given, rows)
}

pub(super) fn purge() -> SheetFigures {
    let summary =
        json_of(&["run", &path("scenarios/heron-36m-purge-one-at-a-time.toml"), "--json"]);
    let steps = summary["steps"].as_array().unwrap();
    let purge = steps.iter().find_map(|step| step["findings"].get("purge")).unwrap().clone();
    let litres = |key: &str| 1e3 * number(&purge[key]);
    let left = 1e3 * number(&purge["residual"]["liquid_m3"]);
    let share = litres("returned_m3") / litres("at_start_m3");
    // The lines full again hold the residual at the share R / V; what mixes completely thins it by exp(-flush / V).
    let full = litres("at_start_m3");
    let refill = full - left;
    let flush = full * (left / full / 0.02).ln();
    let found = |key: &str| printed(format!("{:.1} L", litres(key)));
    let share_shown = format!("{:.0} %", 100.0 * share);
    let rows = vec![
        row("share", (share, share), 0.0, share_shown.clone(), printed(share_shown)),
        row(
            "refill",
            (refill, litres("refill_m3")),
            0.01,
            format!("{refill:.1} L"),
            found("refill_m3"),
        ),
        row(
            "flush",
            (flush, litres("flush_refilled_m3")),
            0.02,
            format!("{flush:.0} L"),
            roughly(litres("flush_refilled_m3"), "L"),
        ),
    ];
    let given = vec![
        ("start", printed(format!("{:.1} L", litres("at_start_m3")))),
        ("returned", printed(format!("{:.1} L", litres("returned_m3")))),
        ("left", printed(format!("{left:.1} L"))),
    ];
    (given, rows)
}

pub(super) fn diagnosing() -> SheetFigures {
    let summary = lesson("6-diagnosing");
    let best = explanation();
    let severity = |fault: usize| number(&best["faults"][fault]["severity"]);
    // ISO 10625: size 03 gives 1.2 L/min at 3 bar; flow grows with the root of pressure.
    let new = |bar: f64| 1.2 * (bar / 3.0).sqrt();
    let (left, right) = (1.08 / new(2.98), 1.37 / new(2.97) - 1.0);
    let flow = boom_flow(&summary) * 6e4;
    let rate = 600.0 * flow / 24.0 / (8.0 * 0.5);
    let found_rate = number(&findings(&summary)["application"]["rate_m"]) * 1e7;
    let shares = |share: f64| printed(format!("{:.0} %", 100.0 * share));
    let rows = vec![
        row(
            "new",
            (new(2.98), 1.2),
            0.01,
            format!("{:.2} L/min", new(2.98)),
            printed("1.20 L/min"),
        ),
        row(
            "left",
            (left, 1.0 - severity(0)),
            0.01,
            format!("{:.0} %", 100.0 * left),
            shares(1.0 - severity(0)),
        ),
        row(
            "right",
            (1.0 + right, 1.0 + severity(1)),
            0.01,
            format!("{:.0} %", 100.0 * right),
            shares(severity(1)),
        ),
        row(
            "rate",
            (rate, found_rate),
            0.005,
            format!("{rate:.0} L/ha"),
            printed(format!("{found_rate:.0} L/ha")),
        ),
    ];
    let given = vec![("flow", flow_given(flow / 6e4)), ("gauge", printed(bar(2.98e5)))];
    (given, rows)
}
