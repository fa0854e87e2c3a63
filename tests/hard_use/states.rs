//! Machines and steps that once ended in a state that cannot be, or in none.

use checks::command::millstream;
use checks::root;
use serde_json::Value;

/// Calls `seen` with the key of every number in `value`.
fn each_number(value: &Value, key: &str, seen: &mut impl FnMut(&str, f64)) {
    match value {
        Value::Number(number) => seen(key, number.as_f64().unwrap()),
        Value::Array(items) => items.iter().for_each(|item| each_number(item, key, seen)),
        Value::Object(fields) => {
            fields.iter().for_each(|(key, value)| each_number(value, key, seen));
        }
        Value::Null | Value::Bool(_) | Value::String(_) => {}
    }
}

#[test]
fn every_state_that_once_could_not_be_runs_to_its_end_and_is_possible() {
    let folder = root().join("tests/hard_use/states");
    let mut runs = 0;
    for entry in std::fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let printed = millstream(&["run", &path.to_string_lossy(), "--json"]);
        assert_eq!(printed.code, 0, "{}: {}", path.display(), printed.err);
        let summary: Value = serde_json::from_str(&printed.out).unwrap();
        each_number(&summary["steps"], "", &mut |key, number| {
            if key.ends_with("concentration") {
                assert!(
                    (-1e-9..=1.0 + 1e-9).contains(&number),
                    "{}: {key} {number}",
                    path.display()
                );
            }
            // What runs back from a tank into lines counts against what returned.
            if key.ends_with("_m3") && !key.starts_with("returned") {
                assert!(number >= -1e-9, "{}: {key} {number}", path.display());
            }
        });
        runs += 1;
    }
    assert!(runs > 10);
}
