//! What must hold for any boom, source or no source.

use crate::support::{G, imbalance, liquid, reference_water};
use proptest::prelude::*;
use sim_core::fluids::Liquid;
use sim_core::hydraulics::{FlowState, Solver};
use sim_core::plumbing::boom::{BoomDesign, Feed, build, example};
use sim_core::plumbing::{Part, Plumbing, Sketch};
use sim_core::procedure::{Control, ModelOptions, Settings, Step};

fn run(plumbing: &Plumbing, liquid: &Liquid, speed: f64, velocity_head: bool) -> FlowState {
    let mut settings = Settings::of(plumbing);
    settings.speed.iter_mut().filter(|s| **s > 0.0).for_each(|s| *s = speed);
    let mut solver =
        Solver::new(plumbing, liquid, ModelOptions { velocity_head, ..ModelOptions::default() });
    solver.solve(&settings, &[]).unwrap()
}

fn design() -> impl Strategy<Value = BoomDesign> {
    (1usize..7, 2usize..13, 0usize..3, any::<bool>(), 0.012f64..0.03).prop_map(
        |(sections, tips, feed, returns, bore)| {
            let feed = [Feed::Centre, Feed::InnerEnd, Feed::OuterEnd][feed];
            let mut design = example(sections, tips, feed, returns);
            design.sections.iter_mut().for_each(|section| section.tube.line.bore_m = bore);
            design
        },
    )
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn flow_balances_at_every_node(design in design(), speed in 0.3f64..1.0) {
        let plumbing = build(&design).plumbing;
        let instant = run(&plumbing, &reference_water(), speed, true);
        prop_assert!(imbalance(&plumbing, &instant) < 1e-9);
    }

    #[test]
    fn power_of_the_pump_goes_into_losses_jets_and_lift(design in design(), speed in 0.3f64..1.0) {
        let plumbing = build(&design).plumbing;
        let water = reference_water();
        let instant = run(&plumbing, &water, speed, true);
        let weight = water.density_kg_m3 * G;
        let (mut given, mut taken) = (0.0, 0.0);
        for (i, branch) in plumbing.branches.iter().enumerate() {
            let power = instant.flow_m3_s[i] * instant.loss_pa[i];
            match branch.part {
                Part::Pump(_) => given -= power,
                _ => taken += power,
            }
            // Total power at a tank leaves or enters with the flow.
            for (node, sign) in [(branch.from, -1.0), (branch.to, 1.0)] {
                if plumbing.node(node).tank.is_some() {
                    let height = plumbing.node(node).elevation_m * weight;
                    let head = instant.total_pressure_pa[node.index()] + height;
                    taken += sign * instant.flow_m3_s[i] * head;
                }
            }
        }
        for (tip, flow) in plumbing.tips.iter().zip(&instant.tip_flow_m3_s) {
            let height = plumbing.node(tip.node).elevation_m * weight;
            taken += flow * (instant.total_pressure_pa[tip.node.index()] + height);
        }
        prop_assert!((given - taken).abs() < 1e-7 * given, "{} {}", given, taken);
    }

    #[test]
    fn lines_and_parts_never_give_power(design in design(), speed in 0.3f64..1.0) {
        let plumbing = build(&design).plumbing;
        let instant = run(&plumbing, &reference_water(), speed, false);
        for (i, branch) in plumbing.branches.iter().enumerate() {
            if branch.part.pump().is_none() {
                prop_assert!(instant.flow_m3_s[i] * instant.loss_pa[i] >= -1e-12, "{}", branch.name);
            }
        }
    }

    #[test]
    fn more_pump_speed_never_lowers_a_tips_pressure(
        design in design(), speed in 0.3f64..0.9, velocity_head in any::<bool>(),
    ) {
        let plumbing = build(&design).plumbing;
        let water = reference_water();
        let slow = run(&plumbing, &water, speed, velocity_head);
        let fast = run(&plumbing, &water, 1.05 * speed, velocity_head);
        for (a, b) in slow.tip_pressure_pa.iter().zip(&fast.tip_pressure_pa) {
            prop_assert!(b > a, "{} {}", a, b);
        }
    }

    #[test]
    fn a_symmetric_boom_sprays_symmetrically(
        sections in 1usize..4, tips in 2usize..9, feed in 0usize..3, returns in any::<bool>(),
    ) {
        // An even number of sections, so that none crosses the centre, and of tips, so that a centre feed
        // is in the middle.
        let feed = [Feed::Centre, Feed::InnerEnd, Feed::OuterEnd][feed];
        let plumbing = build(&example(2 * sections, 2 * tips, feed, returns)).plumbing;
        let instant = run(&plumbing, &reference_water(), 0.8, true);
        let flows = &instant.tip_flow_m3_s;
        for (left, right) in flows.iter().zip(flows.iter().rev()) {
            prop_assert!((left / right - 1.0).abs() < 1e-8, "{} {}", left, right);
        }
    }

    #[test]
    fn density_scales_flows_of_tips_under_equal_pressure(scale in 0.8f64..1.4) {
        // A tip straight on a node held at 3 bar: q ~ 1/sqrt(rho).
        let flow = |density: f64| {
            let heavy = liquid(density, 1e-3);
            let mut sketch = Sketch::default();
            let tank = sketch.tank("t", 3e5 / (density * G));
            let node = sketch.tank_node("n", tank, 0.0);
            sketch.tip("tip", node, 1e-5, 3e5);
            let plumbing = sketch.finish();
            run(&plumbing, &heavy, 1.0, true).tip_flow_m3_s[0]
        };
        let ratio = flow(998.207 * scale) / flow(998.207);
        prop_assert!((ratio * scale.sqrt() - 1.0).abs() < 1e-9);
    }

    #[test]
    fn order_of_nodes_does_not_matter(design in design(), turn in 1usize..40) {
        let plumbing = build(&design).plumbing;
        let water = reference_water();
        let first = run(&plumbing, &water, 0.7, true);
        let mut moved = plumbing.clone();
        let n = moved.nodes.len();
        moved.nodes.rotate_left(turn % n);
        let place = |id: sim_core::plumbing::NodeId| {
            sim_core::plumbing::NodeId::at((id.index() + n - turn % n) % n)
        };
        for branch in &mut moved.branches {
            (branch.from, branch.to) = (place(branch.from), place(branch.to));
        }
        moved.tips.iter_mut().for_each(|tip| tip.node = place(tip.node));
        moved.tees.iter_mut().for_each(|tee| tee.node = place(tee.node));
        let second = run(&moved, &water, 0.7, true);
        for (a, b) in first.tip_flow_m3_s.iter().zip(&second.tip_flow_m3_s) {
            prop_assert!((a / b - 1.0).abs() < 1e-8);
        }
    }

    #[test]
    fn a_shut_return_valve_is_as_good_as_none(sections in 1usize..5, tips in 2usize..9) {
        // One section: nothing can cross from section to section through the return header.
        let built = build(&example(1, sections * tips, Feed::OuterEnd, true));
        let water = reference_water();
        let spray = Step::spray(&built).holds(Control::pressure(&built, 2e5).unwrap());
        let mut solver = Solver::new(&built.plumbing, &water, ModelOptions::default());
        let closed = solver.solve(&spray.settings, &spray.controls).unwrap();
        let mut design = example(1, sections * tips, Feed::OuterEnd, true);
        design.sections[0].returns = false;
        design.sections[0].stub_m = 0.0;
        let without = build(&design);
        let spray = Step::spray(&without).holds(Control::pressure(&without, 2e5).unwrap());
        let mut solver = Solver::new(&without.plumbing, &water, ModelOptions::default());
        let none = solver.solve(&spray.settings, &spray.controls).unwrap();
        for (a, b) in closed.tip_flow_m3_s.iter().zip(&none.tip_flow_m3_s) {
            prop_assert!((a / b - 1.0).abs() < 1e-8, "{} {}", a, b);
        }
    }
}
