//! The command that tries orders of a purge.

use checks::command::millstream;
use checks::root;
use serde_json::Value;

/// Far zones first and a second round: practice of blowing out irrigation lines, as written down by irrigators.
#[test]
fn orders_are_ranked_by_what_they_leave_and_far_sections_first_beats_all_together() {
    let file = root().join("scenarios/heron-36m-purge-together.toml");
    let printed = millstream(&["orders", &file.to_string_lossy(), "--json"]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    let ranked: Vec<Value> = serde_json::from_str(&printed.out).unwrap();
    let left =
        |order: &Value| order["left_m3"].as_f64().unwrap() + order["lost_m3"].as_f64().unwrap();
    assert!(ranked.windows(2).all(|pair| left(&pair[0]) <= left(&pair[1])));
    let named = |name: &str| ranked.iter().find(|order| order["order"] == name).unwrap();
    let together = left(named("all together"));
    assert!(left(named("one at a time, far ones first, two rounds")) < together);
    assert!(left(named("one at a time, far ones first")) < together);
}

#[test]
fn a_scenario_that_purges_nothing_is_told_so() {
    let file = root().join("scenarios/heron-36m-one-end.toml");
    let printed = millstream(&["orders", &file.to_string_lossy()]);
    assert_eq!(printed.code, 2);
    assert!(printed.err.contains("add one with `do = \"purge\"`"), "{}", printed.err);
    assert!(printed.out.is_empty());
}
