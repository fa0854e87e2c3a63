//! What was read against the tolerances of in-use inspection.

use super::fault::FaultKind;
use super::model::Diagnosis;
use crate::hydraulics::{FlowState, TipLaw};
use crate::measures::Measure;
use crate::plumbing::{BranchId, GaugeId, NodeId, Side, TipId};
use crate::procedure::{Action, Held};
use crate::scenario::{ReadingPlace, Readings, Scenario, State};

/// Flow of a tip off its nominal flow, at most: ISO 16122-2, from memory.
const TIP_FLOW: f64 = 0.10;
/// Change of pressure as sections are closed, at most: ISO 16122-2, from memory.
const CLOSED_SECTIONS: f64 = 0.10;
/// A machine's gauge off the truth, at most: this share above [`LOW_PA`], [`LOW_GAUGE_PA`] up to it: ISO 16122-2, from
/// memory.
const GAUGE: f64 = 0.10;
const LOW_PA: f64 = 2e5;
const LOW_GAUGE_PA: f64 = 2e4;
/// Delivery of a pump, at least, as a share of its nominal one: ISO 16122-2, from memory.
const PUMP: f64 = 0.90;
const SOURCE: &str = "ISO 16122-2, from memory";

/// A caught tip beside what its size should give.
#[derive(Clone, Debug, PartialEq)]
pub struct TipWear {
    /// Index of the state.
    pub state: usize,
    /// The tip.
    pub tip: TipId,
    /// Flow caught, m3/s.
    pub read_m3_s: f64,
    /// Pressure at its body, Pa gauge.
    pub pressure_pa: f64,
    /// Whether that pressure was read, there or elsewhere in its section; if not, it is the best explanation's.
    pub pressure_is_read: bool,
    /// What a new tip of its size gives at that pressure, m3/s.
    pub nominal_m3_s: f64,
    /// Flow over nominal flow less 1: wear where positive.
    pub off: f64,
    /// Whether it is within the tolerance.
    pub met: bool,
}

/// A tolerance, met or not.
#[derive(Clone, Debug, PartialEq)]
pub struct InUse {
    /// What is judged.
    pub what: &'static str,
    /// Where.
    pub place: String,
    /// The share (or Pa) found.
    pub value: f64,
    /// The largest that is met (smallest for a delivery).
    pub limit: f64,
    /// Whether value and limit are pressures rather than shares.
    pub is_pressure: bool,
    /// Whether it is met.
    pub met: bool,
    /// Who demands it.
    pub source: String,
}

/// Every caught tip beside its size, with its share of wear.
pub fn tip_wear(scenario: &Scenario, readings: &Readings, diagnosis: &Diagnosis) -> Vec<TipWear> {
    let best = &diagnosis.explanations[0];
    let mut found = Vec::new();
    for (i, state) in readings.states.iter().enumerate() {
        for reading in &state.readings {
            let ReadingPlace::Catch(id) = reading.place else { continue };
            let tip = &scenario.machine.plumbing.tips[id.index()];
            let read = pressure_near(id, state, scenario, &diagnosis.healthy[i]);
            let pressure_pa = read.unwrap_or(best.instants[i].tip_pressure_pa[id.index()]);
            let new = crate::plumbing::Tip { wear: 0.0, ..tip.clone() };
            let nominal_m3_s = TipLaw::new(&new, &scenario.course.liquid).open_flow(pressure_pa);
            if nominal_m3_s > 0.0 {
                let off = reading.value / nominal_m3_s - 1.0;
                found.push(TipWear {
                    state: i,
                    tip: id,
                    read_m3_s: reading.value,
                    pressure_pa,
                    pressure_is_read: read.is_some(),
                    nominal_m3_s,
                    off,
                    met: off.abs() <= TIP_FLOW,
                });
            }
        }
    }
    found
}

/// Pressure at its body, Pa gauge, at which a new tip of the size of `tip` gives `flow_m3_s`.
pub fn pressure_of_catch(scenario: &Scenario, tip: TipId, flow_m3_s: f64) -> f64 {
    let tip = &scenario.machine.plumbing.tips[tip.index()];
    let new = crate::plumbing::Tip { wear: 0.0, ..tip.clone() };
    TipLaw::new(&new, &scenario.course.liquid).loss_at(flow_m3_s.max(0.0), 0.0).pa
}

/// Pressure at the body of `tip`, from the nearest test gauge in its section: what a healthy machine loses between them is
/// counted, so that the figure leans on no explanation.
fn pressure_near(
    tip: TipId,
    state: &State,
    scenario: &Scenario,
    healthy: &FlowState,
) -> Option<f64> {
    let plumbing = &scenario.machine.plumbing;
    let tip = &plumbing.tips[tip.index()];
    let of_section = |node: NodeId| {
        let touches = |branch: &crate::plumbing::Branch| {
            branch.side == Side::Boom && [branch.from, branch.to].contains(&node)
        };
        let near =
            |branch: &&crate::plumbing::Branch| branch.section == tip.section && touches(branch);
        node == tip.node || (tip.section.is_some() && plumbing.branches.iter().any(|b| near(&b)))
    };
    let gauges = state.readings.iter().filter_map(|reading| match reading.place {
        ReadingPlace::TestGauge(node) if of_section(node) => Some((node, reading.value)),
        _ => None,
    });
    let away = |node: NodeId| (plumbing.node(node).x_m.unwrap_or(tip.x_m) - tip.x_m).abs();
    let (node, read) = gauges.min_by(|a, b| away(a.0).total_cmp(&away(b.0)))?;
    let at = |node: NodeId| healthy.static_pressure_pa[node.index()];
    Some(read + at(tip.node) - at(node))
}

fn pressure_at(node: NodeId, state: &State) -> Option<f64> {
    state.readings.iter().find(|r| r.place == ReadingPlace::TestGauge(node)).map(|r| r.value)
}

/// Every tolerance that the readings can be held against.
pub fn in_use(scenario: &Scenario, readings: &Readings, diagnosis: &Diagnosis) -> Vec<InUse> {
    let mut verdicts = Vec::new();
    let wear = tip_wear(scenario, readings, diagnosis);
    let worst = wear.iter().max_by(|a, b| a.off.abs().total_cmp(&b.off.abs()));
    verdicts.extend(worst.map(|worst| {
        let place = format!("tip {}", scenario.machine.plumbing.tips[worst.tip.index()].name);
        at_most("tip flow, off nominal", place, worst.off.abs(), TIP_FLOW)
    }));
    for state in readings.states.iter().filter(|state| state.action == Action::Spray) {
        verdicts.extend(section_drop(scenario, state));
        verdicts.extend(section_balance(scenario, state));
        verdicts.extend(own_gauge(scenario, state));
    }
    verdicts.extend(closed_sections(scenario, readings));
    verdicts.extend(pump(diagnosis));
    verdicts
}

fn at_most(what: &'static str, place: String, value: f64, limit: f64) -> InUse {
    let (source, met) = (SOURCE.to_owned(), value <= limit);
    InUse { what, place, value, limit, is_pressure: false, met, source }
}

/// Those of `verdicts` that are not met, or else the one nearest to its limit.
fn telling(mut verdicts: Vec<InUse>) -> Vec<InUse> {
    verdicts.sort_by(|a, b| b.value.total_cmp(&a.value));
    let unmet = verdicts.iter().filter(|verdict| !verdict.met).count();
    verdicts.truncate(unmet.max(1));
    verdicts
}

/// Drop from the pressure held to the far end of each section read.
fn section_drop(scenario: &Scenario, state: &State) -> Vec<InUse> {
    let Some((held, limit)) = state.held_pa().zip(scenario.limits.on(Measure::SectionDrop)) else {
        return Vec::new();
    };
    let sections = scenario.machine.plumbing.sections.iter();
    let drop = |section: &crate::plumbing::Section| {
        let closed = |valve| state.settings.opening[BranchId::index(valve)] <= 0.0;
        if section.valve.is_some_and(closed) {
            return None;
        }
        let lowest = section.far_ends.iter().filter_map(|node| pressure_at(*node, state));
        let value = 1.0 - lowest.reduce(f64::min)? / held;
        let place = format!("section {}, state \"{}\"", section.name, state.name);
        let what = "drop, gauge to far end";
        Some(InUse { source: limit.source.clone(), ..at_most(what, place, value, limit.at_most?) })
    };
    telling(sections.filter_map(drop).collect())
}

/// Pressure at the feed end of each section read against their mean.
fn section_balance(scenario: &Scenario, state: &State) -> Vec<InUse> {
    let Some(limit) = scenario.limits.on(Measure::SectionBalance) else { return Vec::new() };
    let ends = scenario.machine.plumbing.sections.iter();
    let ends: Vec<(&str, f64)> =
        ends.filter_map(|s| Some((s.name.as_str(), pressure_at(s.feed_end?, state)?))).collect();
    if ends.len() < 2 {
        return Vec::new();
    }
    let mean = ends.iter().map(|(_, pa)| pa).sum::<f64>() / ends.len() as f64;
    let verdict = |(name, pa): (&str, f64)| {
        let (what, value) = ("section feed end, off mean", (pa / mean - 1.0).abs());
        let place = format!("section {name}, state \"{}\"", state.name);
        Some(InUse { source: limit.source.clone(), ..at_most(what, place, value, limit.at_most?) })
    };
    telling(ends.into_iter().filter_map(verdict).collect())
}

/// The machine's gauges against a test gauge at the same place.
fn own_gauge(scenario: &Scenario, state: &State) -> Vec<InUse> {
    let gauges = scenario.machine.plumbing.gauges.iter().enumerate();
    let verdict = |(i, gauge): (usize, &crate::plumbing::Gauge)| {
        let own = state
            .readings
            .iter()
            .find(|r| r.place == ReadingPlace::OwnGauge(GaugeId::at(i)))
            .map(|r| r.value);
        let held = state.controls.iter().find_map(|control| match control.held {
            Held::Pressure { node, pa } if node == gauge.node => Some(pa),
            _ => None,
        });
        let (shown, truth) = (own.or(held)?, pressure_at(gauge.node, state)?);
        let place = format!("gauge \"{}\", state \"{}\"", gauge.name, state.name);
        let off = (shown - truth).abs();
        Some(if truth <= LOW_PA {
            let verdict = at_most("machine's gauge, off", place, off, LOW_GAUGE_PA);
            InUse { is_pressure: true, ..verdict }
        } else {
            at_most("machine's gauge, off", place, off / truth, GAUGE)
        })
    };
    gauges.filter_map(verdict).collect()
}

/// Pressure at one place with other sections open and closed, the same pressure held.
fn closed_sections(scenario: &Scenario, readings: &Readings) -> Option<InUse> {
    let sprays = |state: &&State| state.action == Action::Spray && state.held_pa().is_some();
    let states: Vec<&State> = readings.states.iter().filter(sprays).collect();
    let mut worst: Option<InUse> = None;
    for (i, one) in states.iter().enumerate() {
        let others = states[i + 1..].iter().filter(|other| other.held_pa() == one.held_pa());
        for other in others {
            for reading in one.readings.iter().filter(|r| r.place.is_pressure()) {
                let same = other.readings.iter().find(|r| r.place == reading.place);
                let Some(change) = same.map(|r| (r.value / reading.value - 1.0).abs()) else {
                    continue;
                };
                if worst.as_ref().is_none_or(|worst| change > worst.value) {
                    let place = reading.place.words(&scenario.machine.plumbing);
                    let what = "change as sections are closed";
                    worst = Some(at_most(what, place, change, CLOSED_SECTIONS));
                }
            }
        }
    }
    worst
}

/// The pump's delivery, where a worn pump explains the readings best.
fn pump(diagnosis: &Diagnosis) -> Option<InUse> {
    let best = diagnosis.explanations.first()?;
    let worn = best.faults.iter().find(|f| f.fault.kind == FaultKind::PumpWorn)?;
    let left = 1.0 - worn.severity;
    let verdict = at_most("pump delivery, of nominal", "as fitted".into(), left, PUMP);
    Some(InUse { met: left >= PUMP, ..verdict })
}
