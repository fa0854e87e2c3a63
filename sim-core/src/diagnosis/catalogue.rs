//! Every fault a machine can have, at every place it can be.

use super::extended::leaking;
use super::fault::{Fault, FaultKind, Spot};
use super::tubes::tubes;
use crate::plumbing::{
    Branch, BranchId, GaugeId, Part, Plumbing, SectionId, ShutOff, Side, Tip, TipId,
};
use crate::procedure::{Actuator, Held};
use crate::scenario::{ReadingPlace, Readings};

/// The faults of `plumbing` that `readings` are held against, in a fixed order: only those whose part is there.
///
/// Faults of a single tip are listed where the tip was caught; the tips of a section that were not caught
/// occur together as one place, since no reading tells them apart, and so do the stretches of a tube between two places that
/// were read.
pub fn catalogue(plumbing: &Plumbing, readings: &Readings) -> Vec<Fault> {
    use FaultKind as K;
    let caught = caught(readings);
    let mut faults = Vec::new();
    let mut add = |kind, spot| faults.push(Fault { kind, spot });
    for (i, branch) in plumbing.branches.iter().enumerate() {
        let id = BranchId::at(i);
        of_branch(id, branch, plumbing, readings).iter().for_each(|k| add(*k, Spot::Branch(id)));
    }
    tubes(plumbing, readings).iter().for_each(|id| add(K::TubeBlocked, Spot::Branch(*id)));
    for i in 0..plumbing.sections.len() {
        let id = SectionId::at(i);
        if plumbing.tips.iter().any(|tip| tip.section == Some(id)) {
            add(K::SectionWorn, Spot::Section(id));
            add(K::SectionClogged, Spot::Section(id));
        }
        if uncaught(id, plumbing, &caught).is_some() {
            add(K::TipUncaught, Spot::Section(id));
        }
    }
    if !plumbing.tips.is_empty() {
        add(K::BoomWorn, Spot::Boom);
        add(K::BoomClogged, Spot::Boom);
    }
    for id in caught {
        let tip = &plumbing.tips[id.index()];
        of_tip(tip).iter().for_each(|kind| add(*kind, Spot::Tip(id)));
    }
    leaking(plumbing).into_iter().for_each(|node| add(K::Leak, Spot::Node(node)));
    gauges(plumbing, readings).into_iter().for_each(|spot| add(K::GaugeOff, spot));
    add(K::LiquidDensity, Spot::Liquid);
    add(K::LiquidViscosity, Spot::Liquid);
    faults
}

/// The kinds of fault a line or part can have by itself.
fn of_branch(
    id: BranchId,
    branch: &Branch,
    plumbing: &Plumbing,
    readings: &Readings,
) -> Vec<FaultKind> {
    use FaultKind as K;
    let to_tank = plumbing.node(branch.to).tank.is_some();
    match &branch.part {
        Part::Line(_) if branch.side == Side::Boom => vec![],
        Part::Line(_) => vec![K::HoseKinked, K::HoseOtherBore],
        Part::Strainer(_) => vec![K::StrainerPlugged],
        Part::Valve(_) => {
            let open = [(K::ValvePartOpen, used(id, readings))];
            let closed = [(K::ValvePasses, to_tank || closed(id, readings))];
            open.into_iter().chain(closed).filter(|(_, can)| *can).map(|(kind, _)| kind).collect()
        }
        Part::CheckValve(_) if to_tank => vec![K::ValvePasses],
        Part::CheckValve(_) => vec![K::CheckStuck, K::CheckStuckOpen],
        Part::Pump(_) => vec![K::PumpSlow, K::PumpWorn, K::AirAtSuction],
        Part::Meter(_) => vec![K::MeterOff],
        Part::Orifice(_) => vec![],
    }
}

/// The kinds of fault a tip that was caught can have by itself.
fn of_tip(tip: &Tip) -> Vec<FaultKind> {
    use FaultKind as K;
    let mut kinds = vec![K::TipWrong];
    if tip.body_kv_si.is_some() {
        kinds.push(K::TipStrainerMissing);
    }
    if matches!(tip.shut_off, ShutOff::CheckValve { .. }) {
        kinds.extend([K::CheckStuck, K::CheckStuckOpen]);
    }
    kinds
}

/// Whether a valve is open in some state and moved by no control.
fn used(id: BranchId, readings: &Readings) -> bool {
    readings.states.iter().any(|state| {
        let moved = state.controls.iter().any(|c| c.by == Actuator::ValveOpening(id));
        state.settings.opening[id.index()] > 0.0 && !moved
    })
}

/// Whether a valve is closed in some state.
fn closed(id: BranchId, readings: &Readings) -> bool {
    readings.states.iter().any(|state| state.settings.opening[id.index()] <= 0.0)
}

/// The fault of the catalogue that `fault` shows as: of a tip that was not caught, and of any stretch of a tube between two
/// places that were read, there is one.
pub fn stands_for(fault: Fault, plumbing: &Plumbing, readings: &Readings) -> Fault {
    match fault.spot {
        Spot::Branch(id) if fault.kind == FaultKind::TubeBlocked => {
            let id = super::tubes::stands_for(id, plumbing, readings);
            Fault { spot: Spot::Branch(id), ..fault }
        }
        Spot::Tip(id) if !caught(readings).contains(&id) => {
            match (fault.kind, plumbing.tips[id.index()].section) {
                (FaultKind::TipWrong, Some(section)) => {
                    Fault { kind: FaultKind::TipUncaught, spot: Spot::Section(section) }
                }
                _ => fault,
            }
        }
        _ => fault,
    }
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
