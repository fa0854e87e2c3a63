//! Names on drawings of the plumbing, as a browser sets and measures them.

use crate::browser::{Page, Run};
use checks::command::millstream;
use checks::{put_beside_data, root};

const PHONE: (u32, u32) = (390, 844);
const PROJECTOR: (u32, u32) = (1920, 1080);
/// A second pump from the tank and a drain from the header: what no boom has.
const STRANGERS: &str = "[pump.second]\nfrom = \"tank\"\nto = \"header\"\ncurve = \"pumps/heron-centrifugal.csv\"\nspeed = \"30 %\"\n\n\
    [line.drain]\nfrom = \"header\"\nto = \"drain-end\"\nbore = \"19 mm\"\nlength = \"1 m\"\n\n";

/// Words of the drawing in `element` that are on others or leave it, and how many words there are.
fn names(page: &Page, element: &str) -> (String, f64) {
    let script = format!(
        "(() => {{ const svg = document.querySelector('{element}'); const view = svg.viewBox.baseVal; \
         const frame = view && view.width ? view : {{ x: 0, y: 0, width: svg.width.baseVal.value, height: svg.height.baseVal.value }}; \
         const shown = [...svg.querySelectorAll('text')].filter((t) => t.getClientRects().length > 0); \
         const texts = shown.map((t) => [t.textContent.trim(), t.getBBox()]); const found = []; \
         texts.forEach(([words, a], i) => {{ \
           if (a.x < frame.x || a.y < frame.y || a.x + a.width > frame.x + frame.width || a.y + a.height > frame.y + frame.height) \
             found.push(words + ' leaves the frame'); \
           for (const [other, b] of texts.slice(i + 1)) \
             if (a.x < b.x + b.width && b.x < a.x + a.width && a.y < b.y + b.height && b.y < a.y + a.height) found.push(words + ' is on ' + other); \
         }}); return found.join('; '); }})()"
    );
    let count = page.number(&format!("document.querySelectorAll('{element} text').length"));
    (page.text(&script), count)
}

#[test]
fn a_browser_sets_no_name_on_another_or_beyond_the_drawing() {
    let text = std::fs::read_to_string(root().join("scenarios/heron-36m-one-end.toml")).unwrap();
    let text = text.replacen("[travel]", &format!("{STRANGERS}[travel]"), 1);
    let folder = tempfile::tempdir().unwrap();
    let attached = put_beside_data(&text, folder.path());
    let shipped =
        ["quill-loop", "larkfield-12m", "sableflat-132ft-one-end", "otterbend-90ft-nitrogen"];
    let mut files: Vec<_> =
        shipped.iter().map(|name| root().join(format!("scenarios/{name}.toml"))).collect();
    files.push(attached);
    for file in files {
        let run = Run::of_file(&file);
        for size in [PHONE, PROJECTOR] {
            let Some(page) = Page::open(&run.page(), size) else { return };
            let (found, count) = names(&page, "svg.drawing");
            assert!(found.is_empty() && count > 6.0, "{} at {size:?}: {found}", file.display());
        }
        let pictures =
            std::fs::read_dir(run.folder.path()).unwrap().map(|entry| entry.unwrap().path());
        for picture in pictures.filter(|path| path.to_string_lossy().ends_with("plumbing.svg")) {
            let Some(page) = Page::open_still(&picture, PROJECTOR) else { return };
            let (found, count) = names(&page, "svg");
            assert!(found.is_empty() && count > 6.0, "{}: {found}", picture.display());
        }
        let out = tempfile::tempdir().unwrap();
        let folder = out.path().to_string_lossy().into_owned();
        let printed = millstream(&["papers", &file.to_string_lossy(), "--out", &folder]);
        assert_eq!(printed.code, 0, "{}", printed.err);
        let Some(page) = Page::open_still(&out.path().join("build.html"), PROJECTOR) else {
            return;
        };
        let (found, count) = names(&page, "svg.sketch");
        assert!(found.is_empty() && count > 6.0, "{}: {found}", file.display());
    }
}
