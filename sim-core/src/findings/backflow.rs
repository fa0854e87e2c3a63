//! Return hoses that carry liquid the wrong way: sections joined by their returns.

use super::named::Named;
use super::warning::{ReturnBackflow, Warning};
use crate::hydraulics::{FlowState, STILL_M3_S};
use crate::plumbing::{BranchId, Plumbing, SectionId, Side};
use crate::procedure::Step;

/// Share of what the mean section sprays from which a flow counts: less is rounding.
const COUNTS_FROM: f64 = 1e-3;

/// What flows against its way in the return hoses of sections while `step` sprays, and sections that spray though
/// their valve is closed.
pub(super) fn warnings(plumbing: &Plumbing, step: &Step, end: &FlowState) -> Vec<Warning> {
    if !step.action.sprays() {
        return Vec::new();
    }
    let mut of_tips = vec![0.0; plumbing.sections.len()];
    for (tip, flow) in plumbing.tips.iter().zip(&end.tip_flow_m3_s) {
        if let Some(section) = tip.section {
            of_tips[section.index()] += flow;
        }
    }
    let sprayed: f64 = end.tip_flow_m3_s.iter().sum();
    let least_m3_s = (COUNTS_FROM * sprayed / of_tips.len().max(1) as f64).max(STILL_M3_S);
    let back = |(i, branch): (usize, &crate::plumbing::Branch)| {
        branch.section.filter(|_| branch.side == Side::Return)?;
        branch.part.line()?;
        let back_m3_s = -end.flow_m3_s[i];
        (back_m3_s > least_m3_s).then(|| ReturnBackflow {
            line: Named::branch(plumbing, BranchId::at(i)),
            flow_m3_s: back_m3_s,
        })
    };
    let lines: Vec<ReturnBackflow> =
        plumbing.branches.iter().enumerate().filter_map(back).collect();
    let closed = |i: &usize| step.settings.closes(plumbing, SectionId::at(*i));
    let sprays = (0..plumbing.sections.len()).filter(closed).filter(|i| of_tips[*i] > least_m3_s);
    let sections: Vec<Named<SectionId>> =
        sprays.map(|i| Named::section(plumbing, SectionId::at(i))).collect();
    let joined = (!lines.is_empty()).then_some(Warning::ReturnsJoined { lines });
    let closed = (!sections.is_empty()).then_some(Warning::ClosedSectionSprays { sections });
    joined.into_iter().chain(closed).collect()
}
