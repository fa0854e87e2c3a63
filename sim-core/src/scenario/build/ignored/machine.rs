//! Keys of the machine that change nothing.

use super::super::super::model::Scenario;
use super::super::super::value::Checked;
use super::note::{Notes, is_default};
use crate::plumbing::Part;
use crate::procedure::{Actuator, Control, Held, Step};
use crate::units::{Quantity, show};

/// Share of a stated width from which on tips are taken to cover it.
const COVERS: f64 = 0.95;

pub(super) fn notes(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    boom(top, notes);
    returns(top, notes);
    tanks(top, scenario, notes);
    pumps(top, scenario, notes);
    valves(top, scenario, notes);
    relief(top, scenario, notes);
    sag(top, scenario, notes);
}

/// The sections of `top`, or the one that stands for all where they are counted.
fn sections(top: &Checked) -> Vec<Checked> {
    match (top.tables("section"), top.table("boom")) {
        ([], Some(boom)) => vec![Checked { span: boom.span.clone(), ..Checked::default() }],
        (listed, _) => listed.to_vec(),
    }
}

fn boom(top: &Checked, notes: &mut Notes) {
    let Some(boom) = top.table("boom") else { return };
    let sections = sections(top);
    let covered = |own: &Checked| {
        let tips = own.count("tips").or_else(|| boom.count("tips_per_section")).unwrap_or(0);
        let spacing_m = own.number("spacing").or_else(|| boom.number("spacing")).unwrap_or(0.0);
        tips as f64 * spacing_m
    };
    let each_m: f64 = sections.iter().map(covered).sum();
    let spacing_m = boom.number("spacing").unwrap_or(0.0);
    let listed_m = boom.counts("tips").iter().sum::<usize>() as f64 * spacing_m;
    let covered_m = listed_m + each_m * boom.count("sections").unwrap_or(1) as f64;
    let width_m = boom.number("width").unwrap_or(covered_m);
    if covered_m < COVERS * width_m {
        let [wide, covered] = [width_m, covered_m].map(|m| show(m, Quantity::Length, notes.units));
        let message = format!("the boom is {wide} wide and its tips cover {covered} of it");
        let help = "`width` only bounds what tips cover: give it as they do, or add tips";
        notes.add(boom.span_of("width"), message, help);
    }
    hose_extra(top, &sections, notes);
}

/// What hoses get beyond their geometry, where none has its length from there.
fn hose_extra(top: &Checked, sections: &[Checked], notes: &mut Notes) {
    let (supply, path) = (top.table("supply"), top.table("return_path"));
    let gives = |table: Option<&Checked>| table.is_some_and(|table| table.gives("length"));
    let gives_all = |base: Option<&Checked>, own_key: &str| {
        gives(base.and_then(|base| base.table("hose")))
            || sections.iter().all(|own| gives(own.table(own_key)))
    };
    if gives_all(supply, "hose") && (path.is_none() || gives_all(path, "return_hose")) {
        let why = "every hose says its own length";
        notes.given(supply, &["hose_extra"], why, "leave it out, or leave out `length` of a hose");
    }
}

fn returns(top: &Checked, notes: &mut Notes) {
    let Some(boom) = top.table("boom") else { return };
    let returns = |own: &Checked| own.flag("return").or_else(|| boom.flag("return")) == Some(true);
    let sections = sections(top);
    if top.has("return_path") && !sections.iter().any(returns) {
        let message = "[return_path] says nothing: no section returns";
        let help = "say `return = true` in [boom] or in a [[section]], or leave the table out";
        notes.add(top.span_of("return_path"), message, help);
    }
    // What is fed and returned has no capped end.
    let capped = "both ends of the tube are fed or return";
    for own in &sections {
        if returns(own) {
            notes.given(Some(own), &["stub"], capped, "leave it out");
        } else {
            let help = "say `return = true` there, or leave it out";
            notes.given(Some(own), &["return_hose"], "this section does not return", help);
        }
    }
    if sections.iter().all(returns) {
        notes.given(Some(boom), &["stub"], capped, "leave it out");
    }
}

fn tanks(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    let plumbing = &scenario.machine.plumbing;
    let own = top.table("tank").into_iter();
    for table in own.chain(top.named("tank").iter().map(|(_, table)| table)) {
        too_full(table, table.number("capacity"), notes);
        if !table.has("holds") && table.number("heel") != Some(0.0) {
            let why = "a tank that does not say what it `holds` never runs empty";
            notes.given(Some(table), &["heel"], why, "add `holds = \"1000 L\"`");
        }
    }
    for load in top.tables("step").iter().flat_map(|step| step.tables("load")) {
        let named =
            load.text("tank").and_then(|name| plumbing.tanks.iter().find(|t| t.name == name));
        let tank = named.or(scenario.machine.roles.tank.map(|id| plumbing.tank(id)));
        too_full(load, tank.and_then(|tank| tank.capacity_m3), notes);
    }
    let start = top.table("start").filter(|start| start.number("tanks_hold") != Some(1.0));
    if plumbing.tanks.iter().all(|tank| tank.concentration.is_some()) {
        notes.given(
            start,
            &["tanks_hold"],
            "every tank says its own `concentration`",
            "leave it out",
        );
    }
    let joined = plumbing.nodes.iter().any(|node| node.name == "tank-inlet");
    if top.has("boom") && !joined {
        let why = "nothing but the suction is joined to the tank";
        notes.given(top.table("tank"), &["inlet_above_boom"], why, "leave it out");
    }
}

/// A tank that `table` fills beyond its volume.
fn too_full(table: &Checked, capacity_m3: Option<f64>, notes: &mut Notes) {
    let Some((capacity_m3, holds_m3)) = capacity_m3.zip(table.number("holds")) else { return };
    if holds_m3 <= capacity_m3 {
        return;
    }
    let [capacity, holds] =
        [capacity_m3, holds_m3].map(|m3| show(m3, Quantity::Volume, notes.units));
    let message = format!("the tank holds {holds}, more than its nominal volume of {capacity}");
    let help = "no run spills what is beyond it: lower `holds`, or raise `capacity`";
    notes.add(table.span_of("holds"), message, help);
}

fn pumps(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    let (plumbing, roles) = (&scenario.machine.plumbing, &scenario.machine.roles);
    let own = top.table("pump").and_then(|table| Some((roles.pump?, table)));
    let named = top.named("pump").iter();
    let named = named.filter_map(|(name, table)| Some((plumbing.branch_named(&name.text)?, table)));
    for (id, table) in own.into_iter().chain(named) {
        let Part::Pump(pump) = &plumbing.branch(id).part else { continue };
        let moves =
            |step: &Step| step.controls.iter().any(|control| control.by == Actuator::PumpSpeed(id));
        let steps = &scenario.course.steps;
        let speed = |step: &Step| step.settings.speed[id.index()];
        if pump.speed != 1.0 && steps.iter().all(|s| moves(s) || speed(s) != pump.speed) {
            let why = "every step sets or moves the speed of this pump, or rests it";
            notes.given(Some(table), &["speed"], why, "leave it out");
        }
        if pump.top_speed != 1.0 && !steps.iter().any(moves) {
            let why = "no control moves the speed of this pump";
            notes.given(Some(table), &["top_speed"], why, "leave it out, or add [control]");
        }
    }
}

/// Openings of valves that a control moves in every step, where nothing starts from them.
fn valves(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    let (plumbing, roles) = (&scenario.machine.plumbing, &scenario.machine.roles);
    let bypass = top.table("supply").and_then(|supply| supply.table("bypass"));
    let named = top.named("valve").iter();
    let named = named.filter_map(|(name, table)| Some((plumbing.branch_named(&name.text)?, table)));
    for (id, table) in roles.bypass.zip(bypass).into_iter().chain(named) {
        let moved = |step: &Step| {
            let by = |control: &Control| control.by == Actuator::ValveOpening(id);
            step.lasts.is_none() && step.controls.iter().any(by)
        };
        if !is_default(table, "opening") && scenario.course.steps.iter().all(moved) {
            let why = "a control moves this valve in every step";
            notes.given(Some(table), &["opening"], why, "leave it out");
        }
    }
}

/// A relief valve that opens below the pressure that is to be held.
fn relief(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    let of_short = top.table("supply").and_then(|supply| supply.table("relief"));
    let Some((table, opens_pa)) = of_short.and_then(|t| Some((t, t.number("opens_at")?))) else {
        return;
    };
    let held = |step: &Step| {
        let pressures = step.controls.iter().filter_map(|control| match control.held {
            Held::Pressure { pa, .. } => Some(pa),
            Held::Flow { .. } => None,
        });
        pressures.reduce(f64::max)
    };
    let steps = scenario.course.steps.iter();
    let highest = steps.filter_map(|step| Some((held(step)?, &step.name)));
    let Some((setpoint_pa, step)) = highest.max_by(|a, b| a.0.total_cmp(&b.0)) else { return };
    if opens_pa < setpoint_pa {
        let [opens, setpoint] =
            [opens_pa, setpoint_pa].map(|pa| show(pa, Quantity::Pressure, notes.units));
        let message = format!(
            "the relief valve opens at {opens}, below the {setpoint} that step \"{step}\" holds"
        );
        let help = "set it above what the pump gives on the way to that pressure";
        notes.add(table.span_of("opens_at"), message, help);
    }
}

/// Sags where no line ever holds air.
fn sag(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    let plumbing = &scenario.machine.plumbing;
    let sags = plumbing.branches.iter().filter_map(|b| b.part.line()).any(|line| line.sag_m > 0.0);
    if !sags || scenario.course.may_hold_air() {
        return;
    }
    let Some(span) = top.first_given("sag") else { return };
    let message = "`sag` says nothing: no line ever holds air in these steps";
    notes.add(span, message, "it counts where lines start empty or are purged");
}
