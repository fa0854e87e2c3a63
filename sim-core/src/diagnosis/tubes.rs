//! Tubes in stretches that readings can tell apart.

use crate::plumbing::{BranchId, NodeId, Plumbing, Side};
use crate::scenario::{ReadingPlace, Readings};

/// Of each stretch of a tube between two places that were read, or where it is fed, its middle line.
pub(super) fn tubes(plumbing: &Plumbing, readings: &Readings) -> Vec<BranchId> {
    stretches(plumbing, readings).iter().map(|stretch| middle(stretch)).collect()
}

/// The middle line of the stretch that line `id` is in; itself where it is in none.
pub(super) fn stands_for(id: BranchId, plumbing: &Plumbing, readings: &Readings) -> BranchId {
    let stretches = stretches(plumbing, readings);
    stretches.iter().find(|stretch| stretch.contains(&id)).map_or(id, |stretch| middle(stretch))
}

fn middle(stretch: &[BranchId]) -> BranchId {
    stretch[stretch.len() / 2]
}

/// Lines along tubes that follow each other without a place in between that was read or fed. None is empty.
fn stretches(plumbing: &Plumbing, readings: &Readings) -> Vec<Vec<BranchId>> {
    let mut parting: Vec<NodeId> = read_at(plumbing, readings);
    parting.extend(plumbing.sections.iter().filter_map(|section| section.feed_end));
    let mut stretches: Vec<Vec<BranchId>> = Vec::new();
    for (i, branch) in plumbing.branches.iter().enumerate() {
        if branch.side != Side::Boom || branch.part.line().is_none() {
            continue;
        }
        let ends = [branch.from, branch.to];
        let follows = |stretch: &Vec<BranchId>| {
            let last = plumbing.branch(stretch[stretch.len() - 1]);
            let shared = [last.from, last.to].into_iter().find(|node| ends.contains(node));
            last.section == branch.section && shared.is_some_and(|node| !parting.contains(&node))
        };
        match stretches.last_mut().filter(|stretch| follows(stretch)) {
            Some(stretch) => stretch.push(BranchId::at(i)),
            None => stretches.push(vec![BranchId::at(i)]),
        }
    }
    stretches
}

/// Where a test gauge sat or a tip was caught.
fn read_at(plumbing: &Plumbing, readings: &Readings) -> Vec<NodeId> {
    let places = readings.states.iter().flat_map(|state| &state.readings).map(|r| r.place);
    let node = |place| match place {
        ReadingPlace::TestGauge(node) => Some(node),
        ReadingPlace::Catch(tip) => Some(plumbing.tips[tip.index()].node),
        _ => None,
    };
    places.filter_map(node).collect()
}
