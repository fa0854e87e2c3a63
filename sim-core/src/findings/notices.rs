//! What the solve of a network has to say.

use super::named::Named;
use super::warning::Warning;
use crate::hydraulics::{FlowState, Notice};
use crate::plumbing::{BranchId, Part, Plumbing, TipId};
use crate::procedure::Step;

/// Opening pressure from which a check valve is taken for a relief valve, Pa.
const RELIEF_FROM_PA: f64 = 1e5;

/// The notices of `end` of `step`: single parts first, then tips together. Tips of a section that the step closes are
/// closed as they should be.
pub(super) fn warnings(plumbing: &Plumbing, step: &Step, end: &FlowState) -> Vec<Warning> {
    let mut warnings: Vec<Warning> =
        end.notices.iter().filter_map(|notice| of_part(plumbing, end, notice)).collect();
    let tips = |pick: fn(&Notice) -> Option<TipId>| {
        let tips = end.notices.iter().filter_map(pick);
        tips.map(|tip| Named::tip(plumbing, tip)).collect::<Vec<_>>()
    };
    let below = tips(|notice| match notice {
        Notice::TipBelowAtmosphere(tip) => Some(*tip),
        _ => None,
    });
    let closed = tips(|notice| match notice {
        Notice::TipCheckClosed(tip) => Some(*tip),
        _ => None,
    });
    if !below.is_empty() {
        warnings.push(Warning::TipBelowAtmosphere { tips: below });
    }
    let meant = |tip: &Named<TipId>| {
        let section = plumbing.tips[tip.id.index()].section;
        section.is_some_and(|section| step.settings.closes(plumbing, section))
    };
    let closed: Vec<_> = closed.into_iter().filter(|tip| !meant(tip)).collect();
    if !closed.is_empty() {
        warnings.push(Warning::TipCheckClosed { tips: closed });
    }
    warnings
}

fn of_part(plumbing: &Plumbing, end: &FlowState, notice: &Notice) -> Option<Warning> {
    let named = |branch: BranchId| Named::branch(plumbing, branch);
    match notice {
        Notice::CutOff(nodes) => {
            let nodes = nodes.iter().map(|node| Named::node(plumbing, *node)).collect();
            Some(Warning::CutOff { nodes })
        }
        Notice::HeldClosed { branch } => held_closed(plumbing, end, *branch),
        &Notice::PumpIdle { branch, gives_pa, needs_pa } => {
            Some(Warning::PumpIdle { pump: named(branch), gives_pa, needs_pa })
        }
        Notice::BeyondCurve { branch } => Some(Warning::BeyondCurve { pump: named(*branch) }),
        &Notice::SuctionShort { branch, available_m, required_m } => {
            Some(Warning::SuctionShort { pump: named(branch), available_m, required_m })
        }
        _ => None,
    }
}

/// A check that passes nothing; a relief valve below its setting is as it should be.
fn held_closed(plumbing: &Plumbing, end: &FlowState, id: BranchId) -> Option<Warning> {
    let (branch, across_pa) = (Named::branch(plumbing, id), end.loss_pa[id.index()]);
    match &plumbing.branch(id).part {
        Part::CheckValve(check) if across_pa > 0.0 => (check.opens_at_pa < RELIEF_FROM_PA)
            .then_some(Warning::CheckValveClosed {
                branch,
                across_pa,
                opens_at_pa: check.opens_at_pa,
            }),
        _ => Some(Warning::HeldClosed { branch }),
    }
}
