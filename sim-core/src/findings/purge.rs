//! How much a purge returns, what stays where, and what it takes.

use super::measured::{Measures, Place};
use super::named::Named;
use super::ranking::largest_first;
use super::refill::flush_refilled_m3;
use super::residual::{LineResidual, Residual};
use crate::air::{density, stored_energy_per_volume};
use crate::fluids::{AbsolutePressure, GaugePressure};
use crate::measures::Measure;
use crate::plumbing::{AirSupply, BranchId, NodeId, Plumbing, SectionId, Side, TipId};
use crate::procedure::Course;
use crate::simulation::{AirRecord, Record};
use crate::transport::Amount;
use schemars::JsonSchema;
use serde::Serialize;
use std::ops::Range;

/// A purge: all steps of purging that follow one another. Times are after its start; product is given as volume at
/// full strength.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Purge {
    /// Its steps.
    pub steps: Vec<Named<usize>>,
    /// How long it took.
    pub lasted_s: f64,
    /// Liquid in lines when it starts; that of the suction side left out.
    pub at_start_m3: f64,
    /// Liquid that came back into tanks.
    pub returned_m3: f64,
    /// Product in what came back.
    pub returned_product_m3: f64,
    /// What was back before some of it ran into the lines again; left out where none did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ran_back: Option<RanBack>,
    /// Liquid that went out of tips.
    pub lost_m3: f64,
    /// Product in what went out of tips.
    pub lost_product_m3: f64,
    /// Liquid left in lines when it ends, that of the suction side left out.
    pub residual: Residual,
    /// Each line that holds something, the most first.
    pub by_line: Vec<LineResidual>,
    /// Each section.
    pub sections: Vec<Breakthrough>,
    /// When half of what returned had done so.
    pub half_returned_s: Option<f64>,
    /// When 90 % of what returned had done so.
    pub most_returned_s: Option<f64>,
    /// When 95 % of what returned had done so.
    pub nearly_returned_s: Option<f64>,
    /// Compressed air used.
    pub air_kg: f64,
    /// Compressed air used, as free air at 1013.25 mbar and 20 degC.
    pub free_air_m3: f64,
    /// The receiver, if there is one.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub receiver: Option<ReceiverFinding>,
    /// Highest pressure that held for about 50 ms.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub highest: Option<NodePressure>,
    /// Highest pressure over the rating of the line it was in, if any line is rated.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rating: Option<RatingUse>,
    /// Tips that opened; left out where none did.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opened: Option<OpenedTips>,
    /// Water that dilutes the residual to `rinse_to_share` in one flush.
    pub rinse_once_m3: f64,
    /// Water that does so in three equal flushes.
    pub rinse_thrice_m3: f64,
    /// Water that refills what was purged, m3.
    pub refill_m3: f64,
    /// Water that then flushes it to `rinse_to_share` if all of it mixes, m3; less where a front runs through.
    pub flush_refilled_m3: f64,
    /// Concentration wanted over the present one: `rinsed_to` of the limits, else 2 %.
    pub rinse_to_share: f64,
    /// Price of the residual, where given, in the scenario's currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub residual_price: Option<f64>,
    /// Price of what was lost, where given, in the scenario's currency.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lost_price: Option<f64>,
}

/// Liquid that was back in the tank and ran into the lines again, as air that has lost its pressure lets it.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RanBack {
    /// The most that was back at any time.
    pub most_returned_m3: f64,
    /// When that was, after the purge's start.
    pub most_returned_at_s: f64,
    /// What ran back after that.
    pub ran_back_m3: f64,
}

/// When air first came through at the far end of a section.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Breakthrough {
    /// Which section.
    pub section: Named<SectionId>,
    /// When air first came through at its far end.
    pub breakthrough_s: Option<f64>,
}

/// Pressure in the receiver, gauge, and what it stores.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, JsonSchema)]
pub struct ReceiverFinding {
    /// At the start.
    pub start_pa: f64,
    /// At the end.
    pub end_pa: f64,
    /// At its lowest.
    pub lowest_pa: f64,
    /// Energy stored when it is charged.
    pub stored_j: f64,
}

/// A pressure at a node.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct NodePressure {
    /// The pressure, gauge.
    pub pressure_pa: f64,
    /// Where.
    pub node: Named<NodeId>,
}

/// How near a line comes to its rating.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct RatingUse {
    /// Highest pressure in it over its rating.
    pub rating_share: f64,
    /// Which line.
    pub line: Named<BranchId>,
}

/// Tips that opened though closed.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct OpenedTips {
    /// How many tips opened, at most in a step.
    pub count: usize,
    /// The first tip that opened.
    pub first_tip: Named<TipId>,
    /// When the first tip opened.
    pub first_s: f64,
}

impl Purge {
    /// Its measures.
    pub(super) fn measure(&self, found: &mut Measures) {
        let most = self.by_line.first().map(|most| Place::MostIn(most.line.clone()));
        found.add_at(Measure::PurgeResidual, Some((self.residual.liquid_m3, most)));
        found.add(Measure::PurgeReturned, self.returned_m3);
        found.add(Measure::PurgeLost, self.lost_m3);
        found.add(Measure::PurgeNearlyReturned, self.nearly_returned_s);
        found.add(Measure::PurgeLasted, self.lasted_s);
        found.add(Measure::PurgeFreeAir, self.free_air_m3);
    }
}

/// Concentration a rinse is to reach where the scenario does not say: drained liquid at most 2 % of the original
/// (ISO 16119-4:2014, from an excerpt).
const RINSE_TO: f64 = 0.02;

/// What the purge that takes `steps` of `course` did; `None` where the record holds no air. A rinse after it is to reach
/// `rinse_to_share`, a concentration.
pub(super) fn purge(
    (plumbing, course): (&Plumbing, &Course),
    record: &Record,
    steps: Range<usize>,
    rinse_to_share: Option<f64>,
) -> Option<Purge> {
    let start_s = record.steps[steps.start].start_s;
    let moved: Vec<(f64, &AirRecord)> = record.steps[steps.clone()]
        .iter()
        .filter_map(|step| Some((step.start_s - start_s, step.moved.as_ref()?.air.as_ref()?)))
        .collect();
    let (first, last) = (moved.first()?.1, moved.last()?.1);
    let sum = |pick: fn(&AirRecord) -> Amount| {
        let mut whole = Amount::default();
        moved.iter().for_each(|(_, air)| whole += pick(air));
        whole
    };
    let (returned, lost) = (sum(|air| air.returned), sum(|air| air.lost));
    let (by_line, unreached_m3) = by_line(plumbing, last);
    let residual = Residual::sum(&by_line);
    let returns = returned_over_time(record, steps.clone());
    let reach = |share: f64| time_returned(&returns, share * returned.liquid_m3);
    let air_kg: f64 = moved.iter().map(|(_, air)| air.account.supplied_kg).sum();
    let rinse_to_share = rinse_to_share.unwrap_or(RINSE_TO);
    let held_m3 = first.at_start_m3 - unreached_m3;
    let flush = |n: f64| n * residual.liquid_m3 * (rinse_to_share.powf(-1.0 / n) - 1.0);
    let price = |product_m3: f64| course.product.price_per_m3.map(|price| product_m3 * price);
    Some(Purge {
        lasted_s: record.steps[steps.end - 1].end_s - start_s,
        at_start_m3: held_m3,
        returned_m3: returned.liquid_m3,
        returned_product_m3: returned.product_m3,
        ran_back: ran_back(most_returned(&moved), returned.liquid_m3),
        lost_m3: lost.liquid_m3,
        lost_product_m3: lost.product_m3,
        residual,
        by_line,
        sections: Named::sections(plumbing).map(|id| breakthrough(plumbing, &moved, id)).collect(),
        half_returned_s: reach(0.5),
        most_returned_s: reach(0.9),
        nearly_returned_s: reach(0.95),
        air_kg,
        free_air_m3: air_kg / density(AbsolutePressure::ATMOSPHERE),
        receiver: receiver(plumbing, &moved),
        highest: highest(plumbing, &moved),
        rating: rating(plumbing, &moved),
        opened: opened(plumbing, &moved),
        rinse_once_m3: flush(1.0),
        rinse_thrice_m3: flush(3.0),
        refill_m3: (held_m3 - residual.liquid_m3).max(0.0),
        flush_refilled_m3: flush_refilled_m3(residual.liquid_m3, held_m3, rinse_to_share),
        rinse_to_share,
        residual_price: price(residual.product_m3),
        lost_price: price(lost.product_m3),
        steps: steps.map(|i| Named::new(i, &course.steps[i].name)).collect(),
    })
}

/// Lines that hold something at the end, the most first, and what those of the suction side hold, m3.
fn by_line(plumbing: &Plumbing, last: &AirRecord) -> (Vec<LineResidual>, f64) {
    let suction = plumbing.suction_lines();
    let unreached = last.left.iter().zip(&suction).filter(|(_, suction)| **suction);
    let unreached_m3 = unreached.map(|(left, _)| left.liquid_m3()).sum();
    let reached = last.left.iter().enumerate().filter(|(i, _)| !suction[*i]);
    let holding = reached.filter(|(_, left)| left.liquid_m3() > 0.0);
    let mut lines: Vec<LineResidual> = holding
        .map(|(i, left)| LineResidual {
            line: Named::branch(plumbing, BranchId::at(i)),
            residual: left.into(),
        })
        .collect();
    fn key(line: &LineResidual) -> (f64, &str) {
        (line.residual.liquid_m3, &line.line.name)
    }
    lines.sort_by(|a, b| largest_first(key(a), key(b)));
    (lines, unreached_m3)
}

fn receiver(plumbing: &Plumbing, moved: &[(f64, &AirRecord)]) -> Option<ReceiverFinding> {
    let supply = plumbing.air.as_ref().filter(|air| air.receiver_m3 > 0.0)?;
    let (first, last) = (moved.first()?.1.receiver?, moved.last()?.1.receiver?);
    let lowest = moved.iter().filter_map(|(_, air)| Some(air.receiver?.lowest));
    Some(ReceiverFinding {
        start_pa: first.start.gauge().pa,
        end_pa: last.end.gauge().pa,
        lowest_pa: lowest.reduce(AbsolutePressure::min)?.gauge().pa,
        stored_j: stored_j(supply),
    })
}

fn stored_j(supply: &AirSupply) -> f64 {
    let charged = GaugePressure { pa: supply.charged_to_pa };
    supply.receiver_m3 * stored_energy_per_volume(charged.absolute())
}

fn highest(plumbing: &Plumbing, moved: &[(f64, &AirRecord)]) -> Option<NodePressure> {
    let highest = moved.iter().filter_map(|(_, air)| air.highest);
    let (pressure, node) = highest.max_by(|a, b| a.0.pa.total_cmp(&b.0.pa))?;
    Some(NodePressure { pressure_pa: pressure.gauge().pa, node: Named::node(plumbing, node) })
}

fn rating(plumbing: &Plumbing, moved: &[(f64, &AirRecord)]) -> Option<RatingUse> {
    let uses = moved.iter().filter_map(|(_, air)| air.over_rating);
    let (rating_share, line) = uses.max_by(|a, b| a.0.total_cmp(&b.0))?;
    Some(RatingUse { rating_share, line: Named::branch(plumbing, line) })
}

fn opened(plumbing: &Plumbing, moved: &[(f64, &AirRecord)]) -> Option<OpenedTips> {
    let first = moved.iter().find_map(|(start_s, air)| Some((air.opened?, start_s)));
    let ((tip, time_s), start_s) = first?;
    let count = moved.iter().map(|(_, air)| air.tips_opened).max()?;
    let first_tip = Named::tip(plumbing, tip);
    Some(OpenedTips { count, first_tip, first_s: start_s + time_s })
}

/// When air first came through at the far end of `section` in the steps `moved`.
fn breakthrough(
    plumbing: &Plumbing,
    moved: &[(f64, &AirRecord)],
    section: Named<SectionId>,
) -> Breakthrough {
    let parts: Vec<(f64, &[Option<f64>])> =
        moved.iter().map(|(start_s, air)| (*start_s, &air.broken_through_s[..])).collect();
    let breakthrough_s = section_breakthrough_s(plumbing, &parts, section.id);
    Breakthrough { section, breakthrough_s }
}

/// When air first came through at the far end of `section`, in s of the clock that `parts` start by: when the column of any of its
/// return hoses was first gone, or of all of its tubes where it has none. Of each step, `parts` has when it starts and when the
/// column of each branch was first gone after that.
pub fn section_breakthrough_s(
    plumbing: &Plumbing,
    parts: &[(f64, &[Option<f64>])],
    section: SectionId,
) -> Option<f64> {
    let when =
        |branch: usize| parts.iter().find_map(|(start_s, broken)| Some(start_s + broken[branch]?));
    let lines = |side: Side| {
        plumbing.branches.iter().enumerate().filter_map(move |(k, branch)| {
            let own = branch.section == Some(section) && branch.side == side;
            (own && branch.part.line().is_some()).then_some(k)
        })
    };
    if lines(Side::Return).next().is_some() {
        lines(Side::Return).filter_map(when).reduce(f64::min)
    } else {
        lines(Side::Boom).map(when).reduce(|last, time| Some(last?.max(time?))).flatten()
    }
}

/// Share of what was back from which running back counts.
const RAN_BACK_FROM: f64 = 0.01;

/// The most that was back in the steps `moved`, m3, and when, s after the start of the first.
fn most_returned(moved: &[(f64, &AirRecord)]) -> (f64, f64) {
    let (mut before, mut most) = (0.0, (0.0, 0.0));
    for (start_s, air) in moved {
        let (volume_m3, at_s) = air.most_returned;
        if before + volume_m3 > most.0 {
            most = (before + volume_m3, start_s + at_s);
        }
        before += air.returned.liquid_m3;
    }
    most
}

/// What ran back, where `most_m3` was back at `at_s` and `returned_m3` is at the end.
fn ran_back((most_m3, at_s): (f64, f64), returned_m3: f64) -> Option<RanBack> {
    let ran_back_m3 = most_m3 - returned_m3;
    (ran_back_m3 > RAN_BACK_FROM * most_m3).then_some(RanBack {
        most_returned_m3: most_m3,
        most_returned_at_s: at_s,
        ran_back_m3,
    })
}

/// Times after the start of `steps`, s, and what had returned by then, m3.
fn returned_over_time(record: &Record, steps: Range<usize>) -> Vec<(f64, f64)> {
    let start_s = record.steps[steps.start].start_s;
    let (mut before, mut course) = (0.0, vec![(0.0, 0.0)]);
    for moved in record.steps[steps].iter().filter_map(|step| step.moved.as_ref()) {
        for sample in &moved.samples {
            let Some(air) = &sample.air else { continue };
            course.push((sample.time_s - start_s, before + f64::from(air.returned_m3)));
        }
        before += moved.air.as_ref().map_or(0.0, |air| air.returned.liquid_m3);
    }
    course
}

/// When `volume_m3`, > 0, had first returned, s.
fn time_returned(course: &[(f64, f64)], volume_m3: f64) -> Option<f64> {
    let pair = course.windows(2).find(|pair| pair[1].1 >= volume_m3);
    let ((t0, v0), (t1, v1)) = pair.filter(|_| volume_m3 > 0.0).map(|pair| (pair[0], pair[1]))?;
    Some(if v1 > v0 { t0 + (t1 - t0) * (volume_m3 - v0) / (v1 - v0) } else { t1 })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_purge_that_loses_what_it_had_has_a_most_and_its_time() {
        let part = |returned: f64, most_returned: (f64, f64)| AirRecord {
            returned: Amount { liquid_m3: returned, product_m3: 0.0 },
            most_returned,
            ..AirRecord::default()
        };
        let parts = [part(0.04, (0.045, 3.0)), part(0.01, (0.02, 4.0))];
        let most = most_returned(&[(0.0, &parts[0]), (5.0, &parts[1])]);
        assert_eq!(most, (0.06, 9.0));
        let back = ran_back(most, 0.05).unwrap();
        assert!((back.ran_back_m3 - 0.01).abs() < 1e-15);
        // What swings by less than a hundredth has not run back.
        assert_eq!(ran_back(most, 0.0595), None);
        let course = [(0.0, 0.0), (5.0, 0.04), (9.0, 0.06), (20.0, 0.05)];
        assert!((time_returned(&course, 0.05).unwrap() - 7.0).abs() < 1e-12);
    }
}
