//! Layouts side by side.

use crate::once::{self, Outcome};
use checks::command::millstream;
use checks::root;
use serde_json::Value;

fn shipped(name: &str) -> String {
    root().join(format!("scenarios/{name}.toml")).to_string_lossy().into_owned()
}

fn figure<'a>(block: &'a Value, key: &str) -> &'a Value {
    let figures = block["figures"].as_array().unwrap();
    figures.iter().find(|figure| figure["key"] == key).unwrap()
}

#[test]
fn a_comparison_has_the_figures_of_both_summaries_and_names_the_better() {
    let (a, b) = (shipped("heron-36m-prime-centre"), shipped("heron-36m-prime-one-end"));
    let comparison: Value =
        serde_json::from_str(&millstream(&["compare", &a, &b, "--json"]).out).unwrap();
    let whole = &comparison["findings"][0];
    let full = figure(whole, "full_since_start_s");
    for (i, path) in [&a, &b].into_iter().enumerate() {
        let summary: Value =
            serde_json::from_str(&millstream(&["run", path, "--json"]).out).unwrap();
        assert_eq!(full["values"][i], summary["steps"][0]["findings"]["priming"]["all_full_s"]);
        assert_eq!(comparison["layouts"][i]["sha256"], summary["scenario"]["sha256"]);
    }
    assert_eq!(full["better"], 1);
    assert_eq!(figure(whole, "lines_m3")["better"], 0);
    assert_eq!(comparison["findings"][1]["title"], "Step prime / circulate");
    let words = comparison["explained"][0].as_str().unwrap();
    for part in
        ["sooner", "below full", "laminar", "12 lengths", "no liquid is still", "way of priming"]
    {
        assert!(words.contains(part), "{part}: {words}");
    }
}

#[test]
fn a_layout_beside_itself_is_alike_in_everything() {
    let a = shipped("heron-36m-prime-centre");
    let comparison: Value =
        serde_json::from_str(&millstream(&["compare", &a, &a, "--json"]).out).unwrap();
    for block in comparison["findings"].as_array().unwrap() {
        for figure in block["figures"].as_array().unwrap() {
            assert_eq!(figure["values"][0], figure["values"][1], "{}", figure["key"]);
            assert!(figure["better"].is_null(), "{}", figure["key"]);
        }
    }
    assert!(comparison["explained"][0].as_str().unwrap().contains("alike"));
}

#[test]
fn printed_comparisons_fit_a_hundred_columns() {
    let (a, b) = (shipped("sableflat-132ft-centre"), shipped("sableflat-132ft-one-end"));
    let vary = "tips.size=05,06,08,10";
    for args in [
        vec!["compare", &a, &b, "--units", "us"],
        vec!["compare", &a, &b, "--full"],
        vec!["compare", &a, &b, &a, &b, &a],
        vec!["compare", &a, "--vary", vary],
    ] {
        let printed = millstream(&args);
        assert_eq!((printed.code, printed.err.as_str()), (0, ""), "{args:?}");
        for line in printed.out.lines() {
            assert!(line.chars().count() <= 100, "{line}");
        }
    }
}

#[test]
fn the_number_of_threads_changes_no_byte() {
    let (a, b) = (shipped("heron-36m-prime-centre"), shipped("heron-36m-prime-one-end"));
    let place = tempfile::tempdir().unwrap();
    let written = |threads: usize| {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let folders = ["layouts", "values"].map(|name| {
            place.path().join(format!("{name}-{threads}")).to_string_lossy().into_owned()
        });
        let vary = "supply.hose.bore=19 mm,25 mm,32 mm";
        pool.install(|| {
            assert_eq!(millstream(&["compare", &a, &b, "--out", &folders[0]]).code, 0);
            assert_eq!(millstream(&["compare", &a, "--vary", vary, "--out", &folders[1]]).code, 0);
        });
        folders.map(|folder| {
            let mut files: Vec<_> =
                std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
            files.sort();
            let file = |path: &std::path::PathBuf| {
                (path.file_name().unwrap().to_owned(), std::fs::read(path).unwrap())
            };
            files.iter().map(file).collect::<Vec<_>>()
        })
    };
    let (one, four) = (written(1), written(4));
    // The page, the figures and the list of files.
    assert!(one[0].len() == 3 && one[1].len() > 10);
    assert!(one == four);
}

/// A wider hose holds more and takes less pressure: the sweep must show both, in the order asked for.
#[test]
fn a_varied_setting_moves_what_it_should() {
    let printed = millstream(&[
        "compare",
        &shipped("heron-36m-prime-centre"),
        "--vary",
        "supply.hose.bore=32 mm,19 mm,25 mm",
        "--json",
    ]);
    let sweep: Value = serde_json::from_str(&printed.out).unwrap();
    let row = |key: &str| -> Vec<f64> {
        let rows = sweep["findings"].as_array().unwrap();
        let values = rows.iter().find(|row| row["key"] == key).unwrap()["values"].as_array();
        values.unwrap().iter().map(|value| value.as_f64().unwrap()).collect()
    };
    let falls = |values: &[f64]| values[0] > values[2] && values[2] > values[1];
    assert!(falls(&row("lines_m3")) && falls(&row("full_strength_s")));
    let drop: Vec<f64> = row("section_drop_share").iter().map(|share| -share).collect();
    assert!(falls(&drop));
    // As if the file itself said so.
    let plain = millstream(&["run", &shipped("heron-36m-prime-centre"), "--json"]);
    let plain: Value = serde_json::from_str(&plain.out).unwrap();
    assert_eq!(
        row("full_strength_s")[2],
        plain["steps"][0]["findings"]["priming"]["all_full_s"].as_f64().unwrap()
    );
}

#[test]
fn wrong_comparisons_get_one_message_and_write_nothing() {
    let a = shipped("larkfield-12m");
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out").to_string_lossy().into_owned();
    for (args, words) in [
        (vec![a.as_str()], "takes 2 to 8 scenarios"),
        (vec![a.as_str(), "no-such.toml"], "there is no such file"),
        (vec![a.as_str(), a.as_str(), "--vary", "x=1,2"], "--vary takes one scenario"),
        (vec![a.as_str(), "--vary", "boom.width"], "has no \"=\""),
        (vec![a.as_str(), "--vary", "bom.width=1 m,2 m"], "with bom.width = 1 m"),
        (vec![a.as_str(), "--vary", "boom.widht=1 m,2 m"], "with boom.widht = 1 m"),
        (vec![a.as_str(), "--vary", "supply.main.bore=1 m,-2 mm"], "-2 mm"),
        (vec![a.as_str(), "--vary", "step.nine.pump=1 %,2 %"], "no step nine"),
    ] {
        let args = [vec!["compare"], args, vec!["--out", &out]].concat();
        let printed = millstream(&args);
        assert_eq!((printed.code, printed.out.as_str()), (2, ""), "{args:?}");
        assert!(printed.err.contains(words), "{args:?}: {}", printed.err);
        assert!(!std::path::Path::new(&out).exists());
    }
}

#[test]
fn purges_of_one_part_and_of_several_stand_beside_each_other() {
    let names = ["heron-36m-purge-together", "heron-36m-purge-one-at-a-time"];
    let [a, b] = names.map(shipped);
    let comparison: Value =
        serde_json::from_str(&millstream(&["compare", &a, &b, "--json"]).out).unwrap();
    let left = figure(&comparison["findings"][1], "purge_residual_m3");
    for (i, path) in names.into_iter().enumerate() {
        let line = format!("millstream run scenarios/{path}.toml --out out");
        let summary = once::with(&line, Outcome::summary);
        let steps = summary["steps"].as_array().unwrap();
        let purge = steps.iter().find_map(|step| step["findings"].get("purge")).unwrap();
        assert_eq!(left["values"][i], purge["residual"]["liquid_m3"]);
    }
    assert_eq!(left["better"], 1);
    assert!(comparison["explained"][0].as_str().unwrap().contains("as wall film"));
    let [a, b] = names.map(|name| format!("scenarios/{name}.toml"));
    once::with(&format!("millstream compare {a} {b} --out out"), |outcome| {
        assert!(outcome.printed.out.contains("Compressed air and pesticide hurt people"));
    });
}

/// A comparison is one screen, names what is best, and says what its blanks are.
#[test]
fn a_comparison_is_one_screen() {
    let pairs = [
        ["heron-36m-prime-centre", "heron-36m-prime-one-end"],
        ["sableflat-132ft-centre", "sableflat-132ft-one-end"],
        ["heron-36m-purge-together", "heron-36m-purge-one-at-a-time"],
        ["larkfield-12m", "quill-loop"],
    ];
    for names in pairs {
        let line = names.map(|name| format!("scenarios/{name}.toml")).join(" ");
        once::with(&format!("millstream compare {line} --out out"), |outcome| {
            let out = &outcome.printed.out;
            assert!(out.lines().count() <= 46, "{names:?}: {}\n{out}", out.lines().count());
            assert!(out.lines().all(|line| line.chars().count() <= 100), "{out}");
            let sentences = out.split("\n\n").nth(2).unwrap();
            let reasons = sentences.replace('\n', " ").matches(". ").count() + 1;
            assert!(reasons <= 5, "{reasons} reasons in {sentences}");
            assert!(out.contains("\nWatch out\n") && out.contains("\nThe rest: --full\n"), "{out}");
            let blank = out.lines().any(|line| line.split("  ").any(|cell| cell.trim() == "-"));
            assert_eq!(blank, out.contains("-: th"), "{out}");
        });
    }
    let [a, b] = ["heron-36m-prime-centre", "heron-36m-prime-one-end"].map(shipped);
    let out = millstream(&["compare", &a, &b]).out;
    let best = |words: &str| {
        let line = out.lines().find(|line| line.trim().starts_with(words)).unwrap();
        line.rsplit("  ").next().unwrap().trim().to_owned()
    };
    assert_eq!((best("full strength"), best("lines hold")), ("B".into(), "A".into()));
    assert!(out.contains("1 of 9") && out.contains("2 of 11"), "{out}");
}

/// The first has no step to circulate: the others' are beside each other, and the blank says so. What is as good as the best
/// is named with it.
#[test]
fn three_layouts_keep_a_step_that_one_lacks() {
    let files = ["heron-36m-centre", "heron-36m-one-end", "heron-36m-prime-one-end"].map(shipped);
    let [a, b, c] = &files;
    let out = millstream(&["compare", a, b, c]).out;
    assert!(out.contains("Step circulate") && out.contains("A no step circulate"), "{out}");
    let line = out.lines().find(|line| line.trim().starts_with("tip pressure variation")).unwrap();
    assert!(line.ends_with("B, C"), "{line}");
    let json: Value =
        serde_json::from_str(&millstream(&["compare", a, b, c, "--json"]).out).unwrap();
    let blocks = json["findings"].as_array().unwrap();
    let block = blocks.iter().find(|block| block["title"] == "Step circulate").unwrap();
    let flow = figure(block, "return_flow_m3_s")["values"].as_array().unwrap();
    assert!(flow[0].is_null() && flow[1].is_f64() && flow[2].is_f64());
}

#[test]
fn a_step_that_is_not_there_is_answered_with_the_one_that_is_meant() {
    let printed = millstream(&[
        "compare",
        &shipped("larkfield-12m"),
        "--vary",
        "step.all section.pump=80 %,90 %",
    ]);
    assert_eq!(printed.code, 2);
    let message = "there is no step all section\nhelp: did you mean \"all sections\"? ";
    assert!(printed.err.contains(message), "{}", printed.err);
}

#[test]
fn a_quiet_comparison_says_only_which_limits_are_not_met() {
    let [a, b] = ["heron-36m-prime-centre", "heron-36m-prime-one-end"].map(shipped);
    let printed = millstream(&["compare", &a, &b, "--quiet"]);
    assert_eq!((printed.code, printed.err.as_str()), (0, ""));
    let heads: Vec<&str> =
        printed.out.lines().filter(|line| !line.starts_with("NOT MET")).collect();
    assert_eq!(heads, ["A: Heron 36, primed by spraying", "B: Heron 36, primed by circulating"]);
    assert_eq!(printed.out.matches("NOT MET").count(), 3, "{}", printed.out);
    let met =
        millstream(&["compare", &shipped("larkfield-12m"), &shipped("larkfield-12m"), "--quiet"]);
    assert_eq!((met.out.as_str(), met.err.as_str()), ("", ""));
}
