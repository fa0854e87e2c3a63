//! What a season costs, and when a retrofit has paid for itself.

use checks::command::{Printed, millstream};
use checks::root;
use serde_json::Value;
use std::path::Path;

const A: &str = "heron-36m-prime-centre";
const B: &str = "heron-36m-prime-one-end";

fn shipped(name: &str) -> String {
    root().join(format!("scenarios/{name}.toml")).to_string_lossy().into_owned()
}

/// Compares two shipped scenarios with `prices`, written into `folder`.
fn compared(names: [&str; 2], prices: &str, folder: &Path) -> Printed {
    let file = folder.join("prices.toml");
    std::fs::write(&file, prices).unwrap();
    let [a, b] = names.map(shipped);
    millstream(&["compare", &a, &b, "--prices", &file.to_string_lossy()])
}

/// The cells of the row of `out` that starts with `words`, from line number `from` on.
fn row(out: &str, from: &str, words: &str) -> Vec<String> {
    let lines = out.lines().skip_while(|line| !line.trim_start().starts_with(from));
    let line = lines.map(str::trim).find(|line| line.starts_with(words));
    let line = line.unwrap_or_else(|| panic!("no {words} in\n{out}"));
    line[words.len()..]
        .split("  ")
        .map(str::trim)
        .filter(|cell| !cell.is_empty())
        .map(str::to_owned)
        .collect()
}

const PRICES: &str =
    "currency = \"EUR\"\nfills = 150\nproduct = \"0.35 /L\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n";

/// Worked by hand from the figures of each run: litres times 0.35, seconds times 60/3600, no water.
#[test]
fn a_season_of_priming_costs_what_its_litres_and_seconds_do() {
    let place = tempfile::tempdir().unwrap();
    let prices = format!("{PRICES}[[retrofit]]\nlayout = \"{B}\"\ncost = 2400\n");
    let out = compared([A, B], &prices, place.path()).out;
    // A loses the product of its under-dosed strip and takes as long as priming does; B circulates for 45 s and then has
    // full strength everywhere.
    let summary: Value =
        serde_json::from_str(&millstream(&["run", &shipped(A), "--json"]).out).unwrap();
    let priming = &summary["steps"][0]["findings"]["priming"];
    let litres = 1e3 * priming["under_dosed_product_m3"].as_f64().unwrap();
    let seconds = priming["all_full_s"].as_f64().unwrap();
    assert!((litres - 8.3).abs() < 0.05 && (seconds - 64.1).abs() < 0.05);
    // 8.29 L x 0.35 + 64.1 s / 60 = 2.90 + 1.07; 45 s / 60 = 0.75.
    let fill = [litres * 0.35 + seconds / 60.0, 45.0 / 60.0];
    let euros = |amount: f64, digits: usize| format!("{amount:.digits$} EUR");
    assert_eq!(row(&out, "A fill", "money"), fill.map(|money| euros(money, 2)));
    assert_eq!(row(&out, "A fill", "product lost (as full-strength mix)"), ["8.3 L", "0.0 L"]);
    assert_eq!(row(&out, "A fill", "time"), ["64.1 s", "45.0 s"]);
    assert_eq!(row(&out, "A season", "money"), fill.map(|money| euros(150.0 * money, 0)));
    let saved = 150.0 * (fill[0] - fill[1]);
    assert_eq!(row(&out, "A season", "saved against A"), [euros(saved, 0)]);
    assert_eq!(row(&out, "Retrofit", "paid for after"), [format!("{:.1} seasons", 2400.0 / saved)]);
    assert!(out.contains("used on") && out.contains("Assumed:"), "{out}");
}

/// `compare.json` has what the table shows, in SI; without prices it has none.
#[test]
fn programs_read_what_a_season_costs_and_when_a_retrofit_has_paid() {
    let place = tempfile::tempdir().unwrap();
    let file = place.path().join("prices.toml");
    let prices = format!("{PRICES}[[retrofit]]\nlayout = \"{B}\"\ncost = 2400\n");
    std::fs::write(&file, &prices).unwrap();
    let [a, b] = [A, B].map(shipped);
    let args = ["compare", &a, &b, "--json", "--prices", &file.to_string_lossy()];
    let payback = |args: &[&str]| -> Value {
        serde_json::from_str::<Value>(&millstream(args).out).unwrap()["payback"].clone()
    };
    let found = payback(&args);
    assert_eq!(payback(&args[..4]), Value::Null);
    let number = |value: &Value| value.as_f64().unwrap();
    let [first, second] = [0, 1].map(|i| &found["costs"][i]);
    // 8.29 L x 0.35 + 64.1 s / 60, as in the table; 45 s / 60.
    assert!((number(&first["fill"]["money"]) - 3.97).abs() < 0.01, "{found}");
    assert!((number(&second["fill"]["money"]) - 0.75).abs() < 0.01, "{found}");
    assert!((number(&second["season_saved"]) - 150.0 * 3.22).abs() < 1.5, "{found}");
    let seasons = 2400.0 / number(&second["season_saved"]);
    assert!((number(&second["paid_after_seasons"]) - seasons).abs() < 1e-9, "{found}");
    assert_eq!(first["retrofit_cost"], Value::Null);
    let page = std::fs::read_to_string(root().join("docs/report.md")).unwrap();
    let keys = |value: &Value| value.as_object().unwrap().keys().cloned().collect::<Vec<_>>();
    for key in [keys(&found), keys(first), keys(&first["fill"])].concat() {
        assert!(page.contains(&format!("`{key}`")), "docs/report.md says nothing of {key}");
    }
}

/// Of purges, what is left in the lines is lost, and the doubt about it is beside the money.
#[test]
fn a_season_of_purges_counts_what_is_left_in_the_lines() {
    let place = tempfile::tempdir().unwrap();
    let names = ["heron-36m-purge-together", "heron-36m-purge-one-at-a-time"];
    let out = compared(names, PRICES, place.path()).out;
    let lost = names.map(|name| {
        let summary = millstream(&["run", &shipped(name), "--json"]).out;
        let summary: Value = serde_json::from_str(&summary).unwrap();
        let steps = summary["steps"].as_array().unwrap();
        let purge = steps.iter().find_map(|step| step["findings"].get("purge")).unwrap();
        let product = purge["residual"]["product_m3"].as_f64().unwrap()
            + purge["lost_product_m3"].as_f64().unwrap();
        format!("{:.1} L", 1e3 * product)
    });
    assert_eq!(row(&out, "A fill", "product lost (as full-strength mix)"), lost);
    assert!(
        out.contains("factor of two to three") && out.contains("The money is as uncertain"),
        "{out}"
    );
    assert_eq!(row(&out, "Retrofit", "Retrofit"), ["no cost given"]);
}

#[test]
fn wrong_prices_get_every_mistake_with_its_place() {
    let place = tempfile::tempdir().unwrap();
    for (prices, words) in [
        ("", "`fills` is missing"),
        ("fills = 150\nproduct = \"0.35 /L\"\nwater = 2\nhour = \"60 /h\"\n", "prices.toml:3:9"),
        (
            "fills = 0\nproduct = \"0.35 /L\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n",
            "prices.toml:1:9",
        ),
        (
            "fills = 1\nproduct = \"-1 /L\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n",
            "must not be less than 0",
        ),
        (
            "fills = 1\nproduct = \"3 bar\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n",
            "prices.toml:2:11",
        ),
        ("fill = 1\nproduct = \"1 /L\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n", "fills"),
        (
            "fills = 1\nproduct = \"1 /L\"\nwater = \"2 /m3\"\nhour = \"60 /h\"\n[[retrofit]]\nlayout = \"b\"\ncost = 1\n\
             [[retrofit]]\nlayout = \"b\"\ncost = 2\n",
            "two costs of b",
        ),
    ] {
        let printed = compared([A, B], prices, place.path());
        assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{prices}");
        assert!(printed.err.contains(words), "{words}: {}", printed.err);
    }
    let steady = compared(["heron-36m-centre", "heron-36m-one-end"], PRICES, place.path());
    assert_eq!(steady.code, 2);
    assert!(steady.err.contains("no step of heron-36m-centre lasts"), "{}", steady.err);
    let of_area = PRICES.replace("0.35 /L", "66 /ha");
    let printed = compared([A, B], &of_area, place.path());
    // 66 /ha at 190 L/ha are 0.347 /L: 8.29 L are worth 2.88, and 1.07 is for time.
    assert_eq!(row(&printed.out, "A fill", "money")[0], "3.95 EUR", "{}", printed.out);
    let other = format!("{PRICES}[[retrofit]]\nlayout = \"another\"\ncost = 1\n");
    let noted = compared([A, B], &other, place.path());
    assert_eq!(noted.code, 0);
    assert!(noted.err.starts_with("note: the cost of another is not asked for"), "{}", noted.err);
}

#[test]
fn the_prices_that_are_shipped_are_read() {
    let prices = root().join("demo-data/prices/heron.toml");
    let prices = std::fs::read_to_string(prices).unwrap();
    let prices = sim_core::scenario::read_prices(&prices).unwrap();
    assert!(prices.retrofits.iter().any(|retrofit| retrofit.layout == B));
}
