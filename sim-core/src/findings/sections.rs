//! Each section: what its two ends see.

use super::controls::ControlFinding;
use super::measured::{Measures, Place};
use super::named::Named;
use super::tips::TipFinding;
use crate::hydraulics::FlowState;
use crate::measures::Measure;
use crate::plumbing::{NodeId, Plumbing, Section, SectionId};
use schemars::JsonSchema;
use serde::Serialize;

/// One section.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
pub struct SectionFinding {
    /// Which section.
    pub section: Named<SectionId>,
    /// How many of its tips run.
    pub running_tips: usize,
    /// Flow of its tips.
    pub flow_m3_s: f64,
    /// Static pressure where its tube is fed, gauge, if known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub feed_end_pa: Option<f64>,
    /// Lowest static pressure of its far ends, gauge, if known.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub far_end_pa: Option<f64>,
    /// (highest - lowest) / mean of its running tips' pressures.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub pressure_variation_share: Option<f64>,
    /// Drop from the held gauge to the far end, over the gauge.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub drop_from_gauge_share: Option<f64>,
}

/// The measures of `sections`.
pub(super) fn measure(sections: &[SectionFinding], found: &mut Measures) {
    let place = |section: &SectionFinding| Place::Section(section.section.clone());
    let drops = sections.iter().filter_map(|s| Some((s.drop_from_gauge_share?, place(s))));
    found.largest(Measure::SectionDrop, drops);
    let ends = || {
        let running = sections.iter().filter(|section| section.running_tips > 0);
        running.filter_map(|section| Some((section.feed_end_pa?, section)))
    };
    let count = ends().count();
    let mean = ends().map(|(pa, _)| pa).sum::<f64>() / count as f64;
    let off = ends().filter(|_| count > 1).map(|(pa, s)| ((pa / mean - 1.0).abs(), place(s)));
    found.largest(Measure::SectionBalance, off);
}

pub(super) fn sections(
    plumbing: &Plumbing,
    end: &FlowState,
    tips: &[TipFinding],
    controls: &[ControlFinding],
) -> Vec<SectionFinding> {
    let mut of_section: Vec<Vec<&TipFinding>> = vec![Vec::new(); plumbing.sections.len()];
    for tip in tips.iter().filter(|tip| tip.runs()) {
        if let Some(section) = &tip.section {
            of_section[section.id.index()].push(tip);
        }
    }
    let gauge_pa = controls.iter().find_map(ControlFinding::actual_pa);
    let at = |node: &NodeId| end.static_pressure_pa[node.index()];
    let finding = |(i, section): (usize, &Section)| {
        let running = &of_section[i];
        let far_end_pa = section.far_ends.iter().map(at).reduce(f64::min);
        let drop = gauge_pa.zip(far_end_pa).map(|(gauge, far)| (gauge - far) / gauge);
        SectionFinding {
            section: Named::new(SectionId::at(i), &section.name),
            running_tips: running.len(),
            flow_m3_s: running.iter().map(|tip| tip.flow_m3_s).sum(),
            feed_end_pa: section.feed_end.as_ref().map(at),
            far_end_pa,
            pressure_variation_share: pressure_variation(running),
            drop_from_gauge_share: drop.filter(|_| !running.is_empty()),
        }
    };
    plumbing.sections.iter().enumerate().map(finding).collect()
}

fn pressure_variation(tips: &[&TipFinding]) -> Option<f64> {
    let pressures = || tips.iter().map(|tip| tip.pressure_pa);
    let (low, high) = (pressures().reduce(f64::min)?, pressures().reduce(f64::max)?);
    let mean = pressures().sum::<f64>() / tips.len() as f64;
    Some((high - low) / mean)
}
