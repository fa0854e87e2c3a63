//! Air and liquid without slip: one homogeneous mixture.
//!
//! Source: the definition of homogeneous flow, a liquid's share of the bore is its share of the flow, and friction goes by the
//! density of the mixture (G. B. Wallis, *One-dimensional Two-phase Flow*, 1969, ch. 2, from memory). Computed by hand from
//! what went in: liquid by volume, air by mass.

use crate::purge_rig::{Manifold, Outlet, endless, published, supply};
use crate::support::liquid;
use approx::assert_relative_eq;
use sim_core::plumbing::{BranchId, Line, Machine, Part, Restriction, Sketch};
use sim_core::procedure::{Course, ModelOptions, Step};
use sim_core::simulation::{StepRecord, run};

const ATMOSPHERE_PA: f64 = 101_325.0;
/// Gas constant of dry air, J/(kg K), times 293.15 K.
const PRESSURE_OVER_DENSITY: f64 = 287.05 * 293.15;

/// Air and liquid that enter one level line together.
struct Fed {
    bore_m: f64,
    friction: f64,
    /// Free air, m3/s.
    air_m3_s: f64,
    /// Flow coefficient through which liquid comes from 20 m above, m2.
    liquid_kv: f64,
}

const LENGTH_M: f64 = 10.0;
const LIQUID_KG_M3: f64 = 998.2;
/// Each of the two steps, s.
const LASTS_S: f64 = 20.0;
/// The valve that lets liquid in, among the branches.
const VALVE: usize = 2;

impl Fed {
    /// The second of two steps, which is steady.
    fn steady(&self, slip: bool) -> StepRecord {
        let mut sketch = Sketch::default();
        let (above, below) = (sketch.tank("above", 20.0), sketch.tank("below", -1.0));
        let (mouth, outlet) =
            (sketch.tank_node("mouth", above, 0.0), sketch.tank_node("outlet", below, 0.0));
        let (valve_end, inlet) = (sketch.node("valve end", 0.0), sketch.node("inlet", 0.0));
        let line =
            Line { fixed_friction: Some(self.friction), ..Line::plain(self.bore_m, LENGTH_M) };
        let mixed = sketch.line("mixed", inlet, outlet, line);
        let smooth = Line { fixed_friction: Some(0.0), ..Line::plain(0.025, 0.5) };
        sketch.line("feed", valve_end, inlet, smooth);
        sketch.branch(
            "valve",
            mouth,
            valve_end,
            Part::Strainer(Restriction { kv_si: self.liquid_kv }),
        );
        sketch.plumbing_mut().air = Some(supply(5e5, 1e-6, self.air_m3_s));
        let machine = Machine::from(sketch.finish());
        let step = |name: &str| Step::purge(&machine, inlet).named(name).lasts(LASTS_S);
        let mut course =
            Course::new(liquid(LIQUID_KG_M3, 1e-3), vec![step("until steady"), step("steady")]);
        course.model = ModelOptions {
            velocity_head: false,
            slip,
            longest_move_s: 5e-3,
            ..ModelOptions::default()
        };
        course.start.own = vec![(mixed, None)];
        assert_eq!(mixed, BranchId::at(0));
        run(&machine, &course).unwrap().steps.remove(1)
    }
}

/// What a steady mixture does.
struct Mixture {
    /// Share of the line that is liquid.
    held: f64,
    /// Share of the flow that is.
    by_flow: f64,
    /// Velocity of both, m/s.
    velocity_m_s: f64,
    /// Density of both, kg/m3.
    density_kg_m3: f64,
    /// Pressure where they enter, gauge, Pa.
    inlet_pa: f64,
}

impl Mixture {
    fn of(fed: &Fed, step: &StepRecord) -> Self {
        let moved = step.moved.as_ref().unwrap();
        let air = moved.air.as_ref().unwrap();
        let line = Line::plain(fed.bore_m, LENGTH_M);
        let inlet_pa = moved.samples.last().unwrap().air.as_ref().unwrap().inlet().unwrap().pa;
        let air_kg_m3 = (ATMOSPHERE_PA + 0.5 * inlet_pa) / PRESSURE_OVER_DENSITY;
        let liquid_m3_s = step.end.flow_m3_s[VALVE];
        let all_m3_s = liquid_m3_s + air.account.supplied_kg / LASTS_S / air_kg_m3;
        let held = air.left[0].liquid_m3() / line.volume_m3();
        Self {
            held,
            by_flow: liquid_m3_s / all_m3_s,
            velocity_m_s: all_m3_s / line.area_m2(),
            density_kg_m3: held * LIQUID_KG_M3 + (1.0 - held) * air_kg_m3,
            inlet_pa,
        }
    }
}

#[test]
fn without_slip_a_mixtures_share_of_the_line_is_its_share_of_the_flow() {
    for (bore_m, air_m3_s, liquid_kv) in
        [(0.025, 2e-3, 1e-6), (0.025, 5e-3, 1e-6), (0.04, 4e-3, 5e-6), (0.04, 2e-3, 2e-6)]
    {
        let fed = Fed { bore_m, friction: 0.0, air_m3_s, liquid_kv };
        let Mixture { held, by_flow, .. } = Mixture::of(&fed, &fed.steady(false));
        assert!((0.05..0.5).contains(&by_flow), "{by_flow}");
        assert_relative_eq!(held, by_flow, max_relative = 1e-4);
        // With slip air runs ahead, and more liquid is in the line.
        let slipping = Mixture::of(&fed, &fed.steady(true));
        assert!(slipping.held > 1.2 * slipping.by_flow, "{} {}", slipping.held, slipping.by_flow);
    }
}

#[test]
fn without_slip_friction_goes_by_the_density_of_the_mixture() {
    for (bore_m, air_m3_s, liquid_kv) in [(0.04, 2e-3, 1e-6), (0.04, 3e-3, 2e-6)] {
        let fed = Fed { bore_m, friction: 0.02, air_m3_s, liquid_kv };
        let mixture = Mixture::of(&fed, &fed.steady(false));
        let dynamic_pa = 0.5 * mixture.density_kg_m3 * mixture.velocity_m_s.powi(2);
        let expected_pa = fed.friction * LENGTH_M / bore_m * dynamic_pa;
        assert_relative_eq!(mixture.inlet_pa, expected_pa, max_relative = 1e-3);
        assert_relative_eq!(mixture.held, mixture.by_flow, max_relative = 1e-3);
    }
}

#[test]
fn without_slip_a_front_leaves_nothing_behind() {
    let line = Line { fixed_friction: Some(0.02), sag_m: 0.2, ..Line::plain(0.025, LENGTH_M) };
    let model = ModelOptions { slip: false, ..published(0.02) };
    let rig = Manifold::of_a_litre(vec![(line.clone(), Outlet::Free)], endless(1e5), model);
    let left = rig.run(5.0).air.unwrap().left[0];
    assert!(left.liquid_m3() < 1e-6 * line.volume_m3(), "{left:?}");
}
