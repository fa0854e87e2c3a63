//! The course: its answers are the tool's, its lessons say what they are meant to show, and every figure is in what the command
//! beside it prints or writes.

mod by_hand;
mod quotes;
mod sheets;

use checks::command::millstream;
use checks::matches_file;
use checks::root;
use quotes::{Pool, Quote, commands, printed, printed_with, roughly, worked_out};
use serde_json::Value;

/// What a lesson's text asks for, by name.
type Answers = Vec<(&'static str, Quote)>;

/// A lesson's name, and what computes its answers.
type Lesson = (&'static str, fn() -> Answers);

fn json_of(args: &[&str]) -> Value {
    let printed = millstream(args);
    assert_eq!(printed.code, 0, "{}", printed.err);
    serde_json::from_str(&printed.out).unwrap()
}

fn path(name: &str) -> String {
    root().join(name).to_string_lossy().into_owned()
}

fn lesson(name: &str) -> Value {
    json_of(&["run", &path(&format!("docs/course/{name}.toml")), "--json"])
}

/// Figure `key` of the first step, or of the whole run, over the values of a setting.
fn over(name: &str, setting: &str, key: &str) -> Vec<f64> {
    let file = path(&format!("docs/course/{name}.toml"));
    let sweep = json_of(&["compare", &file, "--vary", setting, "--json"]);
    let rows = sweep["findings"].as_array().unwrap();
    let row = rows.iter().find(|row| row["key"] == key).unwrap();
    row["values"].as_array().unwrap().iter().map(number).collect()
}

/// The findings of the first step.
fn findings(summary: &Value) -> &Value {
    &summary["steps"][0]["findings"]
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn bar(pa: f64) -> String {
    format!("{:.2} bar", pa / 1e5)
}

fn finely(pa: f64) -> String {
    format!("{:.3} bar", pa / 1e5)
}

fn seconds(s: f64) -> String {
    format!("{s:.1} s")
}

fn percent(share: f64) -> String {
    format!("{:.0} %", 100.0 * share)
}

fn litres(m3: f64) -> String {
    format!("{:.1} L", 1e3 * m3)
}

fn tips(summary: &Value, key: &str) -> Vec<f64> {
    findings(summary)["tips"].as_array().unwrap().iter().map(|tip| number(&tip[key])).collect()
}

/// Losses of the pieces of tube that flow, the largest first.
fn pieces(summary: &Value, key: &str) -> Vec<f64> {
    let lines = findings(summary)["losses"].as_array().unwrap();
    let tube = lines.iter().filter(|line| line["branch"].as_str().unwrap().starts_with("1-tube"));
    let mut values: Vec<f64> = tube.map(|line| number(&line[key])).collect();
    values.retain(|value| *value > 1e-6);
    values.sort_by(|a, b| b.total_cmp(a));
    values
}

fn ends(values: &[f64]) -> (f64, f64) {
    let fold = |pick: fn(f64, f64) -> f64| values.iter().copied().reduce(pick).unwrap();
    (fold(f64::max), fold(f64::min))
}

fn friction() -> Answers {
    let summary = lesson("1-friction");
    let (first, last) = ends(&tips(&summary, "pressure_pa"));
    let losses = pieces(&summary, "loss_pa");
    let count = losses.len() as f64;
    let share = losses.iter().sum::<f64>() / (count * losses[0]);
    // Christiansen (1942): the share of the loss of a line with n even outlets, for a loss with the power m of flow.
    let (m, n) = (1.75f64, 24.0f64);
    let christiansen = 1.0 / (m + 1.0) + 1.0 / (2.0 * n) + (m - 1.0).sqrt() / (6.0 * n * n);
    assert!((share - christiansen).abs() < 0.02, "{share} {christiansen}");
    let narrow = over("1-friction", "boom.tube.bore=13 mm,16 mm", "tip_pressure_variation_share");
    let mean = over("1-friction", "boom.tube.bore=13 mm,16 mm", "mean_tip_pressure_pa");
    let (varies, mean) = (narrow[0], mean[0]);
    let narrow = varies * mean;
    let times = narrow / (first - last);
    // Blasius (1913): a loss with bore to the power of -4.75, a little less here as the flow falls with it.
    assert!((times / (16.0f64 / 13.0).powf(4.75) - 1.0).abs() < 0.1, "{times}");
    vec![
        ("lost", worked_out(finely(first - last))),
        ("first", printed(finely(first))),
        ("last", printed(finely(last))),
        ("share", worked_out(percent(share))),
        ("christiansen", worked_out(percent(christiansen))),
        ("narrow", worked_out(bar(narrow))),
        ("varies", printed(format!("{:.1} %", 100.0 * varies))),
        ("mean", printed(bar(mean))),
        ("times", worked_out(format!("{times:.1}"))),
    ]
}

fn last_tip() -> Answers {
    let summary = lesson("2-last-tip");
    let section = &findings(&summary)["priming"]["sections"][0];
    let velocities = pieces(&summary, "velocity_m_s");
    let full = over("2-last-tip", "model.laminar_tail=true,false", "full_strength_s");
    // The largest is that of the piece between feed and first tip, which carries the flow of all 24.
    let (fast, slow) = (velocities[1], ends(&velocities).1);
    assert!((velocities[0] / fast / (24.0 / 23.0) - 1.0).abs() < 0.01, "{velocities:?}");
    assert!(fast / slow > 20.0 && full[0] > full[1]);
    let shown = |s: f64| (10.0 * s).round() / 10.0;
    vec![
        ("first", printed(seconds(number(&section["first_s"])))),
        ("last", printed(seconds(number(&section["last_s"])))),
        ("fast", printed(format!("{fast:.2} m/s"))),
        ("slow", printed(format!("{slow:.2} m/s"))),
        ("tail", worked_out(seconds(shown(full[0]) - shown(full[1])))),
        ("plug", printed(seconds(full[1]))),
    ]
}

fn dead_legs() -> Answers {
    let mean = |summary: &Value| {
        let legs = findings(summary)["priming"]["dead_legs"].as_array().unwrap();
        let volume: f64 = legs.iter().map(|leg| number(&leg["volume_m3"])).sum();
        let held: f64 =
            legs.iter().map(|leg| number(&leg["volume_m3"]) * number(&leg["concentration"])).sum();
        (legs.len(), volume, held / volume, number(&legs[0]["length_bores"]))
    };
    let summary = lesson("3-dead-legs");
    let (count, volume, concentration, bores) = mean(&summary);
    let (.., short, _) = mean(&lesson("3-short-ends"));
    assert!(concentration < 0.3 && short > 2.0 * concentration);
    vec![
        ("full", printed(seconds(number(&findings(&summary)["priming"]["all_full_s"])))),
        ("count", printed_with(count.to_string(), "dead")),
        ("volume", printed(litres(volume))),
        ("bores", printed_with(format!("{bores:.1}"), "bores")),
        ("concentration", printed(percent(concentration))),
        ("short", printed(percent(short))),
    ]
}

fn recirculation() -> Answers {
    let run = |name: &str| json_of(&["run", &path(&format!("scenarios/{name}.toml")), "--json"]);
    let (spraying, circulating) = (run("heron-36m-prime-centre"), run("heron-36m-prime-one-end"));
    let full = |summary: &Value| number(&findings(summary)["priming"]["all_full_s"]);
    let first = findings(&circulating);
    vec![
        ("sooner", printed(seconds(full(&spraying) - full(&circulating)))),
        ("circulating", printed(seconds(full(&circulating)))),
        ("spraying", printed(seconds(full(&spraying)))),
        ("thin", printed(litres(number(&findings(&spraying)["priming"]["under_dosed_m3"])))),
        ("half", printed(seconds(number(&first["circulation"]["return_half_s"])))),
        ("tank", printed(percent(number(&first["outcome"]["tanks"][0]["concentration"])))),
    ]
}

fn purge() -> Answers {
    let run = |name: &str| {
        let summary = json_of(&["run", &path(&format!("scenarios/{name}.toml")), "--json"]);
        let steps = summary["steps"].as_array().unwrap();
        steps.iter().find_map(|step| step["findings"].get("purge")).unwrap().clone()
    };
    let (together, apart) = (run("heron-36m-purge-together"), run("heron-36m-purge-one-at-a-time"));
    let through = |section: usize| together["sections"][section]["breakthrough_s"].as_f64();
    // Uncertain by a factor of two to three, as the page says: two figures.
    let volume = |purge: &Value, key: &str| roughly(1e3 * number(&purge[key]), "L");
    let cause = |key: &str| match 1e3 * number(&apart["residual"][key]) {
        litres if litres < 0.05 => worked_out("nothing"),
        litres if litres < 1.0 => printed(format!("{litres:.1} L")),
        litres => roughly(litres, "L"),
    };
    let residual = |purge: &Value| number(&purge["residual"]["liquid_m3"]);
    // Blowing out lines, far ones first and a second round: practice, as irrigators write it down.
    assert!(residual(&apart) < residual(&together));
    assert!(through(0).is_none_or(|far| far > 2.0 * through(2).unwrap()));
    vec![
        ("near", printed(seconds(through(2).unwrap()))),
        (
            "far",
            worked_out(
                through(0)
                    .map_or("not within the 90 s".into(), |s| format!("after {}", seconds(s))),
            ),
        ),
        ("together", roughly(1e3 * residual(&together), "L")),
        ("apart", roughly(1e3 * residual(&apart), "L")),
        ("air_together", volume(&together, "free_air_m3")),
        ("air_apart", volume(&apart, "free_air_m3")),
        ("layer", cause("wall_film_m3")),
        ("column", cause("undrained_m3")),
        ("pool", cause("low_spot_m3")),
        ("refill", volume(&apart, "refill_m3")),
        ("flush", volume(&apart, "flush_refilled_m3")),
    ]
}

fn diagnosing() -> Answers {
    let summary = lesson("6-diagnosing");
    let findings = findings(&summary);
    let tip = |name: &str, key: &str| {
        let tips = findings["tips"].as_array().unwrap();
        number(&tips.iter().find(|tip| tip["tip"] == name).unwrap()[key])
    };
    let pressure = |name: &str| printed(bar(tip(name, "pressure_pa")));
    // Common practice, no source: a catch test lasts a minute.
    let catch =
        |name: &str| printed_with(format!("{:.2} L", 1e3 * tip(name, "flow_m3_s") * 60.0), "L/min");
    let application = &findings["application"];
    let rate = |key: &str| printed(format!("{:.0} L/ha", number(&application[key]) * 1e7));
    let best = explanation();
    let severity = |fault: usize| number(&best["faults"][fault]["severity"]);
    let more = tip("right-04", "flow_m3_s") / tip("left-04", "flow_m3_s") - 1.0;
    vec![
        ("left_pressure", pressure("left-04")),
        ("middle_pressure", pressure("middle-04")),
        ("right_pressure", pressure("right-04")),
        ("left_catch", catch("left-04")),
        ("middle_catch", catch("middle-04")),
        ("right_catch", catch("right-04")),
        ("rate", rate("rate_m")),
        ("wanted", rate("target_rate_m")),
        ("spread", worked_out(percent(more))),
        ("worn", printed(percent(severity(1)))),
        ("plugged", printed(percent(severity(0)))),
        ("probability", printed(percent(number(&best["probability"])))),
    ]
}

/// What explains the readings of lesson 6 best.
fn explanation() -> Value {
    let [machine, readings] =
        ["docs/course/6-as-built.toml", "docs/course/readings/6-tips.toml"].map(path);
    let diagnosis = json_of(&["diagnose", &machine, &readings, "--json"]);
    diagnosis["explanations"][0].clone()
}

const LESSONS: [Lesson; 6] = [
    ("1-friction", friction),
    ("2-last-tip", last_tip),
    ("3-dead-legs", dead_legs),
    ("4-recirculation", recirculation),
    ("5-purge", purge),
    ("6-diagnosing", diagnosing),
];

#[test]
fn answers_of_the_course_are_those_of_the_tool() {
    let mut wrong = Vec::new();
    for (name, answers) in LESSONS {
        let text = std::fs::read_to_string(path(&format!("docs/course/text/{name}.md"))).unwrap();
        let pool = Pool::of(&commands(&text));
        let mut filled = text;
        for (key, value) in answers() {
            let place = format!("{{{{{key}}}}}");
            assert!(filled.contains(&place), "{name} does not ask for {key}");
            filled = filled.replace(&place, &value.shown);
            wrong.extend(pool.holds(&format!("{name}, {key}"), &value).err());
        }
        assert!(!filled.contains("{{"), "{name} asks for more:\n{filled}");
        assert_eq!(filled.matches("**Question").count(), 3);
        let file = root().join(format!("docs/course/{name}.md"));
        wrong.extend(matches_file(&filled, &file).err());
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
