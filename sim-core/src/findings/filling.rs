//! When is an empty boom full, and where does air stay?

use crate::plumbing::{BranchId, Plumbing, SectionId};
use crate::simulation::StepRecord;
use crate::transport::Caught;

/// A step that begins with air in lines and lets none in.
#[derive(Clone, Debug, PartialEq)]
pub struct Filling {
    /// When liquid stood at every tip of the open sections, s; `None`: not while it lasted.
    pub filled_s: Option<f64>,
    /// First and last tip of each section at which liquid stood, s.
    pub sections: Vec<(SectionId, Option<f64>, Option<f64>)>,
    /// Air caught in dead legs: compressed, it stays.
    pub caught: Vec<Caught>,
    /// Air in other lines at the end, m3 at the pressure there, the most first.
    pub air_left: Vec<(BranchId, f64)>,
}

/// Air in a line that counts, m3: 1 mL.
const COUNTS_FROM_M3: f64 = 1e-6;

/// What `record` shows of a plumbing that fills; `None` where there was no air.
pub(super) fn filling(plumbing: &Plumbing, record: &StepRecord) -> Option<Filling> {
    let moved = record.moved.as_ref()?;
    let air = moved.air.as_ref()?;
    let section = |i: usize| {
        let own = || {
            let tips = plumbing.tips.iter().zip(&air.wet_s);
            tips.filter(move |(tip, _)| tip.section == Some(SectionId::at(i))).map(|(_, wet)| *wet)
        };
        let last = own().try_fold(0.0f64, |last, wet| Some(last.max(wet?)));
        let any = own().next().is_some();
        (SectionId::at(i), own().flatten().reduce(f64::min), last.filter(|_| any))
    };
    let mut air_left: Vec<(BranchId, f64)> = moved
        .samples
        .last()
        .and_then(|sample| sample.air.as_ref())
        .map(|sample| {
            let lines = plumbing.branches.iter().enumerate();
            lines
                .filter_map(|(i, branch)| {
                    let m3 = branch.part.line()?.volume_m3() * f64::from(sample.shares[i]);
                    (m3 > COUNTS_FROM_M3).then_some((BranchId::at(i), m3))
                })
                .collect()
        })
        .unwrap_or_default();
    air_left.sort_by(|a, b| b.1.total_cmp(&a.1));
    Some(Filling {
        filled_s: air.filled_s,
        sections: (0..plumbing.sections.len()).map(section).collect(),
        caught: air.caught.clone(),
        air_left,
    })
}
