//! A plumbing with a place for every fault that opens a way that should not be: leaks, and ways past valves. All are closed:
//! one network serves every fault.

use crate::plumbing::{Branch, BranchId, NodeId, Part, Plumbing, ShutOff, Side, Tip, TipId, Valve};

/// Pressure at which the flow of leaks is stated, Pa gauge.
const RATED_AT_PA: f64 = 3e5;

/// `plumbing`, and after its own tips and branches one more for each leak and each way past a valve.
pub(super) fn extended(plumbing: &Plumbing) -> Plumbing {
    let mut extended = plumbing.clone();
    for id in passing(plumbing) {
        let branch = plumbing.branch(id);
        let (Part::Valve(Valve { kv_si, .. })
        | Part::CheckValve(crate::plumbing::CheckValve { kv_si, .. })) = branch.part
        else {
            continue;
        };
        extended.branches.push(Branch {
            name: format!("past {}", branch.name),
            part: Part::Valve(Valve { opening: 0.0, ..Valve::plain(kv_si) }),
            section: None,
            ..branch.clone()
        });
    }
    for node in leaking(plumbing) {
        extended.tips.push(leak(plumbing, node));
    }
    extended
}

fn leak(plumbing: &Plumbing, node: NodeId) -> Tip {
    Tip {
        name: format!("leak at {}", plumbing.node(node).name),
        node,
        section: None,
        x_m: 0.0,
        size: None,
        rated_flow_m3_s: all_tips_m3_s(plumbing),
        rated_at_pa: RATED_AT_PA,
        body_kv_si: None,
        shut_off: ShutOff::Open,
        duty: 1.0,
        wear: 0.0,
        window_pa: None,
        position: None,
        in_use: false,
    }
}

/// Rated flow of all tips together at the pressure of leaks, m3/s.
pub(super) fn all_tips_m3_s(plumbing: &Plumbing) -> f64 {
    let flow = |tip: &Tip| tip.rated_flow_m3_s * (RATED_AT_PA / tip.rated_at_pa).sqrt();
    plumbing.tips.iter().map(flow).sum()
}

/// The branches that can pass where they should not: valves and check valves.
pub(super) fn passing(plumbing: &Plumbing) -> Vec<BranchId> {
    let closes = |part: &Part| matches!(part, Part::Valve(_) | Part::CheckValve(_));
    let branches = plumbing.branches.iter().enumerate();
    branches.filter(|(_, b)| closes(&b.part)).map(|(i, _)| BranchId::at(i)).collect()
}

/// The way past branch `id` in the extended plumbing.
pub(super) fn way_past(plumbing: &Plumbing, id: BranchId) -> Option<BranchId> {
    let at = passing(plumbing).iter().position(|other| *other == id)?;
    Some(BranchId::at(plumbing.branches.len() + at))
}

/// The tip in the extended plumbing that a leak at `node` is.
pub(super) fn leak_tip(plumbing: &Plumbing, node: NodeId) -> Option<TipId> {
    let at = leaking(plumbing).iter().position(|other| *other == node)?;
    Some(TipId::at(plumbing.tips.len() + at))
}

/// Where liquid can leak out: at the ends of hoses and main lines, and at the far ends of tubes; none without tips. What leaks on
/// the suction side lets air in instead.
pub(super) fn leaking(plumbing: &Plumbing) -> Vec<NodeId> {
    if plumbing.tips.is_empty() {
        return Vec::new();
    }
    let draws = |branch: &Branch, node: NodeId| {
        let ends = [branch.from, branch.to];
        (branch.side == Side::Suction && ends.contains(&node))
            || (branch.part.pump().is_some() && branch.from == node)
    };
    let pressed = |node: NodeId| {
        let drawn = plumbing.branches.iter().any(|branch| draws(branch, node));
        plumbing.node(node).tank.is_none() && !drawn
    };
    let hoses =
        plumbing.branches.iter().filter(|b| b.part.line().is_some() && b.side != Side::Boom);
    let far_ends = plumbing.sections.iter().flat_map(|section| section.far_ends.iter().copied());
    let mut nodes: Vec<NodeId> = Vec::new();
    for node in hoses.map(|hose| hose.to).chain(far_ends).filter(|node| pressed(*node)) {
        if !nodes.contains(&node) {
            nodes.push(node);
        }
    }
    nodes
}
