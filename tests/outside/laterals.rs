//! A boom section as a lateral with equal outlets.

use crate::support::{columns, number, reference_water, text};
use approx::assert_relative_eq;
use sim_core::hydraulics::{Instant, LineLaw, Solver};
use sim_core::plumbing::{Line, NodeId, Plumbing, Sketch};
use sim_core::procedure::Settings;
use sim_core::scenario::ModelOptions;

/// A level section: a tank that holds the inlet pressure, then `tips` tips along one tube.
struct Section {
    tips: usize,
    spacing_m: f64,
    first_m: f64,
    line: Line,
    tip_flow_m3_s: f64,
    inlet_pa: f64,
    return_flow_m3_s: f64,
}

impl Section {
    fn plumbing(&self, weight: f64) -> (Plumbing, Vec<NodeId>) {
        let mut sketch = Sketch::default();
        let tank = sketch.tank("supply", self.inlet_pa / weight);
        let mut last = sketch.tank_node("inlet", tank, 0.0);
        let mut nodes = Vec::new();
        for k in 1..=self.tips {
            let node = sketch.node(&format!("n{k}"), 0.0);
            let length_m = if k == 1 { self.first_m } else { self.spacing_m };
            let line = Line { length_m, ..self.line.clone() };
            sketch.line(&format!("l{k}"), last, node, line);
            sketch.tip(&format!("t{k}"), node, self.tip_flow_m3_s, 3e5);
            nodes.push(node);
            last = node;
        }
        if self.return_flow_m3_s > 0.0 {
            sketch.tip("return", last, self.return_flow_m3_s, 3e5);
        }
        (sketch.finish(), nodes)
    }
}

fn solve(plumbing: &Plumbing, velocity_head: bool) -> Instant {
    let liquid = reference_water();
    let mut solver =
        Solver::new(plumbing, &liquid, ModelOptions { velocity_head, ..ModelOptions::default() });
    solver.solve(&Settings::of(plumbing), &[]).unwrap()
}

/// Source: seven sections solved exactly with independent general-purpose root finding
/// (`boom_section_reference.csv`); no velocity head, friction by Colebrook with the cubic bridge.
#[test]
fn reference_sections_are_met_at_every_tip() {
    let rows = columns("boom_section_reference.csv");
    let weight = reference_water().density_kg_m3 * 9.80665;
    let mut cases: Vec<&str> = rows.iter().map(|row| text(row, "case")).collect();
    cases.dedup();
    for case in cases {
        let rows: Vec<_> = rows.iter().filter(|row| text(row, "case") == case).collect();
        let first = rows[0];
        let fixed = text(first, "fixed_friction_factor").parse().ok();
        let section = Section {
            tips: rows.len(),
            spacing_m: number(first, "spacing_m"),
            first_m: number(first, "first_pipe_m"),
            line: Line {
                roughness_m: number(first, "roughness_um") * 1e-6,
                fixed_friction: fixed,
                ..Line::plain(number(first, "bore_mm") * 1e-3, 1.0)
            },
            tip_flow_m3_s: number(first, "nozzle_l_min_at_3bar") / 6e4,
            inlet_pa: number(first, "inlet_pressure_pa"),
            return_flow_m3_s: if case.starts_with('G') { 10.0 / 6e4 } else { 0.0 },
        };
        let (plumbing, nodes) = section.plumbing(weight);
        let instant = solve(&plumbing, false);
        for (row, node) in rows.iter().zip(nodes) {
            let pressure = instant.static_pressure_pa[node.index()];
            assert_relative_eq!(pressure, number(row, "pressure_pa"), epsilon = 0.1);
        }
        for (row, flow) in rows.iter().zip(&instant.tip_flow_m3_s) {
            assert_relative_eq!(flow * 6e4, number(row, "flow_l_min"), max_relative = 1e-6);
        }
        println!("{case}: {:?}", instant.work);
    }
}

/// A level lateral of `n` outlets that each pass `flow` exactly: tips rated at the pressures that the
/// closed form gives.
fn uniform_lateral(n: usize, flow: f64, line: &Line, drops_pa: &[f64]) -> Instant {
    let weight = reference_water().density_kg_m3 * 9.80665;
    let inlet_pa = 3e5;
    let mut sketch = Sketch::default();
    let tank = sketch.tank("supply", inlet_pa / weight);
    let mut last = sketch.tank_node("inlet", tank, 0.0);
    let mut pressure = inlet_pa;
    for (k, drop) in drops_pa.iter().enumerate() {
        let node = sketch.node(&format!("n{k}"), 0.0);
        sketch.line(&format!("l{k}"), last, node, line.clone());
        pressure -= drop;
        sketch.tip(&format!("t{k}"), node, flow, pressure);
        last = node;
    }
    assert_eq!(drops_pa.len(), n);
    solve(&sketch.finish(), false)
}

/// Source: J. E. Christiansen, Calif. AES Bull. 670 (1942): with a loss as the square of flow the drop of n
/// equal outlets is F(n, 2) of the drop of the full flow, F = sum k^2 / n^3; the formula
/// 1/3 + 1/(2n) + 1/(6 n^2) is exact (`christiansen_f.csv`).
#[test]
fn christiansen_factor_matches_uniform_lateral() {
    let rows = columns("christiansen_f.csv");
    let (flow, factor) = (1.6e-3 / 60.0, 0.025);
    let line = Line { fixed_friction: Some(factor), ..Line::plain(0.02, 0.5) };
    let law = LineLaw::new(&line, &reference_water(), 0.5);
    for n in 2..=60usize {
        let drops: Vec<f64> = (0..n).map(|k| law.loss_at((n - k) as f64 * flow).pa).collect();
        let instant = uniform_lateral(n, flow, &line, &drops);
        let full = n as f64 * law.loss_at(n as f64 * flow).pa;
        let end = instant.total_pressure_pa.last().unwrap();
        let got = (3e5 - end) / full;
        let exact: f64 = (1..=n).map(|k| (k * k) as f64).sum::<f64>() / (n as f64).powi(3);
        assert!((got / exact - 1.0).abs() < 1e-9, "{n}: {got} {exact}");
        let row = rows
            .iter()
            .find(|row| number(row, "outlets") == n as f64 && number(row, "exponent_m") == 2.0);
        if let Some(row) = row {
            let expected = number(row, "f_exact_first_outlet_full_spacing");
            assert_relative_eq!(got, expected, max_relative = 1e-9);
            let formula = number(row, "f_christiansen_formula_full_spacing");
            assert_relative_eq!(got, formula, max_relative = 1e-9);
        }
    }
}

/// Source: as above, m = 1.75 (Blasius): a smooth tube lies within 1 % of F(n, 1.75) while its flow is
/// turbulent to the last outlet, here 6 to 24 outlets of 8 L/min.
#[test]
fn smooth_lateral_lies_beside_christiansen_with_the_blasius_exponent() {
    let flow = 8e-3 / 60.0;
    let line = Line { roughness_m: 0.0, ..Line::plain(0.03, 0.5) };
    let law = LineLaw::new(&line, &reference_water(), 0.5);
    for n in [6usize, 12, 24] {
        let drops: Vec<f64> = (0..n).map(|k| law.loss_at((n - k) as f64 * flow).pa).collect();
        let instant = uniform_lateral(n, flow, &line, &drops);
        let full = n as f64 * law.loss_at(n as f64 * flow).pa;
        let got = (3e5 - instant.total_pressure_pa.last().unwrap()) / full;
        let exact: f64 =
            (1..=n).map(|k| (k as f64).powf(1.75)).sum::<f64>() / (n as f64).powf(2.75);
        assert_relative_eq!(got, exact, max_relative = 0.03);
    }
}

/// Source: from the exponent of the loss law (derived): feeding a section at one end instead of its middle
/// costs 2^(1+m) times the drop, m = 1.7 (smooth, Re near 4000) to 1.85: 6.5 to 7.2, while flow is turbulent to the last tip and
/// pressure falls little.
#[test]
fn one_end_feed_costs_about_seven_times_the_drop_of_centre_feed() {
    let section = |tips: usize| Section {
        tips,
        spacing_m: 0.508,
        first_m: 0.254,
        line: Line { roughness_m: 0.0, ..Line::plain(0.04, 1.0) },
        tip_flow_m3_s: 8e-3 / 60.0,
        inlet_pa: 3e5,
        return_flow_m3_s: 0.0,
    };
    let weight = reference_water().density_kg_m3 * 9.80665;
    let drop = |tips: usize| {
        let (plumbing, nodes) = section(tips).plumbing(weight);
        3e5 - solve(&plumbing, false).static_pressure_pa[nodes[tips - 1].index()]
    };
    let ratio = drop(36) / drop(18);
    assert!((6.5..7.2).contains(&ratio), "{ratio}");
}

fn boom_section(bore_m: f64, roughness_m: f64, spacing_m: f64) -> Vec<f64> {
    let section = Section {
        tips: 10,
        spacing_m,
        first_m: 0.5 * spacing_m,
        line: Line { roughness_m, ..Line::plain(bore_m, 1.0) },
        tip_flow_m3_s: 3.2e-3 / 60.0,
        inlet_pa: 3e5,
        return_flow_m3_s: 0.0,
    };
    let weight = reference_water().density_kg_m3 * 9.80665;
    solve(&section.plumbing(weight).0, true).tip_pressure_pa
}

/// Source: J. S. McNown, Trans. ASCE 119:1103 (1954), manifold flow (content from memory): where momentum is
/// recovered faster than friction takes it, the last outlet is the highest; where friction rules, the lowest.
#[test]
fn momentum_makes_the_last_tip_of_a_short_tube_highest_and_friction_of_a_long_one_lowest() {
    let short = boom_section(0.020, 0.0, 0.1);
    assert!(short[9] > short[0], "{short:?}");
    // Without friction the whole velocity head of the inlet, less that of the last piece, comes back.
    let long = boom_section(0.014, 1e-5, 1.5);
    assert!(long[9] < long[0], "{long:?}");
}

/// Source: Bernoulli: with no friction at all, static pressure at the last tip exceeds that at the first by
/// the difference of the velocity heads ahead of them.
#[test]
fn frictionless_tube_recovers_just_its_velocity_head() {
    let weight = reference_water().density_kg_m3 * 9.80665;
    let section = Section {
        tips: 10,
        spacing_m: 0.5,
        first_m: 0.5,
        line: Line { fixed_friction: Some(0.0), ..Line::plain(0.02, 1.0) },
        tip_flow_m3_s: 3.2e-3 / 60.0,
        inlet_pa: 3e5,
        return_flow_m3_s: 0.0,
    };
    let instant = solve(&section.plumbing(weight).0, true);
    let head = |flow: f64| 0.5 * 998.207 * (flow / (std::f64::consts::PI * 1e-4)).powi(2);
    let recovered = head(instant.flow_m3_s[0]) - head(instant.flow_m3_s[9]);
    let got = instant.tip_pressure_pa[9] - instant.tip_pressure_pa[0];
    assert_relative_eq!(got, recovered, max_relative = 1e-6);
}

/// Source: mean pressure of a level lateral lies p_f/(m+2) above its end, so that the inlet stands
/// (m+1)/(m+2) of the friction above the mean: 0.75 for m = 2, the handbooks' "three quarters" rule.
#[test]
fn inlet_stands_three_quarters_of_the_friction_above_the_mean() {
    let (n, flow) = (400usize, 2e-6);
    let line = Line { fixed_friction: Some(0.03), ..Line::plain(0.02, 0.05) };
    let law = LineLaw::new(&line, &reference_water(), 0.05);
    let drops: Vec<f64> = (0..n).map(|k| law.loss_at((n - k) as f64 * flow).pa).collect();
    let instant = uniform_lateral(n, flow, &line, &drops);
    let pressures = &instant.total_pressure_pa[1..];
    let mean = pressures.iter().sum::<f64>() / n as f64;
    let share = (3e5 - mean) / (3e5 - pressures[n - 1]);
    assert_relative_eq!(share, 0.75, max_relative = 0.005);
}
