//! What is held, what cannot be, and what is said by name.

use crate::support::reference_water;
use approx::assert_relative_eq;
use sim_core::fluids::water;
use sim_core::hydraulics::{FlowState, Notice, Reached, SolveError, Solver};
use sim_core::plumbing::boom::{BoomDesign, Feed, build, example};
use sim_core::plumbing::{BranchId, Line, Machine, Opening, Part, ShutOff, Sketch, Valve};
use sim_core::procedure::{Actuator, Control, Held, ModelOptions, Settings};

fn machine() -> BoomDesign {
    let mut design = example(4, 9, Feed::OuterEnd, true);
    design.bypass = Some(Valve { kv_si: 4e-6, opening: 0.2, characteristic: Opening::Linear });
    design
}

fn solve(
    built: &Machine,
    settings: &Settings,
    controls: &[Control],
) -> Result<FlowState, SolveError> {
    let water = reference_water();
    Solver::new(&built.plumbing, &water, ModelOptions::default()).solve(settings, controls)
}

fn by_bypass(built: &Machine, pa: f64) -> Control {
    let by = Actuator::ValveOpening(built.roles.bypass.unwrap());
    Control { by, ..Control::pressure(built, pa).unwrap() }
}

#[test]
fn pump_speed_holds_the_boom_gauge() {
    let built = build(&machine());
    let control = Control::pressure(&built, 2.5e5).unwrap();
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    assert_eq!(instant.actuator[0].reached, Reached::Yes);
    let gauge = instant.static_pressure_pa[built.roles.header.unwrap().index()];
    assert_relative_eq!(gauge, 2.5e5, max_relative = 1e-8);
}

#[test]
fn bypass_holds_the_boom_gauge_at_fixed_speed() {
    let built = build(&machine());
    let control = by_bypass(&built, 2.5e5);
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    assert_eq!(instant.actuator[0].reached, Reached::Yes);
    assert!((0.0..1.0).contains(&instant.actuator[0].value));
    let gauge = instant.static_pressure_pa[built.roles.header.unwrap().index()];
    assert_relative_eq!(gauge, 2.5e5, max_relative = 1e-8);
}

#[test]
fn flow_through_the_main_is_held_by_pump_speed() {
    let built = build(&machine());
    let control = Control::flow(&built, 1e-3).unwrap();
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    let main = built.roles.main.unwrap().index();
    assert_relative_eq!(instant.flow_m3_s[main], 1e-3, max_relative = 1e-8);
}

/// A controller that gets less than it wants goes on to the end of its range, however its pump is set when it begins.
#[test]
fn a_flow_wanted_where_everything_is_closed_drives_the_pump_to_its_top() {
    let built = build(&BoomDesign { bypass: None, ..example(2, 6, Feed::Centre, false) });
    let Some(main) = built.roles.header.and_then(|header| {
        let branches = built.plumbing.branches.iter().enumerate();
        let mut lines = branches.filter(|(_, branch)| branch.to == header);
        lines.next().map(|(i, _)| BranchId::at(i))
    }) else {
        panic!("no line feeds the header");
    };
    let pump = built.roles.pump.unwrap();
    let held = Held::Flow { branch: main, m3_s: 5e-4 };
    let control = Control { held, ..Control::flow(&built, 5e-4).unwrap() };
    for speed in [0.02, 0.4, 1.0] {
        let mut settings = Settings::of(&built.plumbing);
        settings.tip_opening.fill(0.0);
        settings.speed[pump.index()] = speed;
        let instant = solve(&built, &settings, &[control]).unwrap();
        let top = built.plumbing.branch(pump).part.pump().unwrap().top_speed;
        assert_relative_eq!(instant.actuator[0].value, top, max_relative = 1e-12);
        assert_eq!(instant.actuator[0].reached, Reached::AtTop);
        assert!(instant.flow_m3_s[main.index()].abs() < 1e-10);
    }
}

#[test]
fn two_controls_hold_pressure_and_flow_together() {
    let built = build(&machine());
    let bypass = built.roles.bypass.unwrap();
    let held = Held::Flow { branch: bypass, m3_s: 5e-4 };
    let controls = [
        Control::pressure(&built, 2e5).unwrap(),
        Control::new(held, Actuator::ValveOpening(bypass)),
    ];
    let instant = solve(&built, &Settings::of(&built.plumbing), &controls).unwrap();
    assert_relative_eq!(instant.flow_m3_s[bypass.index()], 5e-4, max_relative = 1e-8);
    let gauge = instant.static_pressure_pa[built.roles.header.unwrap().index()];
    assert_relative_eq!(gauge, 2e5, max_relative = 1e-8);
}

#[test]
fn a_pump_that_cannot_reach_its_pressure_says_so() {
    let built = build(&machine());
    let control = Control::pressure(&built, 30e5).unwrap();
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    assert_eq!(instant.actuator[0].reached, Reached::AtTop);
    assert_relative_eq!(instant.actuator[0].value, 1.0);
    assert!(instant.notices.iter().any(|n| matches!(n, Notice::NotHeld { control: 0, .. })));
}

#[test]
fn a_bypass_that_can_take_no_more_says_so() {
    let built = build(&machine());
    let control = by_bypass(&built, 0.1e5);
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    assert_eq!(instant.actuator[0].reached, Reached::AtTop);
}

#[test]
fn a_shut_section_is_named_and_keeps_its_last_pressure() {
    let design = example(4, 9, Feed::Centre, false);
    let built = build(&design);
    let liquid = water(15.0);
    let mut solver = Solver::new(&built.plumbing, &liquid, ModelOptions::default());
    let mut settings = Settings::of(&built.plumbing);
    let before = solver.solve(&settings, &[]).unwrap();
    settings.opening[built.plumbing.sections[3].valve.unwrap().index()] = 0.0;
    for (tip, open) in built.plumbing.tips.iter().zip(&mut settings.tip_opening) {
        *open = f64::from(tip.section.is_some_and(|section| section.index() != 3));
    }
    let after = solver.solve(&settings, &[]).unwrap();
    let island = after.notices.iter().find_map(|notice| match notice {
        Notice::CutOff(nodes) => Some(nodes),
        _ => None,
    });
    let island = island.unwrap();
    let feed = built.plumbing.sections[3].feed_end.unwrap();
    assert!(island.contains(&feed));
    for node in island {
        assert_eq!(after.total_pressure_pa[node.index()], before.total_pressure_pa[node.index()]);
    }
    let still = built.plumbing.branches.iter().zip(&after.flow_m3_s);
    let of_section = still.filter(|(branch, _)| branch.section.is_some_and(|s| s.index() == 3));
    assert!(of_section.into_iter().all(|(_, flow)| *flow == 0.0));
}

#[test]
fn tip_checks_stay_shut_below_their_opening_pressure_and_are_named() {
    let mut design = example(2, 6, Feed::OuterEnd, true);
    for section in &mut design.sections {
        section.tip.shut_off =
            ShutOff::CheckValve { opens_at_pa: 7e4, reseats_at_pa: 5e4, open_loss_pa: 5e3 };
    }
    let built = build(&design);
    let control = Control::pressure(&built, 0.3e5).unwrap();
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    let closed = instant.notices.iter().filter(|n| matches!(n, Notice::TipCheckClosed(_))).count();
    assert_eq!(closed, 12);
    assert!(instant.tip_flow_m3_s.iter().all(|flow| flow.abs() < 1e-11));
    let control = Control::pressure(&built, 1.5e5).unwrap();
    let instant = solve(&built, &Settings::of(&built.plumbing), &[control]).unwrap();
    assert!(instant.tip_flow_m3_s.iter().all(|flow| *flow > 1e-6));
}

#[test]
fn a_tip_above_its_supply_would_draw_air_and_is_named() {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 0.0);
    let low = sketch.tank_node("low", tank, -0.5);
    let high = sketch.node("high", 1.0);
    sketch.line("riser", low, high, Line::plain(0.02, 2.0));
    let tip = sketch.tip("tip", high, 1e-5, 3e5);
    let plumbing = sketch.finish();
    let liquid = water(15.0);
    let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
    let instant = solver.solve(&Settings::of(&plumbing), &[]).unwrap();
    assert!(instant.notices.contains(&Notice::TipBelowAtmosphere(tip)));
    assert!(instant.tip_flow_m3_s[0].abs() < 1e-10);
}

#[test]
fn a_starved_suction_falls_below_vapour_pressure_and_is_named() {
    let mut design = example(4, 12, Feed::OuterEnd, false);
    design.suction.line.bore_m = 0.012;
    design.suction.line.length_m = 6.0;
    let built = build(&design);
    let instant = solve(&built, &Settings::of(&built.plumbing), &[]).unwrap();
    let inlet = built.plumbing.branch(built.roles.pump.unwrap()).from;
    assert!(instant.notices.contains(&Notice::BelowVapourPressure(inlet)));
}

#[test]
fn a_return_pump_against_higher_pressure_is_held_shut() {
    let mut sketch = Sketch::default();
    let (high, low) = (sketch.tank("high", 90.0), sketch.tank("low", 0.0));
    let (top, bottom) = (sketch.tank_node("top", high, 80.0), sketch.tank_node("bottom", low, 0.0));
    let outlet = sketch.node("outlet", 0.0);
    let pump = example(1, 2, Feed::Centre, false).pump;
    let id = sketch.branch("pump", bottom, outlet, Part::Pump(pump));
    sketch.line("riser", outlet, top, Line::plain(0.03, 90.0));
    let plumbing = sketch.finish();
    let liquid = water(15.0);
    let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
    let instant = solver.solve(&Settings::of(&plumbing), &[]).unwrap();
    // It gives its shut-off head of 5.3 bar and would have to lift water by 90 m.
    let idle = instant.notices.iter().find_map(|notice| match notice {
        Notice::PumpIdle { branch, gives_pa, needs_pa } if *branch == id => {
            Some((*gives_pa, *needs_pa))
        }
        _ => None,
    });
    let (gives_pa, needs_pa) = idle.expect("the pump is idle");
    assert_relative_eq!(needs_pa, 90.0 * liquid.density_kg_m3 * 9.80665, max_relative = 1e-6);
    assert!(gives_pa > 0.0 && gives_pa < needs_pa);
    assert!(instant.flow_m3_s.iter().all(|flow| flow.abs() < 1e-10));
}
