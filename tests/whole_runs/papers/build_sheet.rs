//! The build sheet: lengths, volumes, counts, prices, a retrofit.

use super::{ONE_END, Sheet};
use crate::once;
use checks::command::{Printed, millstream};
use checks::{put_beside_data, root};
use serde_json::Value;
use std::f64::consts::PI;
use std::path::Path;

const CENTRE: &str = "scenarios/heron-36m-centre.toml";

fn built(line: &str, name: &str) -> Sheet {
    once::with(&format!("millstream papers {line} --only build --units si --out out"), |outcome| {
        assert_eq!(outcome.printed.code, 0, "{}", outcome.printed.err);
        Sheet::of(outcome.text(name))
    })
}

/// Every line of a scenario, from its long form: bore and length, m.
fn lines(scenario: &str) -> Vec<(f64, f64)> {
    let path = root().join(scenario);
    let printed = millstream(&["expand", &path.to_string_lossy(), "--json"]);
    let long: Value = serde_json::from_str(&printed.out).unwrap();
    let of = |line: &Value, key: &str| line[key].as_f64().unwrap();
    let mut found = Vec::new();
    let mut open = vec![&long];
    while let Some(value) = open.pop() {
        if value["bore_m"].is_number() && value["length_m"].is_number() {
            found.push((of(value, "bore_m"), of(value, "length_m")));
        }
        match value {
            Value::Array(items) => open.extend(items),
            Value::Object(items) => open.extend(items.values()),
            _ => {}
        }
    }
    found
}

fn close(a: f64, b: f64) {
    assert!((a - b).abs() <= 1e-5 * b.abs().max(1e-3), "{a} and {b}");
}

#[test]
fn a_cut_list_adds_up_to_the_lines_of_the_scenario() {
    let shipped = checks::command::files("scenarios", ".toml");
    assert!(shipped.len() > 10);
    for path in shipped {
        let scenario = format!("scenarios/{}", path.file_name().unwrap().to_string_lossy());
        let (sheet, lines) = (built(&scenario, "cut-list.csv"), lines(&scenario));
        assert!(lines.len() + 1 >= sheet.0.len(), "{scenario}");
        close(sheet.all("length m"), lines.iter().map(|line| line.1).sum());
        let litres: f64 = lines.iter().map(|(d, l)| 1e3 * PI / 4.0 * d * d * l).sum();
        close(sheet.all("holds L"), litres);
        let pieces = sheet.0.len() as f64 - 1.0;
        close(sheet.all("cut at m"), sheet.all("length m") + 0.05 * pieces);
    }
}

/// Lengths by hand from the scenario's own keys: 36 m, six sections of 12 tips 0.5 m apart, fed at their outer ends 6 m, 12 m
/// and 18 m from the centre and returned at their inner ones, 0.5 m added to each hose.
#[test]
fn hoses_and_tubes_of_a_shipped_boom_are_those_worked_out_by_hand() {
    let sheet = built(ONE_END, "cut-list.csv");
    for (bore, count, metres) in [
        ("25", 6, 2.0 * (18.5 + 12.5 + 6.5)),
        ("22", 6, 6.0 * 12.0 * 0.5),
        ("19", 6, 2.0 * (12.5 + 6.5 + 0.5)),
        ("63", 1, 2.2),
        ("50", 1, 6.0),
        ("45", 1, 5.0),
    ] {
        close(sheet.sum("length m", ("bore mm", bore)), metres);
        let pieces = sheet.cells("piece", |sheet, row| sheet.is(row, "bore mm", bore));
        assert_eq!(pieces.len(), count, "{bore} mm: {pieces:?}");
        let area_m2 = PI / 4.0 * (1e-3 * bore.parse::<f64>().unwrap()).powi(2);
        close(sheet.sum("holds L", ("bore mm", bore)), 1e3 * area_m2 * metres);
    }
    close(sheet.all("bodies"), 72.0);
    let bores: Vec<f64> =
        sheet.cells("bore mm", |_, _| true).iter().map(|bore| bore.parse().unwrap()).collect();
    assert!(bores.is_sorted_by(|a, b| a >= b), "{bores:?}");
    let apart = sheet.cells("bodies apart m", |sheet, row| sheet.is(row, "bore mm", "22"));
    assert!(apart.iter().all(|cell| cell == "0.5"), "{apart:?}");
}

/// Counts by hand from the scenario's own keys: six section hoses with two barbs and an elbow each, and so on.
#[test]
fn parts_of_a_shipped_boom_are_those_counted_by_hand() {
    let sheet = built(ONE_END, "parts.csv");
    let count = |part: &str| sheet.sum("count", ("part", part));
    for (part, by_hand) in [
        ("valve", 6.0 + 1.0),
        ("barb", 12.0 + 12.0),
        ("elbow 90", 6.0 + 6.0 + 2.0 + 2.0),
        ("ball valve", 1.0),
        ("tip", 72.0),
        ("nozzle body", 72.0),
        ("pump", 1.0),
        ("strainer", 2.0),
        ("meter", 1.0),
    ] {
        close(count(part), by_hand);
    }
    // An exit is what liquid does at a line's end, no part.
    assert!(sheet.cells("part", |_, _| true).iter().all(|part| part != "exit"));
    // A centre-fed tube has a tee and two caps, and the shipped ones leave both arms capped.
    let centre = built(CENTRE, "parts.csv");
    close(centre.sum("count", ("part", "cap")), 12.0);
}

#[test]
fn what_a_retrofit_uses_again_buys_and_removes_adds_up_to_both_machines() {
    let line = format!("{ONE_END} --against {CENTRE}");
    let changes = built(&line, "retrofit.csv");
    let metres = |action: &str| {
        let rows = changes.cells("length m", |sheet, row| sheet.is(row, "action", action));
        rows.iter().filter_map(|cell| cell.parse::<f64>().ok()).sum::<f64>()
    };
    close(metres("buy") + metres("use again"), built(ONE_END, "cut-list.csv").all("length m"));
    let old_again: f64 = changes.all("old length m");
    close(metres("remove") + old_again, built(CENTRE, "cut-list.csv").all("length m"));
    let parts = |action: &str| {
        let of_action = changes.cells("count", |sheet, row| {
            sheet.is(row, "action", action) && sheet.is(row, "piece", "")
        });
        of_action.iter().map(|count| count.parse::<f64>().unwrap()).sum::<f64>()
    };
    close(parts("buy") + parts("use again"), built(ONE_END, "parts.csv").all("count"));
    close(parts("remove") + parts("use again"), built(CENTRE, "parts.csv").all("count"));
    // Against itself nothing changes.
    let same = built(&format!("{ONE_END} --against {ONE_END}"), "retrofit.csv");
    assert!(same.cells("action", |_, _| true).iter().all(|action| action == "use again"));
    let longer = |row: &csv::StringRecord| {
        let length = |head: &str| row[changes.column(head)].parse::<f64>().ok();
        length("old length m").zip(length("length m")).is_none_or(|(old, new)| old >= new - 0.0011)
    };
    assert!(changes.0[1..].iter().all(longer));
}

fn with_catalogue(catalogue: &str, out: &Path) -> Printed {
    let file = out.join("prices.csv");
    std::fs::write(&file, catalogue).unwrap();
    let [scenario, prices, out] = [root().join(ONE_END), file, out.join("out")]
        .map(|path| path.to_string_lossy().into_owned());
    millstream(&["papers", &scenario, "--only", "build", "--catalogue", &prices, "--out", &out])
}

#[test]
fn prices_are_lengths_and_counts_times_the_cheapest_offer_that_fits() {
    let folder = tempfile::tempdir().unwrap();
    let catalogue = "kind,size,rating,price EUR,per\nhose,25 mm,10 bar,5.00,m\nhose,1 in,,4.00,m\n\
                     hose,25 mm,,4.50,m\nstainless,22 mm,,10,m\ntip,04,,2,piece\nvalve,9 m3/h,,50,piece\n";
    let printed = with_catalogue(catalogue, folder.path());
    assert_eq!(printed.code, 0, "{}", printed.err);
    // An inch is 25.4 mm, more than rounding away from 25 mm. Six pieces of each, 50 mm of allowance on every one.
    let by_hand = 4.5 * (75.0 + 0.3) + 10.0 * (36.0 + 0.3) + 72.0 * 2.0 + 6.0 * 50.0;
    assert!(
        printed.out.replace('\n', " ").contains(&format!("costs {by_hand:.2} EUR")),
        "{}",
        printed.out
    );
    let read = |name: &str| std::fs::read_to_string(folder.path().join("out").join(name)).unwrap();
    let (cut, parts) = (Sheet::of(&read("cut-list.csv")), Sheet::of(&read("parts.csv")));
    close(cut.all("price EUR") + parts.all("price EUR"), by_hand);
}

#[test]
fn a_mistake_in_a_catalogue_is_shown_where_it_is_and_nothing_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let printed = with_catalogue(
        "kind,size,rating,price,per\nhose,25 mm,,4.2,m\nhose,25,,x,m\n",
        folder.path(),
    );
    assert_eq!(printed.code, 2);
    assert!(printed.err.contains("prices.csv:3:6: `25` has no unit"), "{}", printed.err);
    assert!(printed.err.contains("prices.csv:3:10: \"x\" is no price"), "{}", printed.err);
    assert!(printed.err.contains("2 faults; nothing was written"), "{}", printed.err);
    assert!(!folder.path().join("out").exists());
}

#[test]
fn no_text_of_a_scenario_is_a_formula_in_a_cut_list() {
    let text = std::fs::read_to_string(root().join(ONE_END)).unwrap();
    let text =
        text.replace("main = { bore = \"50 mm\",", "main = { note = \"=1+1\", bore = \"50 mm\",");
    let folder = tempfile::tempdir().unwrap();
    let file = put_beside_data(&text, folder.path());
    let out = folder.path().join("out").to_string_lossy().into_owned();
    let printed =
        millstream(&["papers", &file.to_string_lossy(), "--only", "build", "--out", &out]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let text = std::fs::read_to_string(folder.path().join("out/cut-list.csv")).unwrap();
    assert!(text.contains(",'=1+1\n"), "{text}");
}
