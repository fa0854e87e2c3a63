//! Where does the pressure go?

use super::page::Page;
use crate::columns::cells;
use crate::velocity::show_velocity;
use sim_core::findings::StepFindings;
use sim_core::plumbing::Side;
use sim_core::scenario::Scenario;
use sim_core::units::{Quantity as Q, UnitSystem, show};
use std::collections::BTreeMap;

/// Rows before the rest is left to the files.
const MOST_ROWS: usize = 10;

/// Parts that take power together: a part of its own, or all of one kind and side over the sections.
#[derive(Default)]
struct Group {
    count: usize,
    share: f64,
    most_loss_pa: f64,
    fastest: Option<(f64, f64)>,
}

pub(super) fn table(
    out: &mut Page,
    scenario: &Scenario,
    findings: &StepFindings,
    units: UnitSystem,
) {
    let mut groups: BTreeMap<String, Group> = BTreeMap::new();
    for loss in &findings.losses {
        let branch = scenario.machine.plumbing.branch(loss.branch.id);
        let group = groups.entry(group_name(branch)).or_default();
        group.count += 1;
        group.share += loss.power_share;
        group.most_loss_pa = group.most_loss_pa.max(loss.loss_pa);
        if let Some((velocity, reynolds)) = loss.velocity_m_s.zip(loss.reynolds)
            && group.fastest.is_none_or(|(fastest, _)| velocity > fastest)
        {
            group.fastest = Some((velocity, reynolds));
        }
    }
    let mut ranked: Vec<(String, Group)> = groups.into_iter().collect();
    ranked.sort_by(|a, b| b.1.share.total_cmp(&a.1.share));
    let row = |(name, group): &(String, Group)| {
        let dash = || "-".to_owned();
        vec![
            if group.count > 1 { format!("{name} ({})", group.count) } else { name.clone() },
            format!("{:.1} %", 100.0 * group.share),
            show(group.most_loss_pa, Q::Pressure, units),
            group.fastest.map_or_else(dash, |(m_s, _)| show_velocity(m_s, units)),
            group.fastest.map_or_else(dash, |(_, reynolds)| format!("{reynolds:.0}")),
        ]
    };
    let mut rows: Vec<Vec<String>> = ranked.iter().take(MOST_ROWS).map(row).collect();
    let lost: f64 = ranked.iter().map(|(_, group)| group.share).sum();
    if !findings.pumps.is_empty() {
        let rest = format!("{:.1} %", 100.0 * (1.0 - lost));
        rows.push(cells(["tips, lift and outflow", &rest, "", "", ""]));
    }
    let header = cells([
        "where the pump's power goes",
        "share",
        "largest loss",
        "fastest",
        "its Reynolds number",
    ]);
    if !rows.is_empty() {
        out.table("Losses", header, rows, 1);
    }
}

fn group_name(branch: &sim_core::plumbing::Branch) -> String {
    if branch.section.is_none() {
        return branch.name.clone();
    }
    let what = match (branch.side, branch.part.kind()) {
        (Side::Boom, "line") => "tubes",
        (Side::Return, "line") => "return hoses",
        (_, "line") => "section hoses",
        (_, "valve") => "section valves",
        (_, kind) => kind,
    };
    what.replace('_', " ")
}
