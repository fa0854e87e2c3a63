//! Pumps.

use crate::support::{FOOT, G, GPM, absolute, colebrook, liquid, root, solve};
use crate::validation::sources::{AFFINITY, COLEBROOK, ISO_9906, MAURER};
use crate::validation::{By, Row, Share, validated};
use sim_core::findings::of_run;
use sim_core::fluids::Liquid;
use sim_core::hydraulics::PumpLaw;
use sim_core::plumbing::{Line, Machine, Part, Plumbing, Pump, Sketch};
use sim_core::procedure::{Course, Step};
use sim_core::scenario::Scenario;
use sim_core::simulation::run;
use std::f64::consts::PI;

/// Slope of reverse flow that the pump law asks for; no check here flows in reverse.
const NO_REVERSE: f64 = 1e17;

/// Source: affinity laws, on the data of a handbook (TP-410, example 7.33): 400 gal/min and 126 ft at 3500 rev/min, slowed
/// to 1700.
fn a_slower_pump_gives_what_the_affinity_laws_say() -> Vec<Row> {
    let water = liquid(1000.0, 1e-3);
    let curve = Pump::plain(&[
        (0.0, 150.0 * FOOT),
        (400.0 * GPM, 126.0 * FOOT),
        (600.0 * GPM, 90.0 * FOOT),
    ]);
    let ratio: f64 = 1700.0 / 3500.0;
    let slow = PumpLaw::new(&curve, &water, ratio);
    let head = -slow.loss_at(400.0 * ratio * GPM, NO_REVERSE).pa / (1000.0 * G) / FOOT;
    let at = "400 gal/min and 126 ft, from 3500 to 1700 rev/min";
    let row = Row::new("Head of a slower pump", at, &[AFFINITY]).unit("ft").computed();
    vec![row.because("the same laws").with(head, 126.0 * ratio * ratio, Share(1e-6))]
}

/// A tank, a suction line whose loss is `loss_m` of head at the flow that a far tank draws.
fn suction(surface_m: f64, flow: f64, loss_m: f64) -> Plumbing {
    let mut sketch = Sketch::default();
    let (low, high) = (sketch.tank("low", surface_m), sketch.tank("high", 1000.0));
    let outlet = sketch.tank_node("outlet", low, surface_m.min(0.0));
    let inlet = sketch.node("inlet", 0.0);
    let bore = 0.05;
    let velocity_head = (flow / (PI * bore * bore / 4.0)).powi(2) / (2.0 * G);
    let line = Line {
        fixed_friction: Some(0.0),
        losses: loss_m / velocity_head,
        ..Line::plain(bore, 1.0)
    };
    sketch.line("suction", outlet, inlet, line);
    let out = sketch.tank_node("out", high, 1000.0);
    // A steep pump whose flow is all but given.
    let steep = Pump::plain(&[(0.0, 2e6), (0.5 * flow, 1e6), (flow, 1000.0), (1.01 * flow, 0.0)]);
    sketch.branch("pump", inlet, out, Part::Pump(steep));
    sketch.finish()
}

/// Suction head available that the product finds for the pump of [`suction`], m.
fn npsh(plumbing: Plumbing, density: f64, vapour_pa: f64) -> f64 {
    let liquid =
        Liquid::from_known("liquid", 20.0, Some(density), Some(1e-3), Some(absolute(vapour_pa)));
    let machine = Machine::from(plumbing);
    let steps = vec![Step::circulate(&machine).lasts(1.0)];
    let mut scenario = Scenario::new(machine, Course::new(liquid, steps));
    scenario.course.model.velocity_head = false;
    let record = run(&scenario.machine, &scenario.course).unwrap();
    of_run(&scenario.machine, &scenario.course, &scenario.limits, &record)[0].pumps[0]
        .npsh_available_m
}

/// Source: `NPSHa = (p_e + p_b - p_v)/(rho g) + z_e - H_v` (terms of ISO 9906): open tank 1 m above, 20 degC, 0.5 m lost;
/// and the data of TP-410, example 7.32: 5 psi gauge on the tank, water at 60 degF of 62.364 lb/ft3 and 0.256 psi vapour
/// pressure, level 25 ft below the pump, 6 ft lost.
fn npsh_available_follows_its_definition() -> Vec<Row> {
    let of = |at: &'static str| {
        let row = Row::new("Suction head available (NPSH)", at, &[ISO_9906]).computed();
        row.because("the definition; the flow is held by a steep pump")
    };
    let by_definition =
        |absolute_pa: f64, density: f64, up_m: f64| absolute_pa / (density * G) + up_m;
    let open = npsh(suction(1.0, 0.003, 0.5), 998.2, 2339.0);
    let expected = by_definition(101_325.0 - 2339.0, 998.2, 1.0 - 0.5);
    let psi = 6894.757;
    let density = 62.364 * 0.45359237 / FOOT.powi(3);
    let under_pressure_m = 5.0 * psi / (density * G);
    let lift =
        npsh(suction(under_pressure_m - 25.0 * FOOT, 0.01, 6.0 * FOOT), density, 0.256 * psi);
    let wanted = by_definition(101_325.0 + 4.744 * psi, density, -31.0 * FOOT);
    vec![
        of("open tank 1 m above, 20 degC, 0.5 m lost").unit("m").with(open, expected, Share(1e-4)),
        of("5 psi on the tank, 25 ft of lift, 6 ft lost").unit("ft").with(
            lift / FOOT,
            wanted / FOOT,
            Share(1e-4),
        ),
    ]
}

/// Source: E. Maurer (2022), example 6.3: H = 82.467 - 0.20094 Q^2 (ft, ft3/s) against 30 ft and 3884 ft of 20 in,
/// roughness 0.0005 ft, nu 1.23e-5 ft2/s. Printed: 12.051 ft3/s at 53.285 ft, with the friction factor of 1 ft3/s. With
/// one that follows the flow (found by halving in this check) the point is 6 % from there.
fn operating_point_of_a_textbook_system_is_met() -> Vec<Row> {
    let (bore, roughness) = (20.0 / 12.0 * FOOT, 0.0005 * FOOT);
    let (viscosity_m2_s, cubic_foot) = (1.23e-5 * FOOT * FOOT, FOOT.powi(3));
    let factor = |flow: f64| {
        let reynolds = 4.0 * flow * cubic_foot / (PI * bore * viscosity_m2_s);
        colebrook(reynolds, roughness / bore)
    };
    let pump_ft = |flow: f64| 82.467 - 0.20094 * flow * flow;
    let plain = Line::plain(bore, 3884.0 * FOOT);
    let fixed = Line { fixed_friction: Some(factor(1.0)), ..plain.clone() };
    let at = "example 6.3: fitted pump, 30 ft of lift, 3884 ft of 20 in, friction fixed";
    let printed = |quantity: &'static str| {
        Row::new(quantity, at, &[MAURER])
            .within_source("a unit of the fifth figure: the curve is rounded, too")
    };
    let (flow, head) = operating_point(pump_ft, fixed, viscosity_m2_s);
    let mut rows = vec![
        printed("Flow where pump and system meet").unit("ft3/s").with(flow, 12.051, By(1e-3)),
        printed("Head where pump and system meet").unit("ft").with(head, 53.285, By(1e-3)),
    ];
    let lost_ft = |flow: f64| {
        let velocity = flow * cubic_foot / (PI * bore * bore / 4.0);
        factor(flow) * plain.length_m / bore * velocity * velocity / (2.0 * G) / FOOT
    };
    let meets = root(5.0, 16.0, |flow| 30.0 + lost_ft(flow) - pump_ft(flow));
    let (flow, _) =
        operating_point(pump_ft, Line { roughness_m: roughness, ..plain.clone() }, viscosity_m2_s);
    let at = "the same, friction by Colebrook";
    let row = Row::new("Flow where pump and system meet", at, &[COLEBROOK]).unit("ft3/s");
    let row = row.computed().because("the same equations, solved by halving");
    rows.push(row.with(flow, meets, Share(1e-4)));
    rows
}

/// Flow, ft3/s, and head, ft, of a pump with the curve `head_ft` that lifts through `line` by 30 ft.
fn operating_point(head_ft: impl Fn(f64) -> f64, line: Line, viscosity_m2_s: f64) -> (f64, f64) {
    let cubic_foot = FOOT.powi(3);
    let points: Vec<(f64, f64)> = (0..=400)
        .map(|i| 0.05 * f64::from(i))
        .map(|q| (q * cubic_foot, head_ft(q) * FOOT))
        .filter(|(_, head)| *head > 0.0)
        .collect();
    let water = liquid(1000.0, viscosity_m2_s * 1000.0);
    let mut sketch = Sketch::default();
    let (low, high) = (sketch.tank("low", 0.0), sketch.tank("high", 30.0 * FOOT));
    let from = sketch.tank_node("from", low, 0.0);
    let (out, to) = (sketch.node("out", 0.0), sketch.tank_node("to", high, 0.0));
    sketch.branch("pump", from, out, Part::Pump(Pump::plain(&points)));
    sketch.line("main", out, to, line);
    let instant = solve(&sketch.finish(), &water);
    (instant.flow_m3_s[0] / cubic_foot, -instant.loss_pa[0] / (1000.0 * G) / FOOT)
}

validated! {
    Pumps:
        a_slower_pump_gives_what_the_affinity_laws_say,
        operating_point_of_a_textbook_system_is_met,
        npsh_available_follows_its_definition;
}
