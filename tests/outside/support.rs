//! Reading the tables in `tests/data`, and solving small networks.

use sim_core::fluids::{AbsolutePressure, Liquid};
use sim_core::hydraulics::{FlowState, Solver};
use sim_core::plumbing::{NodeId, Plumbing};
use sim_core::procedure::{Control, ModelOptions, Settings};
use std::collections::BTreeMap;
use std::path::Path;

/// One row of a table by column name.
pub(crate) type Row = BTreeMap<String, String>;

/// All rows of the table `name`.
pub(crate) fn columns(name: &str) -> Vec<Row> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("data").join(name);
    let mut reader = csv::Reader::from_path(path).unwrap();
    reader.deserialize().map(Result::unwrap).collect()
}

/// The text in `column`.
pub(crate) fn text<'a>(row: &'a Row, column: &str) -> &'a str {
    row.get(column).unwrap_or_else(|| panic!("no column {column}"))
}

/// The number in `column`.
pub(crate) fn number(row: &Row, column: &str) -> f64 {
    text(row, column).parse().unwrap()
}

/// Standard gravity, m/s2.
pub(crate) const G: f64 = 9.80665;
/// US gallon a minute, m3/s.
pub(crate) const GPM: f64 = 3.785_411_784e-3 / 60.0;
/// Foot, m.
pub(crate) const FOOT: f64 = 0.3048;

/// The zero of `f`, which rises, between `low` and `high`, found by halving.
pub(crate) fn root(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..200 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 {
            low = middle;
        } else {
            high = middle;
        }
    }
    0.5 * (low + high)
}

/// Darcy's friction factor by Colebrook's equation (1939), found by halving: written apart from the product.
pub(crate) fn colebrook(reynolds: f64, roughness_over_bore: f64) -> f64 {
    let off = |x: f64| x + 2.0 * (roughness_over_bore / 3.7 + 2.51 * x / reynolds).log10();
    root(1.0, 40.0, off).powi(-2)
}

/// A pressure of so many pascals above nothing.
pub(crate) fn absolute(pa: f64) -> AbsolutePressure {
    AbsolutePressure { pa }
}

/// A liquid of which density (kg/m3) and dynamic viscosity (Pa s) are known.
pub(crate) fn liquid(density: f64, viscosity: f64) -> Liquid {
    Liquid::from_known("liquid", 20.0, Some(density), Some(viscosity), Some(absolute(0.0)))
}

/// The water of the computed reference tables: 20 degC.
pub(crate) fn reference_water() -> Liquid {
    liquid(998.207, 1.0016e-3)
}

/// `plumbing` solved from a cold start, velocity head left out of account.
pub(crate) fn solve(plumbing: &Plumbing, liquid: &Liquid) -> FlowState {
    solve_held(plumbing, liquid, &[], false)
}

/// `plumbing` solved from a cold start with `controls`.
pub(crate) fn solve_held(
    plumbing: &Plumbing,
    liquid: &Liquid,
    controls: &[Control],
    velocity_head: bool,
) -> FlowState {
    let mut solver =
        Solver::new(plumbing, liquid, ModelOptions { velocity_head, ..ModelOptions::default() });
    solver.solve(&Settings::of(plumbing), controls).unwrap()
}

/// Head of a node over the datum, m.
pub(crate) fn head(plumbing: &Plumbing, instant: &FlowState, liquid: &Liquid, node: NodeId) -> f64 {
    let pressure = instant.total_pressure_pa[node.index()] / (liquid.density_kg_m3 * G);
    pressure + plumbing.node(node).elevation_m
}

/// Largest imbalance of flow at a node without a tank, over the largest flow. Summed here again, not by the product's own
/// balance: a mistake there must not hide one in the solver.
pub(crate) fn imbalance(plumbing: &Plumbing, instant: &FlowState) -> f64 {
    let mut balance = vec![0.0; plumbing.nodes.len()];
    for (branch, flow) in plumbing.branches.iter().zip(&instant.flow_m3_s) {
        balance[branch.from.index()] -= flow;
        balance[branch.to.index()] += flow;
    }
    for (tip, flow) in plumbing.tips.iter().zip(&instant.tip_flow_m3_s) {
        balance[tip.node.index()] -= flow;
    }
    let free = plumbing.nodes.iter().zip(&balance).filter(|(node, _)| node.tank.is_none());
    let most = instant.flow_m3_s.iter().fold(1e-9f64, |most, q| most.max(q.abs()));
    free.fold(0.0f64, |worst, (_, off)| worst.max(off.abs())) / most
}
