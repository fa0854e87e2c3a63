//! Answers that machines broken by hand must get.

use crate::booms::{Boom, booms};
use crate::cases::{Case, as_built, noisy};
use crate::workshop::Real;
use rand::SeedableRng;
use rand_chacha::ChaCha8Rng;
use sim_core::diagnosis::{
    Conclusion, Diagnosis, Fault, FaultKind, Spot, calibrate, catalogue, diagnose, next,
};
use sim_core::plumbing::{BranchId, GaugeId, Plumbing, SectionId};
use sim_core::procedure::Action;
use sim_core::scenario::{Accuracy, Readings, read_readings};

/// The 36 m boom with return hoses.
fn heron() -> Boom {
    booms().swap_remove(1)
}

fn plumbing(boom: &Boom) -> &Plumbing {
    &boom.scenario.machine.plumbing
}

fn branch(boom: &Boom, name: &str) -> BranchId {
    plumbing(boom).branch_named(name).unwrap()
}

/// Readings of 1 % at `real`, without noise.
fn read(boom: &Boom, real: &Real) -> Readings {
    let mut readings = boom.readings(real, None).unwrap();
    for reading in readings.states.iter_mut().flat_map(|state| &mut state.readings) {
        reading.accuracy = Accuracy::Share(0.01);
    }
    readings
}

fn lists(diagnosis: &Diagnosis, faults: &[Fault]) -> bool {
    let holds = |fault: &Fault, e: &sim_core::diagnosis::Explanation| {
        e.faults.iter().any(|fitted| fitted.fault == *fault)
    };
    diagnosis
        .explanations
        .iter()
        .any(|e| e.faults.len() == faults.len() && faults.iter().all(|fault| holds(fault, e)))
}

#[test]
fn a_slow_pump_that_hides_a_gauge_that_reads_high_is_listed_with_it() {
    let boom = heron();
    let slow = Fault { kind: FaultKind::PumpSlow, spot: Spot::Branch(branch(&boom, "pump")) };
    // The gauge at the pump, not the one by which pressure is held.
    let gauges = &plumbing(&boom).gauges;
    let own = gauges.iter().position(|gauge| gauge.name == "pump").unwrap();
    let high = Fault { kind: FaultKind::GaugeOff, spot: Spot::Gauge(GaugeId::at(own)) };
    let real = Real::healthy(&boom.scenario).with(&[(slow, 0.10), (high, 1.10)]);
    let diagnosis = diagnose(&boom.scenario, &read(&boom, &real)).unwrap();
    assert!(lists(&diagnosis, &[slow, high]), "{:#?}", leading(&diagnosis));
}

fn leading(diagnosis: &Diagnosis) -> Vec<(f64, Vec<(Fault, f64)>)> {
    let faults = |e: &sim_core::diagnosis::Explanation| {
        e.faults.iter().map(|fitted| (fitted.fault, fitted.severity)).collect()
    };
    diagnosis.explanations.iter().take(12).map(|e| (e.probability, faults(e))).collect()
}

#[test]
fn liquid_that_passes_the_meter_and_no_tip_is_a_leak_or_a_valve_before_it_is_a_gauge() {
    let boom = heron();
    let node = plumbing(&boom).node_named("header").unwrap();
    let leak = Fault { kind: FaultKind::Leak, spot: Spot::Node(node) };
    let real = Real::healthy(&boom.scenario).with(&[(leak, 0.12)]);
    let diagnosis = diagnose(&boom.scenario, &read(&boom, &real)).unwrap();
    let has = |e: &sim_core::diagnosis::Explanation, kinds: &[FaultKind]| {
        e.faults.iter().any(|f| kinds.contains(&f.fault.kind))
    };
    let lead: Vec<_> = diagnosis.explanations.iter().filter(|e| e.group == 0).collect();
    let lets_out = [FaultKind::Leak, FaultKind::ValvePasses];
    assert!(lead.iter().all(|e| has(e, &lets_out)), "{:#?}", leading(&diagnosis));
    let gauges = lead.iter().filter(|e| has(e, &[FaultKind::GaugeOff]));
    let gauges: f64 = gauges.map(|e| e.probability).sum();
    assert!(gauges < 0.05, "{gauges}");
    assert!(lists(&diagnosis, &[leak]), "{:#?}", leading(&diagnosis));
}

#[test]
fn one_gauge_in_psi_among_readings_in_bar_is_named_with_its_mistake() {
    let boom = heron();
    let mut readings = read(&boom, &Real::healthy(&boom.scenario));
    let at = readings.states[0].readings.iter().position(|r| r.place.is_pressure()).unwrap();
    readings.states[0].readings[at].value *= 14.503_774;
    let diagnosis = diagnose(&boom.scenario, &readings).unwrap();
    assert_eq!(diagnosis.conclusion, Conclusion::Unexplained);
    let odd = diagnosis.odd.unwrap();
    assert_eq!(odd.readings, [at]);
    assert!(odd.slip.is_some_and(|slip| (slip - 14.5).abs() < 0.01), "{odd:?}");
    assert!(odd.faults.is_empty());
}

#[test]
fn gauges_that_are_each_off_their_own_way_are_explained_by_nothing_of_the_catalogue() {
    let boom = heron();
    let mut readings = read(&boom, &Real::healthy(&boom.scenario));
    let all = readings.states.iter_mut().flat_map(|state| &mut state.readings);
    for (i, gauge) in all.filter(|reading| reading.place.is_pressure()).enumerate() {
        gauge.value *= [1.15, 0.88, 1.06, 0.93][i % 4];
    }
    let diagnosis = diagnose(&boom.scenario, &readings).unwrap();
    assert_eq!(diagnosis.conclusion, Conclusion::Unexplained, "{:#?}", leading(&diagnosis));
}

#[test]
fn a_machine_written_line_by_line_has_faults_of_the_parts_that_it_has() {
    let path = checks::root().join("scenarios/quill-loop.toml");
    let scenario = checks::scenario(&path).unwrap();
    let text = "[[state]]\ngauge = [{ at = \"north\", reads = \"2 bar\" }]\n";
    let readings = read_readings(text, false, &scenario).unwrap();
    let faults = catalogue(&scenario.machine.plumbing, &readings);
    let has = |kind: FaultKind| faults.iter().any(|fault| fault.kind == kind);
    for kind in [K::HoseKinked, K::Leak, K::ValvePartOpen, K::PumpSlow, K::CheckStuckOpen] {
        assert!(has(kind), "{kind:?}");
    }
    for kind in [K::StrainerPlugged, K::MeterOff, K::SectionWorn, K::TubeBlocked, K::ValvePasses] {
        assert!(!has(kind), "{kind:?}");
    }
    assert!(diagnose(&scenario, &readings).is_ok());
}

use FaultKind as K;

#[test]
fn circulating_is_offered_with_its_pressures_wherever_there_is_a_way_back() {
    let boom = heron();
    let mut readings = read(&boom, &Real::healthy(&boom.scenario));
    readings.states.retain(|state| state.action == Action::Spray);
    // Nothing passes the return hoses yet: what is wrong with them does not show.
    let diagnosis = diagnose(&boom.scenario, &readings).unwrap();
    let list = next(&boom.scenario, &readings, &diagnosis).unwrap();
    let circulates = list.iter().find(|m| m.state.action == Action::Circulate);
    let circulates = circulates.unwrap_or_else(|| panic!("{list:#?}"));
    assert!(!circulates.state_is_known && circulates.gauges_pa.iter().all(|pa| *pa > 0.0));
    assert!(circulates.state.settings.tip_opening.iter().all(|opening| *opening == 0.0));
    // Centre-fed machines have no way back: nothing circulates there.
    let capped = booms().swap_remove(2);
    let worn = Fault { kind: FaultKind::SectionWorn, spot: Spot::Section(SectionId::at(0)) };
    let real = Real::healthy(&capped.scenario).with(&[(worn, 0.12)]);
    let readings = read(&capped, &real);
    let diagnosis = diagnose(&capped.scenario, &readings).unwrap();
    let list = next(&capped.scenario, &readings, &diagnosis).unwrap();
    assert!(list.iter().all(|m| m.state.action != Action::Circulate));
}

#[test]
fn a_factor_at_the_edge_of_what_it_can_be_is_suspected_and_left_out_of_the_overlay() {
    let boom = heron();
    let mut real = Real::healthy(&boom.scenario);
    for name in ["strainer", "1-valve", "2-valve", "3-valve", "4-valve", "5-valve", "6-valve"] {
        let id = branch(&boom, name);
        let strainer = name == "strainer";
        let kind = if strainer { K::StrainerPlugged } else { K::ValvePartOpen };
        real = real.with(&[(Fault { kind, spot: Spot::Branch(id) }, 4.0)]);
    }
    let found = calibrate(&boom.scenario, &read(&boom, &real)).unwrap();
    let kept = &found.overlay;
    let kept = [
        kept.roughness,
        kept.suction_losses,
        kept.main_losses,
        kept.hose_losses,
        kept.return_losses,
        kept.part_losses,
    ];
    let suspected: Vec<usize> = (0..6).filter(|i| found.factors[*i].suspected).collect();
    assert!(!suspected.is_empty(), "{found:?}");
    assert!(suspected.iter().all(|i| kept[*i] == 1.0), "{found:?}");
}

#[test]
fn the_share_of_healthy_machines_that_a_user_states_moves_the_answer() {
    let boom = heron();
    let mut rng = ChaCha8Rng::seed_from_u64(3);
    let real = as_built(&boom, &mut rng);
    let exact = boom.readings(&real, None).unwrap();
    let case = Case { truth: Vec::new(), outside: None, real, exact, clear: false, shows: false };
    let mut readings = noisy(&case, 1.0, &mut rng);
    let no_fault = |readings: &Readings| {
        let diagnosis = diagnose(&boom.scenario, readings).unwrap();
        diagnosis.explanations.iter().find(|e| e.is_healthy()).unwrap().probability
    };
    let usual = no_fault(&readings);
    readings.prior.no_fault = Some(0.05);
    let suspicious = no_fault(&readings);
    assert!(suspicious < usual, "{usual} {suspicious}");
}
