//! Sections: what their ends and tips see.

use super::{Page, Piece};
use crate::columns::{Columns, signless_nothing};
use crate::words::count_of;
use sim_core::findings::{SectionFinding, StepFindings, TipFinding};
use sim_core::units::{Quantity as Q, UnitSystem};

/// Sections listed before only the worst are.
const MOST_ROWS: usize = 24;

pub(super) fn table(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    let mut of_section: Vec<Vec<&TipFinding>> = vec![Vec::new(); findings.sections.len()];
    for tip in findings.tips.iter().filter(|tip| tip.runs()) {
        if let Some(section) = &tip.section {
            of_section[section.id.index()].push(tip);
        }
    }
    let tips = |section: &SectionFinding| &of_section[section.section.id.index()];
    let extreme = |section: &SectionFinding, pick: fn(f64, f64) -> f64| {
        tips(section).iter().map(|tip| tip.pressure_pa).reduce(pick)
    };
    let worst = |section: &SectionFinding| {
        let from_mean = tips(section).iter().filter_map(|tip| tip.from_mean_share);
        let worst = from_mean.max_by(|a, b| a.abs().total_cmp(&b.abs()));
        worst.map(|worst| signless_nothing(format!("{:+.1}", 100.0 * worst)))
    };
    let columns = Columns::new()
        .words("section", |section: &SectionFinding| section.section.to_string())
        .text("tips on", |section| section.running_tips.to_string())
        .under("flow", Q::Flow, |section| section.flow_m3_s)
        .under("feed end", Q::Pressure, |section| section.feed_end_pa)
        .under("far end", Q::Pressure, |section| section.far_end_pa)
        .under("lowest tip", Q::Pressure, |section| extreme(section, f64::min))
        .under("highest tip", Q::Pressure, |section| extreme(section, f64::max))
        .under("varies", Q::Share, |section| section.pressure_variation_share)
        .under("drop from gauge", Q::Share, |section| section.drop_from_gauge_share)
        .text("worst tip flow %", worst);
    let table = columns.table("Sections", findings.sections.iter().take(MOST_ROWS), units);
    out.piece(Piece::Sections, table);
    let left_out = findings.sections.len().saturating_sub(MOST_ROWS);
    if left_out > 0 {
        out.paragraph(format!(
            "and {} (all of them in summary.json)",
            count_of(left_out, "more section")
        ));
    }
}
