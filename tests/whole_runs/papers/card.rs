//! The operator's card: seconds and litres of the run.

use crate::once;
use serde_json::Value;

fn card(scenario: &str) -> String {
    once::with(
        &format!("millstream papers scenarios/{scenario}.toml --only card --out out"),
        |outcome| {
            assert_eq!(outcome.printed.code, 0, "{}", outcome.printed.err);
            outcome.text("card.html").to_owned()
        },
    )
}

#[test]
fn a_card_has_the_seconds_and_litres_of_the_run_and_says_what_it_does_not_know() {
    let prime = card("heron-36m-prime-one-end");
    let of_run = |scenario: &str| {
        once::with(
            &format!("millstream run scenarios/{scenario}.toml --out out"),
            once::Outcome::summary,
        )
    };
    let findings = |summary: &Value, step: usize| summary["steps"][step]["findings"].clone();
    let full =
        findings(&of_run("heron-36m-prime-one-end"), 0)["priming"]["all_full_s"].as_f64().unwrap();
    assert!(prime.contains(&format!("Full strength at every tip after {full:.1} s")), "{prime}");
    assert!(
        prime.contains(
            "no step to fill, prime, pause, rinse or purge: the card says nothing of them"
        )
    );
    let purge = card("heron-36m-purge-one-at-a-time");
    let summary = of_run("heron-36m-purge-one-at-a-time");
    let steps = summary["steps"].as_array().unwrap();
    let found = steps.iter().find_map(|step| step["findings"].get("purge")).unwrap();
    let litres = |key: &str| 1e3 * found[key].as_f64().unwrap();
    let returned =
        format!("{:.1} L of {:.1} L come back", litres("returned_m3"), litres("at_start_m3"));
    assert!(purge.contains(&returned), "{returned} in {purge}");
    // The order of the scenario's parts, and the regulated pressure of its air.
    assert!(
        purge.contains(
            "open sections in this order, 7.5 s each: 1, 6, 2, 5, 3, 4, 1, 6, 2, 5, 3, 4"
        ),
        "{purge}"
    );
    assert!(purge.contains("regulated to 2.00 bar"), "{purge}");
    assert!(purge.contains("Compressed air and pesticide hurt people"), "{purge}");
}
