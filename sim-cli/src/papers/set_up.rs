//! What has to be set for a state of the machine: valves, pump, tips.

use super::quantities::as_set;
use sim_core::plumbing::{BranchId, Machine, Part, Plumbing, ShutOff};
use sim_core::procedure::{Actuator, Control, Held, Settings};
use sim_core::units::{Quantity as Q, UnitSystem, show};

/// A thing to set and how.
pub(crate) type SetUp = (String, String);

/// Everything that `settings` and `controls` set on `machine`, in the order in which a person sets it.
pub(crate) fn set_up(
    machine: &Machine,
    (settings, controls): (&Settings, &[Control]),
    units: UnitSystem,
) -> Vec<SetUp> {
    let plumbing = &machine.plumbing;
    let mut rows = Vec::new();
    rows.extend(section_valves(plumbing, settings));
    for (i, branch) in plumbing.branches.iter().enumerate() {
        let id = BranchId::at(i);
        let of_section = plumbing.sections.iter().any(|section| section.valve == Some(id));
        let moved = controls.iter().find(|control| control.by == Actuator::ValveOpening(id));
        match (&branch.part, moved) {
            (Part::Valve(_), Some(control)) => {
                rows.push((
                    branch.name.clone(),
                    format!("until {}", held(plumbing, control, units)),
                ));
            }
            (Part::Valve(_), None) if !of_section => {
                rows.push((branch.name.clone(), opening(settings.opening[i])));
            }
            _ => {}
        }
    }
    rows.extend(pumps(plumbing, (settings, controls), units));
    rows.extend(tips(plumbing, settings, units));
    rows
}

/// A valve's opening in words.
fn opening(share: f64) -> String {
    match share {
        x if x <= 0.0 => "closed".into(),
        x if x >= 1.0 => "open".into(),
        x => format!("{:.0} % open", 100.0 * x),
    }
}

fn section_valves(plumbing: &Plumbing, settings: &Settings) -> Option<SetUp> {
    let valves = plumbing.sections.iter().filter_map(|s| Some((&s.name, s.valve?)));
    let valves: Vec<(&String, String)> =
        valves.map(|(name, valve)| (name, opening(settings.opening[valve.index()]))).collect();
    let (_, first) = valves.first()?;
    let how = if valves.iter().all(|(_, how)| how == first) {
        format!("all {first}")
    } else {
        let of = |how: &str| {
            let names: Vec<&str> =
                valves.iter().filter(|(_, h)| h == how).map(|(name, _)| name.as_str()).collect();
            (!names.is_empty()).then(|| format!("{how}: {}", names.join(", ")))
        };
        let mut kinds: Vec<&str> = valves.iter().map(|(_, how)| how.as_str()).collect();
        kinds.sort_unstable();
        kinds.dedup();
        kinds.into_iter().rev().filter_map(of).collect::<Vec<_>>().join("; ")
    };
    Some(("section valves".into(), how))
}

/// What a control holds, in words.
fn held(plumbing: &Plumbing, control: &Control, units: UnitSystem) -> String {
    match control.held {
        Held::Pressure { node, pa } => {
            let gauge = plumbing.gauges.iter().find(|gauge| gauge.node == node);
            let place = match gauge {
                Some(gauge) => format!("the gauge \"{}\"", gauge.name),
                None => format!("a gauge at {}", plumbing.node(node).name),
            };
            format!("{place} reads {}", show(pa, Q::Pressure, units))
        }
        Held::Flow { branch, m3_s } => {
            let name = &plumbing.branch(branch).name;
            format!("{} pass {name}", as_set(m3_s, Q::Flow, units))
        }
    }
}

fn pumps(
    plumbing: &Plumbing,
    (settings, controls): (&Settings, &[Control]),
    units: UnitSystem,
) -> Vec<SetUp> {
    let pumps = plumbing.branches.iter().enumerate().filter(|(_, b)| b.part.pump().is_some());
    let set = |(i, branch): (usize, &sim_core::plumbing::Branch)| {
        let by = Actuator::PumpSpeed(BranchId::at(i));
        let how = match controls.iter().find(|control| control.by == by) {
            Some(control) => format!("speed up until {}", held(plumbing, control, units)),
            None if settings.speed[i] <= 0.0 => "off".into(),
            None => format!("{} of full speed", show(settings.speed[i], Q::Share, units)),
        };
        (branch.name.clone(), how)
    };
    pumps.map(set).collect()
}

/// The positions of the tips that are open, where bodies carry several.
fn positions<'p>(plumbing: &'p Plumbing, settings: &Settings) -> Vec<&'p str> {
    let tips = plumbing.tips.iter().zip(&settings.tip_opening);
    let open = tips.filter(|(_, opening)| **opening > 0.0);
    let mut positions: Vec<&str> = open.filter_map(|(tip, _)| tip.position.as_deref()).collect();
    positions.sort_unstable();
    positions.dedup();
    positions
}

/// Which tips run, and what keeps the others closed.
fn tips(plumbing: &Plumbing, settings: &Settings, units: UnitSystem) -> Option<SetUp> {
    let open = settings.tip_opening.iter().filter(|opening| **opening > 0.0).count();
    let all = plumbing.tips.len();
    let closed = settings.tip_opening.iter().position(|opening| *opening <= 0.0);
    let closed = closed.map(|i| match plumbing.tips[i].shut_off {
        ShutOff::Each => "closed by the shut-off of each".to_owned(),
        ShutOff::CheckValve { opens_at_pa, .. } => format!(
            "closed by their check valves, which open at {}",
            show(opens_at_pa, Q::Pressure, units)
        ),
        ShutOff::Open => "closed off: they have no shut-off of their own".to_owned(),
    });
    let positions = positions(plumbing, settings);
    let how = match (open, closed) {
        _ if all == 0 => return None,
        (1.., _) if !positions.is_empty() => format!(
            "at each body of the open sections {} open, any other closed",
            positions.join(" and ")
        ),
        (open, None) => format!("all {open} open"),
        (0, Some(how)) => format!("all {all} {how}"),
        (open, Some(_)) => format!("{open} of {all} open, those of the open sections"),
    };
    Some(("tips".into(), how))
}
