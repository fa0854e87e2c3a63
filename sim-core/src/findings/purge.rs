//! How much comes home, what stays where, and what it takes.

use super::purge_cautions;
use super::step::{Measure, StepFindings, Verdict};
use crate::air::{density, stored_energy_per_volume};
use crate::fluids::ATMOSPHERE_PA;
use crate::plumbing::{BranchId, NodeId, Plumbing, SectionId, Side};
use crate::procedure::Action;
use crate::scenario::{Limit, Scenario};
use crate::simulation::{AirRecord, Record};
use crate::transport::{Amount, LineLeft, suction_lines};
use std::ops::Range;

/// A purge: all steps of purging that follow one another.
#[derive(Clone, Debug, PartialEq)]
pub struct Purge {
    /// Numbers of its steps.
    pub steps: Range<usize>,
    /// How long it took, s.
    pub lasted_s: f64,
    /// Liquid in lines when it starts, m3; that of the suction side left out.
    pub at_start_m3: f64,
    /// What came back into tanks.
    pub returned: Amount,
    /// What went out of tips.
    pub lost: Amount,
    /// What is left, m3.
    pub left_m3: f64,
    /// Product in it, m3 of full strength.
    pub left_product_m3: f64,
    /// What is left by cause.
    pub causes: LineLeft,
    /// Lines that hold something, the most first.
    pub by_line: Vec<(BranchId, LineLeft)>,
    /// When air first came through at the far end of each section, s; `None`: not while it lasted.
    pub breakthrough: Vec<(SectionId, Option<f64>)>,
    /// When half, 90 % and 95 % of what came home had done so, s.
    pub home_s: Option<[f64; 3]>,
    /// Compressed air used, kg.
    pub air_kg: f64,
    /// The same as free air, m3 (at the standard atmosphere and 20 degC).
    pub free_air_m3: f64,
    /// Pressure in the receiver at the start, at the end and at its lowest, Pa gauge, if there is one.
    pub receiver_pa: Option<[f64; 3]>,
    /// Highest pressure that stood for about 50 ms, Pa gauge, and where.
    pub highest: Option<(f64, NodeId)>,
    /// Highest pressure over the rating of the line it stood in, and that line, if any is rated.
    pub over_rating: Option<(f64, BranchId)>,
    /// Tips that opened, and the first of them with its time, s.
    pub opened: Option<(usize, usize, f64)>,
    /// Energy stored in the receiver as it is charged, J, if there is one.
    pub stored_j: Option<f64>,
    /// Water that brings what is left down to the strength wanted, m3: in one flush and in three equal ones.
    pub rinse_m3: [f64; 2],
    /// The strength wanted, as a share of the present one.
    pub rinse_to: f64,
    /// Price of what is left and of what was lost, if the scenario gives one.
    pub price: Option<[f64; 2]>,
}

/// Strength a rinse is to reach where the scenario does not say: drained liquid at most 2 % of the original
/// (ISO 16119-4:2014, from an excerpt).
const RINSE_TO: f64 = 0.02;
/// Residual a boom sprayer may keep: share of its tank and volume for each metre of boom, m3 (ISO 16119-2, from
/// memory).
const RESIDUAL: (f64, f64) = (0.005, 2e-3);

/// Adds to the findings of the last step of each purge what the whole of it did.
pub fn add_purges(scenario: &Scenario, record: &Record, findings: &mut [StepFindings]) {
    let purges = |i: &usize| scenario.steps[*i].action == Action::Purge;
    let mut at = 0;
    while at < scenario.steps.len() {
        let end = (at..scenario.steps.len()).find(|i| !purges(i)).unwrap_or(scenario.steps.len());
        if end == at {
            at += 1;
            continue;
        }
        if let Some(purge) = purge(scenario, record, at..end) {
            let last = &mut findings[end - 1];
            last.warnings.extend(purge_cautions::cautions(scenario, &purge));
            last.verdicts.extend(verdicts(scenario, &purge));
            last.purge = Some(purge);
        }
        at = end;
    }
}

fn purge(scenario: &Scenario, record: &Record, steps: Range<usize>) -> Option<Purge> {
    let plumbing = &scenario.plumbing;
    let moved: Vec<(f64, &AirRecord)> = steps
        .clone()
        .filter_map(|i| {
            let moved = record.steps[i].moved.as_ref()?;
            Some((record.steps[i].start_s - record.steps[steps.start].start_s, moved.air.as_ref()?))
        })
        .collect();
    let (first, last) = (moved.first()?.1, moved.last()?.1);
    let suction = suction_lines(plumbing);
    let sum = |pick: fn(&AirRecord) -> Amount| {
        let mut whole = Amount::default();
        moved.iter().for_each(|(_, air)| whole += pick(air));
        whole
    };
    let (returned, lost) = (sum(|air| air.returned), sum(|air| air.lost));
    let unreached: f64 = last
        .left
        .iter()
        .zip(&suction)
        .filter(|(_, suction)| **suction)
        .map(|(left, _)| left.liquid_m3())
        .sum();
    let mut by_line: Vec<(BranchId, LineLeft)> = last
        .left
        .iter()
        .enumerate()
        .filter(|(i, left)| !suction[*i] && left.liquid_m3() > 0.0)
        .map(|(i, left)| (BranchId::at(i), *left))
        .collect();
    by_line.sort_by(|a, b| b.1.liquid_m3().total_cmp(&a.1.liquid_m3()));
    let mut causes = LineLeft::default();
    by_line.iter().for_each(|(_, left)| causes.add(left));
    let air_kg: f64 = moved.iter().map(|(_, air)| air.account.supplied_kg).sum();
    let receiver = last.receiver_pa.zip(first.receiver_pa).filter(|_| has_receiver(plumbing));
    let rinse_to = scenario.limits.rinsed_to.as_ref().map_or(RINSE_TO, |limit| limit.at_most);
    let left_m3 = causes.liquid_m3();
    let flush = |n: f64| n * left_m3 * (rinse_to.powf(-1.0 / n) - 1.0);
    let lowest = moved.iter().filter_map(|(_, air)| Some(air.receiver_pa?[2])).reduce(f64::min);
    let price = scenario.product.price_per_m3;
    Some(Purge {
        lasted_s: record.steps[steps.end - 1].end_s - record.steps[steps.start].start_s,
        at_start_m3: first.at_start_m3 - unreached,
        left_m3,
        left_product_m3: causes.product_m3,
        by_line,
        breakthrough: breakthrough(plumbing, &moved),
        home_s: home(record, steps.clone(), returned.liquid_m3),
        air_kg,
        free_air_m3: air_kg / density(ATMOSPHERE_PA),
        receiver_pa: receiver
            .zip(lowest)
            .map(|((end, start), lowest)| [start[0], end[1], lowest].map(|pa| pa - ATMOSPHERE_PA)),
        highest: moved
            .iter()
            .filter_map(|(_, air)| air.highest_pa)
            .max_by(|a, b| a.0.total_cmp(&b.0))
            .map(|(pa, node)| (pa - ATMOSPHERE_PA, node)),
        over_rating: moved
            .iter()
            .filter_map(|(_, air)| air.over_rating)
            .max_by(|a, b| a.0.total_cmp(&b.0)),
        opened: opened(&moved),
        stored_j: plumbing.air.as_ref().filter(|_| has_receiver(plumbing)).map(|air| {
            air.receiver_m3 * stored_energy_per_volume(air.charged_to_pa + ATMOSPHERE_PA)
        }),
        rinse_m3: [flush(1.0), flush(3.0)],
        rinse_to,
        price: price.map(|price| [causes.product_m3 * price, lost.product_m3 * price]),
        steps,
        returned,
        lost,
        causes,
    })
}

fn has_receiver(plumbing: &Plumbing) -> bool {
    plumbing.air.as_ref().is_some_and(|air| air.receiver_m3 > 0.0)
}

/// How many tips opened at most in a step, the first of all, and when.
fn opened(moved: &[(f64, &AirRecord)]) -> Option<(usize, usize, f64)> {
    let first = moved.iter().find_map(|(start, air)| Some((air.opened?, *start)));
    let most = moved.iter().map(|(_, air)| air.tips_opened).max()?;
    first.map(|((tip, time), start)| (most, tip, start + time))
}

/// When air first came through at the far end of each section: through any of its return hoses, or through all of
/// its tubes where it has none.
fn breakthrough(plumbing: &Plumbing, moved: &[(f64, &AirRecord)]) -> Vec<(SectionId, Option<f64>)> {
    let when = |branch: usize| {
        moved.iter().find_map(|(start, air)| Some(start + air.broken_through_s[branch]?))
    };
    let of = |i: usize| {
        let lines = |side: Side| {
            plumbing.branches.iter().enumerate().filter_map(move |(k, branch)| {
                let own = branch.section == Some(SectionId::at(i)) && branch.side == side;
                (own && branch.part.line().is_some()).then_some(k)
            })
        };
        let ends = lines(Side::Return).next().is_some();
        let time = if ends {
            lines(Side::Return).filter_map(when).reduce(f64::min)
        } else {
            lines(Side::Boom).map(when).reduce(|last, time| Some(last?.max(time?))).flatten()
        };
        (SectionId::at(i), time)
    };
    (0..plumbing.sections.len()).map(of).collect()
}

/// When half, 90 % and 95 % of what came home had done so.
fn home(record: &Record, steps: Range<usize>, whole_m3: f64) -> Option<[f64; 3]> {
    let start_s = record.steps[steps.start].start_s;
    let (mut before, mut course) = (0.0, vec![(0.0, 0.0)]);
    for step in &record.steps[steps] {
        let moved = step.moved.as_ref()?;
        for sample in &moved.samples {
            let Some(air) = &sample.air else { continue };
            course.push((sample.time_s - start_s, before + f64::from(air.returned_m3)));
        }
        before += moved.air.as_ref()?.returned.liquid_m3;
    }
    let reach = |share: f64| {
        let wanted = share * whole_m3;
        let pair = course.windows(2).find(|pair| pair[1].1 >= wanted)?;
        let ((t0, v0), (t1, v1)) = (pair[0], pair[1]);
        Some(if v1 > v0 { t0 + (t1 - t0) * (wanted - v0) / (v1 - v0) } else { t1 })
    };
    (whole_m3 > 0.0).then(|| Some([reach(0.5)?, reach(0.9)?, reach(0.95)?]))?
}

fn verdicts(scenario: &Scenario, purge: &Purge) -> Vec<Verdict> {
    let worst = purge.by_line.first();
    let place = worst.map(|(id, _)| format!("most in {}", scenario.plumbing.branch(*id).name));
    let verdict = |limit, meaning, value, place: Option<String>, demanded: &Limit| Verdict {
        limit,
        meaning,
        value,
        at_most: demanded.at_most,
        measure: Measure::Volume,
        place,
        source: demanded.source.clone(),
        met: value <= demanded.at_most,
    };
    let mut verdicts = Vec::new();
    if let Some(demanded) = &scenario.limits.left_behind_m3 {
        let meaning = "left behind by the purge";
        verdicts.push(verdict("left_behind", meaning, purge.left_m3, place.clone(), demanded));
    }
    if let Some(demanded) = &scenario.limits.lost_m3 {
        verdicts.push(verdict("lost", "lost through tips", purge.lost.liquid_m3, None, demanded));
    }
    if let Some(at_most) = residual_limit(scenario) {
        let source = "ISO 16119-2, from memory".to_owned();
        let demanded = Limit { at_most, source };
        verdicts.push(verdict("residual", "left in the lines", purge.left_m3, place, &demanded));
    }
    verdicts
}

/// What a boom sprayer of this tank and width may keep, m3, if both are known.
fn residual_limit(scenario: &Scenario) -> Option<f64> {
    let plumbing = &scenario.plumbing;
    let capacity = plumbing.tanks.first()?.capacity_m3?;
    let places = || plumbing.tips.iter().map(|tip| tip.x_m);
    let width = places().reduce(f64::max)? - places().reduce(f64::min)?;
    (width > 0.0).then_some(RESIDUAL.0 * capacity + RESIDUAL.1 * width)
}
