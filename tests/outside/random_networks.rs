//! Networks that no person would draw, solved from a cold start.

use crate::support::imbalance;
use proptest::prelude::*;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};
use sim_core::fluids::{GRAVITY_M_S2, Liquid, water};
use sim_core::hydraulics::{FlowState, Solver};
use sim_core::plumbing::{
    CheckValve, Line, NodeId, Opening, Orifice, Part, Plumbing, Pump, PumpCurve, Restriction,
    ShutOff, Sketch, Valve,
};
use sim_core::procedure::{Actuator, Control, Held, ModelOptions, Settings};

/// What a random network is made from: each number picks something.
#[derive(Clone, Debug)]
pub(crate) struct Recipe {
    pub(crate) nodes: usize,
    links: Vec<(u32, u32, u8, f64, f64)>,
    tips: Vec<(u32, u8, f64)>,
    tanks: usize,
    elevations: Vec<f64>,
}

pub(crate) fn recipe() -> impl Strategy<Value = Recipe> {
    (10usize..300).prop_flat_map(|nodes| {
        let node = 0..nodes as u32;
        (
            Just(nodes),
            prop::collection::vec(
                (node.clone(), node.clone(), 0u8..100, 0.0f64..1.0, 0.0f64..1.0),
                nodes / 3..nodes,
            ),
            prop::collection::vec((node, 0u8..4, 0.1f64..4.0), 1..nodes),
            1usize..4,
            prop::collection::vec(-2.0f64..2.0, nodes),
        )
            .prop_map(|(nodes, links, tips, tanks, elevations)| Recipe {
                nodes,
                links,
                tips,
                tanks,
                elevations,
            })
    })
}

pub(crate) fn pump(a: f64, b: f64) -> Pump {
    let (most, head) = (0.002 + 0.01 * a, 20.0 + 60.0 * b);
    let curve = PumpCurve {
        flow_m3_s: vec![0.0, 0.4 * most, 0.8 * most, most],
        head_m: vec![head, 0.93 * head, 0.6 * head, 0.3 * head],
    };
    Pump {
        curve,
        speed: 1.0,
        top_speed: 1.2,
        efficiency: vec![],
        npsh_required: vec![],
        displacement: None,
    }
}

fn part(kind: u8, a: f64, b: f64) -> Part {
    let kv_si = (0.5 + 30.0 * a) / 3600.0 / 1e5f64.sqrt();
    match kind {
        0..=59 => Part::Line(Line {
            losses: 5.0 * b * b,
            roughness_m: 1e-5,
            ..Line::plain(0.006 + 0.06 * a * a, 0.05 + 20.0 * b * b)
        }),
        60..=69 => {
            let characteristic = if b < 0.5 {
                Opening::Linear
            } else {
                Opening::EqualPercentage { rangeability: 40.0 }
            };
            Part::Valve(Valve { kv_si, opening: if b < 0.1 { 0.0 } else { b }, characteristic })
        }
        70..=77 => Part::Strainer(Restriction { kv_si }),
        78..=84 => Part::Orifice(Orifice { bore_m: 0.002 + 0.01 * a, discharge_coefficient: 0.6 }),
        85..=94 => Part::CheckValve(CheckValve { kv_si, opens_at_pa: 3e5 * b * b }),
        _ => Part::Pump(pump(a, b)),
    }
}

fn shut_off(kind: u8) -> ShutOff {
    match kind {
        0 => ShutOff::Open,
        1 => ShutOff::Each,
        _ => ShutOff::CheckValve { opens_at_pa: 6e4, reseats_at_pa: 4e4, open_loss_pa: 4e3 },
    }
}

/// What a link's kind and two numbers between 0 and 1 come to.
pub(crate) type PartOf = fn(u8, f64, f64) -> Part;

/// A spanning tree plus the recipe's further links; the first nodes open into tanks.
pub(crate) fn build(recipe: &Recipe, part: PartOf) -> (Plumbing, Vec<Control>) {
    let mut sketch = Sketch::default();
    let mut nodes: Vec<NodeId> = Vec::new();
    for i in 0..recipe.nodes {
        let (name, z) = (format!("n{i}"), recipe.elevations[i]);
        nodes.push(if i < recipe.tanks {
            let tank = sketch.tank(&format!("tank{i}"), 1.0 + z);
            sketch.tank_node(&name, tank, z)
        } else {
            sketch.node(&name, z)
        });
    }
    let pump_id =
        sketch.branch("pump", nodes[0], nodes[recipe.nodes - 1], Part::Pump(pump(0.7, 0.8)));
    let mut links = recipe.links.iter().cycle();
    for i in 1..recipe.nodes {
        let (other, _, kind, a, b) = links.next().unwrap();
        let upstream = nodes[*other as usize % i];
        sketch.branch(&format!("t{i}"), upstream, nodes[i], part(*kind, *a, *b));
    }
    for (k, (from, to, kind, a, b)) in recipe.links.iter().enumerate().filter(|(_, l)| l.0 != l.1) {
        let part = part(kind.wrapping_mul(7) % 100, *a, *b);
        sketch.branch(&format!("x{k}"), nodes[*from as usize], nodes[*to as usize], part);
    }
    for (k, (node, kind, litres)) in recipe.tips.iter().enumerate() {
        let tip = sketch.tip(&format!("tip{k}"), nodes[*node as usize], litres / 6e4, 3e5);
        sketch.plumbing_mut().tips[tip.index()].shut_off = shut_off(*kind);
    }
    let held = Held::Pressure { node: nodes[recipe.nodes - 1], pa: 2e5 };
    let control = Control::new(held, Actuator::PumpSpeed(pump_id));
    (sketch.finish(), vec![control])
}

/// Largest difference between a branch's driving pressure and its loss, over the largest pressure.
pub(crate) fn energy_error(plumbing: &Plumbing, liquid: &Liquid, instant: &FlowState) -> f64 {
    let weight = liquid.density_kg_m3 * GRAVITY_M_S2;
    let total = |node: NodeId| instant.total_pressure_pa[node.index()];
    let height = |node: NodeId| plumbing.node(node).elevation_m * weight;
    let errors = plumbing.branches.iter().zip(&instant.loss_pa).map(|(branch, loss)| {
        let drive = total(branch.from) + height(branch.from) - total(branch.to) - height(branch.to);
        (drive - loss).abs()
    });
    let scale = instant.total_pressure_pa.iter().fold(1.0f64, |most, p| most.max(p.abs()));
    errors.fold(0.0, f64::max) / scale
}

#[test]
fn five_hundred_random_networks_solve_from_a_cold_start() {
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let liquid = water(15.0);
    let mut iterations = Vec::new();
    for case in 0..500 {
        let recipe = recipe().new_tree(&mut runner).unwrap().current();
        let (plumbing, controls) = build(&recipe, part);
        let controls = if case % 2 == 0 { &controls[..] } else { &[] };
        let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
        let instant = solver
            .solve(&Settings::of(&plumbing), controls)
            .unwrap_or_else(|error| panic!("network {case} of {} nodes: {error}", recipe.nodes));
        assert!(imbalance(&plumbing, &instant) < 1e-9, "network {case}");
        assert!(energy_error(&plumbing, &liquid, &instant) < 2e-9, "network {case}");
        assert!(instant.tip_flow_m3_s.iter().all(|q| *q > -1e-9));
        iterations.push(instant.statistics.iterations);
    }
    iterations.sort_unstable();
    let (median, nearly_all) = (iterations[250], iterations[490]);
    assert!(median <= 30 && nearly_all <= 100, "median {median}, 98 in 100 {nearly_all}");
}
