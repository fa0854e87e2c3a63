//! Pages on paper.

use crate::browser::{Page, Run};
use serde_json::json;

/// Width and height, inches: ISO 216 A4, and ANSI/ASME Y14.1 A (Letter).
const SHEETS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)];
/// The margin of the page's style, left and right, inches (14 mm).
const MARGIN: f64 = 0.551;

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
