//! Pictures of every shipped scenario: what their axes, scales and colours say.

use crate::once::each_shipped;

/// Words of a picture: where they are anchored and what they read.
struct Written {
    x: String,
    y: String,
    dy: String,
    anchor: String,
    words: String,
}

/// Everything that is written on an SVG picture.
fn written(svg: &str) -> Vec<Written> {
    let of = |element: &str| {
        let (head, rest) = element.split_once('>')?;
        let key = |name: &str| {
            let from = head.split_once(&format!(" {name}=\""))?.1;
            Some(from.split_once('"')?.0.to_owned())
        };
        let words = rest.split("</text>").next()?.trim().replace("&quot;", "\"");
        let (x, y, dy, anchor) = (key("x")?, key("y")?, key("dy")?, key("text-anchor")?);
        Some(Written { x, y, dy, anchor, words })
    };
    svg.split("<text").skip(1).filter_map(of).collect()
}

fn number(words: &str) -> Option<f64> {
    words.replace('\u{2212}', "-").parse().ok()
}

/// Calls `look` with the name and the text of every shipped picture.
fn each_picture(mut look: impl FnMut(&str, &str)) {
    let mut count = 0;
    each_shipped(|path, outcome| {
        for name in outcome.files.keys().filter(|name| name.ends_with(".svg")) {
            count += 1;
            look(&format!("{} {name}", path.display()), outcome.text(name));
        }
    });
    assert!(count > 100, "{count}");
}

#[test]
fn no_two_ticks_of_an_axis_read_the_same() {
    each_picture(|name, svg| {
        // Ticks of an axis are written one after the other, at one place across it.
        let across = |of: &Written| match of.anchor.as_str() {
            "end" => ("upright".to_owned(), of.x.clone()),
            _ => (of.dy.clone(), of.y.clone()),
        };
        let all = written(svg);
        let axes = all.chunk_by(|a, b| {
            across(a) == across(b) && number(&a.words).is_some() && number(&b.words).is_some()
        });
        for ticks in axes {
            let mut words: Vec<&str> = ticks.iter().map(|tick| tick.words.as_str()).collect();
            words.sort_unstable();
            words.dedup();
            assert_eq!(words.len(), ticks.len(), "{name}: {words:?}");
        }
    });
}

#[test]
fn a_scale_of_pressures_says_its_span_which_is_a_tenth_of_its_top_or_more() {
    let mut seen = 0;
    each_picture(|name, svg| {
        let all = written(svg);
        let Some(scale) = all.iter().find_map(|of| of.words.split_once("; from end to end "))
        else {
            assert!(!name.ends_with("plumbing.svg"), "{name} says no span");
            return;
        };
        seen += 1;
        let (span, unit) = scale.1.split_once(' ').unwrap();
        let span: f64 = span.parse().unwrap();
        // 0.05 bar, and the same in psi.
        assert!(span >= if unit == "bar" { 0.05 } else { 0.7 }, "{name}: {span} {unit}");
        // The ticks of the bar are below it: the top of the scale is no less than the last.
        let ticks = all.iter().filter(|of| of.anchor == "middle" && of.y == "849");
        let last = ticks.filter_map(|of| number(&of.words)).fold(f64::NEG_INFINITY, f64::max);
        assert!(last.is_finite(), "{name}: no ticks");
        assert!(span >= 0.1 * last - 0.05 * span, "{name}: {span} {unit} below {last}");
    });
    assert!(seen > 20, "{seen}");
}

#[test]
fn where_no_concentration_changes_pictures_show_what_lines_hold_or_are_left_out() {
    let mut purges = 0;
    each_shipped(|path, outcome| {
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        let has = |file: &str| outcome.files.contains_key(file);
        if name == "heron-36m-field-hour" {
            assert!(!has("front-map.svg") && !has("concentration-over-time.svg"));
        }
        if name.contains("purge") {
            purges += 1;
            assert!(!has("front-map.svg"), "{name}");
            let reads = |file: &str, text: &str| {
                written(outcome.text(file)).iter().any(|of| of.words.contains(text))
            };
            assert!(reads("air-map.svg", "film on the wall"), "{name}");
            assert!(reads("air-frames.svg", "on the wall"), "{name}");
            assert!(!reads("air-frames.svg", "concentration"), "{name}");
        }
    });
    assert!(purges >= 3);
}

#[test]
fn letters_keep_their_gaps_at_any_size() {
    each_picture(|name, svg| {
        assert!(svg.starts_with("<svg text-rendering=\"geometricPrecision\""), "{name}");
    });
}

#[test]
fn names_of_pictures_over_a_setting_carry_no_unit() {
    let line = "millstream compare scenarios/heron-36m-centre.toml --vary \"supply.hose.bore=19 mm,25 mm\" --out out";
    crate::once::with(line, |outcome| {
        let names: Vec<&String> =
            outcome.files.keys().filter(|name| name.ends_with(".svg")).collect();
        assert!(names.iter().any(|name| *name == "boom-flow-over-setting.svg"), "{names:?}");
        for unit in ["-m3", "-s-over", "-pa-", "-share-", "-w-over", "-m-over"] {
            assert!(names.iter().all(|name| !name.contains(unit)), "{unit}: {names:?}");
        }
    });
}
