//! What moves, and what stands under the pointer.

use crate::browser::{Page, Run};

const LAPTOP: (u32, u32) = (1366, 900);

/// Share of the main's way that new liquid has come, as drawn: the first length of its dash.
const FRONT_OF_MAIN: &str = "(() => { const i = JSON.parse(document.getElementById('data').textContent)\
    .machines[0].drawing.lines.findIndex((line) => line.name === 'main'); \
    const front = document.querySelectorAll('path.front')[i]; \
    return front.getAttribute('visibility') === 'hidden' ? -1 : parseFloat(front.getAttribute('stroke-dasharray')); })()";

#[test]
fn the_front_goes_on_as_the_slider_does() {
    let run = Run::of("heron-36m-prime-centre");
    let Some(page) = Page::open(&run.page(), LAPTOP) else { return };
    let mut fronts = Vec::new();
    for place in 0..100 {
        page.slide_to(f64::from(place) / 400.0);
        fronts.push(page.number(FRONT_OF_MAIN));
    }
    let seen: Vec<f64> = fronts.into_iter().filter(|front| (0.0..=1.0).contains(front)).collect();
    assert!(seen.len() > 5, "{seen:?}");
    assert!(seen.windows(2).all(|pair| pair[1] >= pair[0] - 0.02), "{seen:?}");
    assert!(seen[seen.len() - 1] > 0.8, "{seen:?}");
    assert_eq!(page.troubles(), Vec::<String>::new());
}

/// A figure of a summary as the page shows it.
fn shown(value_si: f64, factor: f64, decimals: usize, symbol: &str) -> String {
    format!("{:.decimals$} {symbol}", value_si / factor)
}

#[test]
fn figures_under_the_pointer_are_those_of_the_summary() {
    for (scenario, lasts) in [("heron-36m-prime-one-end", true), ("heron-36m-one-end", false)] {
        let run = Run::of(scenario);
        let Some(page) = Page::open(&run.page(), LAPTOP) else { return };
        let steps = run.summary["steps"].as_array().unwrap();
        let step = if lasts {
            page.slide_to(1.0);
            &steps[steps.len() - 1]
        } else {
            &steps[0]
        };
        for i in [0, 37, 71] {
            let tip = &step["findings"]["tips"][i];
            let told = page.point_at(&format!(".tip[data-i=\"{i}\"]"));
            assert_eq!(told["name"], format!("Tip {}", tip["tip"].as_str().unwrap()));
            let (pressure, flow) = (tip["pressure_pa"].as_f64(), tip["flow_m3_s"].as_f64());
            assert_eq!(told["pressure"], shown(pressure.unwrap(), 1e5, 2, "bar"), "{scenario} {i}");
            assert_eq!(
                told["flow"],
                shown(flow.unwrap(), 1e-3 / 60.0, 2, "L/min"),
                "{scenario} {i}"
            );
            if lasts {
                let concentration = tip["concentration"].as_f64().unwrap();
                assert_eq!(
                    told["concentration"],
                    shown(concentration, 0.01, 1, "%"),
                    "{scenario} {i}"
                );
            }
        }
        let branches = step["branches"].as_array().unwrap();
        let main = branches.iter().position(|branch| branch["name"] == "main").unwrap();
        let told = page.point_at(&format!(".hit[data-i=\"{main}\"]"));
        assert_eq!(told["name"], "main");
        let flow = branches[main]["flow_m3_s"].as_f64().unwrap();
        assert_eq!(told["flow"], shown(flow, 1e-3 / 60.0, 2, "L/min"), "{scenario}");
    }
}

#[test]
fn keys_move_the_slider_and_play() {
    let run = Run::of("heron-36m-prime-centre");
    let Some(page) = Page::open(&run.page(), LAPTOP) else { return };
    page.slide_to(0.0);
    page.ask("document.querySelector('input.time').focus()");
    for _ in 0..3 {
        page.press("ArrowRight", 39, "");
    }
    assert_eq!(page.ask("document.querySelector('input.time').value"), "3");
    let told = page.text("document.querySelector('input.time').getAttribute('aria-valuetext')");
    assert!(told.ends_with("step prime"), "{told}");
    page.ask("document.querySelector('button.play').focus()");
    page.press("Enter", 13, "\r");
    std::thread::sleep(std::time::Duration::from_millis(1500));
    page.press("Enter", 13, "\r");
    let place = page.number("Number(document.querySelector('input.time').value)");
    assert!(place > 3.0, "{place}");
    assert_eq!(
        page.text("document.querySelector('button.play').getAttribute('aria-pressed')"),
        "false"
    );
}

#[test]
fn a_click_on_a_line_draws_its_curves_and_a_click_on_a_curve_goes_to_its_time() {
    let run = Run::of("heron-36m-prime-centre");
    let Some(page) = Page::open(&run.page(), LAPTOP) else { return };
    page.ask("document.querySelector('.tip[data-i=\"5\"]').dispatchEvent(new MouseEvent('click', { bubbles: true }))");
    let name = page.text("document.querySelector('.readout b').textContent");
    let tip = &run.summary["steps"][0]["findings"]["tips"][5]["tip"];
    assert_eq!(name, format!("Tip {}", tip.as_str().unwrap()));
    assert_eq!(page.number("document.querySelectorAll('.graph .panel').length"), 3.0);
    page.ask("document.querySelector('.panel').scrollIntoView({ block: 'center' })");
    page.slide_to(1.0);
    page.click(".panel");
    let place = page.number("Number(document.querySelector('input.time').value)");
    assert!((150.0..250.0).contains(&place), "{place}");
}
