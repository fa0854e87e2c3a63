//! A boom section as a lateral with equal outlets.

use crate::support::{columns, number, reference_water, text};
use crate::validation::sources::{
    BERNOULLI, BLASIUS, CHRISTIANSEN, COLEBROOK, KELLER_BLIESNER, OUTLET_SUMS, SCIPY,
};
use crate::validation::{By, Row, Share, validated};
use sim_core::hydraulics::{FlowState, LineLaw, Solver};
use sim_core::plumbing::{Line, NodeId, Plumbing, Sketch};
use sim_core::procedure::{ModelOptions, Settings};

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

fn solve(plumbing: &Plumbing, velocity_head: bool) -> FlowState {
    let liquid = reference_water();
    let mut solver =
        Solver::new(plumbing, &liquid, ModelOptions { velocity_head, ..ModelOptions::default() });
    solver.solve(&Settings::of(plumbing), &[]).unwrap()
}

/// Source: seven sections solved exactly with independent general-purpose root finding
/// (`boom_section_reference.csv`); no velocity head, friction by Colebrook with the cubic bridge.
fn reference_sections_are_met_at_every_tip() -> Vec<Row> {
    let at = "seven sections of 6 to 24 tips, 12 to 25 mm, one with a return";
    let of = |quantity: &'static str| {
        Row::new(quantity, at, &[COLEBROOK, SCIPY])
            .computed()
            .because("the same equations, another solver")
    };
    let mut pressures = of("Pressure at each tip of a section").unit("Pa");
    let mut flows = of("Flow of each tip of a section").unit("L/min");
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
            pressures.near(pressure, number(row, "pressure_pa"), By(0.1));
        }
        for (row, flow) in rows.iter().zip(&instant.tip_flow_m3_s) {
            flows.near(flow * 6e4, number(row, "flow_l_min"), Share(1e-6));
        }
        println!("{case}: {:?}", instant.statistics);
    }
    vec![pressures, flows]
}

/// A level lateral of `n` outlets that each pass `flow` exactly: tips rated at the pressures that the
/// closed form gives. The first line may differ from the others.
fn uniform_lateral(n: usize, flow: f64, [first, other]: [&Line; 2], drops_pa: &[f64]) -> FlowState {
    let weight = reference_water().density_kg_m3 * 9.80665;
    let inlet_pa = 3e5;
    let mut sketch = Sketch::default();
    let tank = sketch.tank("supply", inlet_pa / weight);
    let mut last = sketch.tank_node("inlet", tank, 0.0);
    let mut pressure = inlet_pa;
    for (k, drop) in drops_pa.iter().enumerate() {
        let node = sketch.node(&format!("n{k}"), 0.0);
        let line = if k == 0 { first } else { other };
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
fn christiansen_factor_matches_uniform_lateral() -> Vec<Row> {
    let rows = columns("christiansen_f.csv");
    let at = "2 to 60 even outlets, loss with the square of flow";
    let mut formula_row = Row::new("Multiple-outlet factor", at, &[CHRISTIANSEN])
        .computed()
        .because("with the square of flow the formula is exact");
    for n in 2..=60usize {
        let got = outlet_factor(n, 1.6e-3 / 60.0, &square_law_tube(), &square_law_tube());
        let exact: f64 = (1..=n).map(|k| (k * k) as f64).sum::<f64>() / (n as f64).powi(3);
        assert!((got / exact - 1.0).abs() < 1e-9, "{n}: {got} {exact}");
        let row = rows
            .iter()
            .find(|row| number(row, "outlets") == n as f64 && number(row, "exponent_m") == 2.0);
        if let Some(row) = row {
            let formula = number(row, "f_christiansen_formula_full_spacing");
            formula_row.near(got, formula, Share(1e-9));
        }
    }
    vec![formula_row]
}

/// A tube whose loss goes with the square of flow, one spacing of it.
pub(crate) fn square_law_tube() -> Line {
    Line { fixed_friction: Some(0.025), ..Line::plain(0.02, 0.5) }
}

/// A smooth tube, one spacing of it.
pub(crate) fn smooth_tube() -> Line {
    Line { roughness_m: 0.0, ..Line::plain(0.03, 0.5) }
}

/// Loss along a lateral of `n` outlets that pass `flow` each, over the loss of all their flow to its end. The first
/// outlet is at the end of `first`, each other one behind a `line`.
pub(crate) fn outlet_factor(n: usize, flow: f64, first: &Line, line: &Line) -> f64 {
    let law = |line: &Line| LineLaw::new(line, &reference_water(), line.length_m);
    let piece = |k: usize| if k == 0 { first } else { line };
    let drops: Vec<f64> = (0..n).map(|k| law(piece(k)).loss_at((n - k) as f64 * flow).pa).collect();
    let instant = uniform_lateral(n, flow, [first, line], &drops);
    let whole = n as f64 * flow;
    let full = law(first).loss_at(whole).pa + (n as f64 - 1.0) * law(line).loss_at(whole).pa;
    (3e5 - instant.total_pressure_pa.last().unwrap()) / full
}

/// Source: as above, m = 1.75 (Blasius): a smooth tube lies within 1 % of F(n, 1.75) while its flow is
/// turbulent to the last outlet, here 6 to 24 outlets of 8 L/min.
fn smooth_lateral_lies_beside_christiansen_with_the_blasius_exponent() -> Vec<Row> {
    let at = "6, 12, 24 outlets of 8 L/min in smooth 30 mm tube";
    let mut row = Row::new("Multiple-outlet factor, smooth tube", at, &[CHRISTIANSEN, BLASIUS])
        .computed()
        .differs_because("the source takes one exponent, 1.75; Colebrook's falls with flow");
    for n in [6usize, 12, 24] {
        let got = outlet_factor(n, 8e-3 / 60.0, &smooth_tube(), &smooth_tube());
        let exact: f64 =
            (1..=n).map(|k| (k as f64).powf(1.75)).sum::<f64>() / (n as f64).powf(2.75);
        row.near(got, exact, Share(0.02));
    }
    vec![row]
}

/// Source: from the exponent of the loss law (derived): feeding a section at one end instead of its middle
/// costs 2^(1+m) times the drop, m = 1.7 (smooth, Re near 4000) to 1.85: 6.5 to 7.2, while flow is turbulent to the last tip and
/// pressure falls little.
fn one_end_feed_costs_about_seven_times_the_drop_of_centre_feed() -> Vec<Row> {
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
    let at = "36 tips of 8 L/min, smooth 40 mm, turbulent to the last tip";
    let mut row = Row::new("Drop fed at one end over drop fed in the middle", at, &[OUTLET_SUMS])
        .computed()
        .because("2 to the power 1 + m, m from 1.7 to 1.85 in smooth tubes");
    row.between(ratio, 6.5, 7.2);
    vec![row]
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
fn frictionless_tube_recovers_just_its_velocity_head() -> Vec<Row> {
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
    let at = "ten tips of 3.2 L/min on 20 mm, no friction";
    let row = Row::new("Pressure regained from first tip to last", at, &[BERNOULLI]).unit("Pa");
    let row = row.computed().because("the same equation");
    vec![row.with(got, recovered, Share(1e-6))]
}

/// Source: mean pressure of a level lateral lies p_f/(m+2) above its end, so that the inlet stands
/// (m+1)/(m+2) of the friction above the mean: 0.75 for m = 2, the handbooks' "three quarters" rule.
fn inlet_stands_three_quarters_of_the_friction_above_the_mean() -> Vec<Row> {
    let (n, flow) = (400usize, 2e-6);
    let line = Line { fixed_friction: Some(0.03), ..Line::plain(0.02, 0.05) };
    let law = LineLaw::new(&line, &reference_water(), 0.05);
    let drops: Vec<f64> = (0..n).map(|k| law.loss_at((n - k) as f64 * flow).pa).collect();
    let instant = uniform_lateral(n, flow, [&line, &line], &drops);
    let pressures = &instant.total_pressure_pa[1..];
    let mean = pressures.iter().sum::<f64>() / n as f64;
    let share = (3e5 - mean) / (3e5 - pressures[n - 1]);
    let at = "level lateral of 400 even outlets";
    let row = Row::new("Share of friction between inlet and mean pressure", at, &[KELLER_BLIESNER])
        .remembered()
        .because("the rule is for outlets without number");
    vec![row.with(share, 0.75, Share(0.002))]
}

/// Source: sums outlet by outlet, the first half a spacing from the inlet: F' = (2 n F - 1) / (2 n - 1) of the factor F of
/// whole spacings (derived; `christiansen_f.csv`).
fn factor_with_a_first_outlet_at_half_a_spacing_is_met() -> Vec<Row> {
    let at = "2 to 60 even outlets, the first at half a spacing";
    let mut row = Row::new("Multiple-outlet factor, half spacing", at, &[OUTLET_SUMS])
        .computed()
        .because("outlet by outlet, exact");
    let table = columns("christiansen_f.csv");
    let of_square_law = table.iter().filter(|row| number(row, "exponent_m") == 2.0);
    for published in of_square_law.filter(|row| (2.0..=60.0).contains(&number(row, "outlets"))) {
        let n = number(published, "outlets");
        let line = square_law_tube();
        let half = Line { length_m: 0.5 * line.length_m, ..line.clone() };
        let got = outlet_factor(n as usize, 1.6e-3 / 60.0, &half, &line);
        row.near(got, number(published, "f_exact_first_outlet_half_spacing"), Share(1e-8));
    }
    vec![row]
}

validated! {
    Laterals:
        reference_sections_are_met_at_every_tip,
        christiansen_factor_matches_uniform_lateral,
        smooth_lateral_lies_beside_christiansen_with_the_blasius_exponent,
        factor_with_a_first_outlet_at_half_a_spacing_is_met,
        inlet_stands_three_quarters_of_the_friction_above_the_mean,
        one_end_feed_costs_about_seven_times_the_drop_of_centre_feed,
        frictionless_tube_recovers_just_its_velocity_head;
}
