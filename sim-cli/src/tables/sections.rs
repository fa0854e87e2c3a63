//! Sections: what their ends and tips see.

use super::page::Page;
use crate::columns::cells;
use sim_core::findings::{SectionFinding, StepFindings, TipFinding};
use sim_core::units::{Quantity as Q, UnitSystem, display_unit, show_number};

/// Sections listed before only the worst are.
const MOST_ROWS: usize = 24;

pub(super) fn table(out: &mut Page, findings: &StepFindings, units: UnitSystem) {
    if findings.sections.is_empty() {
        return;
    }
    let mut of_section: Vec<Vec<&TipFinding>> = vec![Vec::new(); findings.sections.len()];
    for tip in findings.tips.iter().filter(|tip| tip.runs()) {
        if let Some(section) = &tip.section {
            of_section[section.id.index()].push(tip);
        }
    }
    let row = |section: &SectionFinding| {
        let tips = &of_section[section.section.id.index()];
        let pressure =
            |pa: Option<f64>| pa.map_or("-".into(), |pa| show_number(pa, Q::Pressure, units));
        let share =
            |share: Option<f64>| share.map_or("-".into(), |share| format!("{:.1}", 100.0 * share));
        let extreme =
            |pick: fn(f64, f64) -> f64| tips.iter().map(|tip| tip.pressure_pa).reduce(pick);
        let from_mean = tips.iter().filter_map(|tip| tip.from_mean_share);
        let worst = from_mean.max_by(|a, b| a.abs().total_cmp(&b.abs()));
        vec![
            section.section.to_string(),
            section.running_tips.to_string(),
            show_number(section.flow_m3_s, Q::Flow, units),
            pressure(section.feed_end_pa),
            pressure(section.far_end_pa),
            pressure(extreme(f64::min)),
            pressure(extreme(f64::max)),
            share(section.pressure_variation_share),
            share(section.drop_from_gauge_share),
            worst.map_or("-".into(), |worst| format!("{:+.1}", 100.0 * worst)),
        ]
    };
    let rows: Vec<Vec<String>> = findings.sections.iter().take(MOST_ROWS).map(row).collect();
    let (p, q) = (display_unit(Q::Pressure, units).symbol, display_unit(Q::Flow, units).symbol);
    let header = cells([
        "section",
        "tips on",
        &format!("flow {q}"),
        &format!("feed end {p}"),
        &format!("far end {p}"),
        &format!("lowest tip {p}"),
        &format!("highest tip {p}"),
        "spread %",
        "drop from gauge %",
        "worst tip flow %",
    ]);
    out.table("Sections", header, rows, 1);
    let left_out = findings.sections.len().saturating_sub(MOST_ROWS);
    if left_out > 0 {
        out.tell(format!("and {left_out} more sections (all of them in summary.json)"));
    }
}
