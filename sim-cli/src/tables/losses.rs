//! Where does the pressure go?

use crate::columns::{Cell, Columns, Table};
use sim_core::findings::StepFindings;
use sim_core::plumbing::{Plumbing, Side};
use sim_core::units::{Quantity as Q, UnitSystem, show};
use std::collections::BTreeMap;

/// Rows before the rest is left to the files.
const MOST_ROWS: usize = 10;

/// Parts that take power together: a part of its own, or all of one kind and side over the sections.
#[derive(Default)]
struct PowerGroup {
    name: String,
    /// Parts; none in what is no part.
    count: usize,
    share: f64,
    most_loss_pa: f64,
    /// Velocity, m/s, and Reynolds number.
    fastest: Option<(f64, f64)>,
}

pub(super) fn table(plumbing: &Plumbing, findings: &StepFindings, units: UnitSystem) -> Table {
    let mut groups: BTreeMap<String, PowerGroup> = BTreeMap::new();
    for loss in &findings.losses {
        let branch = plumbing.branch(loss.branch.id);
        let name = group_name(branch);
        let group =
            groups.entry(name.clone()).or_insert(PowerGroup { name, ..PowerGroup::default() });
        group.count += 1;
        group.share += loss.power_share;
        group.most_loss_pa = group.most_loss_pa.max(loss.loss_pa);
        if let Some((velocity, reynolds)) = loss.velocity_m_s.zip(loss.reynolds)
            && group.fastest.is_none_or(|(fastest, _)| velocity > fastest)
        {
            group.fastest = Some((velocity, reynolds));
        }
    }
    let mut ranked: Vec<PowerGroup> = groups.into_values().collect();
    ranked.sort_by(|a, b| b.share.total_cmp(&a.share).then_with(|| a.name.cmp(&b.name)));
    let lost: f64 = ranked.iter().map(|group| group.share).sum();
    ranked.truncate(MOST_ROWS);
    if !findings.pumps.is_empty() {
        let name = "tips, lift and outflow".to_owned();
        ranked.push(PowerGroup { name, share: 1.0 - lost, ..PowerGroup::default() });
    }
    let name = |group: &PowerGroup| match group.count {
        0 | 1 => group.name.clone(),
        count => format!("{} ({count})", group.name),
    };
    // What is no part has no loss and no velocity, not one that is unknown.
    let of_part = |group: &PowerGroup, cell: Option<String>| match group.count {
        0 => Cell::from(""),
        _ => cell.into(),
    };
    let velocity = |group: &PowerGroup| group.fastest.map(|(m_s, _)| show(m_s, Q::Velocity, units));
    let reynolds = |group: &PowerGroup| group.fastest.map(|(_, reynolds)| format!("{reynolds:.0}"));
    Columns::new()
        .words("where the pump's power goes", name)
        .each("share", Q::Share, |group| group.share)
        .each("largest loss", Q::Pressure, |group| (group.count > 0).then_some(group.most_loss_pa))
        .or("")
        .text("fastest", |group| of_part(group, velocity(group)))
        .text("its Reynolds number", |group| of_part(group, reynolds(group)))
        .table("Losses", &ranked, units)
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
