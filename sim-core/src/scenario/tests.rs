//! Roles, compressed air, empty lines and purging: what a file says of them becomes the model, and reads back.

use super::{NoFiles as Nothing, Scenario, expand, read};
use crate::measures::Measure;
use crate::plumbing::{Line, Part, Side};
use crate::procedure::{Action, Actuator, Held, Pulse, Step, Until};
use approx::assert_relative_eq;

const MACHINE: &str = r#"
[tank]
[pump]
points = [["0 L/min", "6 bar"], ["400 L/min", "3 bar"]]
suction = { bore = "51 mm", length = "2 m" }
[control]
hold = "3 bar"
[boom]
width = "12 m"
return = true
tube = { bore = "20 mm", material = "polyethylene", sag = "2 cm" }
sections = 3
tips_per_section = 8
[supply]
main = { bore = "38 mm", length = "6 m", roughness = "20 um" }
hose = { bore = "25 mm", sag = "10 cm" }
section_valve = { kv = "9 m3/h" }
[return_path]
hose = { bore = "19 mm", material = "pvc", roughness = "3 um" }
main = { bore = "32 mm", length = "5 m" }
valve = { kv = "12 m3/h" }
[tips]
size = "04"
[air]
regulated = "2 bar"
receiver = "20 L"
charged_to = "8 bar"
compressor = "70 L/min"
valve = { conductance = "2 L/(s bar)" }
relief = "2.5 bar"
check = { kv = "40 m3/h" }
back = { kv = "9 m3/h", bore = "25 mm", length = "4 m" }
"#;

/// The machine with `more` behind it.
fn machine(more: &str) -> Scenario {
    let text = format!("{MACHINE}{more}");
    let scenario = read(&text, &Nothing).unwrap_or_else(|faults| panic!("{faults:?}"));
    let again = read(&expand(&scenario), &Nothing).unwrap_or_else(|faults| panic!("{faults:?}"));
    assert_eq!(again, scenario, "read back");
    scenario
}

fn opening(scenario: &Scenario, step: &Step, name: &str) -> f64 {
    let found = scenario.machine.plumbing.branches.iter().position(|branch| branch.name == name);
    step.settings.opening[found.unwrap()]
}

fn line<'s>(scenario: &'s Scenario, name: &str) -> &'s Line {
    let found = scenario.machine.plumbing.branches.iter().find(|branch| branch.name == name);
    found.and_then(|branch| branch.part.line()).unwrap()
}

#[test]
fn air_enters_behind_a_check_valve_at_the_start_of_the_main() {
    let scenario = machine("");
    let plumbing = &scenario.machine.plumbing;
    let air = plumbing.air.as_ref().unwrap();
    let entries: Vec<(&str, &str)> = air
        .entries
        .iter()
        .map(|entry| (entry.name.as_str(), plumbing.node(entry.node).name.as_str()))
        .collect();
    assert_eq!(entries, [("feed side", "air-inlet"), ("return side", "return-header")]);
    let named = |name: &str| plumbing.branches.iter().find(|b| b.name == name).unwrap();
    assert_eq!(plumbing.node(named("main").from).name, "air-inlet");
    assert!(matches!(named("air-check").part, Part::CheckValve(_)));
    assert_eq!(named("air-check").to, named("main").from);
    assert_eq!(named("back-valve").from, named("main").from);
    assert!(plumbing.node(named("back").to).tank.is_some());
    // ISO 6358: dm3/(s bar) is 1e-8 m3/(s Pa).
    assert_relative_eq!(air.conductance_m3_s_pa, 2e-8, max_relative = 1e-12);
    assert_relative_eq!(air.free_air_m3_s, 0.070 / 60.0, max_relative = 1e-12);
    assert_eq!((air.critical_ratio, air.charged_to_pa, air.relief_pa), (0.3, 8e5, Some(2.5e5)));
}

#[test]
fn a_purge_from_the_feed_side_goes_home_by_the_return() {
    let scenario = machine("[[step]]\ndo = \"purge\"\nfor = \"60 s\"\n");
    let step = &scenario.course.steps[0];
    assert_eq!((step.action, step.pass), (Action::Purge, None));
    assert!(step.settings.speed.iter().all(|speed| *speed == 0.0) && step.controls.is_empty());
    assert!(step.settings.tip_opening.iter().all(|opening| *opening == 0.0));
    for (name, expected) in [("return-valve", 1.0), ("back-valve", 0.0), ("2-valve", 1.0)] {
        assert_eq!(opening(&scenario, step, name), expected, "{name}");
    }
    let purge = step.purge.unwrap();
    assert_eq!(scenario.machine.plumbing.node(purge.node).name, "air-inlet");
    assert_eq!(purge.pulse, None);
}

#[test]
fn a_purge_from_the_return_side_goes_home_by_the_way_back_that_no_other_step_opens() {
    let scenario = machine(
        "[[step]]\ndo = \"purge\"\nair = \"return side\"\nfor = \"60 s\"\nuntil = \"no liquid\"\n\
         pulse = { on = \"2 s\", off = \"1 s\" }\n[[step]]\ndo = \"circulate\"\n",
    );
    let [purge, circulate] = &scenario.course.steps[..] else { panic!() };
    assert_eq!(opening(&scenario, purge, "return-valve"), 0.0);
    assert_eq!(opening(&scenario, purge, "back-valve"), 1.0);
    assert_eq!(opening(&scenario, circulate, "back-valve"), 0.0);
    assert_eq!(purge.lasts.unwrap().until, Until::NoLiquid(3.0));
    assert_eq!(purge.purge.unwrap().pulse, Some(Pulse { on_s: 2.0, off_s: 1.0 }));
}

#[test]
fn an_order_becomes_a_step_for_each_part_that_share_the_time() {
    let scenario = machine(
        "[[step]]\nname = \"blow\"\ndo = \"purge\"\nfor = \"90 s\"\norder = [[\"1\", \"3\"], \"2\"]\n\
         until = \"receiver down\"\nreceiver_at = \"3 bar\"\n",
    );
    let names: Vec<&str> = scenario.course.steps.iter().map(|step| step.name.as_str()).collect();
    assert_eq!(names, ["blow, sections 1 and 3", "blow, section 2"]);
    let open: Vec<[f64; 3]> = scenario
        .course
        .steps
        .iter()
        .map(|step| ["1-valve", "2-valve", "3-valve"].map(|name| opening(&scenario, step, name)))
        .collect();
    assert_eq!(open, [[1.0, 0.0, 1.0], [0.0, 1.0, 0.0]]);
    let passes: Vec<_> = scenario.course.steps.iter().map(|step| step.pass).collect();
    assert_eq!(passes, [Some((1, 2)), Some((2, 2))]);
    for step in &scenario.course.steps {
        let lasts = step.lasts.unwrap();
        assert_eq!((lasts.most_s, lasts.until), (45.0, Until::ReceiverDown(3e5)));
    }
}

#[test]
fn each_part_of_an_order_may_have_its_own_time() {
    let step = "[[step]]\ndo = \"purge\"\neach = \"15 s\"\norder = \"one at a time\"\n";
    let scenario = machine(step);
    let names: Vec<&str> = scenario.course.steps.iter().map(|step| step.name.as_str()).collect();
    assert_eq!(names, ["purge, section 1", "purge, section 2", "purge, section 3"]);
    assert!(scenario.course.steps.iter().all(|step| step.lasts.unwrap().most_s == 15.0));
    let some = machine(&format!("{step}sections = [\"3\", \"1\"]\n"));
    let names: Vec<&str> = some.course.steps.iter().map(|step| step.name.as_str()).collect();
    assert_eq!(names, ["purge, section 3", "purge, section 1"]);
}

#[test]
fn an_order_repeats_as_a_whole() {
    let scenario = machine(
        "[[step]]\ndo = \"purge\"\nfor = \"30 s\"\norder = \"one at a time\"\nrepeat = { times = 2 }\n\
         [[step]]\nname = \"once more\"\ndo = \"purge\"\nfor = \"9 s\"\norder = [\"2\", \"1\"]\n\
         [[step]]\nname = \"wait\"\ndo = \"stand\"\nfor = \"5 s\"\nrepeat = { from = \"once more\", times = 3 }\n",
    );
    let names: Vec<&str> = scenario.course.steps.iter().map(|step| step.name.as_str()).collect();
    assert_eq!(names.len(), 2 * 3 + 3 * 3);
    assert_eq!(names[3], "purge, section 1 (2)");
    assert_eq!(names[6..9], ["once more, section 2", "once more, section 1", "wait"]);
    assert_eq!(scenario.course.steps[4].pass, Some((2, 2)));
    assert_eq!(scenario.course.steps[14].pass, Some((3, 3)));
}

#[test]
fn a_repeated_purge_and_an_order_of_as_many_parts_read_back_apart() {
    machine(
        "[[step]]\ndo = \"purge\"\nfor = \"30 s\"\nrepeat = { times = 2 }\n\
         [[step]]\ndo = \"purge\"\nfor = \"30 s\"\norder = [\"1\", \"2\"]\n\
         [[step]]\ndo = \"purge\"\nfor = \"30 s\"\nvalves = { 1-valve = \"50 %\" }\norder = [\"2\", \"3\"]\n",
    );
}

#[test]
fn lines_start_empty_but_for_those_that_say_otherwise() {
    let scenario = machine(
        "[start]\nempty = true\n[node.sump]\ntank = \"tank\"\n[line.drain]\nfrom = \"sump\"\n\
         to = \"drain-end\"\nbore = \"20 mm\"\nlength = \"1 m\"\nholds = \"100 %\"\n\
         [line.hose]\nfrom = \"drain-end\"\nto = \"hose-end\"\nbore = \"20 mm\"\nlength = \"1 m\"\n\
         holds = \"air\"\n[[step]]\ndo = \"circulate\"\nfor = \"60 s\"\nuntil = \"filled\"\n",
    );
    let own: Vec<(&str, Option<f64>)> = scenario
        .course
        .start
        .own
        .iter()
        .map(|(id, held)| (scenario.machine.plumbing.branch(*id).name.as_str(), *held))
        .collect();
    assert!(scenario.course.start.empty);
    assert_eq!(own, [("drain", Some(1.0)), ("hose", None)]);
    assert_eq!(scenario.course.steps[0].lasts.unwrap().until, Until::Filled);
    // A default beside `empty` is no contradiction, however the table is written; a value given is.
    let faults = |start: &str| read(&format!("{start}{MACHINE}"), &Nothing).err();
    assert_eq!(faults("start.empty = true\n"), None);
    assert!(faults("start.empty = true\nstart.lines_hold = \"0 %\"\n").is_some());
    assert!(faults("start = { empty = true, lines_hold = \"0 %\" }\n").is_some());
}

#[test]
fn a_line_is_of_a_material_unless_its_roughness_alone_is_known() {
    let scenario = machine("");
    let of = |name: &str| {
        let line = line(&scenario, name);
        (line.material.map(|material| material.name), line.roughness_m)
    };
    assert_eq!(of("1-hose"), (Some("hose"), 10e-6));
    assert_eq!(of("main"), (None, 20.0 * 1e-6));
    assert_eq!(of("1-return"), (Some("pvc"), 3.0 * 1e-6));
    assert_eq!(of("1-tube-03").0, Some("polyethylene"));
}

#[test]
fn hoses_sag_as_a_whole_and_tubes_between_tips() {
    let scenario = machine("");
    assert_relative_eq!(line(&scenario, "1-hose").sag_m, 0.1);
    let tube: Vec<f64> = scenario
        .machine
        .plumbing
        .branches
        .iter()
        .filter(|branch| branch.side == Side::Boom && branch.name.starts_with("1-"))
        .filter_map(|branch| branch.part.line())
        .map(|line| line.sag_m)
        .collect();
    assert_eq!(tube.len(), 9);
    assert_eq!((tube[0], tube[8]), (0.0, 0.0));
    assert!(tube[1..8].iter().all(|sag_m| *sag_m == 0.02));
}

#[test]
fn limits_and_the_model_know_what_a_purge_leaves() {
    let scenario =
        machine("[limits]\nleft_behind = \"10 L\"\nlost = \"0.1 L\"\n[model]\nholdup = false\n");
    assert_relative_eq!(scenario.limits.most(Measure::PurgeResidual).unwrap(), 0.010);
    assert_relative_eq!(scenario.limits.most(Measure::PurgeLost).unwrap(), 1e-4);
    assert!(!scenario.course.model.holdup);
}

#[test]
fn any_network_takes_air_where_it_says() {
    let text = r#"
        [tank.tank]
        surface = "1 m"
        [node.outlet]
        tank = "tank"
        [line.hose]
        from = "inlet"
        to = "outlet"
        bore = "20 mm"
        length = "5 m"
        [air]
        regulated = "1 bar"
        compressor = "2 cfm"
        valve = { conductance = "0.5 ft3/(min psi)" }
        at = ["inlet"]
        [[step]]
        do = "purge"
        for = "10 s"
    "#;
    let scenario = read(text, &Nothing).unwrap();
    let air = scenario.machine.plumbing.air.as_ref().unwrap();
    assert_eq!(air.entries[0].name, "inlet");
    // Without a receiver the compressor feeds the regulator.
    assert_eq!((air.receiver_m3, air.charged_to_pa), (0.0, 1e5));
    assert_eq!(scenario.course.steps[0].purge.unwrap().node, air.entries[0].node);
    assert_eq!(read(&expand(&scenario), &Nothing).unwrap(), scenario);
}

/// A pump that feeds one tip through `feed`; what passes `home` returns.
const LONG: &str = r#"
    [tank.sump]
    surface = "1 m"
    [node.outlet]
    tank = "sump"
    [node.inlet]
    tank = "sump"
    [pump.booster]
    from = "outlet"
    to = "manifold"
    points = [["0 L/min", "6 bar"], ["80 L/min", "5 bar"]]
    [line.feed]
    from = "manifold"
    to = "end"
    bore = "20 mm"
    length = "5 m"
    [valve.home]
    from = "end"
    to = "inlet"
    kv = "6 m3/h"
    opening = "40 %"
    [tip.tip]
    node = "end"
    size = "04"
"#;

#[test]
fn a_long_form_names_the_parts_that_steps_and_controls_mean() {
    let text = format!(
        "{LONG}[roles]\nreturn_valve = \"home\"\nmain = \"feed\"\ngauge = \"end\"\n\
         [[control]]\nhold = \"3 bar\"\n[[step]]\ndo = \"spray\"\nfor = \"9 s\"\nload = {{ strength = \"0 %\" }}\n\
         [[step]]\nname = \"back\"\ndo = \"circulate\"\nhold = \"20 L/min\"\n\
         [[step]]\nname = \"kept\"\ndo = \"circulate\"\nvalves = {{ home = \"40 %\" }}\n"
    );
    let scenario = read(&text, &Nothing).unwrap_or_else(|faults| panic!("{faults:?}"));
    let steps = &scenario.course.steps;
    let openings: Vec<f64> = steps.iter().map(|step| opening(&scenario, step, "home")).collect();
    assert_eq!(openings, [0.0, 1.0, 0.4]);
    let (plumbing, by) = (&scenario.machine.plumbing, scenario.machine.roles.pump.unwrap());
    let by = Actuator::PumpSpeed(by);
    let held = |step: &Step| (step.controls[0].held, step.controls[0].by);
    let node = plumbing.node_named("end").unwrap();
    assert_eq!(held(&steps[0]), (Held::Pressure { node, pa: 3e5 }, by));
    let branch = plumbing.branch_named("feed").unwrap();
    assert!(matches!(held(&steps[1]), (Held::Flow { branch: at, .. }, _) if at == branch));
    assert_eq!(steps[0].loads.len(), 1);
    assert_eq!(read(&expand(&scenario), &Nothing).unwrap(), scenario);
}

#[test]
fn a_long_form_without_roles_leaves_its_valves_as_they_stand() {
    let text = format!("{LONG}[[step]]\ndo = \"spray\"\n[[step]]\ndo = \"circulate\"\n");
    let scenario = read(&text, &Nothing).unwrap();
    assert!(scenario.course.steps.iter().all(|step| opening(&scenario, step, "home") == 0.4));
    assert_eq!(scenario.machine.roles.return_valve, None);
}
