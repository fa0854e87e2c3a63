//! The live page, used as a person does: it computes what `run` does, answers at once, and bears whatever is typed.

use crate::browser::{Page, Run};
use checks::command::millstream;
use checks::root;
use serde_json::{Value, json};
use std::path::PathBuf;

const LAPTOP: (u32, u32) = (1366, 900);
const PHONE: (u32, u32) = (390, 844);

/// The live page of a shipped scenario, in a folder of its own.
fn written(scenario: &str) -> (tempfile::TempDir, PathBuf) {
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("live.html");
    let file = root().join(format!("scenarios/{scenario}.toml"));
    let printed = millstream(&["live", &file.to_string_lossy(), "--out", &page.to_string_lossy()]);
    assert_eq!(printed.code, 0, "{}", printed.err);
    (folder, page)
}

fn opened(scenario: &str, size: (u32, u32)) -> Option<(tempfile::TempDir, Page)> {
    let (folder, path) = written(scenario);
    let page = Page::open_still(&path, size)?;
    for _ in 0..200 {
        if page.ask("document.documentElement.dataset.ready ?? ''") == "true" {
            return Some((folder, page));
        }
        std::thread::sleep(std::time::Duration::from_millis(50));
    }
    panic!("{:?}", page.troubles());
}

/// What the engine of the page answers.
fn ask(page: &Page, question: &Value) -> Value {
    let answer = page.text(&format!("JSON.stringify(window.live.ask({question}))"));
    serde_json::from_str(&answer).unwrap()
}

/// Puts the setting at `path` to `value`, as a hand does.
fn set(page: &Page, path: &str, value: &str) {
    let done = page.text(&format!(
        "(() => {{ const e = document.querySelector('[data-path=\"{path}\"] :is(input, select)'); \
         if (!e) return 'no such setting'; e.value = '{value}'; \
         for (const kind of ['input', 'change']) e.dispatchEvent(new Event(kind, {{ bubbles: true }})); \
         return 'done'; }})()"
    ));
    assert_eq!(done, "done", "{path}");
}

/// Largest difference of two findings over their size; what is no more than rounding of nothing is none.
fn furthest(a: &Value, b: &Value, at: &str) -> f64 {
    match (a, b) {
        (Value::Number(a), Value::Number(b)) => {
            let (a, b) = (a.as_f64().unwrap(), b.as_f64().unwrap());
            let rounding = if at.ends_with("_pa") { 1e-9 } else { 1e-15 };
            let off = (a - b).abs();
            if off <= rounding { 0.0 } else { off / a.abs().max(b.abs()) }
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{at}");
            let each = a.iter().zip(b).enumerate();
            each.map(|(i, (a, b))| furthest(a, b, &format!("{at}.{i}"))).fold(0.0, f64::max)
        }
        (Value::Object(a), Value::Object(b)) => {
            assert_eq!(a.keys().collect::<Vec<_>>(), b.keys().collect::<Vec<_>>(), "{at}");
            let each = a.iter();
            each.map(|(key, a)| furthest(a, &b[key], &format!("{at}.{key}"))).fold(0.0, f64::max)
        }
        (a, b) => {
            assert_eq!(a, b, "{at}");
            0.0
        }
    }
}

/// The files that scenarios name, by the names they give them.
fn files() -> Value {
    let mut files = serde_json::Map::new();
    for kind in ["pumps", "liquids"] {
        for entry in std::fs::read_dir(root().join("scenarios").join(kind)).unwrap() {
            let path = entry.unwrap().path();
            let name = format!("{kind}/{}", path.file_name().unwrap().to_string_lossy());
            files.insert(name, json!(std::fs::read_to_string(path).unwrap()));
        }
    }
    json!({ "do": "files", "files": files })
}

/// Findings of a whole run of the shipped `scenario` on the page and by the command, step by step, warnings aside: the command
/// writes those as sentences.
fn both(page: &Page, scenario: &str) -> Vec<(Value, Value)> {
    let path = root().join(format!("scenarios/{scenario}.toml"));
    let text = std::fs::read_to_string(&path).unwrap();
    let taken = ask(page, &json!({ "do": "text", "text": text }));
    assert!(taken["faults"].is_null(), "{scenario}: {taken}");
    let whole = ask(page, &json!({ "do": "whole" }));
    let (names, findings) =
        (whole["names"].as_array().unwrap(), whole["findings"].as_array().unwrap());
    let run = Run::of_file(&path);
    let pair = |step: &Value| {
        let at = names.iter().position(|name| *name == step["name"]).unwrap();
        let mut pair = [findings[at].clone(), step["findings"].clone()];
        for findings in &mut pair {
            findings.as_object_mut().unwrap().remove("warnings");
        }
        let [found, expected] = pair;
        (found, expected)
    };
    run.summary["steps"].as_array().unwrap().iter().map(pair).collect()
}

/// Figures of the page are those of the command, in another build on another target. Shipped scenarios that take long are in
/// the next check.
#[test]
fn the_page_finds_what_run_finds() {
    let scenarios = [
        "heron-36m-centre",
        "heron-36m-one-end",
        "heron-36m-fill-empty",
        "heron-36m-prime-centre",
        "heron-36m-prime-one-end",
        "larkfield-12m",
        "larkfield-12m-two-tips",
        "otterbend-90ft-nitrogen",
        "quill-loop",
        "sableflat-132ft-centre",
        "sableflat-132ft-one-end",
    ];
    let Some((_folder, page)) = opened("heron-36m-one-end", LAPTOP) else { return };
    ask(&page, &files());
    for scenario in scenarios {
        for (found, expected) in both(&page, scenario) {
            let off = furthest(&found, &expected, scenario);
            assert!(off <= 1e-9, "{scenario}: {off:.1e}");
        }
    }
    assert_eq!(page.troubles(), Vec::<String>::new());
}

/// The same of those that take long: minutes. A purge multiplies what two machines round otherwise in the last digit until it
/// is as large as the error of its steps, half a percent of what returns.
#[test]
#[ignore = "takes minutes"]
fn the_page_finds_what_long_runs_find() {
    let Some((_folder, page)) = opened("heron-36m-one-end", LAPTOP) else { return };
    ask(&page, &files());
    let long = [
        "heron-36m-field-hour",
        "heron-36m-stand",
        "sableflat-132ft-recirculate",
        "willowsink-80ft-rinse",
    ];
    for scenario in long {
        for (found, expected) in both(&page, scenario) {
            let off = furthest(&found, &expected, scenario);
            assert!(off <= 1e-9, "{scenario}: {off:.1e}");
        }
    }
    for scenario in [
        "heron-36m-purge-together",
        "heron-36m-purge-one-at-a-time",
        "sableflat-132ft-purge-check-valves",
        "willowsink-80ft-sag",
    ] {
        for (found, expected) in both(&page, scenario) {
            if expected["purge"].is_object() {
                let returned = |of: &Value| of["purge"]["returned_m3"].as_f64().unwrap();
                let off = (returned(&found) / returned(&expected) - 1.0).abs();
                assert!(off <= 5e-3, "{scenario}: {off:.1e}");
            }
        }
    }
}

#[test]
fn the_page_is_one_small_file_that_fits_its_window_and_asks_for_nothing() {
    for (scenario, size) in [
        ("heron-36m-prime-one-end", LAPTOP),
        ("sableflat-132ft-recirculate", PHONE),
        ("quill-loop", PHONE),
    ] {
        let Some((folder, page)) = opened(scenario, size) else { return };
        let bytes = std::fs::metadata(folder.path().join("live.html")).unwrap().len();
        assert!(bytes <= 900_000, "{scenario}: {bytes}");
        let beyond = page
            .number("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert!(beyond <= 0.0, "{scenario} at {size:?}: {beyond} px too wide");
        let nameless = page.number(
            "[...document.querySelectorAll('input, select, textarea, button')].filter((e) => \
             !(e.labels?.length || e.getAttribute('aria-label') || e.textContent.trim())).length",
        );
        assert_eq!(nameless, 0.0, "{scenario}: something to set has no name");
        assert_eq!(page.troubles(), Vec::<String>::new(), "{scenario}");
    }
}

/// A hand opens the return valve, closes a section, takes wider hoses: text, drawing and answers follow, and go back again.
#[test]
fn settings_change_the_text_and_the_text_changes_settings() {
    let Some((_folder, page)) = opened("heron-36m-one-end", LAPTOP) else { return };
    let text = || page.text("document.querySelector('textarea').value");
    let strip = || page.text("document.querySelector('.strip .curve').getAttribute('d')");
    let (before, curve) = (text(), strip());
    set(&page, "supply.hose.bore", "32 mm");
    assert!(text().contains("hose = { bore = \"32 mm\""), "{}", text());
    assert_ne!(strip(), curve);
    assert_ne!(page.text("document.querySelector('.strip .ghost').getAttribute('d')"), "");
    page.ask("[...document.querySelectorAll('.tools button')].find((b) => b.textContent === 'Undo').click()");
    assert_eq!((text(), strip()), (before.clone(), curve));
    let typed = before.replace("bore = \"25 mm\", losses", "bore = \"19 mm\", losses");
    assert_ne!(typed, before);
    page.ask(&format!(
        "(() => {{ const t = document.querySelector('textarea'); t.value = {}; \
         t.dispatchEvent(new Event('input')); return true; }})()",
        json!(typed)
    ));
    let chosen =
        page.text("document.querySelector('[data-path=\"supply.hose.bore\"] select').value");
    assert_eq!(chosen, "19 mm");
    page.ask("document.querySelector('[data-path=\"step.1.sections\"] input').click()");
    assert!(text().contains("sections = [\"2\", \"3\", \"4\", \"5\", \"6\"]"), "{}", text());
    assert_eq!(page.troubles(), Vec::<String>::new());
}

#[test]
fn a_fault_is_underlined_and_the_last_valid_state_stays() {
    let Some((_folder, page)) = opened("heron-36m-one-end", LAPTOP) else { return };
    let strip = page.text("document.querySelector('.strip .curve').getAttribute('d')");
    page.ask(
        "(() => { const t = document.querySelector('textarea'); t.value = t.value.replace('\"36 m\"', '\"36 mice\"'); \
         t.dispatchEvent(new Event('input')); return true; })()",
    );
    assert_eq!(page.text("document.querySelector('.under u.fault').textContent"), "\"36 mice\"");
    assert_eq!(
        page.text("document.querySelector('textarea').getAttribute('aria-invalid')"),
        "true"
    );
    assert!(page.text("document.querySelector('.faults li').textContent").contains("mice"));
    assert_eq!(page.text("document.querySelector('.strip .curve').getAttribute('d')"), strip);
    assert_eq!(page.troubles(), Vec::<String>::new());
}

/// Played, changed on the way, saved: the scenario that is saved does with `run` what the page did.
#[test]
fn what_was_played_and_changed_is_a_scenario_that_run_repeats() {
    let Some((_folder, page)) = opened("heron-36m-prime-one-end", LAPTOP) else { return };
    ask(&page, &json!({ "do": "begin" }));
    ask(&page, &json!({ "do": "play", "to": 9.0 }));
    set(&page, "step.1.valves.return-valve", "40");
    ask(&page, &json!({ "do": "play", "to": 16.0 }));
    page.ask("document.querySelectorAll('.steps button')[1].click()");
    ask(&page, &json!({ "do": "play", "to": 24.0 }));
    let saved = ask(&page, &json!({ "do": "scenario" }));
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("saved.toml");
    std::fs::write(&file, saved["text"].as_str().unwrap()).unwrap();
    let run = Run::of_file(&file);
    let steps = run.summary["steps"].as_array().unwrap();
    assert_eq!(steps.len(), 3, "{}", saved["text"]);
    for (step, found) in steps.iter().zip(saved["findings"].as_array().unwrap()) {
        for key in ["priming", "outcome", "boom"] {
            let off = furthest(&step["findings"][key], &found[key], key);
            assert!(off <= 1e-9, "{key}: {off:.1e}");
        }
    }
    assert_eq!(page.troubles(), Vec::<String>::new());
}

/// The front moves, time goes back, the address carries the run to another page.
#[test]
fn a_run_plays_goes_back_and_is_carried_by_its_address() {
    let Some((folder, page)) = opened("heron-36m-prime-one-end", LAPTOP) else { return };
    page.ask("document.querySelector('.slide select').value = '20'");
    page.click("button.play");
    std::thread::sleep(std::time::Duration::from_millis(1500));
    page.click("button.play");
    let time = || ask(&page, &json!({ "do": "parts" }))["time"].as_f64().unwrap();
    let played = time();
    assert!(played > 1.0, "{played}");
    ask(&page, &json!({ "do": "back", "to": 1.0 }));
    let back = time();
    assert!((1.0..1.5).contains(&back), "{back}");
    set(&page, "step.1.pump", "60");
    std::thread::sleep(std::time::Duration::from_millis(900));
    let hash = page.text("location.hash");
    assert!(hash.starts_with("#at="), "{hash}");
    let address = format!("file://{}{hash}", folder.path().join("live.html").display());
    page.call("Page.navigate", json!({ "url": "about:blank" }));
    page.call("Page.navigate", json!({ "url": address }));
    std::thread::sleep(std::time::Duration::from_millis(2500));
    let carried = time();
    assert!((carried - back).abs() < 0.2, "{carried} {back}");
    assert!(page.text("document.querySelector('textarea').value").contains("pump = \"60 %\""));
}

/// Whatever is typed, the page lives on and shows its last valid state.
#[test]
fn whatever_is_typed_the_page_lives_on() {
    let Some((_folder, page)) = opened("larkfield-12m", LAPTOP) else { return };
    let left = page.text(
        "(() => { let seed = 7; const random = (n) => { seed = (seed * 1103515245 + 12345) % 2147483648; return seed % n; }; \
         const t = document.querySelector('textarea'); const first = t.value; \
         const pieces = ['\"', '[', ']', '=', '{', '0', '9', '-', 'bar', ' mm', 'true', '\\n', 'e9', '\\u00e9', '\\u{1F4A7}']; \
         for (let k = 0; k < 400; k += 1) { if (k % 8 === 0) t.value = first; \
           const at = random(t.value.length + 1); const cut = random(4); \
           t.value = t.value.slice(0, at) + pieces[random(pieces.length)] + t.value.slice(at + cut); \
           t.dispatchEvent(new Event('input')); } \
         t.value = first; t.dispatchEvent(new Event('input')); \
         return `${document.body.dataset.valid} ${document.querySelector('.strip .curve').getAttribute('d').length > 20}`; })()",
    );
    assert_eq!(left, "true true");
    assert_eq!(page.troubles(), Vec::<String>::new());
}
