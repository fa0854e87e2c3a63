//! The words on a drawing, and where they are.

use ab_glyph::{Font, FontRef, ScaleFont};
use serde_json::Value;

/// Heights of the letters above and below the line they stand on, over their size (Roboto: capitals 0.71, descenders 0.21).
const ABOVE: f64 = 0.72;
const BELOW: f64 = 0.21;
/// How far below its point words stand that are `dy="0.5ex"` lower, over their size (Roboto: an ex is 0.53).
const HALF_AN_EX: f64 = 0.26;
/// Size of pictures, px.
const PICTURE: [f64; 4] = [0.0, 0.0, 1600.0, 900.0];
/// Sizes of names on a page where they are largest, on a narrow screen, and on a sketch, px.
const LARGE: f64 = 26.0;
const SMALL: f64 = 20.0;

/// Words on a drawing.
pub(crate) struct Text {
    pub(crate) words: String,
    /// Left, top, right, bottom, px.
    area: [f64; 4],
    frame: [f64; 4],
}

/// Width of `words` in letters of `size` px.
fn width(words: &str, size: f64, bold: bool) -> f64 {
    let bytes: &[u8] = match bold {
        true => include_bytes!("../../../sim-cli/fonts/Roboto-Bold.ttf"),
        false => include_bytes!("../../../sim-cli/fonts/Roboto-Regular.ttf"),
    };
    let font = FontRef::try_from_slice(bytes).unwrap();
    let units = font.units_per_em().unwrap();
    let scaled = font.as_scaled(ab_glyph::PxScale::from(font.height_unscaled()));
    let advance = |letter: char| f64::from(scaled.h_advance(font.glyph_id(letter)));
    size * words.chars().map(advance).sum::<f64>() / f64::from(units)
}

fn text(words: &str, (x, y): (f64, f64), anchor: &str, size: f64, frame: [f64; 4]) -> Text {
    let wide = width(words, size, size > 25.0);
    let left = match anchor {
        "start" => x,
        "middle" => x - 0.5 * wide,
        "end" => x - wide,
        other => panic!("anchor {other}"),
    };
    let area = [left, y - ABOVE * size, left + wide, y + BELOW * size];
    Text { words: words.to_owned(), area, frame }
}

/// The value of attribute `name` in the start of an element.
fn attribute<'s>(tag: &'s str, name: &str) -> Option<&'s str> {
    let start = tag.find(&format!(" {name}=\""))? + name.len() + 3;
    tag[start..].split('"').next()
}

fn number(tag: &str, name: &str) -> f64 {
    attribute(tag, name).unwrap_or_else(|| panic!("no {name} in {tag}")).parse().unwrap()
}

/// The elements `text` of `svg`: the start of each, and its words.
fn elements(svg: &str) -> impl Iterator<Item = (&str, String)> {
    svg.split("<text").skip(1).map(|rest| {
        let (tag, rest) = rest.split_once('>').unwrap();
        let words = rest.split("</text>").next().unwrap().trim();
        let plain =
            [("&quot;", "\""), ("&lt;", "<"), ("&gt;", ">"), ("&#39;", "'"), ("&amp;", "&")];
        (tag, plain.iter().fold(words.to_owned(), |words, (from, to)| words.replace(from, to)))
    })
}

/// The words of a picture.
pub(crate) fn of_picture(svg: &str) -> Vec<Text> {
    let one = |(tag, words): (&str, String)| {
        let size = number(tag, "font-size");
        let down = match attribute(tag, "dy") {
            Some("0.76em") => 0.76 * size,
            Some("0.5ex") => HALF_AN_EX * size,
            None | Some("0") => 0.0,
            Some(other) => panic!("dy {other}"),
        };
        let at = (number(tag, "x"), number(tag, "y") + down);
        text(&words, at, attribute(tag, "text-anchor").unwrap(), size, PICTURE)
    };
    elements(svg).map(one).collect()
}

/// The words of the drawing on the page of a run.
pub(crate) fn of_page(page: &str) -> Vec<Text> {
    let start = page.find("\"labels\":").unwrap() + "\"labels\":".len();
    let labels: Vec<Value> =
        serde_json::Deserializer::from_str(&page[start..]).into_iter().next().unwrap().unwrap();
    let after = |key: &str| -> f64 {
        let start = page.find(&format!("\"{key}\":")).unwrap() + key.len() + 3;
        page[start..].split([',', '}']).next().unwrap().parse().unwrap()
    };
    let top = after("top");
    let frame = [0.0, top, 1600.0, top + after("height")];
    let one = |label: &Value| {
        let at = (label["at"][0].as_f64().unwrap(), label["at"][1].as_f64().unwrap());
        let size = if label["small"] == true { SMALL } else { LARGE };
        text(label["text"].as_str().unwrap(), at, label["anchor"].as_str().unwrap(), size, frame)
    };
    labels.iter().map(one).collect()
}

/// The words of the sketch on a build sheet.
pub(crate) fn of_sketch(page: &str) -> Vec<Text> {
    let start = page.find("class=\"sketch\"").unwrap();
    let svg = &page[start..start + page[start..].find("</svg>").unwrap()];
    let numbers: Vec<f64> =
        attribute(svg, "viewBox").unwrap().split(' ').map(|part| part.parse().unwrap()).collect();
    let frame = [numbers[0], numbers[1], numbers[0] + numbers[2], numbers[1] + numbers[3]];
    let one = |(tag, words): (&str, String)| {
        let anchor = attribute(tag, "class").filter(|class| *class != "number");
        let at = (number(tag, "x"), number(tag, "y"));
        text(&words, at, anchor.unwrap_or("middle"), SMALL, frame)
    };
    elements(svg).map(one).collect()
}

/// Points of lines of a picture, or of the drawing on a page, that leave its frame.
pub(crate) fn strays(file: &str, is_page: bool) -> Vec<String> {
    let (mark, end, frame) = match is_page {
        true => ("\"path\":[", ']', of_page(file)[0].frame),
        false => ("points=\"", '"', PICTURE),
    };
    let mut found = Vec::new();
    for list in file.split(mark).skip(1).map(|rest| rest.split(end).next().unwrap()) {
        let numbers: Vec<f64> =
            list.split([',', ' ']).filter(|n| !n.is_empty()).map(|n| n.parse().unwrap()).collect();
        for at in numbers.chunks(2) {
            if at[0] < frame[0] || at[0] > frame[2] || at[1] < frame[1] || at[1] > frame[3] {
                found.push(format!("a line at {at:?} leaves {frame:?}"));
            }
        }
    }
    found
}

/// Which words are on others, or leave their frame.
pub(crate) fn faults(texts: &[Text]) -> Vec<String> {
    let mut faults = Vec::new();
    for (k, one) in texts.iter().enumerate() {
        let ([left, top, right, bottom], frame) = (one.area, one.frame);
        if left < frame[0] || top < frame[1] || right > frame[2] || bottom > frame[3] {
            faults.push(format!("{:?} leaves the frame: {:?} of {frame:?}", one.words, one.area));
        }
        for other in &texts[k + 1..] {
            let [l, t, r, b] = other.area;
            if left < r && l < right && top < b && t < bottom {
                faults.push(format!("{:?} is on {:?}", one.words, other.words));
            }
        }
    }
    faults
}

#[test]
fn words_on_others_and_beyond_the_frame_are_found() {
    let frame = [0.0, 0.0, 100.0, 50.0];
    let at = |x: f64, y: f64| text("main", (x, y), "start", 20.0, frame);
    assert!(faults(&[at(0.0, 20.0), at(50.0, 20.0)]).is_empty());
    assert_eq!(faults(&[at(0.0, 20.0), at(30.0, 20.0)]).len(), 1);
    assert_eq!(faults(&[at(80.0, 20.0)]).len(), 1);
    assert_eq!(faults(&[at(0.0, 49.0)]).len(), 1);
}
