//! Steps with every setting and control in so many words.

use super::air;
use super::writer::Writer;
use crate::plumbing::{Branch, Machine, Part, Plumbing, Tip};
use crate::procedure::{Actuator, Control, Held, Load, Settings, Step, Transfer};
use crate::units::Quantity as Q;
use std::collections::BTreeSet;

/// The ramp of a step that says none, s.
const USUAL_RAMP_S: f64 = 0.2;

/// Writes `steps`; of those that repeat, the first pass and how often it runs.
pub(super) fn steps(out: &mut Writer, machine: &Machine, steps: &[Step]) {
    let plumbing = &machine.plumbing;
    let mut at = 0;
    while let Some(own) = steps.get(at) {
        let Some((stretch, times)) = repeating(&steps[at..]) else {
            step(out, machine, own, None);
            // A part of a purge's order.
            if let Some((number, of)) = own.pass {
                out.inline("part", |out| {
                    out.put("number", number);
                    out.put("of", of);
                });
            }
            inner_tables(out, plumbing, own);
            at += 1;
            continue;
        };
        for (k, pass) in stretch.iter().enumerate() {
            let last = k + 1 == stretch.len();
            step(out, machine, pass, last.then_some((own.name.as_str(), times)));
            inner_tables(out, plumbing, pass);
        }
        at += stretch.len() * times;
    }
}

/// The steps at the start of `steps` that run again, and how often in all.
fn repeating(steps: &[Step]) -> Option<(&[Step], usize)> {
    let (pass, times) = steps.first()?.pass.filter(|(pass, times)| *pass == 1 && *times > 1)?;
    let length = steps.iter().take_while(|step| step.pass == Some((pass, times))).count();
    let (stretch, rest) = steps.split_at(length);
    let again = rest.get(..length * (times - 1))?;
    let same = again.chunks(length).zip(2..).all(|(steps, pass)| {
        let mut pairs = stretch.iter().zip(steps);
        pairs.all(|(first, step)| *step == first.nth_pass(pass, times))
    });
    same.then_some((stretch, times))
}

/// Writes `step`; `repeat` names the first of the steps that run again with it, and how often.
fn step(out: &mut Writer, machine: &Machine, step: &Step, repeat: Option<(&str, usize)>) {
    let plumbing = &machine.plumbing;
    out.item("step");
    out.put("name", &step.name);
    out.put("do", step.action.word());
    if let Some(lasts) = step.lasts {
        out.put("for", lasts.most_s);
        out.put("until", lasts.until.word().unwrap_or("time"));
    }
    if let Some(purge) = &step.purge {
        air::purge(out, plumbing, purge, step.lasts.map(|lasts| lasts.until));
    }
    // A step that lasts no time has no use for it; what is said all the same is written again.
    let ramp_s = step.change.ramp_s;
    out.put("ramp", (step.lasts.is_some() || ramp_s != USUAL_RAMP_S).then_some(ramp_s));
    let delays = step.change.delays_s.iter();
    let delays = delays.map(|(id, s)| (&plumbing.branch(*id).name[..], *s));
    out.put("delays", delays.collect::<Vec<_>>());
    if let Some((from, times)) = repeat {
        out.inline("repeat", |out| {
            out.put("from", from);
            out.put("times", times);
        });
    }
    out.put("valves", valves(machine, step));
    // The pumps of a purge rest, whatever the plumbing says.
    out.put("pumps", step.purge.is_none().then(|| pumps(plumbing, step)));
    if step.action.sprays() {
        tips(out, plumbing, &step.settings.tip_opening);
    }
}

/// Which tips of the bodies are open, where not those in use, and which single ones are closed all the same.
fn tips(out: &mut Writer, plumbing: &Plumbing, opening: &[f64]) {
    let tips = || plumbing.tips.iter().zip(opening).map(|(tip, opening)| (tip, *opening > 0.0));
    let open: BTreeSet<&str> =
        tips().filter(|(_, open)| *open).filter_map(|(tip, _)| tip.position.as_deref()).collect();
    let named = tips().any(|(tip, open)| open && !tip.in_use)
        || tips().any(|(tip, _)| {
            tip.in_use && tip.position.as_deref().is_some_and(|p| !open.contains(p))
        });
    let named = named && !open.is_empty();
    if named {
        out.put("tips", open.iter().copied().collect::<Vec<_>>());
    }
    let would_open = |tip: &Tip| match &tip.position {
        Some(position) if named => open.contains(position.as_str()),
        _ => tip.in_use,
    };
    let closed = tips().filter(|(tip, open)| !open && would_open(tip));
    let closed: Vec<&str> = closed.map(|(tip, _)| tip.name.as_str()).collect();
    if !closed.is_empty() {
        out.put("closed_tips", closed);
    }
}

/// Writes the tables within the table of `step`: its own keys stand before them.
fn inner_tables(out: &mut Writer, plumbing: &Plumbing, step: &Step) {
    for held in &step.controls {
        control(out, plumbing, held);
    }
    step.loads.iter().for_each(|filled| load(out, plumbing, filled));
    step.transfers.iter().for_each(|flow| transfer(out, plumbing, flow));
}

fn load(out: &mut Writer, plumbing: &Plumbing, load: &Load) {
    out.item("step.load");
    out.put("tank", &plumbing.tank(load.tank).name);
    out.put("holds", load.holds_m3);
    out.put("concentration", load.concentration);
}

fn transfer(out: &mut Writer, plumbing: &Plumbing, transfer: &Transfer) {
    out.item("step.transfer");
    out.put("from", &plumbing.tank(transfer.from).name);
    out.put("to", &plumbing.tank(transfer.to).name);
    out.put("flow", transfer.flow_m3_s);
}

/// Valves that do not stand as the plumbing states them, or not as the step's action sets them.
fn valves<'m>(machine: &'m Machine, step: &Step) -> Vec<(&'m str, f64)> {
    let plain = Settings::of(&machine.plumbing).opening;
    let usual = match step.purge {
        Some(purge) => Step::purge(machine, purge.node),
        None => Step::of(step.action, machine),
    };
    let usual = usual.settings.opening;
    those(&machine.plumbing, &step.settings.opening, |i, branch, opening| {
        matches!(branch.part, Part::Valve(_)) && (opening != plain[i] || opening != usual[i])
    })
}

/// Pumps that do not run as the plumbing states them.
fn pumps<'m>(plumbing: &'m Plumbing, step: &Step) -> Vec<(&'m str, f64)> {
    let plain = Settings::of(plumbing).speed;
    let differs =
        |i: usize, branch: &Branch, speed| branch.part.pump().is_some() && speed != plain[i];
    those(plumbing, &step.settings.speed, differs)
}

/// The names of the branches that `counts`, each with its share of `values`.
fn those<'m>(
    plumbing: &'m Plumbing,
    values: &[f64],
    counts: impl Fn(usize, &Branch, f64) -> bool,
) -> Vec<(&'m str, f64)> {
    let branches = plumbing.branches.iter().zip(values).enumerate();
    let counted = branches.filter(|(i, (branch, value))| counts(*i, branch, **value));
    counted.map(|(_, (branch, value))| (&branch.name[..], *value)).collect()
}

fn control(out: &mut Writer, plumbing: &Plumbing, control: &Control) {
    out.item("step.control");
    match control.held {
        Held::Pressure { node, pa } => {
            out.put("hold", (Q::Pressure, pa));
            out.put("at", &plumbing.node(node).name);
        }
        Held::Flow { branch, m3_s } => {
            out.put("hold", (Q::Flow, m3_s));
            out.put("at", &plumbing.branch(branch).name);
        }
    }
    let (Actuator::PumpSpeed(id) | Actuator::ValveOpening(id)) = control.by;
    out.put("by", &plumbing.branch(id).name);
    out.put("response", control.response_s);
}
