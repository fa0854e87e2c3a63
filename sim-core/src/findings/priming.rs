//! When is new liquid at every tip, and what was sprayed until then?

use super::step::{DeadLeg, Priming, SectionPriming};
use crate::hydraulics::Instant;
use crate::plumbing::{BranchId, SectionId, Side};
use crate::procedure::Action;
use crate::scenario::Scenario;
use crate::simulation::{MovedRecord, StepRecord};

/// Flow below which a line counts as still, m3/s.
const STILL_BELOW_M3_S: f64 = 1e-9;

/// When new liquid came to the tips in step number `step`; `None` for a machine that stands.
pub(super) fn priming(
    scenario: &Scenario,
    step: usize,
    record: &StepRecord,
    moved: &MovedRecord,
    dead_legs: Vec<DeadLeg>,
) -> Option<Priming> {
    if matches!(scenario.steps[step].action, Action::Stand | Action::Rinse) {
        return None;
    }
    let runs: Vec<bool> =
        record.end.tip_flow_m3_s.iter().map(|flow| *flow > STILL_BELOW_M3_S).collect();
    let any_runs = runs.iter().any(|runs| *runs);
    let counts = |i: usize| runs[i] || !any_runs;
    let full = |i: usize| moved.arrivals[i].full_s;
    let counted: Vec<usize> = (0..moved.arrivals.len()).filter(|i| counts(*i)).collect();
    let all_full_s = counted
        .iter()
        .try_fold(0.0f64, |latest, i| full(*i).map(|time| latest.max(time)))
        .filter(|_| !counted.is_empty());
    let flow: f64 = record.end.tip_flow_m3_s.iter().map(|flow| flow.max(0.0)).sum();
    let turnover_s = turnover(scenario, &record.end);
    Some(Priming {
        lasted_s: record.end_s - record.start_s,
        any_late: counted.iter().any(|i| full(*i).is_none_or(|time| time > 0.0)),
        fed_strength: moved.fed_strength,
        arrivals: moved.arrivals.clone(),
        all_full_s,
        sections: sections(scenario, &counted, &full),
        sprayed_m3: moved.sprayed.liquid_m3,
        sprayed_weak_m3: moved.sprayed_weak.liquid_m3,
        product_weak_m3: moved.sprayed_weak.product_m3,
        weak_price: scenario.product.price_per_m3.map(|p| p * moved.sprayed_weak.product_m3),
        weak_distance_m: scenario
            .travel
            .filter(|_| flow > 0.0)
            .zip(all_full_s)
            .map(|(travel, time)| travel.speed_m_s * time),
        turnover_s,
        dead_legs,
    })
}

/// First, middle and last tip of each section to come to full strength.
fn sections(
    scenario: &Scenario,
    counted: &[usize],
    full: &dyn Fn(usize) -> Option<f64>,
) -> Vec<SectionPriming> {
    let mut of_section: Vec<Vec<Option<f64>>> = vec![Vec::new(); scenario.plumbing.sections.len()];
    for &i in counted {
        if let Some(section) = scenario.plumbing.tips[i].section {
            of_section[section.index()].push(full(i));
        }
    }
    let finding = |(i, mut times): (usize, Vec<Option<f64>>)| {
        let later = |time: &Option<f64>| time.unwrap_or(f64::INFINITY);
        times.sort_by(|a, b| later(a).total_cmp(&later(b)));
        (!times.is_empty()).then(|| SectionPriming {
            section: SectionId::at(i),
            first_s: times[0],
            median_s: times[(times.len() - 1) / 2],
            last_s: times[times.len() - 1],
        })
    };
    of_section.into_iter().enumerate().filter_map(finding).collect()
}

/// Volume of the lines in which something flows after the pump, over the flow into them.
fn turnover(scenario: &Scenario, end: &Instant) -> Option<f64> {
    let branches = || scenario.plumbing.branches.iter().zip(&end.flow_m3_s);
    let moving = branches().filter(|(branch, flow)| {
        flow.abs() > STILL_BELOW_M3_S
            && matches!(branch.side, Side::Feed | Side::Boom | Side::Return)
    });
    let volume: f64 =
        moving.filter_map(|(branch, _)| branch.part.line()).map(|l| l.volume_m3()).sum();
    let main = branches().find(|(branch, _)| branch.name == "main").map(|(_, flow)| flow.abs());
    let flow = main.filter(|flow| *flow > STILL_BELOW_M3_S)?;
    Some(volume / flow)
}

/// Mean strength of `legs` by volume, if there are any.
pub(super) fn strength_of(legs: &[DeadLeg]) -> Option<f64> {
    let volume: f64 = legs.iter().map(|leg| leg.volume_m3).sum();
    let product: f64 = legs.iter().map(|leg| leg.volume_m3 * leg.strength).sum();
    (volume > 0.0).then(|| product / volume)
}

/// Capped stretches, the largest first.
pub(super) fn dead_legs(scenario: &Scenario, record: &StepRecord) -> Vec<DeadLeg> {
    let plumbing = &scenario.plumbing;
    let mut ends = vec![0usize; plumbing.nodes.len()];
    for branch in &plumbing.branches {
        ends[branch.from.index()] += 1;
        ends[branch.to.index()] += 1;
    }
    for tip in &plumbing.tips {
        ends[tip.node.index()] += 1;
    }
    let capped = |node: usize| ends[node] == 1 && plumbing.nodes[node].tank.is_none();
    let strengths = record.moved.as_ref().map(|moved| &moved.line_strength);
    let leg = |(i, branch): (usize, &crate::plumbing::Branch)| {
        let line = branch.part.line()?;
        let is_leg = capped(branch.from.index()) || capped(branch.to.index());
        is_leg.then(|| DeadLeg {
            branch: BranchId::at(i),
            volume_m3: line.volume_m3(),
            bores: line.length_m / line.bore_m,
            strength: strengths.and_then(|s| s[i]).unwrap_or(0.0),
            full_s: record.moved.as_ref().and_then(|moved| moved.leg_full_s[i]),
        })
    };
    let mut legs: Vec<DeadLeg> = plumbing.branches.iter().enumerate().filter_map(leg).collect();
    legs.sort_by(|a, b| b.volume_m3.total_cmp(&a.volume_m3).then(a.branch.cmp(&b.branch)));
    legs
}
