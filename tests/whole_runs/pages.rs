//! Pages as files: what is in them, and what must not.

use crate::once::each_shipped;
use checks::command::{files, millstream};
use std::path::Path;

fn page(scenario: &Path, name: &str, more: &[&str]) -> String {
    let place = tempfile::tempdir().unwrap();
    let out = place.path().join("out");
    let (path, folder) = (scenario.to_string_lossy(), out.to_string_lossy());
    let args = [&["run", &path, "--out", &folder], more].concat();
    assert_eq!(millstream(&args).code, 0);
    std::fs::read_to_string(out.join(name)).unwrap()
}

#[test]
fn every_report_is_small_names_nothing_outside_itself_and_tells_its_inputs() {
    each_shipped(|path, outcome| {
        let html = outcome.text("report.html");
        assert!(html.len() < 3_000_000, "{}: {}", path.display(), html.len());
        for outside in ["src=", "href=\"http", "url(", "@import", "fetch(", "XMLHttpRequest"] {
            assert!(!html.contains(outside), "{}: {outside}", path.display());
        }
        for part in ["answer", "boom", "findings", "plots", "cautions", "model", "inputs"] {
            assert!(
                html.contains(&format!("<section id=\"{part}\">")),
                "{}: {part}",
                path.display()
            );
        }
        let text = std::fs::read_to_string(path).unwrap();
        let last = text.trim_end().lines().last().unwrap().replace('"', "&quot;");
        assert!(html.contains(&last), "{}", path.display());
        assert!(!html.contains("NaN,") && !html.contains("{{"), "{}", path.display());
    });
}

#[test]
fn a_report_speaks_the_units_that_its_scenario_asks_for_or_its_reader() {
    let path = &files("scenarios", "sableflat-132ft-one-end.toml")[0];
    let (si, us) = (page(path, "report.html", &["--units", "si"]), page(path, "report.html", &[]));
    assert!(si.contains("\"symbol\":\"bar\"") && si.contains("m along the boom"));
    assert!(us.contains("\"symbol\":\"psi\"") && us.contains("ft along the boom"));
}

/// The data of a page hold the summary's figures at the end of every step.
#[test]
fn moments_of_a_page_end_each_step_with_the_figures_of_the_summary() {
    let path = &files("scenarios", "heron-36m-prime-one-end.toml")[0];
    let html = page(path, "report.html", &[]);
    let json = html.split("id=\"data\">").nth(1).unwrap().split("</script>").next().unwrap();
    let data: serde_json::Value = serde_json::from_str(json).unwrap();
    let moments = &data["machines"][0]["moments"];
    let steps: Vec<u64> =
        moments["step"].as_array().unwrap().iter().map(|step| step.as_u64().unwrap()).collect();
    let summary: serde_json::Value =
        serde_json::from_str(&page(path, "summary.json", &[])).unwrap();
    let at = |series: &serde_json::Value, moment: usize| {
        let pairs = series.as_array().unwrap();
        let pairs = pairs.chunks(2).take_while(|pair| pair[0].as_u64().unwrap() as usize <= moment);
        pairs.last().unwrap()[1].as_f64().unwrap()
    };
    for (i, step) in summary["steps"].as_array().unwrap().iter().enumerate() {
        let last = steps.iter().rposition(|of| *of == i as u64).unwrap();
        for (k, branch) in step["branches"].as_array().unwrap().iter().enumerate() {
            let flow = branch["flow_m3_s"].as_f64().unwrap() * 60_000.0;
            let told = at(&moments["line"]["flow"][k], last);
            assert!((flow - told).abs() < 1e-3, "{i} {}: {flow} {told}", branch["name"]);
            if let Some(concentration) = branch["concentration"].as_f64() {
                let told = at(&moments["line"]["concentration"][k], last);
                assert!((100.0 * concentration - told).abs() < 0.01, "{i} {}", branch["name"]);
            }
        }
        for (k, node) in step["nodes"].as_array().unwrap().iter().enumerate() {
            let pressure = node["pressure_pa"].as_f64().unwrap() / 1e5;
            let told = at(&moments["node"]["pressure"][k], last);
            assert!((pressure - told).abs() < 1e-3, "{i} {}: {pressure} {told}", node["name"]);
        }
    }
}
