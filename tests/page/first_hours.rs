//! The first hours of an engineer, an instructor and a technician: what their page of the guide types and edits, then every page
//! that comes of it, opened and printed.

use crate::browser::Page;
use crate::papers::printed_pages;
use checks::played::{Deed, Desk, deeds};
use checks::root;

/// Widths and heights of windows, px: a phone, a tablet, a desk.
const WINDOWS: [(u32, u32); 3] = [(390, 844), (820, 1180), (1300, 900)];
/// ISO 216 A4, inches.
const A4: (f64, f64) = (8.27, 11.69);

#[test]
fn pages_of_three_first_hours_open_at_three_widths_and_print() {
    let Some(desk) = Desk::new() else { return };
    let page = std::fs::read_to_string(root().join("docs/guide/first-hours.md")).unwrap();
    for deed in deeds(&page) {
        match deed {
            Deed::Types(line) if line.starts_with("millstream ") => drop(desk.types(&line)),
            // The copy is there already, and the command that this test calls is built.
            Deed::Types(_) => {}
            Deed::Edits { file, from, to } => desk.edits(&file, &from, &to),
        }
    }
    let mut pages = desk.written();
    pages.retain(|path| path.extension().is_some_and(|kind| kind == "html"));
    assert!(pages.len() >= 12, "{pages:?}");
    for path in pages {
        let name = path.strip_prefix(desk.folder()).unwrap().display();
        let Some(page) = Page::open_still(&path, WINDOWS[0]) else { return };
        for window in WINDOWS {
            page.resize(window);
            let beyond = page.number(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth",
            );
            assert!(beyond <= 0.0, "{name} at {window:?}: {beyond} px too wide");
        }
        assert_eq!(page.troubles(), Vec::<String>::new(), "{name}");
        assert!(page.number("document.body.innerText.length") > 300.0, "{name}");
        assert_eq!(page.number("document.querySelectorAll('h1').length"), 1.0, "{name}");
        assert!(printed_pages(&page, A4) > 0, "{name} does not print");
    }
}
