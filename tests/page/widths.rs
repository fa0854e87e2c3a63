//! Every kind of page at the width of a desk, of a tablet and of a phone.

use crate::browser::{Page, Run};
use checks::command::millstream;
use checks::root;
use std::path::{Path, PathBuf};

/// Widths and heights of windows, px; the last is a phone's.
const WINDOWS: [(u32, u32); 3] = [(1300, 900), (1024, 768), PHONE];
const PHONE: (u32, u32) = (390, 844);

/// Elements of whom a part is out of sight sideways, each by its name and the words it begins with.
const SCROLLED: &str = "JSON.stringify([...document.querySelectorAll('body *')]\
    .filter((e) => !(e instanceof SVGElement) && e.clientWidth > 0 && e.scrollWidth > e.clientWidth + 1)\
    .map((e) => `${e.className || e.tagName}: ${e.textContent.trim().slice(0, 30)}`))";
/// How far drawings and pictures reach beyond the window, px.
const BEYOND: &str = "Math.max(0, ...[...document.querySelectorAll('svg')]\
    .map((e) => e.getBoundingClientRect().right - document.documentElement.clientWidth))";

/// Asserts that the page at `path` fits its windows: nothing of it is beyond them, and only tables scroll, those only on a
/// phone.
fn fits(path: &Path, name: &str) -> Option<()> {
    let page = Page::open_still(path, WINDOWS[0])?;
    for window in WINDOWS {
        page.resize(window);
        let beyond = page
            .number("document.documentElement.scrollWidth - document.documentElement.clientWidth");
        assert!(beyond <= 0.0, "{name} at {window:?}: {beyond} px too wide");
        let beyond = page.number(BEYOND);
        assert!(beyond <= 0.5, "{name} at {window:?}: a picture is {beyond} px too wide");
        let scrolled: Vec<String> = serde_json::from_str(&page.text(SCROLLED)).unwrap();
        let allowed = |what: &&String| window == PHONE && what.starts_with("table: ");
        let scrolled: Vec<&String> = scrolled.iter().filter(|what| !allowed(what)).collect();
        assert!(scrolled.is_empty(), "{name} at {window:?}: {scrolled:?}");
    }
    Some(())
}

fn shipped(name: &str) -> String {
    root().join(name).to_string_lossy().into_owned()
}

#[test]
fn reports_fit_a_desk_a_tablet_and_a_phone() {
    for scenario in [
        "heron-36m-prime-one-end",
        "heron-36m-purge-one-at-a-time",
        "quill-loop",
        "sableflat-132ft-recirculate",
        "willowsink-80ft-rinse",
    ] {
        if fits(&Run::of(scenario).page(), scenario).is_none() {
            return;
        }
    }
}

#[test]
fn comparisons_diagnoses_and_papers_fit_them_too() {
    let [centre, one_end] =
        ["centre", "one-end"].map(|feed| shipped(&format!("scenarios/heron-36m-{feed}.toml")));
    let readings = shipped("demo-data/readings/heron-left-end-short.toml");
    let wide = shipped("scenarios/sableflat-132ft-recirculate.toml");
    let bores = "supply.hose.bore=16 mm,19 mm,22 mm,25 mm,32 mm";
    for args in [
        vec!["compare", &centre, &one_end],
        vec!["compare", &centre, "--vary", bores],
        vec!["diagnose", &centre, &readings],
        vec!["papers", &one_end],
        vec!["papers", &wide, "--units", "us"],
    ] {
        let place = tempfile::tempdir().unwrap();
        let out = place.path().to_string_lossy().into_owned();
        let printed = millstream(&[&args[..], &["--out", &out]].concat());
        assert_eq!(printed.code, 0, "{}", printed.err);
        let files = std::fs::read_dir(place.path()).unwrap().map(|entry| entry.unwrap().path());
        let pages = files.filter(|path| path.extension().is_some_and(|kind| kind == "html"));
        let pages: Vec<PathBuf> = pages.collect();
        assert!(!pages.is_empty());
        for path in pages {
            let name = format!("{} of {args:?}", path.file_name().unwrap().to_string_lossy());
            if fits(&path, &name).is_none() {
                return;
            }
        }
    }
}

#[test]
fn on_a_phone_the_boom_is_as_wide_as_the_screen_and_its_names_can_be_read() {
    let run = Run::of("heron-36m-prime-one-end");
    let Some(page) = Page::open(&run.page(), PHONE) else { return };
    let drawn = page.number("document.querySelector('.drawing').getBoundingClientRect().width");
    assert!((330.0..=390.0).contains(&drawn), "{drawn}");
    // Height of the letters as shown: font size of the drawing's own units times how much it is scaled down.
    let letters = page.number(
        "(() => { const n = [...document.querySelectorAll('.drawing text')].filter((t) => t.getClientRects().length > 0 && \
         t.getBoundingClientRect().width > 0); const s = document.querySelector('.drawing'); \
         const scale = s.getBoundingClientRect().width / s.viewBox.baseVal.width; \
         return Math.min(...n.map((t) => parseFloat(getComputedStyle(t).fontSize) * scale)); })()",
    );
    assert!(letters >= 9.0, "{letters} px");
}

#[test]
fn scales_of_pressure_never_span_less_than_a_tenth_of_their_top() {
    for scenario in ["heron-36m-one-end", "larkfield-12m", "willowsink-80ft-rinse"] {
        let run = Run::of(scenario);
        let Some(page) = Page::open(&run.page(), WINDOWS[0]) else { return };
        page.ask(
            "(() => { const list = document.querySelector('.colours select'); list.value = 'pressure'; \
             list.dispatchEvent(new Event('change')); return true; })()",
        );
        let steps = page.number("document.querySelectorAll('.steps button').length") as usize;
        for step in 0..steps.max(1) {
            page.ask(&format!(
                "(() => {{ const b = document.querySelectorAll('.steps button')[{step}]; if (b) b.click(); return true; }})()"
            ));
            let end = |which: &str| {
                let text =
                    page.text(&format!("document.querySelector('.legend .{which}').textContent"));
                text.split(' ').next().unwrap().parse::<f64>().unwrap()
            };
            let (low, high) = (end("low"), end("high"));
            // Ends are shown to two decimals, or one.
            assert!(high - low >= 0.1 * high - 0.06, "{scenario}, step {step}: {low} to {high}");
            assert!(high - low >= 0.04, "{scenario}, step {step}: {low} to {high}");
        }
    }
}

#[test]
fn a_purge_opens_with_what_lines_hold_and_a_rinse_with_concentration() {
    for (scenario, opens_with) in [
        ("heron-36m-purge-together", "holds"),
        ("willowsink-80ft-rinse", "concentration"),
        ("heron-36m-one-end", "pressure"),
    ] {
        let run = Run::of(scenario);
        let Some(page) = Page::open(&run.page(), WINDOWS[0]) else { return };
        let value = page.text("document.querySelector('.colours select').value");
        assert_eq!(value, opens_with, "{scenario}");
        if opens_with == "holds" {
            let kinds = page.text(
                "[...document.querySelectorAll('.legend .kind')].map((k) => k.textContent).join()",
            );
            assert_eq!(kinds, "liquid,film on the wall,air");
        }
    }
}

#[test]
fn lines_in_which_nothing_flows_are_grey_and_have_no_arrow_where_colours_show_pressure() {
    let run = Run::of("larkfield-12m");
    let Some(page) = Page::open(&run.page(), WINDOWS[0]) else { return };
    page.ask("document.querySelectorAll('.steps button')[1].click()");
    let still = |what: &str| {
        page.number(&format!(
            "(() => {{ const lines = JSON.parse(document.getElementById('data').textContent).machines[0].drawing.lines; \
             const i = lines.findIndex((line) => line.name === 'right hose'); {what} }})()"
        ))
    };
    assert!(still("return i;") >= 0.0);
    let grey = "return document.querySelectorAll('path.base:not(.bar)')[i].getAttribute('stroke') === 'var(--still)' ? 1 : 0;";
    assert_eq!(still(grey), 1.0);
    let arrows = "const arrow = document.querySelectorAll('g.flow > *'); \
        return [...arrow].filter((a) => a.classList.contains('dash'))[i].getAttribute('visibility') === 'hidden' ? 1 : 0;";
    assert_eq!(still(arrows), 1.0);
}
