//! A boom section as a lateral with equal outlets.

use crate::support::{columns, number, reference_water, text};
use approx::assert_relative_eq;
use sim_core::hydraulics::{Instant, Solver};
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
    let mut solver = Solver::new(plumbing, &liquid, ModelOptions { velocity_head });
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
