//! Pages on paper.

use crate::browser::{Page, Run};
use crate::papers::printed_pages;
use checks::root;
use serde_json::json;

/// Width and height, inches: ISO 216 A4, and ANSI/ASME Y14.1 A (Letter).
const SHEETS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)];
/// The margin of the page's style, left and right, inches (12 mm).
const MARGIN: f64 = 0.472;
/// Most sheets that the report on a shipped run takes.
const MOST_SHEETS: usize = 6;

#[test]
fn nothing_is_cut_off_on_a4_and_letter() {
    for scenario in ["sableflat-132ft-recirculate", "heron-36m-one-end", "quill-loop"] {
        let run = Run::of(scenario);
        for (name, width, height) in SHEETS {
            // CSS counts 96 px to the inch.
            let text_width = ((width - 2.0 * MARGIN) * 96.0).floor() as u32;
            let Some(page) = Page::open(&run.page(), (text_width, 1000)) else { return };
            page.call("Emulation.setEmulatedMedia", json!({ "media": "print" }));
            let widest = "Math.max(...[...document.querySelectorAll('main *')].map((e) => e.getBoundingClientRect().right))";
            let room = page.number("document.documentElement.clientWidth");
            let widest = page.number(widest);
            assert!(widest <= room + 1.0, "{scenario} on {name}: {widest} of {room} px");
            assert_eq!(
                page.text("getComputedStyle(document.querySelector('.controls')).display"),
                "none"
            );
            let pdf = page.call(
                "Page.printToPDF",
                json!({ "paperWidth": width, "paperHeight": height, "preferCSSPageSize": true,
                    "printBackground": false }),
            );
            // In base64, which writes "%PDF-" as "JVBERi0" and four letters for three bytes.
            let pdf = pdf["data"].as_str().unwrap();
            assert!(pdf.starts_with("JVBERi0"), "{scenario} on {name}");
            assert!(pdf.len() / 4 * 3 > 50_000, "{scenario} on {name}");
        }
    }
}

#[test]
fn every_shipped_run_prints_on_six_sheets_at_most_its_tables_in_one_piece_each() {
    let mut files: Vec<_> = std::fs::read_dir(root().join("scenarios"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|kind| kind == "toml"))
        .collect();
    files.sort();
    assert!(files.len() >= 18);
    for path in files {
        let (run, name) = (Run::of_file(&path), path.display());
        let Some(page) = Page::open(&run.page(), (1300, 900)) else { return };
        for (sheet, width, height) in SHEETS {
            let sheets = printed_pages(&page, (width, height));
            assert!((1..=MOST_SHEETS).contains(&sheets), "{name}: {sheets} sheets of {sheet}");
        }
        page.resize((((SHEETS[0].1 - 2.0 * MARGIN) * 96.0).floor() as u32, 1000));
        page.call("Emulation.setEmulatedMedia", json!({ "media": "print" }));
        let apart = page.number(
            "[...document.querySelectorAll('.table, tr, .plot')].filter((e) => getComputedStyle(e).breakInside !== 'avoid').length",
        );
        assert_eq!(apart, 0.0, "{name}");
        // A table that is wider than its column would lie over the next one.
        let wider = page.text(
            "JSON.stringify([...document.querySelectorAll('.table')].filter((e) => e.querySelector('table').offsetWidth > \
             e.offsetWidth + 1).map((e) => e.getAttribute('aria-label')))",
        );
        assert_eq!(wider, "[]", "{name}");
    }
}
