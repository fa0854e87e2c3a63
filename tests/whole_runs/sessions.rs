//! A run that is advanced piece by piece, changed on its way and cloned.

use checks::root;
use rand::{RngExt as _, SeedableRng as _};
use rand_chacha::ChaCha8Rng;
use sim_core::findings::{StepFindings, of_run};
use sim_core::procedure::{Lasts, Step, Until};
use sim_core::scenario::Scenario;
use sim_core::simulation::{Record, Session, StepRecord, run};

fn shipped(name: &str) -> Scenario {
    checks::scenario(&root().join(format!("scenarios/{name}.toml"))).unwrap()
}

/// The same with its first step alone, for `most_s`.
fn first_step(name: &str, most_s: f64) -> Scenario {
    let mut scenario = shipped(name);
    scenario.course.steps.truncate(1);
    let step = &mut scenario.course.steps[0];
    step.lasts = Some(Lasts { most_s, until: Until::Time });
    scenario
}

fn session(scenario: &Scenario) -> Session {
    Session::new(&scenario.machine, &scenario.course).unwrap()
}

fn end(session: &mut Session) -> StepRecord {
    session.end().unwrap().unwrap()
}

/// Every figure of flow, pressure, arrival and content at the end of a step, by kinds.
fn figures(record: &StepRecord) -> [Vec<f64>; 6] {
    let moved = record.moved.as_ref().unwrap();
    let mut litres = vec![moved.sprayed.liquid_m3, moved.returned.liquid_m3];
    litres.extend(moved.air.iter().map(|air| air.returned.liquid_m3));
    let mut concentrations = moved.tip_concentration.clone();
    concentrations.extend(moved.line_concentration.iter().flatten());
    let mut times = vec![record.end_s];
    times.extend(moved.arrivals.iter().filter_map(|arrival| arrival.half_s));
    let air = moved.air.iter().map(|air| air.account.supplied_kg).collect();
    let end = &record.end;
    [litres, concentrations, times, air, end.static_pressure_pa.clone(), end.flow_m3_s.clone()]
}

/// The largest difference of any figure of `a` and `b` over the largest of its kind.
fn differ(a: &StepRecord, b: &StepRecord) -> f64 {
    let of_kind = |(a, b): (Vec<f64>, Vec<f64>)| {
        assert_eq!(a.len(), b.len());
        let largest = a.iter().fold(f64::MIN_POSITIVE, |most, a| most.max(a.abs()));
        let off = a.iter().zip(&b).map(|(a, b)| (a - b).abs());
        off.fold(0.0, f64::max) / largest
    };
    figures(a).into_iter().zip(figures(b)).map(of_kind).fold(0.0, f64::max)
}

/// Whether `a` and `b` are the same to the last digit; what is not a number is so in both.
fn same(a: &StepRecord, b: &StepRecord) -> bool {
    format!("{a:?}") == format!("{b:?}")
}

fn found(scenario: &Scenario, record: StepRecord) -> StepFindings {
    let record = Record { steps: vec![record] };
    of_run(&scenario.machine, &scenario.course, &scenario.limits, &record).remove(0)
}

/// Cut at events, the end of the ramp and any move of flows that have come, the steps through time stay what they are.
#[test]
fn a_run_cut_at_events_is_the_whole_run_to_the_last_digit() {
    let mut random = ChaCha8Rng::seed_from_u64(1);
    let scenario = first_step("heron-36m-prime-one-end", 25.0);
    let step = &scenario.course.steps[0];
    let mut whole = session(&scenario);
    whole.begin(step.clone()).unwrap();
    let mut ends = Vec::new();
    while whole.under_way() {
        whole.move_on(f64::INFINITY).unwrap();
        ends.push(whole.time_s());
    }
    let whole = end(&mut whole);
    assert!(same(&whole, &run(&scenario.machine, &scenario.course).unwrap().steps[0]));
    let steady_s = whole.moved.as_ref().unwrap().steady_after_s.unwrap();
    let ramp_s = step.change.ramp_s;
    let mut cut = session(&scenario);
    cut.begin(step.clone()).unwrap();
    let mut pieces = 0;
    for at_s in ends {
        let is_ramps_end = (at_s - ramp_s).abs() < 1e-9;
        if is_ramps_end || (at_s > steady_s && random.random_bool(0.2)) {
            cut.advance(at_s - cut.time_s()).unwrap();
            pieces += 1;
        }
    }
    assert!(pieces > 10, "{pieces}");
    cut.advance(f64::INFINITY).unwrap();
    assert!(same(&whole, &end(&mut cut)));
}

/// Where pieces cut moves short the steps through time are others: what primes and what comes back differs by no more than
/// their errors, 0.1 % of the flows of liquid and half a percent of what returns with air, as `simulation` states them.
#[test]
fn a_run_cut_anywhere_is_the_whole_run_to_the_error_of_its_steps() {
    let mut random = ChaCha8Rng::seed_from_u64(2);
    let priming = first_step("heron-36m-prime-one-end", 25.0);
    let purge = first_step("heron-36m-purge-together", 20.0);
    let primed = |found: &StepFindings| found.priming.as_ref().unwrap().all_full_s.unwrap();
    let returned = |found: &StepFindings| found.purge.as_ref().unwrap().returned_m3;
    for (scenario, of, limit) in
        [(&priming, &primed as &dyn Fn(&StepFindings) -> f64, 1e-3), (&purge, &returned, 5e-3)]
    {
        let whole = run(&scenario.machine, &scenario.course).unwrap().steps.remove(0);
        let mut cut = session(scenario);
        cut.begin(scenario.course.steps[0].clone()).unwrap();
        while cut.under_way() {
            let by_s = random.random_range(0.001..0.4);
            let passed_s = cut.advance(by_s).unwrap();
            assert!((passed_s - by_s).abs() < 2e-9 || !cut.under_way());
        }
        let (whole, cut) = (found(scenario, whole), found(scenario, end(&mut cut)));
        let off = (of(&cut) / of(&whole) - 1.0).abs();
        assert!(off <= limit, "{}: {off:.1e}", scenario.title);
    }
}

#[test]
fn a_clone_goes_on_as_its_original_does_and_leaves_it_alone() {
    let scenario = first_step("heron-36m-purge-together", 6.0);
    let mut original = session(&scenario);
    original.begin(scenario.course.steps[0].clone()).unwrap();
    original.advance(3.0).unwrap();
    let (mut clone, mut other) = (original.clone(), original.clone());
    other.begin(Step::stand(&scenario.machine).lasts(5.0)).unwrap();
    other.advance(5.0).unwrap();
    assert_eq!(original.time_s(), clone.time_s());
    for session in [&mut original, &mut clone] {
        session.advance(2.0).unwrap();
    }
    assert!(same(&end(&mut original), &end(&mut clone)));
}

/// A valve half closed on the way, tips opened, and all stopped: in a session, and in a course whose steps do the same.
#[test]
fn a_change_on_the_way_is_a_step_of_that_change() {
    let mut scenario = first_step("heron-36m-prime-one-end", 1e6);
    let machine = scenario.machine.clone();
    let circulate = scenario.course.steps[0].clone();
    let throttled =
        circulate.clone().named("throttled").valve(machine.roles.return_valve.unwrap(), 0.3);
    let stand = Step::stand(&machine).lasts(1e6);
    let spray = Step::spray(&machine).pump(machine.roles.pump.unwrap(), 0.7).lasts(1e6);
    let changes = [(circulate, 7.3), (throttled, 4.1), (spray, 3.7), (stand, 2.0)];
    let mut live = session(&scenario);
    let mut records = Vec::new();
    for (step, for_s) in &changes {
        live.begin(step.clone()).unwrap();
        live.advance(*for_s).unwrap();
        records.push(end(&mut live));
    }
    scenario.course.steps =
        changes.iter().map(|(step, for_s)| step.clone().lasts(*for_s)).collect();
    let whole = run(&machine, &scenario.course).unwrap();
    for (live, whole) in records.iter().zip(&whole.steps) {
        let off = differ(live, whole);
        assert!(off <= 1e-12, "{off:.1e}");
    }
}

/// A machine of which nobody knew beforehand that it would be blown out: its flows are solved to seven digits with air.
#[test]
fn air_let_in_on_the_way_is_a_step_that_lets_it_in() {
    let mut scenario = first_step("heron-36m-purge-together", 4.0);
    let machine = scenario.machine.clone();
    let purge = scenario.course.steps.remove(0);
    let spray = Step::spray(&machine).lasts(3.0);
    let mut live = session(&scenario);
    live.begin(spray.clone()).unwrap();
    live.advance(3.0).unwrap();
    live.end().unwrap();
    live.begin(purge.clone()).unwrap();
    live.advance(4.0).unwrap();
    let record = end(&mut live);
    scenario.course.steps = vec![spray, purge];
    let whole = run(&machine, &scenario.course).unwrap();
    let off = differ(&record, &whole.steps[1]);
    assert!(off <= 1e-5, "{off:.1e}");
}
