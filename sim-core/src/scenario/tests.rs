//! Roles, compressed air, empty lines and purging: what a file says of them becomes the model, and reads back.

use super::{NoFiles, Scenario, expand, expand_json, read};
use crate::measures::Measure;
use approx::{assert_relative_eq, relative_eq};
use serde_json::{Value, json};

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

/// What `text` says, which its long form says too.
fn scenario(text: &str) -> Scenario {
    let scenario = read(text, &NoFiles).unwrap_or_else(|faults| panic!("{faults:?}"));
    let again = read(&expand(&scenario), &NoFiles).unwrap_or_else(|faults| panic!("{faults:?}"));
    assert_eq!(again, scenario, "read back");
    scenario
}

/// The machine with `more` behind it.
fn machine(more: &str) -> Scenario {
    scenario(&format!("{MACHINE}{more}"))
}

/// At `path` into the JSON of `scenario`, by names and numbers from 0, is at least what `expected` says.
fn shows(scenario: &Scenario, path: &str, expected: Value) {
    let found = path.split('/').fold(expand_json(scenario), |value, part| match value.as_array() {
        Some(items) => match part.parse::<usize>() {
            Ok(i) if i < items.len() => items[i].clone(),
            _ => items.iter().find(|item| item["name"] == part).cloned().unwrap_or_default(),
        },
        None => value[part].clone(),
    });
    assert!(includes(&found, &expected), "{path}: {found:#}");
}

fn includes(found: &Value, expected: &Value) -> bool {
    if let (Some(a), Some(b)) = (found.as_f64(), expected.as_f64()) {
        return relative_eq!(a, b, max_relative = 1e-12);
    }
    match expected.as_object() {
        Some(expected) => expected
            .iter()
            .all(|(key, value)| found.get(key).is_some_and(|found| includes(found, value))),
        None => found == expected,
    }
}

fn names(scenario: &Scenario) -> Vec<&str> {
    scenario.course.steps.iter().map(|step| step.name.as_str()).collect()
}

#[test]
fn air_enters_behind_a_check_valve_at_the_start_of_the_main() {
    let scenario = machine("");
    shows(&scenario, "branches/main", json!({ "from": "air-inlet" }));
    shows(&scenario, "branches/air-check", json!({ "kind": "check_valve", "to": "air-inlet" }));
    shows(&scenario, "branches/back-valve", json!({ "from": "air-inlet" }));
    // ISO 6358: dm3/(s bar) is 1e-8 m3/(s Pa).
    let air = json!({
        "entries": [{ "name": "feed side", "node": "air-inlet" }, { "name": "return side", "node": "return-header" }],
        "conductance_m3_s_pa": 2e-8, "free_air_m3_s": 0.070 / 60.0, "critical_ratio": 0.3,
        "charged_to_pa": 8e5, "relief_pa": 2.5e5,
    });
    shows(&scenario, "air", air);
    let back =
        scenario.machine.plumbing.branches.iter().find(|branch| branch.name == "back").unwrap();
    assert!(scenario.machine.plumbing.node(back.to).tank.is_some());
}

#[test]
fn a_purge_from_the_feed_side_goes_home_by_the_return() {
    let step = json!({
        "do": "purge", "pass": null, "speeds": { "pump": 0.0 }, "controls": [], "open_tips": [],
        "openings": { "return-valve": 1.0, "back-valve": 0.0, "2-valve": 1.0 },
        "purge": { "node": "air-inlet", "pulse_on_s": null },
    });
    shows(&machine("[[step]]\ndo = \"purge\"\nfor = \"60 s\"\n"), "steps/0", step);
}

#[test]
fn a_purge_from_the_return_side_goes_home_by_the_way_back_that_no_other_step_opens() {
    let scenario = machine(
        "[[step]]\ndo = \"purge\"\nair = \"return side\"\nfor = \"60 s\"\nuntil = \"no liquid\"\n\
         pulse = { on = \"2 s\", off = \"1 s\" }\n[[step]]\ndo = \"circulate\"\n",
    );
    let purge = json!({
        "openings": { "return-valve": 0.0, "back-valve": 1.0 }, "quiet_for_s": 3.0,
        "purge": { "pulse_on_s": 2.0, "pulse_off_s": 1.0 },
    });
    shows(&scenario, "steps/0", purge);
    shows(&scenario, "steps/1/openings", json!({ "back-valve": 0.0 }));
}

#[test]
fn an_order_becomes_a_step_for_each_part_that_share_the_time() {
    let scenario = machine(
        "[[step]]\nname = \"blow\"\ndo = \"purge\"\nfor = \"90 s\"\norder = [[\"1\", \"3\"], \"2\"]\n\
         until = \"receiver down\"\nreceiver_at = \"3 bar\"\n",
    );
    assert_eq!(names(&scenario), ["blow, sections 1 and 3", "blow, section 2"]);
    for (i, [one, two, three]) in [[1.0, 0.0, 1.0], [0.0, 1.0, 0.0]].into_iter().enumerate() {
        let open = json!({ "1-valve": one, "2-valve": two, "3-valve": three });
        let step = json!({ "for_s": 45.0, "receiver_at_pa": 3e5, "openings": open });
        shows(&scenario, &format!("steps/{i}"), step);
        assert_eq!(scenario.course.steps[i].pass, Some((i + 1, 2)));
    }
}

#[test]
fn each_part_of_an_order_may_have_its_own_time() {
    let step = "[[step]]\ndo = \"purge\"\neach = \"15 s\"\norder = \"one at a time\"\n";
    let all = machine(step);
    assert_eq!(names(&all), ["purge, section 1", "purge, section 2", "purge, section 3"]);
    assert!(all.course.steps.iter().all(|step| step.lasts.unwrap().most_s == 15.0));
    let some = machine(&format!("{step}sections = [\"3\", \"1\"]\n"));
    assert_eq!(names(&some), ["purge, section 3", "purge, section 1"]);
}

#[test]
fn an_order_repeats_as_a_whole() {
    let scenario = machine(
        "[[step]]\ndo = \"purge\"\nfor = \"30 s\"\norder = \"one at a time\"\nrepeat = { times = 2 }\n\
         [[step]]\nname = \"once more\"\ndo = \"purge\"\nfor = \"9 s\"\norder = [\"2\", \"1\"]\n\
         [[step]]\nname = \"wait\"\ndo = \"stand\"\nfor = \"5 s\"\nrepeat = { from = \"once more\", times = 3 }\n",
    );
    let names = names(&scenario);
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
    let own = json!([{ "line": "drain", "concentration": 1.0 }, { "line": "hose", "concentration": null }]);
    shows(&scenario, "start", json!({ "empty": true, "own": own }));
    shows(&scenario, "steps/0", json!({ "until": "filled" }));
    // A default beside `empty` is no contradiction, however the table is written; a value given is.
    let faults = |start: &str| read(&format!("{start}{MACHINE}"), &NoFiles).err();
    assert_eq!(faults("start.empty = true\n"), None);
    assert!(faults("start.empty = true\nstart.lines_hold = \"0 %\"\n").is_some());
    assert!(faults("start = { empty = true, lines_hold = \"0 %\" }\n").is_some());
}

#[test]
fn a_line_is_of_a_material_unless_its_roughness_alone_is_known() {
    let scenario = machine("");
    for (line, material, roughness_m) in [
        ("1-hose", json!("hose"), 10e-6),
        ("main", Value::Null, 20e-6),
        ("1-return", json!("pvc"), 3e-6),
        ("1-tube-03", json!("polyethylene"), 1.5e-6),
    ] {
        let part = json!({ "material": material, "roughness_m": roughness_m });
        shows(&scenario, &format!("branches/{line}/part"), part);
    }
}

#[test]
fn a_note_on_the_lines_of_a_boom_goes_with_each_that_is_made_of_them() {
    let text = MACHINE
        .replace("hose = { bore = \"25 mm\"", "hose = { note = \"H-25/6\", bore = \"25 mm\"");
    let scenario = scenario(&text);
    for hose in ["1-hose", "2-hose", "3-hose"] {
        shows(&scenario, &format!("branches/{hose}/part"), json!({ "note": "H-25/6" }));
    }
    shows(&scenario, "branches/main/part", json!({ "note": null }));
}

#[test]
fn hoses_sag_as_a_whole_and_tubes_between_tips() {
    let scenario = machine("");
    shows(&scenario, "branches/1-hose/part", json!({ "sag_m": 0.1 }));
    let branches = scenario.machine.plumbing.branches.iter();
    let tube: Vec<f64> = branches
        .filter(|branch| branch.name.starts_with("1-tube"))
        .filter_map(|branch| Some(branch.part.line()?.sag_m))
        .collect();
    assert_eq!(tube, [0.0, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.02, 0.0]);
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
    // Without a receiver the compressor feeds the regulator.
    let scenario = scenario(text);
    let entries = json!([{ "name": "inlet", "node": "inlet" }]);
    let air = json!({ "entries": entries, "receiver_m3": 0.0, "charged_to_pa": 1e5 });
    shows(&scenario, "air", air);
    shows(&scenario, "steps/0/purge", json!({ "node": "inlet" }));
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
         [[step]]\nname = \"kept\"\ndo = \"circulate\"\nvalves = {{ home = \"70 %\" }}\n"
    );
    let scenario = scenario(&text);
    // A valve that is throttled to begin with circulates as it is, unless the step says otherwise.
    for (i, opening) in [0.0, 0.4, 0.7].into_iter().enumerate() {
        shows(&scenario, &format!("steps/{i}/openings"), json!({ "home": opening }));
    }
    let pressure = json!({ "pressure_pa": 3e5, "node": "end", "by": "booster" });
    shows(&scenario, "steps/0/controls/0", pressure);
    shows(&scenario, "steps/1/controls/0", json!({ "branch": "feed", "by": "booster" }));
    assert_eq!(scenario.course.steps[0].loads.len(), 1);
}

#[test]
fn a_long_form_without_roles_leaves_its_valves_as_they_stand() {
    let text = format!("{LONG}[[step]]\ndo = \"spray\"\n[[step]]\ndo = \"circulate\"\n");
    let scenario = scenario(&text);
    shows(&scenario, "steps/0/openings", json!({ "home": 0.4 }));
    shows(&scenario, "steps/1/openings", json!({ "home": 0.4 }));
    assert_eq!(scenario.machine.roles.return_valve, None);
}

#[test]
fn a_boom_lists_the_tips_of_its_sections_and_says_at_which_end_each_is_fed() {
    let feeds = |end: &str| {
        let listed = MACHINE.replace(
            "sections = 3\ntips_per_section = 8",
            &format!("tips = [7, 10, 7]\nfeed_end = \"{end}\""),
        );
        let scenario = scenario(&listed);
        let plumbing = &scenario.machine.plumbing;
        assert_eq!(plumbing.tips.len(), 24);
        let feed = |name: &str| {
            let section = plumbing.sections.iter().find(|section| section.name == name);
            let end = section.and_then(|section| section.feed_end).unwrap();
            plumbing.node(end).x_m.unwrap()
        };
        ["1", "2", "3"].map(feed)
    };
    // The middle section crosses the centre evenly: its outer end is the right one.
    let [left, middle, right] = feeds("outer");
    assert!(left < -5.0 && middle > 2.0 && right > 5.0);
    assert!(feeds("left")[1] < -2.0 && feeds("left")[2] < 3.0);
    assert!(feeds("right")[0] > -3.0 && feeds("right")[1] > 2.0);
}
