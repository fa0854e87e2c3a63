//! When is an empty boom full, and where does air stay?

use super::measured::Measures;
use super::named::Named;
use super::ranking::largest_first;
use crate::measures::Measure;
use crate::plumbing::{BranchId, Plumbing, SectionId};
use crate::simulation::{AirRecord, MovedRecord, StepRecord};
use schemars::JsonSchema;
use serde::Serialize;

/// A step that begins with air in lines and lets none in.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct Filling {
    /// When liquid was at every tip of the open sections.
    pub filled_s: Option<f64>,
    /// Each section.
    pub sections: Vec<SectionFilling>,
    /// Air caught in capped ends, at the pressure it came to rest at: compressed, it stays.
    pub caught_air_m3: f64,
    /// Air in other lines at the end, at the pressure there.
    pub residual_air_m3: f64,
    /// Each line that holds air at the end, the most first.
    pub by_line: Vec<LineAir>,
}

/// When liquid came to the tips of a section.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SectionFilling {
    /// Which section.
    pub section: Named<SectionId>,
    /// Liquid at its first tip.
    pub first_s: Option<f64>,
    /// Liquid at its last tip.
    pub last_s: Option<f64>,
}

/// Air in a line.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct LineAir {
    /// Which line.
    pub line: Named<BranchId>,
    /// Volume of air in it.
    pub air_m3: f64,
}

impl Filling {
    /// Its measures, in a step that lasted `lasted_s`.
    pub(super) fn measure(&self, lasted_s: f64, found: &mut Measures) {
        found.time(Measure::Filled, self.filled_s, lasted_s, None);
    }
}

/// Air in a line that counts, m3: 1 mL.
const COUNTS_FROM_M3: f64 = 1e-6;

/// What `record` shows of a plumbing that fills; `None` where there was no air.
pub(super) fn filling(plumbing: &Plumbing, record: &StepRecord) -> Option<Filling> {
    let moved = record.moved.as_ref()?;
    let air = moved.air.as_ref()?;
    let by_line = by_line(plumbing, moved);
    Some(Filling {
        filled_s: air.filled_s,
        sections: Named::sections(plumbing).map(|id| section(plumbing, air, id)).collect(),
        caught_air_m3: air.caught.iter().map(|caught| caught.air_m3).sum(),
        residual_air_m3: by_line.iter().map(|line| line.air_m3).sum(),
        by_line,
    })
}

fn section(plumbing: &Plumbing, air: &AirRecord, section: Named<SectionId>) -> SectionFilling {
    let own = || {
        let tips = plumbing.tips.iter().zip(&air.wet_s);
        tips.filter(|(tip, _)| tip.section == Some(section.id)).map(|(_, wet)| *wet)
    };
    let last = own().try_fold(0.0f64, |last, wet| Some(last.max(wet?)));
    let any = own().next().is_some();
    let (first_s, last_s) = (own().flatten().reduce(f64::min), last.filter(|_| any));
    SectionFilling { section, first_s, last_s }
}

fn by_line(plumbing: &Plumbing, moved: &MovedRecord) -> Vec<LineAir> {
    let Some(sample) = moved.samples.last().and_then(|sample| sample.air.as_ref()) else {
        return Vec::new();
    };
    let lines = plumbing.branches.iter().enumerate().filter_map(|(i, branch)| {
        let air_m3 = branch.part.line()?.volume_m3() * sample.air_share(i);
        let line = || Named::new(BranchId::at(i), &branch.name);
        (air_m3 > COUNTS_FROM_M3).then(|| LineAir { line: line(), air_m3 })
    });
    let mut lines: Vec<LineAir> = lines.collect();
    lines.sort_by(|a, b| largest_first((a.air_m3, &a.line.name), (b.air_m3, &b.line.name)));
    lines
}
