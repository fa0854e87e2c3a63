//! Keys of steps, and of what steps go by, that change nothing.

use super::super::super::model::Scenario;
use super::super::super::value::Checked;
use super::super::step_name::name_of;
use super::note::{Notes, is_default};
use crate::procedure::{Action, Actuator, Step};

const LEAVE_OUT: &str = "leave it out";

pub(super) fn notes(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    for (number, table) in top.tables("step").iter().enumerate() {
        let (action, name) = name_of(table, number);
        if !action.sprays() {
            notes.given(
                Some(table),
                &["tips", "closed_tips"],
                "no tip runs in this step",
                LEAVE_OUT,
            );
        }
        if let Some(step) = scenario.course.steps.iter().find(|step| step.name == name) {
            of_step(table, step, scenario, notes);
        }
    }
    unused_tables(top, scenario, notes);
    product(top.table("product"), notes);
    let course = &scenario.course;
    let airy = course.steps.first().is_some_and(|step| step.purge.is_some())
        || course.start.empty
        || course.start.own.iter().any(|(_, holds)| holds.is_none());
    if course.start.flowing && airy {
        let why = "where lines hold air the first step begins from rest";
        notes.given(top.table("start"), &["flow"], why, "spray in a step ahead of it");
    }
    if scenario.course.steps.iter().all(|step| step.lasts.is_none()) {
        nothing_moves(top, notes);
    } else {
        model(top.table("model"), scenario, notes);
    }
}

/// What `table` says of parts that a control moves, and of time in a step that lasts none.
fn of_step(table: &Checked, step: &Step, scenario: &Scenario, notes: &mut Notes) {
    if step.lasts.is_none() && table.number("ramp") != Some(0.0) {
        let help = "add `for = \"30 s\"`, or leave it out";
        notes.given(Some(table), &["ramp"], "a step without `for` lasts no time", help);
    }
    let plumbing = &scenario.machine.plumbing;
    for control in &step.controls {
        let (key, id) = match control.by {
            Actuator::PumpSpeed(id) => ("pumps", id),
            Actuator::ValveOpening(id) => ("valves", id),
        };
        let moved = &plumbing.branch(id).name;
        for (name, _) in table.settings(key).iter().filter(|(name, _)| name.text == *moved) {
            let message =
                format!("\"{moved}\" is moved by a control: its setting here says nothing");
            let help = "leave it out, or give the step a [[step.control]] that moves another part";
            notes.add(name.span.clone(), message, help);
        }
    }
    let pump = scenario.machine.roles.pump.map(|id| &plumbing.branch(id).name);
    if table.settings("pumps").iter().any(|(name, _)| Some(&name.text) == pump) {
        notes.given(Some(table), &["pump"], "`pumps` sets the same pump", "keep one of the two");
    }
}

/// Tables of which no step makes use.
fn unused_tables(top: &Checked, scenario: &Scenario, notes: &mut Notes) {
    let steps = &scenario.course.steps;
    let does = |wanted: fn(Action) -> bool| steps.iter().any(|step| wanted(step.action));
    let unused = [
        ("travel", does(Action::sprays), "no step sprays"),
        ("air", does(|action| action == Action::Purge), "no step purges"),
    ];
    for (key, _, why) in unused.into_iter().filter(|(key, used, _)| !used && top.has(key)) {
        notes.add(top.span_of(key), format!("[{key}] says nothing: {why}"), LEAVE_OUT);
    }
    let valve = top.table("return_path").and_then(|path| path.table("valve"));
    let throttled = valve.filter(|valve| valve.number("opening") != Some(1.0));
    if !does(|action| action == Action::Circulate) {
        let why = "it is the opening at which the machine circulates, and no step does";
        let help = "open the valve in a step by `valves = { return-valve = \"10 %\" }`";
        notes.given(throttled, &["opening"], why, help);
    }
}

fn product(table: Option<&Checked>, notes: &mut Notes) {
    let Some(table) = table else { return };
    if !table.has("price") {
        notes.given(Some(table), &["currency"], "there is no price", "add `price = \"0.35 /L\"`");
    }
    if !(table.has("particle") && table.has("density")) {
        let why = "particles need both `particle` and `density`";
        let keys = ["particle", "density", "solids"];
        notes.given(Some(table), &keys, why, "add the other, or leave it out");
    }
}

/// What counts only where something moves, in a scenario of states alone.
fn nothing_moves(top: &Checked, notes: &mut Notes) {
    let why = "no step lasts, so nothing moves";
    let help = "add `for = \"60 s\"` to a step, or leave it out";
    let at_rest: [(&str, &[&str]); 2] = [
        ("start", &["lines_hold", "empty", "flow", "tanks_hold", "full_from"]),
        ("model", &["dispersion", "laminar_tail", "longest_move", "holdup", "slip"]),
    ];
    for (table, keys) in at_rest {
        let Some(table) = top.table(table) else { continue };
        let other: Vec<&str> = keys.iter().copied().filter(|key| !is_default(table, key)).collect();
        notes.given(Some(table), &other, why, help);
    }
    for control in top.tables("control").iter().filter(|c| c.number("response") != Some(0.0)) {
        notes.given(Some(control), &["response"], why, help);
    }
    for (_, line) in top.named("line") {
        notes.given(Some(line), &["holds"], why, help);
    }
}

/// Choices about air in lines that never hold any, or that another choice outweighs.
fn model(table: Option<&Checked>, scenario: &Scenario, notes: &mut Notes) {
    let (model, air) = (&scenario.course.model, scenario.course.may_hold_air());
    let usual = model.holdup && model.slip;
    if !(air || usual) {
        let why = "no line ever holds air in these steps";
        notes.given(table, &["holdup", "slip"], why, LEAVE_OUT);
    } else if !model.holdup && !model.slip {
        notes.given(table, &["holdup"], "without slip a front leaves nothing anyway", LEAVE_OUT);
    }
}
