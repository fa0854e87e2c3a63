//! Steps with every setting and control in so many words.

use super::writer::{Writer, key};
use crate::plumbing::{Part, Plumbing};
use crate::procedure::{Actuator, Control, Held, Load, Settings, Step, Transfer};
use crate::units::{Quantity as Q, write_exact};

/// Writes `steps`; of those that repeat, the first pass and how often it runs.
pub(super) fn steps(out: &mut Writer, plumbing: &Plumbing, steps: &[Step]) {
    let mut first: Option<&Step> = None;
    for (i, own) in steps.iter().enumerate() {
        let Some((pass, times)) = own.pass else {
            first = None;
            step(out, plumbing, own, None);
            continue;
        };
        if pass > 1 {
            first = None;
            continue;
        }
        let from = *first.get_or_insert(own);
        let more = steps.get(i + 1).and_then(|next| next.pass).is_some_and(|(pass, _)| pass == 1);
        step(out, plumbing, own, (!more).then_some((from.name.as_str(), times)));
    }
}

/// Writes `step`; `repeat` names the first of the steps that run again with it, and how often.
fn step(out: &mut Writer, plumbing: &Plumbing, step: &Step, repeat: Option<(&str, usize)>) {
    out.item("step");
    out.text("name", &step.name);
    out.text("do", step.action.word());
    if let Some(lasts) = step.lasts {
        out.quantity("for", lasts.most_s, Q::Duration);
        out.text("until", lasts.until.word().unwrap_or("time"));
    }
    out.quantity("ramp", step.change.ramp_s, Q::Duration);
    let delays: Vec<String> = step
        .change
        .delays_s
        .iter()
        .map(|(branch, s)| {
            let name = key(&plumbing.branch(*branch).name);
            format!("{name} = \"{}\"", write_exact(*s, Q::Duration))
        })
        .collect();
    if !delays.is_empty() {
        out.plain("delays", &format!("{{ {} }}", delays.join(", ")));
    }
    if let Some((from, times)) = repeat {
        let from = super::writer::quoted(from);
        out.plain("repeat", &format!("{{ from = {from}, times = {times} }}"));
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
    let tips = plumbing.tips.iter().zip(&step.settings.tip_opening);
    let shut = tips.filter(|(_, opening)| **opening == 0.0);
    let shut: Vec<&str> = shut.map(|(tip, _)| tip.name.as_str()).collect();
    if step.action.sprays() && !shut.is_empty() {
        out.list("shut_tips", shut.into_iter());
    }
    for held in &step.controls {
        control(out, plumbing, held);
    }
    step.loads.iter().for_each(|filled| load(out, plumbing, filled));
    step.transfers.iter().for_each(|flow| transfer(out, plumbing, flow));
}

fn load(out: &mut Writer, plumbing: &Plumbing, load: &Load) {
    out.item("step.load");
    out.text("tank", &plumbing.tank(load.tank).name);
    out.optional("holds", load.holds_m3, Q::Volume);
    out.quantity("strength", load.strength, Q::Share);
}

fn transfer(out: &mut Writer, plumbing: &Plumbing, transfer: &Transfer) {
    out.item("step.transfer");
    out.text("from", &plumbing.tank(transfer.from).name);
    out.text("to", &plumbing.tank(transfer.to).name);
    out.quantity("flow", transfer.flow_m3_s, Q::Flow);
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
    out.quantity("response", control.response_s, Q::Duration);
}
