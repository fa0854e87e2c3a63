//! The laws that tie a fault to its readings, each against the formula by hand.

use crate::by_hand::{RoundLine, line_loss};
use crate::validation::sources::{AFFINITY, COLEBROOK, IEC_60534, ISO_5682, WEISBACH};
use crate::validation::{Row, Share, validated};
use approx::assert_relative_eq;
use sim_core::diagnosis::{
    Fault, FaultKind, KIND_PRIORS, Spot, diagnose, pressure_of_catch, simulate,
};
use sim_core::fluids::Liquid;
use sim_core::plumbing::{
    BranchId, Line, Part, Plumbing, Pump, PumpCurve, Section, SectionId, Sketch, Tip, TipId, Valve,
};
use sim_core::plumbing::{Opening, tip_size};
use sim_core::procedure::{Action, Course, ModelOptions, Settings};
use sim_core::scenario::{
    Accuracy, KindChange, PriorChanges, Reading, ReadingPlace, Readings, Scenario, State,
};

/// Water as tips are rated with: 998.207 kg/m3 (20 degC; CRC Handbook, from memory).
const DENSITY: f64 = 998.207;
/// Viscosity of water of 20 degC, Pa s (IAPWS R12-08: 1.0016 mPa s).
const VISCOSITY: f64 = 1.0016e-3;
/// Flow of severity 04 at 3 bar, m3/s (ISO 10625: 1.6 L/min).
const RATED: f64 = 1.6e-3 / 60.0;

/// Tank, pump without slope to speak of, valve, hose and one 04 tip.
fn bench(bore_m: f64) -> Scenario {
    let mut sketch = Sketch::default();
    let tank = sketch.tank("tank", 0.0);
    let outlet = sketch.tank_node("outlet", tank, 0.0);
    let pumped = sketch.node("pumped", 0.0);
    let valved = sketch.node("valved", 0.0);
    let end = sketch.node("end", 0.0);
    let curve = PumpCurve { flow_m3_s: vec![0.0, 0.01], head_m: vec![31.0, 30.0] };
    let pump = Pump {
        curve,
        speed: 1.0,
        top_speed: 1.0,
        efficiency: vec![],
        npsh_required: vec![],
        displacement: None,
    };
    sketch.branch("pump", outlet, pumped, Part::Pump(pump));
    let valve = Valve { kv_si: 1e-6, opening: 1.0, characteristic: Opening::Linear };
    sketch.branch("valve", pumped, valved, Part::Valve(valve));
    sketch.line("hose", valved, end, Line::plain(bore_m, 2.0));
    let severity = tip_size("04").unwrap();
    sketch.tip("tip", end, severity.flow_m3_s(), 3e5);
    let mut plumbing: Plumbing = sketch.finish();
    plumbing.sections.push(Section {
        name: "one".into(),
        valve: Some(BranchId(1)),
        feed_end: Some(end),
        far_ends: vec![],
    });
    plumbing.tips[0] = Tip { section: Some(SectionId(0)), ..plumbing.tips[0].clone() };
    let liquid = Liquid::from_known("water", 20.0, Some(DENSITY), Some(VISCOSITY), None);
    let model = ModelOptions { velocity_head: false, ..ModelOptions::default() };
    Scenario::new(plumbing, Course { model, ..Course::new(liquid, Vec::new()) })
}

fn readings(scenario: &Scenario, places: &[ReadingPlace]) -> Readings {
    let accuracy = Accuracy::Share(0.01);
    let readings = places.iter().map(|place| Reading { place: *place, value: 0.0, accuracy });
    Readings {
        title: "bench".into(),
        model_accuracy: 0.0,
        prior: Default::default(),
        states: vec![State {
            name: "spray".into(),
            action: Action::Spray,
            settings: Settings::of(&scenario.machine.plumbing),
            controls: Vec::new(),
            readings: readings.collect(),
        }],
    }
}

fn values(scenario: &Scenario, fault: Option<(Fault, f64)>) -> [f64; 3] {
    let node =
        |name: &str| ReadingPlace::TestGauge(scenario.machine.plumbing.node_named(name).unwrap());
    let places = [node("valved"), node("end"), ReadingPlace::Catch(TipId(0))];
    let faults: Vec<(Fault, f64)> = fault.into_iter().collect();
    let given = simulate(scenario, &faults, &readings(scenario, &places)).unwrap();
    let values: Vec<f64> = given.states[0].readings.iter().map(|r| r.value).collect();
    values.try_into().unwrap()
}

fn a_worn_tip_passes_by_the_orifice_law_its_wear_more_at_equal_pressure() -> Vec<Row> {
    // q = q_rated (1 + wear) sqrt(p / p_rated): ISO 5682-1 and ISO 10625 (severity 04: 1.6 L/min near 3 bar).
    let scenario = bench(0.02);
    let fault = Fault { kind: FaultKind::SectionWorn, spot: Spot::Section(SectionId(0)) };
    let [_, pa, flow] = values(&scenario, Some((fault, 0.12)));
    let expected = RATED * 1.12 * (pa / 3e5).sqrt();
    let row = Row::new("Flow of a worn tip", "severity 04, 12 % worn", &[ISO_5682]).unit("L/min");
    let row = row.computed().because("the square-root law, solved in a machine");
    vec![row.with(flow * 6e4, expected * 6e4, Share(1e-6))]
}

fn a_kink_takes_its_loss_coefficient_times_velocity_head_more() -> Vec<Row> {
    // Weisbach: dp = K rho v^2 / 2 on the bore's velocity; the wall's share is that of the same flow without the kink.
    let bore = 0.008;
    let scenario = bench(bore);
    let fault = Fault { kind: FaultKind::HoseKinked, spot: Spot::Branch(BranchId(2)) };
    let [before, after, flow] = values(&scenario, Some((fault, 150.0)));
    let velocity = flow / (std::f64::consts::PI * bore * bore / 4.0);
    let hose = RoundLine {
        bore_m: bore,
        length_m: 2.0,
        roughness_m: 1.5e-6,
        losses: 0.0,
        fixed: None,
        density: DENSITY,
        viscosity: VISCOSITY,
    };
    let expected = 150.0 * 0.5 * DENSITY * velocity * velocity + line_loss(&hose, flow);
    let row = Row::new("Loss of a kinked hose", "8 mm, coefficient 150", &[WEISBACH, COLEBROOK])
        .unit("Pa");
    let row = row.computed().because("loss and wall written out apart, solved in a machine");
    vec![row.with(before - after, expected, Share(1e-6))]
}

fn a_valve_as_if_half_open_takes_four_times_the_drop_at_equal_flow() -> Vec<Row> {
    // Kv in proportion to opening, drop with 1 / Kv^2 (IEC 60534-2-1).
    let scenario = bench(0.02);
    let fault = Fault { kind: FaultKind::ValvePartOpen, spot: Spot::Branch(BranchId(1)) };
    let drop = |fault| {
        let [valved, _, flow]: [f64; 3] = values(&scenario, fault);
        // The pump's head falls evenly from 31 m to 30 m over 10 L/s.
        let pumped = (31.0 - flow / 0.01) * DENSITY * 9.806_65;
        (pumped - valved) / (flow * flow)
    };
    let ratio = drop(Some((fault, 3.0))) / drop(None);
    let at = "half open, at equal flow";
    let row = Row::new("Loss of a valve over that when open", at, &[IEC_60534]).computed();
    let row = row.because("Kv in proportion to opening, solved in a machine");
    vec![row.with(ratio, 4.0, Share(1e-4))]
}

fn a_slow_pump_loses_head_by_the_affinity_laws() -> Vec<Row> {
    let scenario = bench(0.02);
    let fault = Fault { kind: FaultKind::PumpSlow, spot: Spot::Branch(BranchId(0)) };
    let [healthy, ..] = values(&scenario, None);
    let [slow, ..] = values(&scenario, Some((fault, 0.10)));
    // Everything behind the pump goes with the square of flow but for the hose's wall, which takes little.
    let row = Row::new("Pressure behind a slow pump", "10 % too slow", &[AFFINITY]).computed();
    let row = row.because("the hose's wall does not go with the square of flow");
    vec![row.with(slow / healthy, 0.81, Share(5e-3))]
}

fn the_pressure_of_a_catch_test_is_that_of_the_rating_law() -> Vec<Row> {
    let scenario = bench(0.02);
    let pressure = pressure_of_catch(&scenario, TipId(0), 0.5 * RATED);
    let at = "severity 04, half its rated flow caught";
    let row = Row::new("Pressure at a tip", at, &[ISO_5682]).unit("Pa").computed();
    vec![row.because("the square-root law").with(pressure, 0.75e5, Share(1e-6))]
}

validated! {
    Diagnosis:
        a_worn_tip_passes_by_the_orifice_law_its_wear_more_at_equal_pressure,
        a_kink_takes_its_loss_coefficient_times_velocity_head_more,
        a_valve_as_if_half_open_takes_four_times_the_drop_at_equal_flow,
        a_slow_pump_loses_head_by_the_affinity_laws,
        the_pressure_of_a_catch_test_is_that_of_the_rating_law;
}

const WORN: Fault = Fault { kind: FaultKind::SectionWorn, spot: Spot::Section(SectionId(0)) };
/// Flow above rated of the worn section.
const WEAR: f64 = 0.2;

/// The size found for a section worn by [`WEAR`] from exact readings, with `prior`; those readings with the uncertainty of each.
fn found(prior: PriorChanges) -> (f64, Vec<f64>, Vec<f64>) {
    let scenario = bench(0.02);
    let end = sim_core::plumbing::NodeId::at(3);
    let mut asked =
        readings(&scenario, &[ReadingPlace::TestGauge(end), ReadingPlace::Catch(TipId(0))]);
    asked.prior = prior;
    let given = simulate(&scenario, &[(WORN, WEAR)], &asked).unwrap();
    let diagnosis = diagnose(&scenario, &given).unwrap();
    let found = diagnosis.explanations.iter().find(|e| e.faults.iter().any(|f| f.fault == WORN));
    let read = given.states[0].readings.iter().map(|r| r.value).collect();
    let sigma = diagnosis.healthy_readings.iter().map(|r| r.sigma).collect();
    (found.unwrap().faults[0].severity, read, sigma)
}

#[test]
fn a_fault_fitted_to_exact_readings_comes_back_in_its_size_where_no_size_is_expected() {
    let kind = WORN.kind.name().to_owned();
    let anything = KindChange { kind, weight: None, typical: None, factor: Some(100.0) };
    let (severity, ..) = found(PriorChanges { kinds: vec![anything], ..PriorChanges::default() });
    assert_relative_eq!(severity, WEAR, max_relative = 1e-3);
}

#[test]
fn a_fitted_size_is_the_most_probable_of_readings_and_expected_sizes_together() {
    let (severity, read, sigma) = found(PriorChanges::default());
    let scenario = bench(0.02);
    let end = sim_core::plumbing::NodeId::at(3);
    let asked = readings(&scenario, &[ReadingPlace::TestGauge(end), ReadingPlace::Catch(TipId(0))]);
    let prior = KIND_PRIORS[FaultKind::SectionWorn as usize].severity.unwrap();
    // Minus twice the logarithm of the density, up to a constant: normal readings, log-normal size.
    let minus_twice_log = |wear: f64| -> f64 {
        let here = simulate(&scenario, &[(WORN, wear)], &asked).unwrap();
        let here = here.states[0].readings.iter().map(|r| r.value);
        let rows = here.zip(&read).zip(&sigma);
        let misfit: f64 = rows.map(|((here, read), sigma)| ((here - read) / sigma).powi(2)).sum();
        misfit + ((wear / prior.typical).ln() / prior.factor.ln()).powi(2)
    };
    let least = golden_section(minus_twice_log, 0.15, 0.25);
    assert_relative_eq!(severity, least, max_relative = 1e-4);
}

/// Where `function`, of one valley between `low` and `high`, is least (Kiefer 1953).
fn golden_section(function: impl Fn(f64) -> f64, mut low: f64, mut high: f64) -> f64 {
    let share = 0.5 * (5.0_f64.sqrt() - 1.0);
    while high - low > 1e-7 {
        let (a, b) = (high - share * (high - low), low + share * (high - low));
        if function(a) < function(b) { high = b } else { low = a }
    }
    0.5 * (low + high)
}
