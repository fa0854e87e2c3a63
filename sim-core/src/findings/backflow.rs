//! Return hoses that carry liquid the wrong way: sections joined by their returns.

use super::named::Named;
use super::warning::{ReturnBackflow, Warning};
use crate::hydraulics::FlowState;
use crate::plumbing::{BranchId, Plumbing, SectionId, Side};
use crate::procedure::Step;

/// Share of the flow of a section's tips from which what its return brings back counts.
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
    let back = |(i, branch): (usize, &crate::plumbing::Branch)| {
        let section = branch.section.filter(|_| branch.side == Side::Return)?;
        let back_m3_s = -end.flow_m3_s[i];
        branch.part.line()?;
        (back_m3_s > COUNTS_FROM * of_tips[section.index()] && back_m3_s > 0.0).then(|| {
            ReturnBackflow { line: Named::branch(plumbing, BranchId::at(i)), flow_m3_s: back_m3_s }
        })
    };
    let lines: Vec<ReturnBackflow> =
        plumbing.branches.iter().enumerate().filter_map(back).collect();
    let closed = |i: &usize| {
        let valve = plumbing.sections[*i].valve;
        valve.is_some_and(|valve| step.settings.opening[valve.index()] <= 0.0)
    };
    let sprays = (0..plumbing.sections.len()).filter(closed).filter(|i| of_tips[*i] > 0.0);
    let sections: Vec<Named<SectionId>> =
        sprays.map(|i| Named::section(plumbing, SectionId::at(i))).collect();
    let joined = (!lines.is_empty()).then_some(Warning::ReturnsJoined { lines });
    let closed = (!sections.is_empty()).then_some(Warning::ClosedSectionSprays { sections });
    joined.into_iter().chain(closed).collect()
}
