//! Nothing that a program may hand to the library makes it panic: figures that are none, negative, or too large; lists
//! that are empty or too short; references that lead nowhere.

#![allow(clippy::unwrap_used, reason = "tests may unwrap, their helpers too")]

use proptest::prelude::*;
use sim_core::air::{AirRestriction, BlowDown, Supply, mass_flux, receiver_volume, time_constant};
use sim_core::fluids::{
    AbsolutePressure, Liquid, Particles, density, still_suspended_in_bore, vapour_pressure,
    viscosity, water,
};
use sim_core::hydraulics::{
    Friction, LineLaw, PumpLaw, SolveError, Solver, TipLaw, pump_curve, quadratic, tee_drops,
};
use sim_core::plumbing::boom::{Feed, build, example};
use sim_core::plumbing::{
    BranchId, Invalid, Line, Machine, NodeId, Part, Plumbing, Pump, PumpCurve, ShutOff, Sketch,
    TankId, Tip,
};
use sim_core::procedure::{
    Actuator, AirPurge, Control, Course, Held, Lasts, Load, ModelOptions, Pulse, Settings, Step,
    Transfer, Until,
};
use sim_core::scenario::Scenario;
use sim_core::simulation::{RunError, run};
use sim_core::sizing::{TipDemand, tip_table};
use sim_core::transport::{Dispersion, Profile, TubedLine, dispersion_of};
use sim_core::two_phase::{
    Layer, LayerLaw, Regime, Stratified, area_share, butterworth_holdup, butterworth_parameter,
    carry_limit, critical_gas_flux, gas_multiplier, left_behind, level, nose, seal_volume,
};
use sim_core::units::{Quantity, UnitSystem, parse, show};

/// Figures of every kind, the absurd ones often.
fn figure() -> impl Strategy<Value = f64> {
    let absurd = [
        f64::NAN,
        f64::INFINITY,
        f64::NEG_INFINITY,
        0.0,
        -0.0,
        -1.0,
        1.0,
        0.5,
        f64::MIN_POSITIVE,
        f64::MAX,
        f64::MIN,
        1e-300,
    ];
    prop_oneof![proptest::sample::select(absurd.to_vec()), any::<f64>(), -10.0..10.0f64]
}

fn liquid(density_kg_m3: f64, viscosity_pa_s: f64) -> Liquid {
    Liquid { density_kg_m3, viscosity_pa_s, ..water(20.0) }
}

fn tip(shut_off: ShutOff, [flow, at, kv, duty, wear]: [f64; 5]) -> Tip {
    let mut sketch = Sketch::default();
    let node = sketch.node("node", 0.0);
    sketch.tip("tip", node, flow, at);
    let mut tip = sketch.finish().tips.remove(0);
    (tip.body_kv_si, tip.shut_off, tip.duty, tip.wear) = (Some(kv), shut_off, duty, wear);
    tip
}

fn line([bore_m, length_m, roughness_m, losses]: [f64; 4]) -> Line {
    Line { roughness_m, losses, ..Line::plain(bore_m, length_m) }
}

proptest! {
    #[test]
    fn laws_of_parts_return_something_for_any_figures(f in prop::array::uniform8(figure()), q in figure()) {
        let [a, b, c, d, e, g, h, i] = f;
        let liquid = liquid(a, b);
        let law = LineLaw::new(&line([c, d, e, g]), &liquid, h);
        let _ = (law.loss_at(q), law.reynolds(q), Friction::new(a).factor(b), quadratic(a, q));
        let valve = ShutOff::CheckValve { opens_at_pa: a, reseats_at_pa: b, open_loss_pa: c };
        for shut_off in [ShutOff::Open, ShutOff::Each, valve] {
            let _ = TipLaw::new(&tip(shut_off, [d, e, g, h, i]), &liquid).loss_at(q, a);
        }
        let _ = tee_drops([a, b, c], d);
        let _ = (density(q), viscosity(q), vapour_pressure(q), Liquid::from_known("x", q, Some(a), None, None));
        let particles = Particles { diameter_m: a, density_kg_m3: b, share: c };
        let _ = (particles.hindered_velocity(&liquid), particles.pick_up_velocity(&liquid, d));
        let _ = still_suspended_in_bore(a, b, c);
    }

    #[test]
    fn curves_of_any_points_are_curves(x in prop::collection::vec(figure(), 0..6), y in prop::collection::vec(figure(), 0..6), at in figure()) {
        let pump = Pump {
            curve: PumpCurve { flow_m3_s: x, head_m: y },
            speed: at,
            top_speed: at,
            efficiency: vec![(at, at)],
            npsh_required: Vec::new(),
            displacement: None,
        };
        let liquid = water(20.0);
        let _ = (PumpLaw::new(&pump, &liquid, at).loss_at(at, at), PumpLaw::new(&pump, &liquid, at).drop_by_speed(at));
        let _ = (pump_curve(&pump, &liquid, at, 0), pump.efficiency_at(at, at), pump.npsh_required_at(at, at));
    }

    #[test]
    fn laws_of_air_return_something_for_any_figures(f in prop::array::uniform7(figure())) {
        let [a, b, c, d, e, g, h] = f;
        let hole = AirRestriction { sonic_conductance_m3_s_pa: a, critical_ratio: b };
        let absolute = |pa: f64| AbsolutePressure { pa };
        let _ = (hole.upstream(d, absolute(e)), AirRestriction::ideal(a), mass_flux(absolute(a), absolute(b), c));
        // Flow turns round where pressures are the other way: they must be numbers to have a way.
        let _ = hole.flow(absolute(c), absolute(d));
        let mut supply = Supply {
            receiver_m3: a,
            receiver: absolute(b),
            free_air_delivery_m3_s: c,
            cut_out: absolute(d),
            regulated: absolute(e),
            valve: hole,
        };
        let _ = (supply.mass_flow(absolute(g)), supply.deliver(absolute(g), h), supply.most_m3_s());
        for blow_down in [BlowDown::Isothermal, BlowDown::Adiabatic] {
            let _ = (blow_down.pressure_ratio(a), blow_down.time_constants_to(b));
        }
        let _ = (time_constant(a, &hole), receiver_volume(a, b));
    }

    #[test]
    fn laws_of_two_phases_return_something_for_any_figures(f in prop::array::uniform5(figure())) {
        let [a, b, c, d, e] = f;
        let liquid = liquid(d, e);
        let liquid = Liquid { surface_tension_n_m: a, ..liquid };
        let _ = (nose(a, b, c, &liquid), left_behind(a, b, c, &liquid));
        for layer in [Layer::EvenFilm, Layer::InvertedHoldup] {
            let _ = LayerLaw::new(layer, a, b, &liquid).flux(c, d);
        }
        let _ = (butterworth_holdup(a), butterworth_parameter(a), gas_multiplier(a, Regime::LaminarLiquid));
        let _ = (critical_gas_flux(a, b, c, d), carry_limit(a, b, c), seal_volume(a, b), area_share(a), level(a));
        let _ = Stratified { slope: b, surface_factor: c, ..Stratified::turbulent(a) }.level();
    }

    #[test]
    fn lines_and_their_tubes_take_any_figures(f in prop::array::uniform5(figure())) {
        let [a, b, c, d, e] = f;
        let _ = dispersion_of(a, b, c, d, e);
        let mut line = TubedLine::new(a, b);
        let _ = (line.mean_concentration(), line.thin(c));
        line.add_evenly(d);
        line.set_profile(&Profile::of(Dispersion::Turbulent { peclet: c }));
        line.set_profile(&Profile::of(Dispersion::Between { turbulent: d, peclet: c }));
        let _ = line.product_m3();
    }

    #[test]
    fn tip_tables_take_any_demand(f in prop::array::uniform8(figure())) {
        let [a, b, c, d, e, g, h, i] = f;
        let table = tip_table(&TipDemand {
            rate_m: a, speed_m_s: (b, c), spacing_m: d, pressure_pa: (e, g), least_duty: h, density_kg_m3: i,
        });
        prop_assert!(!table.is_empty());
    }

    #[test]
    fn any_text_is_a_value_or_a_mistake(text in ".{0,24}", value in figure()) {
        for quantity in Quantity::ALL {
            let _ = parse(&text, quantity);
            let _ = (show(value, quantity, UnitSystem::Si), show(value, quantity, UnitSystem::Us));
        }
    }

    #[test]
    fn a_plumbing_with_one_figure_changed_is_solved_or_refused(value in figure(), which in 0usize..14) {
        let mut plumbing = build(&example(2, 3, Feed::Centre, true)).plumbing;
        change(&mut plumbing, which, value);
        let liquid = water(20.0);
        let solved = Solver::new(&plumbing, &liquid, ModelOptions::default()).solve(&Settings::of(&plumbing), &[]);
        if !value.is_finite() {
            prop_assert!(matches!(solved, Err(SolveError::Invalid(_))), "{:?}", solved);
        }
    }
}

/// The first part of `plumbing` of that kind.
fn part<'a>(plumbing: &'a mut Plumbing, kind: &str) -> &'a mut Part {
    let mut of_kind = plumbing.branches.iter_mut().map(|branch| &mut branch.part);
    of_kind.find(|part| part.kind() == kind).unwrap()
}

/// Puts `value` in the place of figure number `which` of `plumbing`.
fn change(plumbing: &mut Plumbing, which: usize, value: f64) {
    match which {
        0 => plumbing.nodes[1].elevation_m = value,
        1 => plumbing.tanks[0].surface_m = value,
        2 => plumbing.tips[0].rated_flow_m3_s = value,
        3 => plumbing.tips[0].rated_at_pa = value,
        4 => plumbing.tips[0].duty = value,
        5 => plumbing.tips[0].wear = value,
        6 => plumbing.tips[0].body_kv_si = Some(value),
        _ => match (which, part(plumbing, ["line", "valve", "pump"][(which - 7) % 3])) {
            (7, Part::Line(line)) => line.bore_m = value,
            (10, Part::Line(line)) => line.length_m = value,
            (13, Part::Line(line)) => line.roughness_m = value,
            (8, Part::Valve(valve)) => valve.kv_si = value,
            (11, Part::Valve(valve)) => valve.opening = value,
            (9, Part::Pump(pump)) => pump.speed = value,
            (12, Part::Pump(pump)) => pump.curve.head_m[1] = value,
            (which, part) => panic!("no figure {which} of a {}", part.kind()),
        },
    }
}

fn boom() -> Plumbing {
    build(&example(2, 3, Feed::Centre, true)).plumbing
}

#[test]
fn a_network_without_anything_in_it_has_a_solution() {
    let (plumbing, liquid) = (Plumbing::default(), water(20.0));
    let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
    let now = solver.solve(&Settings::of(&plumbing), &[]).unwrap();
    assert!(now.flow_m3_s.is_empty());
}

#[test]
fn a_liquid_that_is_none_is_refused() {
    let plumbing = boom();
    for bad in [f64::NAN, 0.0, -1000.0, f64::INFINITY] {
        for liquid in [liquid(bad, 1e-3), liquid(1000.0, bad)] {
            let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
            let solved = solver.solve(&Settings::of(&plumbing), &[]);
            assert!(matches!(solved, Err(SolveError::Invalid(Invalid::Figure { .. }))));
        }
    }
}

#[test]
fn settings_of_another_plumbing_are_refused() {
    let (plumbing, liquid) = (boom(), water(20.0));
    let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
    let other = Settings::of(&Plumbing::default());
    let solved = solver.solve(&other, &[]);
    assert!(matches!(solved, Err(SolveError::Invalid(Invalid::Length { .. }))), "{solved:?}");
    let before = solver.solve(&Settings::of(&plumbing), &[]).unwrap();
    assert!(solver.advance(&other, &before, 0.01).is_err());
    assert!(solver.advance(&Settings::of(&plumbing), &before, f64::NAN).is_err());
    assert!(solver.advance(&Settings::of(&plumbing), &Default::default(), 0.01).is_err());
}

#[test]
fn controls_of_what_is_not_there_are_refused() {
    let (plumbing, liquid) = (boom(), water(20.0));
    let mut solver = Solver::new(&plumbing, &liquid, ModelOptions::default());
    let (nowhere, line) = (BranchId::at(9_999), BranchId::at(0));
    let here = Held::Pressure { node: NodeId::at(1), pa: 3e5 };
    for control in [
        Control::new(here, Actuator::PumpSpeed(nowhere)),
        Control::new(here, Actuator::PumpSpeed(line)),
        Control::new(here, Actuator::ValveOpening(line)),
        Control::new(
            Held::Pressure { node: NodeId::at(9_999), pa: 3e5 },
            Actuator::PumpSpeed(line),
        ),
        Control::new(Held::Flow { branch: line, m3_s: f64::NAN }, Actuator::PumpSpeed(line)),
    ] {
        let solved = solver.solve(&Settings::of(&plumbing), &[control]);
        assert!(matches!(solved, Err(SolveError::Invalid(_))), "{control:?}: {solved:?}");
    }
}

/// Breaks a machine or what is done with it somewhere.
type Break = fn(&mut Machine, &mut Course);

#[test]
fn what_cannot_be_run_is_refused() {
    let valid = || {
        let machine = build(&example(2, 3, Feed::Centre, true));
        let steps = vec![Step::spray(&machine).lasts(1.0)];
        (machine, Course::new(water(20.0), steps))
    };
    let (machine, course) = valid();
    assert!(run(&machine, &course).is_ok());
    let breaks: [Break; 16] = [
        |m, _| m.plumbing.branches[0].from = NodeId::at(9_999),
        |m, _| m.roles.pump = Some(BranchId::at(9_999)),
        |m, _| m.roles.return_valve = m.roles.main,
        |_, c| c.steps[0].settings.opening.clear(),
        |_, c| c.steps[0].settings.speed[1] = f64::NAN,
        |_, c| c.steps[0].lasts = Some(Lasts { most_s: f64::INFINITY, until: Until::Time }),
        |_, c| c.steps[0].change.ramp_s = -1.0,
        |_, c| c.steps[0].change.delays_s.push((BranchId::at(9_999), 1.0)),
        |_, c| {
            c.steps[0].loads.push(Load { tank: TankId::at(9), holds_m3: None, concentration: 0.0 })
        },
        |_, c| {
            let (from, to) = (TankId::at(0), TankId::at(1));
            c.steps[0].transfers.push(Transfer { from, to, flow_m3_s: 1e-3 });
        },
        |_, c| c.steps[0].purge = Some(AirPurge { node: NodeId::at(9_999), pulse: None }),
        |_, c| {
            let pulse = Some(Pulse { on_s: 0.0, off_s: 0.0 });
            c.steps[0].purge = Some(AirPurge { node: NodeId::at(1), pulse });
        },
        |_, c| c.start.lines_hold = f64::NAN,
        |_, c| c.start.own.push((BranchId::at(9_999), None)),
        |_, c| c.model.longest_move_s = f64::NAN,
        |_, c| {
            let share = 0.1;
            let particles = Particles { diameter_m: 0.0, density_kg_m3: 1400.0, share };
            c.product.particles = Some(particles);
        },
    ];
    for (i, broken) in breaks.into_iter().enumerate() {
        let (mut machine, mut course) = valid();
        broken(&mut machine, &mut course);
        let refused = run(&machine, &course);
        assert!(matches!(refused, Err(RunError::Invalid(_))), "break {i}");
    }
}

#[test]
fn a_course_without_steps_or_plumbing_leaves_an_empty_record() {
    let findings_of = |steps: Vec<Step>| {
        let scenario = Scenario::new(Machine::default(), Course::new(water(20.0), steps));
        let record = run(&scenario.machine, &scenario.course).unwrap();
        sim_core::findings::of_run(&scenario.machine, &scenario.course, &scenario.limits, &record)
    };
    assert!(findings_of(Vec::new()).is_empty());
    assert_eq!(findings_of(vec![Step::spray(&Machine::default()).lasts(1.0)]).len(), 1);
}
