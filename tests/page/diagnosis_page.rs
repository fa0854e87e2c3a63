//! The page of a diagnosis on a phone and on paper, and the blank sheet that its readings come from.

use crate::browser::Page;
use crate::papers::printed_pages;
use checks::command::millstream;
use checks::root;
use std::path::Path;

const PHONE: (u32, u32) = (390, 844);
/// ISO 216 A4, inches.
const A4: (f64, f64) = (8.27, 11.69);

fn shipped(path: &str) -> String {
    root().join(path).to_string_lossy().into_owned()
}

/// Diagnoses the short left end of the 36 m boom into `folder`.
fn diagnosed(folder: &Path) {
    let out = folder.to_string_lossy().into_owned();
    let (machine, readings) = (
        shipped("scenarios/heron-36m-centre.toml"),
        shipped("demo-data/readings/heron-left-end-short.toml"),
    );
    let printed = millstream(&["diagnose", &machine, &readings, "--out", &out]);
    assert_eq!(printed.code, 0, "{}", printed.err);
}

/// Distance of the top of the element that `selector` finds from the top of the page, px.
fn top(page: &Page, selector: &str) -> f64 {
    page.number(&format!(
        "document.querySelector('{selector}').getBoundingClientRect().top + window.scrollY"
    ))
}

#[test]
fn a_diagnosis_on_a_phone_has_the_answer_first_then_the_next_reading_then_the_places_then_the_ranking()
 {
    let folder = tempfile::tempdir().unwrap();
    diagnosed(folder.path());
    let Some(page) = Page::open_still(&folder.path().join("report.html"), PHONE) else { return };
    assert_eq!(page.troubles(), Vec::<String>::new());
    let beyond =
        page.number("document.documentElement.scrollWidth - document.documentElement.clientWidth");
    assert!(beyond <= 0.0, "{beyond} px too wide");
    let tops = [".answer", ".next", ".sketch", "figure"].map(|s| top(&page, s));
    assert!(tops.is_sorted(), "{tops:?}");
    // The answer is on the first screen, in letters that are read at arm's length (16 px and more).
    assert!(tops[0] < 400.0, "{tops:?}");
    let letters = page.text("getComputedStyle(document.querySelector('.answer')).fontSize");
    assert!(letters.trim_end_matches("px").parse::<f64>().unwrap() >= 16.0, "{letters}");
    // Every place that was read has one mark, and the next reading one that is filled.
    let marks = page.number("document.querySelectorAll('.sketch .mark').length");
    let listed = page.number(
        "[...document.querySelectorAll('table')].find((t) => t.caption.textContent == 'Read so far').tBodies[0].rows.length",
    );
    assert_eq!(marks, listed);
    assert_eq!(page.number("document.querySelectorAll('.sketch .mark.next').length"), 1.0);
    let meta = page.text("document.querySelector('meta[name=viewport]').content");
    assert!(meta.contains("width=device-width"));
}

#[test]
fn a_diagnosis_is_light_on_dark_at_night_and_prints_dark_on_light() {
    let folder = tempfile::tempdir().unwrap();
    diagnosed(folder.path());
    let Some(page) = Page::open_still(&folder.path().join("report.html"), PHONE) else { return };
    // Relative luminance after WCAG 2.2, from sRGB.
    let luminance = |of: &str| {
        page.number(&format!(
            "(() => {{ const c = getComputedStyle(document.body).{of}.match(/\\d+/g).slice(0, 3).map((v) => v / 255)\
             .map((v) => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4); \
             return 0.2126 * c[0] + 0.7152 * c[1] + 0.0722 * c[2]; }})()"
        ))
    };
    for (scheme, dark) in [("light", false), ("dark", true)] {
        page.emulate("prefers-color-scheme", scheme);
        let (paper, ink) = (luminance("backgroundColor"), luminance("color"));
        assert_eq!(paper < ink, dark, "{scheme}");
        // WCAG 2.2, success criterion 1.4.6: 7 to 1.
        let contrast = (paper.max(ink) + 0.05) / (paper.min(ink) + 0.05);
        assert!(contrast >= 7.0, "{scheme}: {contrast}");
    }
    let pages = printed_pages(&page, A4);
    assert!((1..=3).contains(&pages), "{pages} pages");
}

/// Every box of the sheet has the number of a mark of the sketch, and every mark a box; marks keep clear of each other.
#[test]
fn a_reading_sheet_has_a_mark_for_every_box_and_fits_its_paper() {
    for scenario in
        ["heron-36m-one-end", "larkfield-12m", "quill-loop", "sableflat-132ft-recirculate"]
    {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_string_lossy().into_owned();
        let path = shipped(&format!("scenarios/{scenario}.toml"));
        let printed = millstream(&["papers", &path, "--only", "readings", "--out", &out]);
        assert_eq!(printed.code, 0, "{}", printed.err);
        let page = folder.path().join("reading-sheet.html");
        let Some(page) = Page::open_still(&page, (1000, 1000)) else { return };
        let numbers = page.text(
            "[...document.querySelectorAll('.sketch .number')].map((n) => Number(n.textContent)).sort((a, b) => a - b).join(' ')",
        );
        let boxes = page.text(
            "[...new Set([...document.querySelectorAll('table')].filter((t) => t.caption.textContent.startsWith('What to read'))\
             .flatMap((t) => [...t.tBodies[0].rows].map((r) => Number(r.cells[0].textContent))))].sort((a, b) => a - b).join(' ')",
        );
        assert_eq!(numbers, boxes, "{scenario}");
        let clear = page.ask(
            "(() => { const b = [...document.querySelectorAll('.sketch .mark')].map((m) => m.getBoundingClientRect()); \
             return b.every((p, i) => b.every((q, k) => k <= i || p.right <= q.left || q.right <= p.left || p.bottom <= q.top \
             || q.bottom <= p.top)); })()",
        );
        assert_eq!(clear, true, "{scenario}: marks lie on each other");
        assert!(printed_pages(&page, A4) >= 1);
    }
}
