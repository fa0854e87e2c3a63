//! Steps with every setting and control in so many words.

use super::writer::{Writer, key};
use crate::plumbing::{Part, Plumbing};
use crate::procedure::{Action, Actuator, Control, Held, Settings, Step};
use crate::units::{Quantity as Q, write_exact};

/// Writes `step`.
pub(super) fn step(out: &mut Writer, plumbing: &Plumbing, step: &Step) {
    out.item("step");
    out.text("name", &step.name);
    let spraying = step.action == Action::Spray;
    out.text("do", if spraying { "spray" } else { "circulate" });
    if let Some(lasts) = step.lasts {
        out.quantity("for", lasts.most_s, Q::Duration);
        if lasts.until_full {
            out.text("until", "full strength");
        }
    }
    let plain = Settings::of(plumbing);
    let valves = differing(plumbing, &step.settings.opening, &plain.opening, |part| {
        matches!(part, Part::Valve(_))
    });
    if let Some(valves) = valves {
        out.plain("valves", &valves);
    }
    let pumps =
        differing(plumbing, &step.settings.speed, &plain.speed, |part| part.pump().is_some());
    if let Some(pumps) = pumps {
        out.plain("pumps", &pumps);
    }
    let shut = plumbing.tips.iter().zip(&step.settings.tip_open).filter(|(_, open)| !**open);
    let shut: Vec<&str> = shut.map(|(tip, _)| tip.name.as_str()).collect();
    if spraying && !shut.is_empty() {
        out.list("shut_tips", shut.into_iter());
    }
    for held in &step.controls {
        control(out, plumbing, held);
    }
}

/// An inline table of the parts that `fits` whose setting differs from the plumbing's own.
fn differing(
    plumbing: &Plumbing,
    values: &[f64],
    plain: &[f64],
    fits: impl Fn(&Part) -> bool,
) -> Option<String> {
    let branches = plumbing.branches.iter().zip(values.iter().zip(plain));
    let differing = branches.filter(|(branch, (value, own))| fits(&branch.part) && value != own);
    let items: Vec<String> = differing
        .map(|(branch, (value, _))| {
            format!("{} = \"{}\"", key(&branch.name), write_exact(*value, Q::Share))
        })
        .collect();
    (!items.is_empty()).then(|| format!("{{ {} }}", items.join(", ")))
}

fn control(out: &mut Writer, plumbing: &Plumbing, control: &Control) {
    out.item("step.control");
    match control.held {
        Held::Pressure { node, pa } => {
            out.quantity("hold", pa, Q::Pressure);
            out.text("at", &plumbing.node(node).name);
        }
        Held::Flow { branch, m3_s } => {
            out.quantity("hold", m3_s, Q::Flow);
            out.text("at", &plumbing.branch(branch).name);
        }
    }
    let (Actuator::PumpSpeed(id) | Actuator::ValveOpening(id)) = control.by;
    out.text("by", &plumbing.branch(id).name);
}
