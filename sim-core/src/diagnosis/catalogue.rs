//! Every fault a machine can have, at every place it can be.

use super::fault::{Fault, FaultKind, Spot};
use crate::plumbing::{Branch, BranchId, GaugeId, Part, Plumbing, SectionId, ShutOff, Side, TipId};
use crate::procedure::{Actuator, Held};
use crate::scenario::{ReadingPlace, Readings};

/// The faults of `plumbing` that `readings` are held against, in a fixed order.
///
/// Faults of a single tip are listed where the tip was caught; the tips of a section that were not caught
/// occur together as one place, since no reading tells them apart.
pub fn catalogue(plumbing: &Plumbing, readings: &Readings) -> Vec<Fault> {
    let caught = caught(readings);
    let mut faults = Vec::new();
    let mut add = |kind, spot| faults.push(Fault { kind, spot });
    for (i, branch) in plumbing.branches.iter().enumerate() {
        for kind in of_branch(branch, plumbing) {
            if kind != FaultKind::ValvePartOpen || used(BranchId::at(i), readings) {
                add(kind, Spot::Branch(BranchId::at(i)));
            }
        }
    }
    for i in 0..plumbing.sections.len() {
        let id = SectionId::at(i);
        add(FaultKind::SectionWorn, Spot::Section(id));
        if uncaught(id, plumbing, &caught).is_some() {
            add(FaultKind::TipUncaught, Spot::Section(id));
        }
    }
    if !plumbing.tips.is_empty() {
        add(FaultKind::BoomWorn, Spot::Boom);
    }
    for id in caught {
        let tip = &plumbing.tips[id.index()];
        add(FaultKind::TipWrong, Spot::Tip(id));
        if tip.body_kv_si.is_some() {
            add(FaultKind::TipStrainerMissing, Spot::Tip(id));
        }
        if matches!(tip.shut_off, ShutOff::CheckValve { .. }) {
            add(FaultKind::CheckStuck, Spot::Tip(id));
        }
    }
    gauges(plumbing, readings).into_iter().for_each(|spot| add(FaultKind::GaugeOff, spot));
    faults
}

/// The kinds of fault a line or part can have by itself.
fn of_branch(branch: &Branch, plumbing: &Plumbing) -> Vec<FaultKind> {
    use FaultKind as K;
    let to_tank = plumbing.node(branch.to).tank.is_some();
    match &branch.part {
        Part::Line(_) if branch.side == Side::Boom => vec![],
        Part::Line(_) => vec![K::HoseKinked, K::HoseOtherBore],
        Part::Strainer(_) => vec![K::StrainerPlugged],
        Part::Valve(_) if to_tank => vec![K::ValvePasses],
        Part::Valve(_) => vec![K::ValvePartOpen],
        Part::CheckValve(_) if to_tank => vec![K::ValvePasses],
        Part::CheckValve(_) => vec![K::CheckStuck],
        Part::Pump(_) => vec![K::PumpSlow, K::PumpWorn, K::AirAtSuction],
        Part::Meter(_) => vec![K::MeterOff],
        Part::Orifice(_) => vec![],
    }
}

/// Whether a valve is open in some state and moved by no control.
fn used(id: BranchId, readings: &Readings) -> bool {
    readings.states.iter().any(|state| {
        let moved = state.controls.iter().any(|c| c.by == Actuator::ValveOpening(id));
        state.settings.opening[id.index()] > 0.0 && !moved
    })
}

/// Gauges that were read, or by which something was held, and the test gauge if it was used.
fn gauges(plumbing: &Plumbing, readings: &Readings) -> Vec<Spot> {
    let places = || readings.states.iter().flat_map(|state| &state.readings).map(|r| r.place);
    let own = places().filter_map(|place| match place {
        ReadingPlace::OwnGauge(i) => Some(Spot::Gauge(i)),
        _ => None,
    });
    let mut spots: Vec<Spot> = own.collect();
    let held = readings.states.iter().flat_map(|state| &state.controls).map(|c| c.held);
    for held in held {
        let Held::Pressure { node, .. } = held else { continue };
        let gauge = plumbing.gauges.iter().position(|gauge| gauge.node == node);
        spots.extend(gauge.map(|i| Spot::Gauge(GaugeId::at(i))));
    }
    if places().any(|place| matches!(place, ReadingPlace::TestGauge(_))) {
        spots.push(Spot::TestGauge);
    }
    spots.sort_unstable();
    spots.dedup();
    spots
}

/// Tips that were caught in some state, in order.
pub(super) fn caught(readings: &Readings) -> Vec<TipId> {
    let places = readings.states.iter().flat_map(|state| &state.readings).map(|r| r.place);
    let mut tips: Vec<TipId> = places
        .filter_map(|place| match place {
            ReadingPlace::Catch(tip) => Some(tip),
            _ => None,
        })
        .collect();
    tips.sort_unstable();
    tips.dedup();
    tips
}

/// The middle one of the tips of `section` that are not among those `caught`.
pub(super) fn uncaught(section: SectionId, plumbing: &Plumbing, caught: &[TipId]) -> Option<TipId> {
    let tips = plumbing.tips.iter().enumerate();
    let left: Vec<TipId> = tips
        .filter(|(_, tip)| tip.section == Some(section))
        .map(|(i, _)| TipId::at(i))
        .filter(|id| !caught.contains(id))
        .collect();
    left.get(left.len() / 2).copied()
}
