//! Pages open without a complaint, in light and dark, with less motion, whatever the scenario is called.

use crate::browser::{Page, Run};
use checks::command::millstream;
use checks::{put_beside_data, root};

const PHONE: (u32, u32) = (390, 844);
const PROJECTOR: (u32, u32) = (1920, 1080);

#[test]
fn every_kind_of_page_opens_without_a_word_on_the_console_and_fits_its_window() {
    let scenarios = [
        "heron-36m-prime-one-end",
        "heron-36m-field-hour",
        "quill-loop",
        "willowsink-80ft-rinse",
        "larkfield-12m",
    ];
    for scenario in scenarios {
        let run = Run::of(scenario);
        for size in [PHONE, PROJECTOR] {
            let Some(page) = Page::open(&run.page(), size) else { return };
            assert_eq!(page.troubles(), Vec::<String>::new(), "{scenario}");
            let beyond = page.number(
                "document.documentElement.scrollWidth - document.documentElement.clientWidth",
            );
            assert!(beyond <= 0.0, "{scenario} at {size:?}: {beyond} px too wide");
            let bytes = std::fs::metadata(run.page()).unwrap().len();
            assert!(bytes < 3_000_000, "{scenario}: {bytes}");
        }
    }
}

#[test]
fn dark_pages_are_light_on_dark_and_light_ones_dark_on_light() {
    let run = Run::of("larkfield-12m");
    let Some(page) = Page::open(&run.page(), PROJECTOR) else { return };
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
}

#[test]
fn where_less_motion_is_asked_for_no_dash_moves() {
    let run = Run::of("heron-36m-prime-centre");
    let Some(page) = Page::open(&run.page(), PROJECTOR) else { return };
    let offsets = "[...document.querySelectorAll('path.dash')].filter((d) => d.hasAttribute('stroke-dashoffset')).length";
    page.emulate("prefers-reduced-motion", "reduce");
    page.slide_to(0.1);
    page.ask("document.querySelector('button.play').click()");
    std::thread::sleep(std::time::Duration::from_millis(1200));
    page.ask("document.querySelector('button.play').click()");
    assert!(page.number("Number(document.querySelector('input.time').value)") > 40.0);
    assert_eq!(page.number(offsets), 0.0);
    page.emulate("prefers-reduced-motion", "no-preference");
    page.ask("document.querySelector('button.play').click()");
    std::thread::sleep(std::time::Duration::from_millis(600));
    assert!(page.number(offsets) > 10.0);
}

#[test]
fn a_title_cannot_break_out_of_the_page() {
    let text = std::fs::read_to_string(root().join("scenarios/larkfield-12m.toml")).unwrap();
    let evil = "</script><script>document.title = 'broken'</script> <b>&amp; \\\" {{body}}";
    let start = text.find("title = \"").unwrap();
    let end = start + text[start..].find('\n').unwrap();
    let text = format!("{}title = \"{evil}\"{}", &text[..start], &text[end..]);
    let folder = tempfile::tempdir().unwrap();
    let file = put_beside_data(&text, folder.path());
    let run = Run::of_file(&file);
    let Some(page) = Page::open(&run.page(), PROJECTOR) else { return };
    assert_eq!(page.troubles(), Vec::<String>::new());
    let title = page.text("document.querySelector('h1').textContent");
    assert_eq!(title, evil.replace("\\\"", "\""));
    assert_eq!(page.text("document.title"), title);
    assert_eq!(page.number("document.querySelectorAll('script').length"), 2.0);
}

#[test]
fn a_page_runs_its_own_script_and_style_and_fetches_nothing_else() {
    let run = Run::of("larkfield-12m");
    let html = std::fs::read_to_string(run.page()).unwrap();
    let picture = run.folder.path().join("outside.png");
    std::fs::copy(root().join("docs/pictures/heron-36m-one-end-plumbing.png"), &picture).unwrap();
    let foreign = format!(
        "<main><script>document.title = 'broken'</script><style>h1 {{ display: none }}</style>\
         <img id=\"outside\" src=\"file://{}\"><b id=\"b\" onclick=\"document.title = 'broken'\">b</b>",
        picture.display()
    );
    let path = run.folder.path().join("foreign.html");
    std::fs::write(&path, html.replacen("<main>", &foreign, 1)).unwrap();
    let Some(page) = Page::open(&path, PROJECTOR) else { return };
    page.ask("document.getElementById('b').click()");
    assert_ne!(page.text("document.title"), "broken");
    assert_ne!(page.text("getComputedStyle(document.querySelector('h1')).display"), "none");
    assert_eq!(page.number("document.getElementById('outside').naturalWidth"), 0.0);
    let refused = page.troubles().iter().filter(|t| t.contains("Content Security Policy")).count();
    assert!(refused >= 4, "{:?}", page.troubles());
}

#[test]
fn comparisons_and_diagnoses_open_without_a_word_on_the_console() {
    let place = tempfile::tempdir().unwrap();
    let shipped = |name: &str| root().join(name).to_string_lossy().into_owned();
    let [centre, one_end] =
        ["centre", "one-end"].map(|feed| shipped(&format!("scenarios/heron-36m-{feed}.toml")));
    let readings = shipped("demo-data/readings/heron-left-end-short.toml");
    for (name, args, has_script) in [
        ("compare.html", vec!["compare", &centre, &one_end], true),
        ("compare.html", vec!["compare", &centre, "--vary", "supply.hose.bore=19 mm,25 mm"], true),
        ("report.html", vec!["diagnose", &centre, &readings], false),
    ] {
        let out = place.path().to_string_lossy().into_owned();
        let printed = millstream(&[&args[..], &["--out", &out]].concat());
        assert_eq!(printed.code, 0, "{}", printed.err);
        let open = if has_script { Page::open } else { Page::open_still };
        let Some(page) = open(&place.path().join(name), PROJECTOR) else { return };
        assert_eq!(page.troubles(), Vec::<String>::new(), "{args:?}");
        assert!(page.text("document.querySelector('meta[http-equiv]').content").contains("'none'"));
        assert_eq!(
            page.text("getComputedStyle(document.querySelector('table')).borderCollapse"),
            "collapse"
        );
    }
}
