//! The papers that go with a machine, on sheets and on a phone.

use crate::browser::Page;
use checks::command::millstream;
use checks::{put_beside_data, root};
use serde_json::json;
use std::path::Path;

/// Width and height, inches: ISO 216 A4, and ANSI/ASME Y14.1 A (Letter).
const SHEETS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)];
/// The margin of the papers' style, left and right, inches (12 mm).
const MARGIN: f64 = 0.472;
const PHONE: (u32, u32) = (390, 844);

/// Writes the papers of a shipped scenario into `folder`.
fn papers(scenario: &str, folder: &Path) {
    let path = root().join(format!("scenarios/{scenario}.toml"));
    let out = folder.to_string_lossy().into_owned();
    let printed = millstream(&["papers", &path.to_string_lossy(), "--out", &out]);
    assert_eq!(printed.code, 0, "{}", printed.err);
}

fn pages(folder: &Path) -> Vec<std::path::PathBuf> {
    let entries = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let mut pages: Vec<_> =
        entries.filter(|path| path.extension().is_some_and(|kind| kind == "html")).collect();
    pages.sort();
    assert!(!pages.is_empty());
    pages
}

#[test]
fn papers_are_not_cut_off_on_a4_and_letter_and_scroll_only_in_their_tables_on_a_phone() {
    for scenario in
        ["heron-36m-one-end", "larkfield-12m", "quill-loop", "sableflat-132ft-recirculate"]
    {
        let folder = tempfile::tempdir().unwrap();
        papers(scenario, folder.path());
        for path in pages(folder.path()) {
            let name = format!("{scenario}, {}", path.file_name().unwrap().to_string_lossy());
            for (sheet, width, _) in SHEETS {
                // CSS counts 96 px to the inch.
                let text_width = ((width - 2.0 * MARGIN) * 96.0).floor() as u32;
                let Some(page) = Page::open_still(&path, (text_width, 1000)) else { return };
                page.call("Emulation.setEmulatedMedia", json!({ "media": "print" }));
                let widest = page.number(
                    "Math.max(...[...document.querySelectorAll('main *')].map((e) => e.getBoundingClientRect().right))",
                );
                let room = page.number("document.documentElement.clientWidth");
                assert!(widest <= room + 1.0, "{name} on {sheet}: {widest} of {room} px");
            }
            let Some(page) = Page::open_still(&path, PHONE) else { return };
            assert_eq!(page.troubles(), Vec::<String>::new(), "{name}");
            let beyond = page.number(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth",
            );
            assert!(beyond <= 0.0, "{name} on a phone: {beyond} px too wide");
            assert_eq!(page.number("document.querySelectorAll('script').length"), 0.0);
        }
    }
}

/// Pages of the file that printing makes: each is an object of the type `Page` (ISO 32000).
pub(crate) fn printed_pages(page: &Page, (width, height): (f64, f64)) -> usize {
    let pdf = page.call(
        "Page.printToPDF",
        json!({ "paperWidth": width, "paperHeight": height, "preferCSSPageSize": true }),
    );
    let bytes = from_base64(pdf["data"].as_str().unwrap());
    let text = String::from_utf8_lossy(&bytes);
    text.match_indices("/Type /Page").filter(|(at, _)| !text[at + 11..].starts_with('s')).count()
}

/// Bytes of base64 (RFC 4648).
fn from_base64(text: &str) -> Vec<u8> {
    const LETTERS: &[u8] = b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/";
    let value = |letter: &u8| LETTERS.iter().position(|other| other == letter);
    let values: Vec<u32> = text.as_bytes().iter().filter_map(value).map(|v| v as u32).collect();
    let bytes = values.chunks(4).flat_map(|four| {
        let bits = four.iter().fold(0, |bits, value| bits << 6 | value) << (6 * (4 - four.len()));
        bits.to_be_bytes()[1..four.len()].to_vec()
    });
    bytes.collect()
}

#[test]
fn an_operators_card_is_one_printed_page_however_many_steps_the_scenario_has() {
    let text = std::fs::read_to_string(root().join("scenarios/heron-36m-one-end.toml")).unwrap();
    let more: String = (1..13)
        .map(|i| {
            format!(
                "\n[[step]]\nname = \"circulate {i}\"\ndo = \"circulate\"\npump = \"{} %\"\n",
                20 + i
            )
        })
        .collect();
    let place = tempfile::tempdir().unwrap();
    let many = put_beside_data(&(text + &more), place.path());
    let shipped = checks::command::files("scenarios", ".toml");
    for scenario in shipped.iter().chain([&many]) {
        let folder = tempfile::tempdir().unwrap();
        let out = folder.path().to_string_lossy().into_owned();
        let printed =
            millstream(&["papers", &scenario.to_string_lossy(), "--only", "card", "--out", &out]);
        assert_eq!(printed.code, 0, "{}", printed.err);
        for (sheet, width, height) in SHEETS {
            let Some(page) = Page::open_still(&folder.path().join("card.html"), (1000, 1000))
            else {
                return;
            };
            let pages = printed_pages(&page, (width, height));
            assert_eq!(pages, 1, "{} on {sheet}", scenario.display());
        }
    }
}

#[test]
fn base64_is_that_of_the_standard() {
    // Test vectors of RFC 4648, section 10.
    for (text, bytes) in [
        ("Zg==", "f"),
        ("Zm8=", "fo"),
        ("Zm9v", "foo"),
        ("Zm9vYg==", "foob"),
        ("Zm9vYmFy", "foobar"),
    ] {
        assert_eq!(from_base64(text), bytes.as_bytes());
    }
}
