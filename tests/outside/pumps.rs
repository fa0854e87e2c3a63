//! Pumps.

use crate::support::{FOOT, G, GPM, liquid, solve};
use crate::validation::sources::{CRANE, ISO_9906, MAURER};
use crate::validation::{Row, Share, validated};
use sim_core::hydraulics::{Instant, PumpLaw};
use sim_core::plumbing::{Line, NodeId, Part, Plumbing, Pump, PumpCurve, Sketch};

/// Slope of reverse flow that the pump law asks for; no check here flows in reverse.
const NO_REVERSE: f64 = 1e17;

fn pump(points: &[(f64, f64)]) -> Pump {
    let (flow_m3_s, head_m) = points.iter().copied().unzip();
    Pump {
        curve: PumpCurve { flow_m3_s, head_m },
        speed: 1.0,
        top_speed: 1.0,
        efficiency: vec![],
        npsh_required: vec![],
    }
}

/// Source: Crane TP-410 example 7.33 (published): 400 gal/min, 126 ft at 3500 rev/min becomes 194.3
/// gal/min and 29.7 ft at 1700.
fn affinity_laws_meet_a_handbook_example() -> Vec<Row> {
    let water = liquid(1000.0, 1e-3);
    let curve =
        pump(&[(0.0, 150.0 * FOOT), (400.0 * GPM, 126.0 * FOOT), (600.0 * GPM, 90.0 * FOOT)]);
    let slow = PumpLaw::new(&curve, &water, 1700.0 / 3500.0);
    let head = -slow.loss_at(194.29 * GPM, NO_REVERSE).pa / (1000.0 * G) / FOOT;
    let at = "example 7.33: 400 gal/min and 126 ft, from 3500 to 1700 rev/min";
    let row = Row::new("Head of a slower pump", at, &[CRANE]).unit("ft");
    vec![row.because("the affinity laws").with(head, 29.726, Share(0.001))]
}

/// A tank, a suction line whose loss is `loss_m` of head at the flow that a far tank draws.
fn suction(surface_m: f64, flow: f64, loss_m: f64, density: f64) -> (Plumbing, NodeId) {
    let mut sketch = Sketch::default();
    let (low, high) = (sketch.tank("low", surface_m), sketch.tank("high", 1000.0));
    let outlet = sketch.tank_node("outlet", low, surface_m.min(0.0));
    let inlet = sketch.node("inlet", 0.0);
    let bore = 0.05;
    let velocity_head = (flow / (std::f64::consts::PI * bore * bore / 4.0)).powi(2) / (2.0 * G);
    let line = Line {
        fixed_friction: Some(0.0),
        losses: loss_m / velocity_head,
        ..Line::plain(bore, 1.0)
    };
    sketch.line("suction", outlet, inlet, line);
    let out = sketch.tank_node("out", high, 1000.0);
    // A steep pump whose flow is all but given.
    let steep = pump(&[(0.0, 2e6), (0.5 * flow, 1e6), (flow, 1000.0), (1.01 * flow, 0.0)]);
    sketch.branch("pump", inlet, out, Part::Pump(steep));
    let _ = density;
    (sketch.finish(), inlet)
}

fn npsh(instant: &Instant, inlet: NodeId, air_pa: f64, vapour_pa: f64, density: f64) -> f64 {
    (instant.total_pressure_pa[inlet.index()] + air_pa - vapour_pa) / (density * G)
}

/// Source: `NPSHa = (p_e + p_b - p_v)/(rho g) + z_e - H_v` (terms of ISO 9906): open tank 1 m above, 20
/// degC, loss 0.5 m: 10.612 m (computed).
fn npsh_available_follows_its_definition() -> Vec<Row> {
    let water = liquid(998.2, 1.0016e-3);
    let (plumbing, inlet) = suction(1.0, 0.003, 0.5, 998.2);
    let instant = solve(&plumbing, &water);
    let available = npsh(&instant, inlet, 101_325.0, 2339.0, 998.2);
    let at = "open tank 1 m above, 20 degC, 0.5 m lost";
    let row = Row::new("Suction head available (NPSH)", at, &[ISO_9906]).unit("m").computed();
    vec![row.because("vapour pressure in four figures").with(available, 10.612, Share(1e-3))]
}

/// Source: Crane TP-410 example 7.32 (published problem): 5 psi gauge on the tank, water at 60 degF of
/// 62.364 lb/ft3 and 0.256 psi vapour pressure, level 25 ft below the pump, 6 ft of loss: 13.89 ft.
fn npsh_of_a_handbook_suction_lift_is_met() -> Vec<Row> {
    let density = 62.364 * 0.45359237 / FOOT.powi(3);
    let water = liquid(density, 1.1e-3);
    let (plumbing, inlet) = suction(-25.0 * FOOT, 0.01, 6.0 * FOOT, density);
    let instant = solve(&plumbing, &water);
    let psi = 6894.757;
    let available = npsh(&instant, inlet, 101_325.0 + 5.0 * psi, 0.256 * psi, density);
    let at = "example 7.32: 5 psi on the tank, 25 ft of lift, 6 ft lost";
    let row = Row::new("Suction head available (NPSH)", at, &[CRANE]).unit("ft").computed();
    let row = row.because("the problem is printed; its answer is computed");
    vec![row.with(available / FOOT, 13.887, Share(0.002))]
}

/// Source: E. Maurer (2022), example 6.3 with friction that follows Re (computed; the textbook's shortcut of
/// a constant K costs 6 %): H = 82.467 - 0.20094 Q^2 (ft, ft3/s) against 30 ft and 3884 ft of 20 in,
/// roughness 0.0005 ft, nu 1.23e-5 ft2/s: 12.779 ft3/s at 49.655 ft (g 32.2 ft/s2).
fn operating_point_of_a_textbook_system_is_met() -> Vec<Row> {
    let cubic_foot = FOOT.powi(3);
    let points: Vec<(f64, f64)> = (0..=40)
        .map(|i| 0.5 * f64::from(i))
        .map(|q: f64| (q * cubic_foot, (82.467 - 0.20094 * q * q) * FOOT))
        .filter(|(_, head)| *head > 0.0)
        .collect();
    let water = liquid(1000.0, 1.23e-5 * FOOT * FOOT * 1000.0);
    let mut sketch = Sketch::default();
    let (low, high) = (sketch.tank("low", 0.0), sketch.tank("high", 30.0 * FOOT));
    let from = sketch.tank_node("from", low, 0.0);
    let (out, to) = (sketch.node("out", 0.0), sketch.tank_node("to", high, 0.0));
    sketch.branch("pump", from, out, Part::Pump(pump(&points)));
    let bore = 20.0 / 12.0 * FOOT;
    let line = Line { roughness_m: 0.0005 * FOOT, ..Line::plain(bore, 3884.0 * FOOT) };
    sketch.line("main", out, to, line);
    let instant = solve(&sketch.finish(), &water);
    let head = -instant.loss_pa[0] / (1000.0 * G) / FOOT;
    let at = "example 6.3: fitted pump, 30 ft of lift, 3884 ft of 20 in";
    let of = |quantity: &'static str| {
        let row = Row::new(quantity, at, &[MAURER]).computed();
        row.because("the source holds friction fixed, which costs 6 %; computed without that")
    };
    let flow = instant.flow_m3_s[0] / cubic_foot;
    vec![
        of("Flow where pump and system meet").unit("ft3/s").with(flow, 12.779, Share(0.001)),
        of("Head where pump and system meet").unit("ft").with(head, 49.655, Share(0.002)),
    ]
}

validated! {
    Pumps:
        affinity_laws_meet_a_handbook_example,
        operating_point_of_a_textbook_system_is_met,
        npsh_available_follows_its_definition,
        npsh_of_a_handbook_suction_lift_is_met;
}
