//! `series.csv`: the course of a run, moment by moment.

use crate::once::Outcome;
use checks::root;

const MACHINE: &str = r#"
[tank]
holds = "200 L"
[pump]
points = [["0 L/min", "6 bar"], ["400 L/min", "3 bar"]]
suction = { bore = "51 mm", length = "2 m" }
[control]
hold = "3 bar"
[boom]
width = "8 m"
return = true
tube = { bore = "20 mm" }
sections = 2
tips_per_section = 8
[supply]
main = { bore = "38 mm", length = "6 m" }
hose = { bore = "25 mm" }
section_valve = { kv = "9 m3/h" }
[return_path]
hose = { bore = "19 mm" }
main = { bore = "32 mm", length = "5 m" }
valve = { kv = "12 m3/h" }
[tips]
size = "04"
[air]
regulated = "1.5 bar"
compressor = "500 L/min"
valve = { conductance = "5 L/(s bar)" }
check = { kv = "40 m3/h" }
[start]
lines_hold = "100 %"
[record]
lines = ["1-return", "return-valve"]
moments = 60
[probe.half]
line = "main"
distance = "3 m"
[probe.header]
at = "header"
[[step]]
do = "spray"
for = "4 s"
[[step]]
do = "purge"
order = "one at a time"
each = "6 s"
"#;

/// What a run of [`MACHINE`] writes.
fn outcome() -> Outcome {
    let place = tempfile::tempdir().unwrap();
    std::fs::write(place.path().join("machine.toml"), MACHINE).unwrap();
    let path = place.path().join("machine.toml");
    Outcome::of(&format!("millstream run {} --out out", path.to_string_lossy()), place.path())
}

/// The table as its head and its rows.
fn table(outcome: &Outcome) -> (Vec<String>, Vec<Vec<String>>) {
    let mut reader = csv::Reader::from_reader(outcome.text("series.csv").as_bytes());
    let head = reader.headers().unwrap().iter().map(str::to_owned).collect();
    let rows = reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect());
    (head, rows.collect())
}

#[test]
fn volumes_of_a_purge_in_parts_add_up_over_its_parts() {
    let outcome = outcome();
    assert_eq!(outcome.printed.code, 0, "{}", outcome.printed.err);
    let (head, rows) = table(&outcome);
    let column = |name: &str| head.iter().position(|head| head == name).expect(name);
    let (step, run, own) = (0, column("time of run s"), column("time of step s"));
    let returned = column("returned in all L");
    let number = |row: &Vec<String>, at: usize| row[at].parse::<f64>().unwrap();
    let purge: Vec<&Vec<String>> =
        rows.iter().filter(|row| row[step].starts_with("purge")).collect();
    let parts: Vec<&str> = purge.iter().map(|row| row[step].as_str()).collect();
    let second = parts.iter().position(|part| *part != parts[0]).expect("two parts");
    // What the second part begins with is what the first ends with.
    assert_eq!(purge[second][returned], purge[second - 1][returned]);
    assert!(number(purge[second - 1], returned) > 1.0);
    assert_eq!(number(purge[second], own), 0.0);
    assert!(number(purge[second], run) > 9.9);
    let summary = outcome.summary();
    let all = summary["steps"][2]["findings"]["purge"]["returned_m3"].as_f64().unwrap();
    let last = number(purge.last().unwrap(), returned);
    assert!((last - 1e3 * all).abs() < 0.02, "{last} {all}");
    for step in summary["steps"].as_array().unwrap() {
        let kept = &step["kept"];
        assert!(kept["moments"].as_u64().unwrap() <= 61, "{kept}");
        assert!(
            kept["every"].as_u64().unwrap() >= 1 && kept["moves"].as_u64().unwrap() > 1,
            "{kept}"
        );
    }
}

#[test]
fn chosen_lines_and_probes_have_columns_that_agree_with_the_rest() {
    let outcome = outcome();
    let (head, rows) = table(&outcome);
    let number = |row: &Vec<String>, name: &str| {
        let at = head.iter().position(|head| head == name).expect(name);
        row[at].parse::<f64>().unwrap()
    };
    let summary = outcome.summary();
    let branches = summary["steps"][0]["branches"].as_array().unwrap();
    assert!(branches.iter().any(|branch| branch["name"] == "1-return"));
    for row in &rows {
        let held = number(row, "1-return liquid L") + number(row, "1-return air L");
        let first = number(&rows[0], "1-return liquid L");
        assert!((held - first).abs() < 0.02, "{held} {first}");
        let share = number(row, "probe half liquid share");
        assert!((0.0..=1.0).contains(&share));
    }
    // Spraying, the header's probe reads what the gauge there does, and the main is full of mix.
    let spraying = rows.iter().rfind(|row| row[0] == "spray").unwrap();
    let gauge = number(spraying, "gauge boom bar");
    assert_eq!(number(spraying, "probe header pressure bar"), gauge);
    assert!(number(spraying, "probe half pressure bar") > gauge);
    assert_eq!(number(spraying, "probe half concentration"), 1.0);
    assert!(head.contains(&"return-valve flow L/min".to_owned()));
    assert!(!head.contains(&"return-valve liquid L".to_owned()));
    // Blown, air has come to the middle of the main.
    assert!(number(rows.last().unwrap(), "probe half liquid share") < 0.9);
}

#[test]
fn every_column_is_described() {
    let described = std::fs::read_to_string(root().join("docs/report.md")).unwrap();
    let outcome = outcome();
    let (head, _) = table(&outcome);
    for head in head {
        // The unit, and the name of a thing.
        let words =
            [" bar", " L/min", " L", " s"].into_iter().find_map(|unit| head.strip_suffix(unit));
        let mut words = words.unwrap_or(&head).to_owned();
        for name in ["1-01", "1-return", "return-valve", "half", "header", "boom", "pump"] {
            words = words.replace(name, "NAME");
        }
        for kind in ["gauge ", "tank ", "tip "] {
            if words.starts_with(kind) {
                let rest =
                    words.split(' ').skip(2).map(|word| format!(" {word}")).collect::<String>();
                words = format!("{kind}NAME{rest}");
            }
        }
        let words = if words == "NAMEed" { "pumped".to_owned() } else { words };
        assert!(
            described.contains(&format!("`{words}`")),
            "docs/report.md says nothing of {words}"
        );
    }
}
