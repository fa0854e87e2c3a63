//! Each section: what its two ends see.

use super::step::{HeldFinding, SectionFinding, TipFinding};
use crate::hydraulics::Instant;
use crate::plumbing::{NodeId, Plumbing, SectionId};

pub(super) fn sections(
    plumbing: &Plumbing,
    end: &Instant,
    tips: &[TipFinding],
    held: &[HeldFinding],
) -> Vec<SectionFinding> {
    let mut of_section: Vec<Vec<&TipFinding>> = vec![Vec::new(); plumbing.sections.len()];
    for tip in tips.iter().filter(|tip| tip.from_mean.is_some()) {
        if let Some(section) = plumbing.tips[tip.tip.index()].section {
            of_section[section.index()].push(tip);
        }
    }
    let gauge_pa = held.iter().find(|held| held.is_pressure).map(|held| held.got);
    let at = |node: &NodeId| end.static_pressure_pa[node.index()];
    let finding = |(i, section): (usize, &crate::plumbing::Section)| {
        let running = &of_section[i];
        let far_end_pa = section.far_ends.iter().map(at).reduce(f64::min);
        let drop = gauge_pa.zip(far_end_pa).map(|(gauge, far)| (gauge - far) / gauge);
        SectionFinding {
            section: SectionId::at(i),
            running: running.len(),
            flow_m3_s: running.iter().map(|tip| tip.flow_m3_s).sum(),
            feed_end_pa: section.feed_end.as_ref().map(at),
            far_end_pa,
            spread: spread(running),
            drop_from_gauge: drop.filter(|_| !running.is_empty()),
        }
    };
    plumbing.sections.iter().enumerate().map(finding).collect()
}

fn spread(tips: &[&TipFinding]) -> Option<f64> {
    let pressures = || tips.iter().map(|tip| tip.pressure_pa);
    let (low, high) = (pressures().reduce(f64::min)?, pressures().reduce(f64::max)?);
    let mean = pressures().sum::<f64>() / tips.len() as f64;
    Some((high - low) / mean)
}
