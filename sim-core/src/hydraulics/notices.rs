//! What a solved network has to say by name.

use super::circuit::{Circuit, Law};
use super::flow_state::{FlowState, Notice, Reached};
use super::law::REVERSE_SLOPE;
use super::pump::PumpLaw;
use crate::fluids::{GRAVITY_M_S2, Liquid};
use crate::plumbing::{BranchId, NodeId, Plumbing, ShutOff, TipId};
use crate::procedure::Settings;

/// Flow below which a check counts as closed, m3/s.
const NEXT_TO_NOTHING: f64 = 1e6 / REVERSE_SLOPE;

/// Everything `instant` has to say; `held` is what each control's held quantity came to.
pub(super) fn of(
    plumbing: &Plumbing,
    liquid: &Liquid,
    settings: &Settings,
    circuit: &Circuit,
    instant: &FlowState,
    held: &[f64],
) -> Vec<Notice> {
    let mut notices = Vec::new();
    let cut_off: Vec<NodeId> = cut_off_nodes(circuit);
    if !cut_off.is_empty() {
        notices.push(Notice::CutOff(cut_off));
    }
    for (control, (actuated, got)) in instant.actuator.iter().zip(held).enumerate() {
        if actuated.reached != Reached::Yes {
            notices.push(Notice::NotHeld { control, got: *got });
        }
    }
    notices.extend(branch_notices(circuit, instant));
    notices.extend(tip_notices(plumbing, settings, circuit, instant));
    notices.extend(suction_notices(plumbing, liquid, circuit, instant));
    notices
}

fn cut_off_nodes(circuit: &Circuit) -> Vec<NodeId> {
    let cut = circuit.cut_off.iter().zip(&circuit.node).filter(|(cut, _)| **cut);
    cut.map(|(_, &node)| NodeId::at(node)).collect()
}

fn branch_notices<'a>(
    circuit: &'a Circuit,
    instant: &'a FlowState,
) -> impl Iterator<Item = Notice> + 'a {
    let open = instant.flow_m3_s.iter().enumerate().filter(|(i, _)| circuit.open[*i]);
    open.map(|(i, flow)| (BranchId::at(i), &circuit.laws[i], *flow)).filter_map(notice_of)
}

fn notice_of((branch, law, flow): (BranchId, &Law, f64)) -> Option<Notice> {
    match law {
        Law::Check(_) if flow <= NEXT_TO_NOTHING => Some(Notice::HeldClosed { branch }),
        Law::Pump(pump) if runs(pump) && flow > pump.covers_up_to() * (1.0 + 1e-9) => {
            Some(Notice::BeyondCurve { branch })
        }
        _ => None,
    }
}

fn runs(pump: &PumpLaw) -> bool {
    pump.speed() > 0.0
}

fn tip_notices<'a>(
    plumbing: &'a Plumbing,
    settings: &'a Settings,
    circuit: &'a Circuit,
    instant: &'a FlowState,
) -> impl Iterator<Item = Notice> + 'a {
    let branches = plumbing.branches.len();
    let open = plumbing.tips.iter().enumerate().filter(|(i, _)| settings.tip_opening[*i] > 0.0);
    open.filter_map(move |(i, tip)| {
        if !circuit.open[branches + i] || instant.tip_flow_m3_s[i] > NEXT_TO_NOTHING {
            return None;
        }
        match tip.shut_off {
            ShutOff::CheckValve { .. } => Some(Notice::TipCheckClosed(TipId::at(i))),
            _ => Some(Notice::TipBelowAtmosphere(TipId::at(i))),
        }
    })
}

fn suction_notices<'a>(
    plumbing: &'a Plumbing,
    liquid: &'a Liquid,
    circuit: &'a Circuit,
    instant: &'a FlowState,
) -> impl Iterator<Item = Notice> + 'a {
    let vapour = liquid.vapour_pressure.gauge().pa;
    let below = move |&node: &usize| {
        let cut = circuit.unknown[node].is_some_and(|u| circuit.cut_off[u]);
        !cut && instant.static_pressure_pa[node] < vapour
    };
    let boiling = (0..instant.static_pressure_pa.len()).filter(below);
    let boiling = boiling.map(|node| Notice::BelowVapourPressure(NodeId::at(node)));
    let pumps = plumbing.branches.iter().enumerate();
    let short = pumps.filter_map(move |(i, b)| {
        let pump = b.part.pump().filter(|pump| !pump.npsh_required.is_empty())?;
        let (flow, speed) = (instant.flow_m3_s[i], speed_of(&circuit.laws[i])?);
        let required_m = pump.npsh_required_at(flow, speed)?;
        let above = instant.total_pressure_pa[b.from.index()] - vapour;
        let available_m = above / (liquid.density_kg_m3 * GRAVITY_M_S2);
        (available_m < required_m).then_some(Notice::SuctionShort {
            branch: BranchId::at(i),
            available_m,
            required_m,
        })
    });
    boiling.chain(short)
}

fn speed_of(law: &Law) -> Option<f64> {
    match law {
        Law::Pump(pump) if runs(pump) => Some(pump.speed()),
        _ => None,
    }
}
